//! Problems as a list: for people with the cell pointed at, for programs as JSON.

use std::fmt::{self, Write as _};

use anstyle::{AnsiColor, Style};
use serde_json::json;

use crate::problem::{Excerpt, Grade, Problem, Said};

/// How many problems of one kind in one column are shown before the rest is only counted.
const SHOWN: usize = 5;

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
}

impl fmt::Display for Listing<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for alike in groups(self.problems) {
            let grade = alike[0].grade();
            if grade == Grade::Remark && !self.remarks {
                continue;
            }
            for problem in alike.iter().take(SHOWN) {
                one(f, problem, &problem.kind.said())?;
            }
            if alike.len() > SHOWN {
                let rest = &alike[SHOWN..];
                let rows: Vec<String> =
                    rest.iter().filter_map(|p| p.place.row).take(8).map(|row| row.to_string()).collect();
                let more = if rest.len() > 8 { " …" } else { "" };
                writeln!(
                    f,
                    "{DIM}  and {} more like this in rows {}{more}{DIM:#}\n",
                    rest.len(),
                    rows.join(", ")
                )?;
            }
        }
        f.write_str(&tally(self.problems))
    }
}

/// Neighbours in listing order that share grade, code, file and column.
fn groups(problems: &[Problem]) -> impl Iterator<Item = &[Problem]> {
    problems.chunk_by(|a, b| {
        a.place.path == b.place.path
            && a.place.column == b.place.column
            && a.kind.said().code == b.kind.said().code
            && a.grade() == b.grade()
    })
}

fn style(grade: Grade) -> Style {
    let colour = match grade {
        Grade::Error => AnsiColor::Red,
        Grade::Doubt => AnsiColor::Yellow,
        Grade::Remark => AnsiColor::Cyan,
    };
    colour.on_default().bold()
}

fn one(f: &mut fmt::Formatter<'_>, problem: &Problem, said: &Said) -> fmt::Result {
    let style = style(said.grade);
    writeln!(f, "{style}{}[{}]{style:#}: {BOLD}{}{BOLD:#}", said.grade.word(), said.code, said.sentence)?;
    writeln!(f, "  {DIM}{}{DIM:#}", problem.place)?;
    if let Some(excerpt) = &problem.place.excerpt {
        f.write_str(&pointed_at(excerpt, problem.place.row))?;
    }
    if let Some(help) = &said.help {
        writeln!(f, "  help: {help}")?;
    }
    writeln!(f)
}

/// The row under its header, the cell underlined.
fn pointed_at(excerpt: &Excerpt, row: Option<u32>) -> String {
    let cells: Vec<String> = excerpt.cells.iter().map(|cell| shown(cell, excerpt.cells.len())).collect();
    let header: Vec<String> = excerpt.header.iter().map(|cell| shown(cell, excerpt.cells.len())).collect();
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
    let before: usize = (0..excerpt.at).map(|at| width(at) + 3).sum();
    let marked = cells.get(excerpt.at).map_or(1, |cell| cell.chars().count().max(1));
    let style = AnsiColor::Red.on_default().bold();
    let _ = writeln!(text, "  {:>5}   {:before$}{style}{}{style:#}", "", "", "^".repeat(marked));
    text
}

/// A cell as one short line without control characters; a text file's only line is shown whole.
fn shown(cell: &str, cells: usize) -> String {
    let widest = if cells == 1 { 4 * CELL } else { CELL };
    let plain: String = cell.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    match plain.chars().count() > widest {
        true => plain.chars().take(widest - 1).chain(['…']).collect(),
        false => plain,
    }
}

/// How many of each grade, in a sentence.
fn tally(problems: &[Problem]) -> String {
    let count = |grade: Grade| problems.iter().filter(|problem| problem.grade() == grade).count();
    let (errors, doubts, remarks) = (count(Grade::Error), count(Grade::Doubt), count(Grade::Remark));
    let of = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    format!("{}, {}, {}\n", of(errors, "error"), of(doubts, "doubt"), of(remarks, "remark"))
}

/// Problems as one JSON document.
#[must_use]
pub fn as_json(problems: &[Problem]) -> String {
    let one = |problem: &Problem| {
        let said = problem.kind.said();
        json!({
            "grade": said.grade.word(),
            "code": said.code,
            "path": &*problem.place.path,
            "row": problem.place.row,
            "column": problem.place.column,
            "says": said.sentence,
            "help": said.help,
        })
    };
    let problems: Vec<_> = problems.iter().map(one).collect();
    format!("{:#}\n", json!({ "format": "hillfolio-problems/1", "problems": problems }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Place, Records};

    fn problem(row: u32) -> Problem {
        let place = Place {
            path: "tallies.csv".into(),
            row: Some(row),
            column: Some("alive".to_owned()),
            excerpt: Some(Excerpt {
                header: ["plot", "species", "alive"].map(str::to_owned).to_vec(),
                cells: ["N-07", "Acacia dealbata", "46"].map(str::to_owned).to_vec(),
                at: 2,
            }),
        };
        let kind =
            Records::MoreAliveThanPlanted { alive: 46, planted: 40, whereabouts: "plot N-07".to_owned() };
        Problem::new(kind, place)
    }

    #[test]
    fn a_problem_points_at_its_cell() {
        let listing = Listing { problems: &[problem(18)], remarks: true }.to_string();
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

    #[test]
    fn many_alike_are_told_as_one() {
        let problems: Vec<Problem> = (2..=201).map(problem).collect();
        let listing = Listing { problems: &problems, remarks: true }.to_string();
        assert_eq!(listing.matches("more-alive-than-planted").count(), SHOWN);
        assert!(
            listing.contains("and 195 more like this in rows 7, 8, 9, 10, 11, 12, 13, 14 …"),
            "{listing}"
        );
    }
}
