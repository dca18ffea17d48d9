//! Cells in words of the user's own, read as what these stand for.

use crate::intake::{
    mapping::{Blank, Mapping},
    nearest::folded,
    table::{Record, empty},
};

/// Reads the cells of the columns at the places that `at` gives as the mapping says: words for nothing are emptied, values stand for
/// others, and empty cells for what they are said to.
pub(crate) fn read(rows: &mut [Record], width: usize, mapping: &Mapping, at: impl Fn(&str) -> Option<usize>) {
    let values: Vec<_> =
        mapping.values.iter().filter_map(|(column, values)| Some((at(column)?, values))).collect();
    let blank: Vec<(usize, &String)> = mapping
        .blank
        .iter()
        .filter_map(|(column, blank)| match blank {
            Blank::Text(text) => Some((at(column)?, text)),
            Blank::NotRecorded => None,
        })
        .collect();
    if values.is_empty() && blank.is_empty() && mapping.empty.is_empty() {
        return;
    }
    for row in rows {
        row.widen(width);
        if !mapping.empty.is_empty() {
            for cell in row.cells.iter_mut().filter(|cell| empty::said(cell, mapping)) {
                cell.clear();
            }
        }
        for (at, values) in &values {
            if let Some(value) = values.get(&folded(row.cell(*at))) {
                row.cells[*at] = value.into();
            }
        }
        for (at, text) in &blank {
            if row.cell(*at).is_empty() {
                row.cells[*at] = text.as_str().into();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    #[test]
    fn words_of_ones_own_stand_for_others() {
        let values = [("status", [("y", "alive"), ("d?", "dead")])];
        let own = |(word, value): (&str, &str)| (word.to_owned(), value.to_owned());
        let mapping = Mapping {
            values: values.map(|(column, values)| (column.to_owned(), values.map(own).into())).into(),
            empty: vec!["n/a".to_owned()],
            blank: [("dead".to_owned(), Blank::Text("0".to_owned()))].into(),
            ..Mapping::default()
        };
        let mut table = grid("tag,status,dead\ny,Y,3\nN/A,D?,n/a\n2,gone");
        read(&mut table.rows, 3, &mapping, |column| {
            ["tag", "status", "dead"].iter().position(|it| *it == column)
        });
        assert_eq!(text(&table), "tag,status,dead\ny,alive,3\n,dead,0\n2,gone,0");
    }
}
