//! Wide tables made long: a column a year or a species becomes a row each.

use crate::intake::{
    mapping::Mapping,
    table::{
        Record,
        grid::{Grid, Heading},
        totals::says_total,
    },
};

/// The heading of the column that holds what stood for the `*` in a heading.
pub(crate) const STAR: &str = "*";

/// A column of the wide table whose cells go into `column`, with what its heading says beside it.
#[derive(Debug)]
struct Source {
    at: usize,
    says: String,
    column: usize,
}

/// The table with a row for each cell that is not `empty`; `keeps` says of a column that its empty cells stand for something. Gives how
/// many empty cells made no row. `used` says which columns have a use of their own.
pub(crate) fn long(
    grid: Grid,
    mapping: &Mapping,
    used: impl Fn(&Heading) -> bool,
    empty: impl Fn(&str) -> bool,
    keeps: impl Fn(&str) -> bool,
) -> (Grid, usize) {
    let mut columns: Vec<&str> = mapping.wide.iter().map(|(_, column)| column.as_str()).collect();
    columns.sort_unstable();
    columns.dedup();
    let kept: Vec<bool> = columns.iter().map(|column| keeps(column)).collect();
    let sources = sources(&grid, mapping, &columns, used);
    let base: Vec<usize> =
        (0..grid.headings.len()).filter(|at| sources.iter().all(|source| source.at != *at)).collect();
    let mut says: Vec<&str> = Vec::new();
    for source in &sources {
        if !says.contains(&source.says.as_str()) {
            says.push(&source.says);
        }
    }
    let headings = base.iter().map(|&at| grid.headings[at].clone());
    let star = Heading { text: STAR.to_owned(), made: None };
    let headings = headings.chain([star]).chain(columns.iter().map(|column| Heading::made(column))).collect();
    let (mut rows, mut without) = (Vec::new(), 0);
    for row in &grid.rows {
        for &say in &says {
            let mut made = vec![ecow::EcoString::new(); columns.len()];
            let mut any = false;
            for source in sources.iter().filter(|source| source.says == say) {
                let cell = row.cell(source.at);
                any |= !empty(cell) || kept[source.column];
                made[source.column] = cell.into();
            }
            if !any {
                without += sources.iter().filter(|source| source.says == say).count();
                continue;
            }
            let cells = base.iter().map(|&at| row.cells.get(at).cloned().unwrap_or_default());
            let cells = cells.chain([say.into()]).chain(made).collect();
            rows.push(Record { row: row.row, part: row.part, cells });
        }
    }
    (Grid { headings, rows }, without)
}

/// Where the columns that hold values stand.
pub(crate) fn places(grid: &Grid, mapping: &Mapping, used: impl Fn(&Heading) -> bool) -> Vec<usize> {
    let columns: Vec<&str> = mapping.wide.iter().map(|(_, column)| column.as_str()).collect();
    sources(grid, mapping, &columns, used).iter().map(|source| source.at).collect()
}

/// The columns that hold values, each by the first pattern that it fits.
fn sources(grid: &Grid, mapping: &Mapping, columns: &[&str], used: impl Fn(&Heading) -> bool) -> Vec<Source> {
    let place = |ours: &str| columns.iter().position(|column| *column == ours).unwrap_or_default();
    let spans: Vec<(usize, usize, usize)> = mapping
        .wide
        .iter()
        .filter_map(|(pattern, column)| {
            let (from, to) = pattern.span()?;
            Some((grid.at(from, mapping)?, grid.at(to, mapping)?, place(column)))
        })
        .collect();
    let source = |at: usize| {
        let heading = &grid.headings[at];
        let within = |(from, to, _): &&(usize, usize, usize)| (*from.min(to)..=*from.max(to)).contains(&at);
        let spanned = spans.iter().find(within).filter(|_| !says_total(&heading.text));
        if let Some(&(_, _, column)) = spanned {
            return Some(Source { at, says: heading.text.clone(), column });
        }
        let mut fitting = mapping.wide.iter().filter_map(|(pattern, column)| {
            let says = pattern.found(&heading.text)?;
            // `*` alone takes what nothing else has a use for, and no total of it.
            let free = || !used(heading) && !heading.text.is_empty() && !says_total(&heading.text);
            (!pattern.is_any() || free()).then_some((says, column))
        });
        fitting.next().map(|(says, column)| Source { at, says, column: place(column) })
    };
    (0..grid.headings.len()).filter_map(source).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{
        mapped::Pattern,
        table::grid::tests::{grid, text},
    };

    fn made(table: &str, wide: &[(&str, &str)], keeps: &[&str]) -> (String, usize) {
        let wide =
            wide.iter().map(|(pattern, column)| (Pattern::of(pattern), (*column).to_owned())).collect();
        let mapping = Mapping { wide, ..Mapping::default() };
        let used = |heading: &Heading| ["Plot", "By"].contains(&heading.text.as_str());
        let (table, without) = long(
            grid(table),
            &mapping,
            used,
            |cell| cell.is_empty() || cell == "NA",
            |column| keeps.contains(&column),
        );
        (text(&table), without)
    }

    #[test]
    fn a_column_a_year_becomes_a_row_a_year() {
        let table = "Plot,hgt.2015,note 2015,hgt.2016\nA,12,x,15\nB,NA,,9";
        let expected = "Plot,note 2015,*,height_cm\nA,x,2015,12\nA,x,2016,15\nB,,2016,9";
        assert_eq!(made(table, &[("hgt.*", "height_cm")], &[]), (expected.to_owned(), 1));
        let expected = "Plot,*,height_cm,note\nA,2015,12,x\nA,2016,15,\nB,2016,9,";
        assert_eq!(made(table, &[("hgt.*", "height_cm"), ("note *", "note")], &[]), (expected.to_owned(), 2));
    }

    #[test]
    fn a_column_a_species_becomes_a_row_a_species() {
        let table = "Plot,Blackwood,Silver wattle,By\nA,3,,me\nB,,7,me";
        let expected = "Plot,By,*,alive\nA,me,Blackwood,3\nB,me,Silver wattle,7";
        assert_eq!(made(table, &[("*", "alive")], &[]), (expected.to_owned(), 2));
        assert_eq!(made(table, &[("blackwood .. silver wattle", "alive")], &[]), (expected.to_owned(), 2));
        let with_zeros =
            "Plot,By,*,alive\nA,me,Blackwood,3\nA,me,Silver wattle,\nB,me,Blackwood,\nB,me,Silver wattle,7";
        assert_eq!(made(table, &[("*", "alive")], &["alive"]), (with_zeros.to_owned(), 0));
    }
}
