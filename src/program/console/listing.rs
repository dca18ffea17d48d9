//! Problems as a list: for people with the cell pointed at, for programs as JSON.

use std::fmt::{self, Write as _};

use anstyle::{AnsiColor, Style};
use serde_json::{Value, json};

use crate::console::plain;
use hillfolio_core::problem::{self, Alike, Answer, Excerpt, Grade, Problem, TOLD, Told};

/// How many rows or files of one kind are named in a line.
const NAMED: usize = 8;

/// Widest cell in an excerpt, in characters.
const CELL: usize = 24;

const BOLD: Style = Style::new().bold();
const DIM: Style = Style::new().dimmed();

/// Problems in words, many of one kind told as one. Written with styles; a stream that can't show them strips them.
pub struct Listing<'a> {
    /// The problems, in listing order.
    pub problems: &'a [Problem],
    /// Remarks are left out unless asked for.
    pub remarks: bool,
    /// Where the lines of an answer go in the settings; nothing where they are simply put at the end.
    pub placed: &'a dyn Fn(&Answer) -> Option<String>,
}

impl fmt::Display for Listing<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut ahead = false;
        for alike in problem::alike(self.problems) {
            if alike.ahead && !ahead {
                f.write_str(&tally(self.problems))?;
                writeln!(
                    f,
                    "\n{BOLD}With the first of the lines above in project.toml, this is to be answered too:{BOLD:#}\n"
                )?;
                ahead = true;
            }
            if alike.grade == Grade::Remark && !self.remarks {
                continue;
            }
            // What a form asks for and does not get must be known by name, to the last of it.
            let told_of = |told: &Told<'_>| !told.message.code.starts_with("form-");
            let shown = if alike.told.iter().any(told_of) { TOLD } else { usize::MAX };
            for told in alike.told.iter().take(shown) {
                one(f, told, self.placed)?;
            }
            let rest: Vec<&Problem> =
                alike.told.iter().skip(shown).flat_map(|told| told.problems.clone()).collect();
            if !rest.is_empty() {
                let (more, words) = (rest.len(), words(&alike.code, &rest));
                writeln!(f, "{DIM}  and {more} more like this{words}{}{DIM:#}\n", whereabouts(&rest))?;
            }
        }
        if !ahead {
            f.write_str(&tally(self.problems))?;
        }
        Ok(())
    }
}

/// Codes of names that nobody knows: each must be told, since each is answered by itself.
const NAMES: [&str; 4] = ["species-unknown", "id-unknown", "common-name-of-several", "group-unknown"];

/// Most names that are told in a line.
const MOST_NAMES: usize = 60;

/// The names that the problems are about, each once; nothing where they are about something else.
fn words(code: &str, problems: &[&Problem]) -> String {
    let mut words: Vec<String> = Vec::new();
    for word in problems.iter().filter_map(|problem| problem.place.read()) {
        let word = format!("`{}`", plain(word.trim()));
        if NAMES.contains(&code) && !words.contains(&word) {
            words.push(word);
        }
    }
    match words.as_slice() {
        [] => String::new(),
        words => {
            let more = if words.len() > MOST_NAMES { " …" } else { "" };
            format!(", of {}{more},", words.iter().take(MOST_NAMES).cloned().collect::<Vec<_>>().join(", "))
        }
    }
}

/// Where the problems are, in a few words: the ranges of their rows, or their files where they have no rows.
fn whereabouts(problems: &[&Problem]) -> String {
    let (kind, places) = match problem::rows(problems.iter().copied()) {
        Some(row) if !row.contains(['-', ',']) => (" in row ", vec![row]),
        Some(rows) => (" in rows ", rows.split(", ").map(str::to_owned).collect::<Vec<_>>()),
        None => (": ", problems.iter().map(|problem| plain(&problem.place.to_string())).collect()),
    };
    let more = if places.len() > NAMED { " …" } else { "" };
    format!("{kind}{}{more}", places.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", "))
}

fn style(grade: Grade) -> Style {
    let colour = match grade {
        Grade::Error => AnsiColor::Red,
        Grade::Doubt => AnsiColor::Yellow,
        Grade::Remark => AnsiColor::Cyan,
    };
    colour.on_default().bold()
}

fn one(
    f: &mut fmt::Formatter<'_>,
    told: &Told<'_>,
    placed: &dyn Fn(&Answer) -> Option<String>,
) -> fmt::Result {
    let Told { message, problems } = told;
    let Some(problem) = problems.first() else { return Ok(()) };
    let style = style(message.grade);
    let (grade, sentence) = (message.grade.word(), plain(&message.sentence));
    writeln!(f, "{style}{grade}[{}]{style:#}: {BOLD}{sentence}{BOLD:#}", plain(&message.code))?;
    writeln!(f, "  {DIM}{}{DIM:#}", plain(&problem.place.to_string()))?;
    if let Some(excerpt) = &problem.place.excerpt {
        f.write_str(&pointed_at(excerpt, problem.place.row))?;
    }
    if problems.len() > 1 {
        writeln!(f, "  the same {} times{}", problems.len(), whereabouts(problems))?;
    }
    if let Some(help) = message.help_placed(placed) {
        // Lines to paste stand by themselves.
        let mut lines = help.lines().map(plain);
        writeln!(f, "  help: {}", lines.next().unwrap_or_default())?;
        lines.try_for_each(|line| writeln!(f, "    {line}"))?;
    }
    writeln!(f)
}

/// A row with more cells than this is shown by those about the one in question.
const MOST_CELLS: usize = 40;

/// Cells shown on either side of the one in question, where a row is too wide.
const BESIDE: usize = 4;

/// The row under its header, the cell underlined.
fn pointed_at(excerpt: &Excerpt, row: Option<u32>) -> String {
    let from = if excerpt.cells.len() > MOST_CELLS { excerpt.at.saturating_sub(BESIDE) } else { 0 };
    let to = if excerpt.cells.len() > MOST_CELLS { excerpt.at + BESIDE + 1 } else { usize::MAX };
    let at = excerpt.at - from;
    let within = |texts: &[String]| -> Vec<String> {
        let texts = texts.iter().take(to).skip(from);
        texts.map(|cell| shown(cell, excerpt.cells.len())).collect()
    };
    let (cells, header) = (within(&excerpt.cells), within(&excerpt.header));
    let width = |at: usize| {
        let of = |texts: &[String]| texts.get(at).map_or(0, |text| text.chars().count());
        of(&cells).max(of(&header))
    };
    let number = row.map_or_else(String::new, |row| row.to_string());
    let mut text = String::new();
    let mut line = |number: &str, texts: &[String]| {
        let pad = |(at, cell): (usize, &String)| format!("{cell:<width$}", width = width(at));
        let padded: Vec<String> = texts.iter().enumerate().map(pad).collect();
        let _ = writeln!(text, "  {DIM}{number:>5} |{DIM:#} {}", padded.join(" | ").trim_end());
    };
    if !header.is_empty() {
        line("", &header);
    }
    line(&number, &cells);
    let before: usize = (0..at).map(|at| width(at) + 3).sum();
    let marked = cells.get(at).map_or(1, |cell| cell.chars().count().max(1));
    let style = AnsiColor::Red.on_default().bold();
    let _ = writeln!(text, "  {:>5}   {:before$}{style}{}{style:#}", "", "", "^".repeat(marked));
    text
}

/// A cell as one short line without control characters; a text file's only line is shown whole.
fn shown(cell: &str, cells: usize) -> String {
    let widest = if cells == 1 { 4 * CELL } else { CELL };
    let plain = plain(cell);
    match plain.chars().count() > widest {
        true => plain.chars().take(widest - 1).chain(['…']).collect(),
        false => plain,
    }
}

/// How many of each grade, in a sentence.
fn tally(problems: &[Problem]) -> String {
    let now = |problem: &&Problem| !problem.ahead;
    let count = |grade: Grade| problems.iter().filter(now).filter(|it| it.grade() == grade).count();
    let (errors, doubts, remarks) = (count(Grade::Error), count(Grade::Doubt), count(Grade::Remark));
    let of = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    // Rows that can't be read are held against nothing.
    let more = if errors > 0 { "; more may follow once the errors are mended" } else { "" };
    format!("{}, {}, {}{more}\n", of(errors, "error"), of(doubts, "doubt"), of(remarks, "remark"))
}

/// The `lines` that problems propose for `project.toml`, to be pasted together; nothing where there are none.
#[must_use]
pub fn to_paste(lines: &str) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let mut text = String::from("\nproposed above, together, for project.toml; take what is right:\n\n");
    for line in lines.lines() {
        text.push_str(&plain(line));
        text.push('\n');
    }
    text
}

/// Problems as one JSON document, those that are alike as one: how many, in which rows, the first of them in full.
#[must_use]
pub fn as_json(problems: &[Problem]) -> String {
    let now = |problem: &&Problem| !problem.ahead;
    let count = |grade: Grade| problems.iter().filter(now).filter(|it| it.grade() == grade).count();
    let listed: Vec<Value> = problem::alike(problems).iter().map(group).collect();
    let list = json!({
        "format": "hillfolio-problems/1",
        "errors": count(Grade::Error),
        "doubts": count(Grade::Doubt),
        "remarks": count(Grade::Remark),
        "more_may_follow": count(Grade::Error) > 0,
        "problems": listed,
    });
    format!("{list:#}\n")
}

fn group(alike: &Alike<'_>) -> Value {
    let mut paths: Vec<&str> = alike.problems().map(|problem| &*problem.place.path).collect();
    paths.dedup();
    let first: Vec<Value> = alike.told.iter().take(TOLD).map(told).collect();
    json!({
        "grade": alike.grade.word(),
        "code": alike.code,
        "ahead": alike.ahead,
        "paths": paths,
        "column": alike.problems().next().and_then(|problem| problem.place.column.as_deref()),
        "count": alike.count(),
        "rows": problem::rows(alike.problems()),
        "first": first,
    })
}

fn told(told: &Told<'_>) -> Value {
    let place = told.problems.first().map(|problem| &problem.place);
    json!({
        "path": place.map(|place| &*place.path),
        "row": place.and_then(|place| place.row),
        "read": place.and_then(|place| place.read()),
        "says": told.message.sentence,
        "help": told.message.help,
        "nearest": told.message.nearest,
        "answers": told.message.answers.iter().map(|answer| answer.lines.as_str()).collect::<Vec<_>>(),
        "count": told.problems.len(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use hillfolio_core::problem::{Place, Records};

    fn problem(row: u32) -> Problem {
        let place = Place {
            path: "tallies.csv".into(),
            row: Some(row),
            column: Some("alive".to_owned()),
            excerpt: Some(Box::new(Excerpt {
                header: ["plot", "species", "alive"].map(str::to_owned).to_vec(),
                cells: ["N-07", "Acacia dealbata", "46"].map(str::to_owned).to_vec(),
                at: 2,
                made: false,
            })),
        };
        let kind =
            Records::MoreAliveThanPlanted { alive: 46, planted: 40, whereabouts: "plot N-07".to_owned() };
        Problem::new(kind, place)
    }

    #[test]
    fn a_problem_points_at_its_cell() {
        let listing = Listing { problems: &[problem(18)], remarks: true, placed: &|_| None }.to_string();
        insta::assert_snapshot!(anstream::adapter::strip_str(&listing).to_string(), @"
        doubt[more-alive-than-planted]: 46 alive of 40 planted in plot N-07
          tallies.csv:18 (alive)
                | plot | species         | alive
             18 | N-07 | Acacia dealbata | 46
                                           ^^
          help: correct the tally, count self-sown stems as recruits, or log the infill in plantings

        0 errors, 1 doubt, 0 remarks
        ");
    }

    fn unknown(row: u32, found: &str) -> Problem {
        let kind =
            Records::SpeciesUnknown { found: found.to_owned(), nearest: Some("Acacia dealbata".to_owned()) };
        Problem::new(kind, Place { row: Some(row), ..Place::file("tallies.csv") }.column("species"))
    }

    #[test]
    fn two_hundred_of_a_kind_are_told_as_one() {
        let problems: Vec<Problem> = (2..=201).map(|row| unknown(row, "Acacia delbata")).collect();
        let listing = Listing { problems: &problems, remarks: true, placed: &|_| None }.to_string();
        insta::assert_snapshot!(anstream::adapter::strip_str(&listing).to_string());
        insta::assert_snapshot!(as_json(&problems));
    }

    #[test]
    fn of_many_sentences_the_first_are_told_and_the_rest_is_counted() {
        let problems: Vec<Problem> =
            (2..=201).flat_map(|row| [problem(row), unknown(row, "Acacia delbata")]).collect();
        let listing = Listing { problems: &problems, remarks: true, placed: &|_| None }.to_string();
        assert_eq!(listing.matches("more-alive-than-planted").count(), 1, "{listing}");
        let differing: Vec<Problem> = (2..=201).map(|row| unknown(row, &format!("Acacia {row}"))).collect();
        let listing = Listing { problems: &differing, remarks: true, placed: &|_| None }.to_string();
        assert_eq!(listing.matches("species-unknown").count(), TOLD);
        assert!(listing.contains("and 195 more like this in rows 7-201"), "{listing}");
        let json: Value = serde_json::from_str(&as_json(&differing)).unwrap();
        let only = &json["problems"][0];
        assert_eq!((json["doubts"].as_u64(), only["count"].as_u64()), (Some(0), Some(200)));
        assert_eq!((only["rows"].as_str(), only["first"].as_array().unwrap().len()), (Some("2-201"), TOLD));
        assert_eq!(only["first"][4]["nearest"], "Acacia dealbata");
    }

    #[test]
    fn what_a_cell_holds_does_not_steer_the_terminal() {
        let listing = Listing {
            problems: &[unknown(2, "Acacia\x1b[2J\x07 dealbata")],
            remarks: true,
            placed: &|_| None,
        }
        .to_string();
        let bare = anstream::adapter::strip_str(&listing).to_string();
        assert!(bare.contains("`Acacia [2J  dealbata`"), "{bare}");
    }
}
