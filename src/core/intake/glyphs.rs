//! Characters that no embedded font holds.

use std::collections::BTreeSet;

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use crate::{
    intake::table::Table,
    problem::{Place, Problem, Reading},
};

/// Whether a character can be printed.
pub(crate) type Printable<'a> = &'a (dyn Fn(char) -> bool + Sync);

/// How many characters one doubt names.
const NAMED: usize = 5;

/// Doubts a text that holds characters which can't be printed. The text itself stays as typed.
pub(crate) fn doubt(
    text: &str,
    printable: Printable<'_>,
    place: impl FnOnce() -> Place,
    problems: &mut Vec<Problem>,
) {
    let missing: BTreeSet<char> = text.chars().filter(|&c| !unseen(c) && !printable(c)).collect();
    if missing.is_empty() {
        return;
    }
    let mut named: Vec<String> =
        missing.iter().take(NAMED).map(|&c| format!("{c} (U+{:04X})", u32::from(c))).collect();
    if missing.len() > NAMED {
        named.push(format!("{} more", missing.len() - NAMED));
    }
    problems.push(Problem::new(Reading::GlyphMissing { characters: named.join(", ") }, place()));
}

/// Doubts the cells of a table whose columns have a use.
pub(crate) fn doubt_table(table: &Table, printable: Printable<'_>, problems: &mut Vec<Problem>) {
    for row in table.rows() {
        for at in table.used() {
            doubt(row.cell(at), printable, || table.place(row, at), problems);
        }
    }
}

/// Doubts the texts of a TOML file, each under its dotted name; comments are not printed.
pub(crate) fn doubt_settings(path: &str, text: &str, printable: Printable<'_>, problems: &mut Vec<Problem>) {
    let (table, _) = DeTable::parse_recoverable(text);
    let mut waiting: Vec<(String, &Spanned<DeValue<'_>>)> =
        table.get_ref().iter().map(|(key, value)| (key.get_ref().to_string(), value)).collect();
    while let Some((name, value)) = waiting.pop() {
        match value.get_ref() {
            DeValue::String(words) => {
                let line = || text[..value.span().start].matches('\n').count() + 1;
                let place = || Place { row: u32::try_from(line()).ok(), ..Place::file(path).column(name) };
                doubt(words, printable, place, problems);
            }
            DeValue::Array(values) => waiting.extend(values.iter().map(|value| (name.clone(), value))),
            DeValue::Table(table) => {
                let named = |key: &str| format!("{name}.{key}");
                waiting.extend(table.iter().map(|(key, value)| (named(key.get_ref()), value)));
            }
            _ => {}
        }
    }
}

/// Doubts a text file line by line.
pub(crate) fn doubt_lines(path: &str, text: &str, printable: Printable<'_>, problems: &mut Vec<Problem>) {
    for (row, line) in (1..).zip(text.lines()) {
        doubt(line, printable, || Place { row: Some(row), ..Place::file(path) }, problems);
    }
}

/// Characters that are left out on paper because they show nothing: controls, joiners, marks of direction.
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
            | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<String> {
        let mut problems = Vec::new();
        doubt(text, &|c| c.is_ascii(), || Place::file("a.csv"), &mut problems);
        problems.iter().map(|problem| problem.kind.to_string()).collect()
    }

    #[test]
    fn one_doubt_names_what_is_missing_once() {
        assert_eq!(said("plain\ttext\n"), [""; 0]);
        assert_eq!(said("a\u{202e}b\u{200b}c\u{0}"), [""; 0]);
        assert_eq!(
            said("🌱 and 🌱 and 村"),
            ["no embedded font holds 村 (U+6751), 🌱 (U+1F331); printed as □"]
        );
        assert!(said("一二三四五六七")[0].contains(", 2 more; printed"));
    }

    #[test]
    fn a_setting_is_named_and_a_comment_is_not_printed() {
        let text = "# 🌱\n[project]\nname = \"Spur\"\n\n[[budget]]\nline = \"村\"\n";
        let mut problems = Vec::new();
        doubt_settings("project.toml", text, &|c| c.is_ascii(), &mut problems);
        let places: Vec<_> =
            problems.iter().map(|one| (one.place.row, one.place.column.as_deref())).collect();
        assert_eq!(places, [(Some(6), Some("budget.line"))]);
    }
}
