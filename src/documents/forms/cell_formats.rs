//! What the formats of cells make of a number: a plain one, a share in per cent, a day.

use std::collections::BTreeMap;

use crate::forms::tree::Tree;

/// What a cell's format makes of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shown {
    Plain,
    PerCent,
    Day,
}

/// What each format of cells makes of a number, in the order in which cells count them.
pub(super) fn formats(tree: &Tree<'_>) -> Vec<Shown> {
    let own: BTreeMap<String, String> = tree
        .named("numFmt")
        .filter_map(|at| Some((tree.attribute(at, "numFmtId")?, tree.attribute(at, "formatCode")?)))
        .collect();
    let Some(cells) = tree.named("cellXfs").next() else { return Vec::new() };
    let formats = tree.within(cells).filter(|&at| tree.elements[at].name == "xf");
    formats
        .map(|at| {
            let id = tree.attribute(at, "numFmtId").unwrap_or_default();
            match (own.get(&id), id.parse::<u32>().unwrap_or(0)) {
                (Some(code), _) => shown(code),
                (None, 9 | 10) => Shown::PerCent,
                (None, 14..=17 | 22) => Shown::Day,
                (None, _) => Shown::Plain,
            }
        })
        .collect()
}

/// What a format of somebody's own makes of a number: its words in quotes and brackets tell nothing.
fn shown(code: &str) -> Shown {
    let (mut plain, mut quoted, mut bracket) = (String::new(), false, false);
    for letter in code.chars() {
        match letter {
            '"' => quoted = !quoted,
            '[' => bracket = true,
            ']' => bracket = false,
            letter if !quoted && !bracket => plain.push(letter.to_ascii_lowercase()),
            _ => {}
        }
    }
    if plain.contains('%') {
        Shown::PerCent
    } else if plain.contains('y') || plain.contains('d') {
        Shown::Day
    } else {
        Shown::Plain
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formats_tell_days_and_per_cent_by_their_letters_alone() {
        for (code, is) in [
            ("0.0%", Shown::PerCent),
            ("dd/mm/yyyy", Shown::Day),
            ("0 \"days %\"", Shown::Plain),
            ("[Red]0", Shown::Plain),
        ] {
            assert_eq!(shown(code), is, "{code}");
        }
    }
}
