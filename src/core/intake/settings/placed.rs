//! Where lines go in a `project.toml` that is there: a section that it has already is written whole, to be put in the place of the present
//! one; what is new stands at the end.

use toml_edit::{DocumentMut, Item, TableLike};

use crate::intake::settings::{joined, with_answers};

/// What is said of an answer that the settings give already.
const STANDS: &str = "nothing to do: it stands so";

/// More lines by lines than are compared one by one.
const MOST: usize = 4_000_000;

/// A part of the text that becomes another.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Change {
    /// The lines that give way, from 0; none where lines are put below the one before.
    from: usize,
    to: usize,
    /// What stands there then.
    lines: Vec<String>,
}

/// The `answers`, each some lines of TOML, as they are to be written into a project.toml that holds `text`: what gives way is named by its
/// lines, in comments, so that all of it may be pasted.
pub(crate) fn placed(text: &str, answers: &[String]) -> String {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let once = joined(text).map_or_else(|| text.to_owned(), |joined| joined.text);
    let (known, new) = answers.iter().partition::<Vec<&String>, _>(|answer| is_begun(&once, answer));
    let at_end = with_answers("", new.iter().map(|answer| answer.as_str())).unwrap_or_default();
    let at_end = at_end.trim().to_owned();
    let Some(with) = with_answers(&once, known.iter().map(|answer| answer.as_str())) else { return at_end };
    let (old, new) = (lines(text), lines(&with));
    // Lines may have moved from one section to another, where the text said a thing twice.
    let whole = whole_sections(&old, &new);
    let changes = if made(&old, &whole) == new { whole } else { changes(&old, &new) };
    let mut parts: Vec<String> = changes.iter().map(|change| said(change, "# ", "")).collect();
    if !at_end.is_empty() {
        let end = if parts.is_empty() { "" } else { "# at its end:\n" };
        parts.push(format!("{end}{at_end}"));
    }
    parts.join("\n\n")
}

/// One answer as it is to be written into a project.toml that holds `text`, where that has its section already; `None` where it is simply put
/// at the end.
#[must_use]
pub fn in_their_place(text: &str, answer: &str) -> Option<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if !is_begun(text, answer) {
        return None;
    }
    let with = with_answers(text, [answer])?;
    let changes = changes(&lines(text), &lines(&with));
    let said: Vec<String> = changes.iter().map(|change| said(change, "", " of project.toml")).collect();
    Some(if said.is_empty() { STANDS.to_owned() } else { said.join("\n") })
}

fn lines(text: &str) -> Vec<&str> {
    text.lines().collect()
}

/// Whether a line of the settings is one that says where lines go: it was pasted with them, and is of no use there.
pub(super) fn is_pasted_with_lines(line: &str) -> bool {
    ["# in the place of line", "# below line", "# at its end:"].iter().any(|place| line.starts_with(place))
}

/// A change in words and lines.
fn said(change: &Change, mark: &str, of: &str) -> String {
    let place = match (change.from + 1, change.to) {
        (from, to) if from > to => format!("below line {to}{of}"),
        (from, to) if from == to => format!("in the place of line {from}{of}"),
        (from, to) => format!("in the place of lines {from} to {to}{of}"),
    };
    match change.lines.as_slice() {
        [] => format!("{mark}{}, nothing", place),
        lines => format!("{mark}{place}:\n{}", lines.join("\n")),
    }
}

/// Whether all sections of the answer are begun in `text`, or can't be at its end.
pub(crate) fn is_begun(text: &str, answer: &str) -> bool {
    let (Ok(document), Ok(new)) = (text.parse::<DocumentMut>(), answer.parse::<DocumentMut>()) else {
        return false;
    };
    fn within(old: &dyn TableLike, new: &dyn TableLike) -> bool {
        new.iter().all(|(name, item)| match (old.get(name), item) {
            // Settings of a section that is there.
            (None, Item::Value(_)) | (Some(_), Item::Value(_)) => true,
            (Some(old), item) => match (old.as_table_like(), item.as_table_like()) {
                (Some(old), Some(item)) => within(old, item),
                _ => true,
            },
            (None, _) => false,
        })
    }
    within(document.as_table(), new.as_table()) || format!("{text}\n{answer}").parse::<DocumentMut>().is_err()
}

/// What of `text` becomes another in `with`, a whole section where its head is in the text.
fn whole_sections(old: &[&str], new: &[&str]) -> Vec<Change> {
    let parts = parted(old, new);
    let mut heads: Vec<usize> = (0..old.len()).filter(|at| is_head(old[*at])).collect();
    heads.push(old.len());
    let sections = heads.windows(2).map(|pair| {
        let last = (pair[0]..pair[1]).rev().find(|at| !is_bare(old[*at])).unwrap_or(pair[0]);
        (pair[0], last + 1)
    });
    let sections: Vec<(usize, usize)> = sections.collect();
    let within = |part: &Part| {
        sections.iter().copied().find(|(head, end)| {
            *head < part.old.0 && part.old.1 <= *end || (*head == part.old.0 && part.old.1 == *end)
        })
    };
    let mut whole: Vec<Change> = Vec::new();
    for part in &parts {
        let (from, to) = within(part).unwrap_or(part.old);
        if whole.last().is_some_and(|last| last.from == from && last.to == to && from < to) {
            continue;
        }
        // Where a line that stays has come to.
        let now = |at: usize| {
            let before = parts.iter().filter(|part| part.old.1 <= at && part.old.0 < at.max(1));
            let before = before.chain(parts.iter().filter(|part| part.old == (at, at) && at == to));
            before.fold(at, |now, part| now + part.new.1 + part.old.0 - part.new.0 - part.old.1)
        };
        let lines = match within(part) {
            Some(_) => new.get(part.new.0.min(now(from))..now(to)).unwrap_or_default(),
            None => &new[part.new.0..part.new.1],
        };
        whole.push(Change { from, to, lines: lines.iter().map(|line| (*line).to_owned()).collect() });
    }
    whole
}

/// What the changes make of the lines.
fn made<'a>(old: &[&'a str], changes: &'a [Change]) -> Vec<&'a str> {
    let (mut made, mut at) = (Vec::new(), 0);
    for change in changes {
        made.extend(old.iter().take(change.from).skip(at).copied());
        made.extend(change.lines.iter().map(String::as_str));
        at = change.to.max(at);
    }
    made.extend(old.iter().skip(at).copied());
    made
}

fn is_head(line: &str) -> bool {
    line.trim_start().starts_with('[') && line.parse::<DocumentMut>().is_ok()
}

fn is_bare(line: &str) -> bool {
    line.trim().is_empty() || line.trim_start().starts_with('#')
}

/// Lines of the old text and those of the new one in their place, each from the first to before the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Part {
    old: (usize, usize),
    new: (usize, usize),
}

fn changes(old: &[&str], new: &[&str]) -> Vec<Change> {
    let change = |part: Part| Change {
        from: part.old.0,
        to: part.old.1,
        lines: new[part.new.0..part.new.1].iter().map(|line| (*line).to_owned()).collect(),
    };
    parted(old, new).into_iter().map(change).collect()
}

/// The parts in which two texts differ, by their longest common run of lines.
fn parted(old: &[&str], new: &[&str]) -> Vec<Part> {
    let alike = old.iter().zip(new).take_while(|(one, other)| one == other).count();
    let shorter = old.len().min(new.len()) - alike;
    let ending = old.iter().rev().zip(new.iter().rev()).take(shorter).take_while(|(one, other)| one == other);
    let ending = ending.count();
    let (rest, with) = (&old[alike..old.len() - ending], &new[alike..new.len() - ending]);
    if rest.is_empty() && with.is_empty() {
        return Vec::new();
    }
    if rest.len().saturating_mul(with.len()) > MOST {
        return vec![Part { old: (alike, old.len() - ending), new: (alike, new.len() - ending) }];
    }
    // How many lines the two have in common from each pair of places on.
    let wide = with.len() + 1;
    let mut common = vec![0_u32; (rest.len() + 1) * wide];
    for one in (0..rest.len()).rev() {
        for other in (0..with.len()).rev() {
            common[one * wide + other] = match rest[one] == with[other] {
                true => common[(one + 1) * wide + other + 1] + 1,
                false => common[(one + 1) * wide + other].max(common[one * wide + other + 1]),
            };
        }
    }
    let (mut parts, mut one, mut other): (Vec<Part>, usize, usize) = (Vec::new(), 0, 0);
    while one < rest.len() || other < with.len() {
        if one < rest.len() && other < with.len() && rest[one] == with[other] {
            (one, other) = (one + 1, other + 1);
            continue;
        }
        let (was_one, was_other) = (one, other);
        let takes_new = other < with.len()
            && (one == rest.len() || common[one * wide + other + 1] >= common[(one + 1) * wide + other]);
        if takes_new {
            other += 1;
        } else {
            one += 1;
        }
        let part = Part { old: (alike + was_one, alike + one), new: (alike + was_other, alike + other) };
        match parts.last_mut().filter(|last| last.old.1 == part.old.0 && last.new.1 == part.new.0) {
            Some(last) => (last.old.1, last.new.1) = (part.old.1, part.new.1),
            None => parts.push(part),
        }
    }
    parts
}

#[cfg(test)]
#[path = "../../../../tests/support/followed.rs"]
mod followed;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::settings::placed::followed::followed;

    const SETTINGS: &str = "# Ours.\n[project]\nname = \"Top\" # as on the gate\n\n[tables.spending]\nfile = \"bank.csv\"   # from the bank\n\
        columns = { Day = \"date\" }\n# The tallies.\n\n[tables.tallies]\nfile = \"t.csv\"\n\n[[target]] # the grant's\nid = \"a\"\n";

    fn all(answers: &[&str]) -> String {
        placed(SETTINGS, &answers.iter().map(|answer| (*answer).to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn a_section_that_is_there_is_written_whole_and_what_is_new_stands_at_the_end() {
        let said = all(&[
            "[tables.spending]\nsign = \"out is negative\"",
            "[tables.spending]\ncolumns = { \"Paid to\" = \"payee\" }",
            "[names.area]\nTop = \"Top Paddock\"",
            "[project]\nname = \"Bottom\"",
        ]);
        assert_eq!(
            said,
            "# in the place of lines 2 to 3:\n[project]\nname = \"Bottom\" # as on the gate\n\n\
             # in the place of lines 5 to 7:\n[tables.spending]\nfile = \"bank.csv\"   # from the bank\n\
             columns = { Day = \"date\", \"Paid to\" = \"payee\" }\nsign = \"out is negative\"\n\n\
             # at its end:\n[names.area]\nTop = \"Top Paddock\""
        );
        let done: toml::Table = followed(SETTINGS, &said).parse().unwrap();
        assert_eq!(done["tables"]["spending"]["columns"]["Day"].as_str(), Some("date"));
        assert_eq!(done["tables"]["tallies"]["file"].as_str(), Some("t.csv"));
        assert_eq!(done["names"]["area"]["Top"].as_str(), Some("Top Paddock"));
    }

    #[test]
    fn one_answer_is_put_in_its_line() {
        let one = |answer| in_their_place(SETTINGS, answer);
        assert_eq!(
            one("[tables.spending]\ncolumns = { Sum = \"amount\" }").as_deref(),
            Some("in the place of line 7 of project.toml:\ncolumns = { Day = \"date\", Sum = \"amount\" }")
        );
        assert_eq!(
            one("[tables.tallies]\nblank = { dead = 0 }").as_deref(),
            Some("below line 11 of project.toml:\nblank = { dead = 0 }")
        );
        assert_eq!(one("[tables.works]\nfile = \"w.csv\""), None);
    }

    #[test]
    fn what_stood_twice_is_once_when_it_is_followed() {
        let text = format!("{SETTINGS}[tables.spending]\ncolumns = {{ Sum = \"amount\" }}\n");
        let said = placed(&text, &["[tables.spending]\nsign = \"out is negative\"".to_owned()]);
        let done: toml::Table = followed(&text, &said).parse().unwrap_or_else(|why| panic!("{why}: {said}"));
        let spending = &done["tables"]["spending"];
        assert_eq!(
            (spending["columns"]["Sum"].as_str(), spending["sign"].as_str()),
            (Some("amount"), Some("out is negative"))
        );
    }

    proptest::proptest! {
        #[test]
        fn followed_it_says_what_the_answers_say(order in proptest::collection::vec(0_usize..7, 1..7), twice in 0_usize..3) {
            const ANSWERS: [&str; 7] = [
                "[tables.spending]\nsign = \"out is negative\"",
                "[tables.spending]\ncolumns = { Sum = \"amount\" }",
                "[tables.tallies]\nfill_down = [\"Day\"]",
                "[tables.tallies]\nvalues = { alive = { \"✓\" = 1 } }",
                "[names.species]\nWattle = \"Acacia dealbata\"",
                "[tables.plantings]\nfile = \"book.xlsx\"",
                "[project]\nname = \"Bottom\"",
            ];
            let text = format!("{SETTINGS}{}", ["", "[tables.tallies]\nsheet = \"x\"\n", "[tables]\n"][twice]);
            let answers: Vec<String> = order.iter().map(|at| ANSWERS[*at].to_owned()).collect();
            let said = placed(&text, &answers);
            let once = joined(&text).map_or_else(|| text.clone(), |joined| joined.text);
            let wanted: toml::Table = with_answers(&once, answers.iter().map(String::as_str)).unwrap().parse().unwrap();
            let done: Result<toml::Table, _> = followed(&text, &said).parse();
            proptest::prop_assert_eq!(done.as_ref(), Ok(&wanted), "{}", said);
        }
    }
}
