//! Words that people write where nothing was recorded.

use crate::intake::{
    mapping::Mapping,
    nearest::folded,
    table::{Layout, Record},
};

/// Words that can mean nothing else in a cell for a number or a day.
const WORDS: [&str; 12] = ["na", "n/a", "n.a.", "n.a", "#n/a", "nan", "null", "-", "--", "–", "—", "."];

/// Needed columns that hold numbers and days; in others such a word could be a name.
const NUMBERS: [&str; 12] = [
    "date",
    "stems",
    "alive",
    "mm",
    "amount",
    "from",
    "share",
    "bearing_deg",
    "longitude",
    "latitude",
    "benchmark",
    "slope_deg",
];

/// Columns in which an empty cell has a meaning of its own, so that a word for nothing is asked about.
const MEANT: [&str; 5] = ["status", "basis", "in_kind", "sensitive", "native"];

/// Whether a cell holds such a word, or one that the mapping says.
pub(crate) fn is_word(cell: &str, mapping: &Mapping) -> bool {
    usual(cell) || said(cell, mapping)
}

/// Whether a cell holds a word that is usual for nothing.
fn usual(cell: &str) -> bool {
    cell.len() <= 12 && WORDS.contains(&folded(cell).as_str())
}

/// Whether the mapping says that the cell is empty.
pub(crate) fn said(cell: &str, mapping: &Mapping) -> bool {
    !mapping.empty.is_empty() && mapping.empty.iter().any(|word| folded(word) == folded(cell))
}

/// Whether a usual word for nothing is read as nothing in this column.
fn is_read(column: &str, layout: &Layout) -> bool {
    !MEANT.contains(&column) && (!layout.required.contains(&column) || NUMBERS.contains(&column))
}

/// Empties the cells with a usual word for nothing, of the columns at these places. Gives the first row of each word in each column,
/// its place, the word and how many cells have it.
pub(crate) fn emptied(
    rows: &mut [Record],
    columns: &[(usize, &'static str)],
    layout: &Layout,
) -> Vec<(Record, usize, String, usize)> {
    let mut found: Vec<(Record, usize, String, usize)> = Vec::new();
    for &(at, _) in columns.iter().filter(|(_, column)| is_read(column, layout)) {
        let first = found.len();
        for row in rows.iter_mut().filter(|row| !row.cell(at).is_empty() && usual(row.cell(at))) {
            match found[first..].iter_mut().find(|(_, _, word, _)| *word == row.cell(at)) {
                Some((_, _, _, cells)) => *cells += 1,
                None => found.push((row.clone(), at, row.cell(at).to_owned(), 1)),
            }
            row.cells[at].clear();
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    #[test]
    fn words_for_nothing_are_read_where_they_can_mean_nothing_else() {
        let layout =
            Layout { table: "stems", required: vec!["date", "plot"], optional: vec!["status", "tag"] };
        let mut table = grid("date,plot,status,tag\nNA,-,NA,n/a\n1,NA,-,-\n2,A,alive,N/A");
        let columns = [(0, "date"), (1, "plot"), (2, "status"), (3, "tag")];
        let found = emptied(&mut table.rows, &columns, &layout);
        assert_eq!(text(&table), "date,plot,status,tag\n,-,NA,\n1,NA,-,\n2,A,alive,");
        let found: Vec<_> =
            found.iter().map(|(row, at, word, cells)| (row.row, *at, word.as_str(), *cells)).collect();
        assert_eq!(found, [(2, 0, "NA", 1), (2, 3, "n/a", 1), (3, 3, "-", 1), (4, 3, "N/A", 1)]);
    }
}
