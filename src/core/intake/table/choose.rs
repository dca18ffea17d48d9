//! Which rows are taken: those that are left out, the only ones, and each thing once.

use std::collections::{BTreeMap, BTreeSet};

use crate::intake::{
    mapped::Pattern,
    mapping::Mapping,
    nearest::folded,
    table::{Record, grid::Grid},
};

/// How many rows each value of a setting met.
pub(crate) type Met = BTreeMap<Choice, usize>;

/// One value of `skip` or `only`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Choice {
    /// `skip` or `only`.
    pub(crate) setting: &'static str,
    /// The column, as the setting has it.
    pub(crate) column: String,
    /// The value, as it is told.
    pub(crate) value: String,
}

/// Whether a cell is what a pattern wants.
fn is(pattern: &Pattern, row: &Record, at: usize) -> bool {
    pattern.found(row.cell(at)).is_some()
}

/// Rows that are not taken.
#[derive(Debug, Default)]
pub(crate) struct Out {
    /// Those that `skip` and `only` leave out.
    pub(crate) left: Vec<Record>,
    /// Those that `once` leaves out.
    pub(crate) again: Vec<Record>,
}

/// Takes out the rows that the mapping does not want, and counts in `met` how many each value met. A column that is not there chooses
/// nothing.
pub(crate) fn chosen(grid: &mut Grid, mapping: &Mapping, met: &mut Met) -> Out {
    let mut out = Out::default();
    for (setting, by, keep) in [("skip", &mapping.skip, false), ("only", &mapping.only, true)] {
        for (column, patterns) in by {
            let Some(at) = grid.at(column, mapping) else { continue };
            let name = |pattern: &Pattern| Choice { setting, column: column.clone(), value: pattern.told() };
            for pattern in patterns {
                met.entry(name(pattern)).or_default();
            }
            out.left.extend(grid.rows.extract_if(.., |row| {
                let found = patterns.iter().find(|pattern| is(pattern, row, at));
                if let Some(pattern) = found {
                    *met.entry(name(pattern)).or_default() += 1;
                }
                found.is_some() != keep
            }));
        }
    }
    let places: Vec<usize> = mapping.once.iter().filter_map(|column| grid.at(column, mapping)).collect();
    if !places.is_empty() {
        let mut seen: BTreeSet<Vec<String>> = BTreeSet::new();
        let mut first =
            |row: &mut Record| seen.insert(places.iter().map(|&at| folded(row.cell(at))).collect());
        out.again.extend(grid.rows.extract_if(.., |row| !first(row)));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    fn by(column: &str, patterns: &[&str]) -> BTreeMap<String, Vec<Pattern>> {
        BTreeMap::from([(column.to_owned(), patterns.iter().map(|text| Pattern::of(text)).collect())])
    }

    const BOOK: &str = "Date,Kind,Sum\n1,Private,3\n2,grant ,4\n3,,5\n4,Private: car,6\n5,Grant,7";

    #[test]
    fn rows_are_left_out_by_what_stands_in_them() {
        let mapping = Mapping { skip: by("kind", &["private*", "", "loan"]), ..Mapping::default() };
        let (mut table, mut met) = (grid(BOOK), Met::new());
        let out = chosen(&mut table, &mapping, &mut met);
        assert_eq!((out.left.len(), out.again.len()), (3, 0));
        assert_eq!(text(&table), "Date,Kind,Sum\n2,grant,4\n5,Grant,7");
        let counts: Vec<(&str, usize)> =
            met.iter().map(|(choice, count)| (choice.value.as_str(), *count)).collect();
        assert_eq!(counts, [("`loan`", 0), ("`private*`", 2), ("empty", 1)]);
    }

    #[test]
    fn the_only_rows_and_each_thing_once() {
        let mapping =
            Mapping { only: by("kind", &["grant"]), once: vec!["Kind".to_owned()], ..Mapping::default() };
        let mut table = grid(BOOK);
        let out = chosen(&mut table, &mapping, &mut Met::new());
        assert_eq!((out.left.len(), out.again.len()), (3, 1));
        assert_eq!(text(&table), "Date,Kind,Sum\n2,grant,4");
    }
}
