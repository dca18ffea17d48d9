//! Cells that repeat the cell above: left blank down the column, or a ditto mark.

use ecow::EcoString;

use crate::intake::{
    nearest::folded,
    table::{Record, grid::Grid},
};

/// What is written for "the same as above".
const DITTO: [&str; 9] = ["\"", "''", "″", "”", "〃", "ditto", "do", "do.", "-\"-"];

/// Whether a cell says that it is the same as the one above.
fn is_ditto(cell: &str) -> bool {
    DITTO.contains(&folded(cell).as_str())
}

/// Fills the empty cells of the columns at `places` with what stands above them.
pub(crate) fn down(grid: &mut Grid, places: &[usize]) {
    let mut above: Vec<EcoString> = vec![EcoString::new(); places.len()];
    for row in &mut grid.rows {
        for (&at, above) in places.iter().zip(&mut above) {
            take(row, at, above, row.cell(at).is_empty());
        }
    }
}

/// Writes out ditto marks, and gives the first row of each column that has some, its place and how many it has.
pub(crate) fn dittos(grid: &mut Grid) -> Vec<(Record, usize, usize)> {
    let mut found: Vec<(Record, usize, usize)> = Vec::new();
    for at in 0..grid.headings.len() {
        let mut above = EcoString::new();
        let mut count = None;
        for row in &mut grid.rows {
            let ditto = is_ditto(row.cell(at)) && !above.is_empty();
            if ditto {
                count.get_or_insert_with(|| (row.clone(), 0)).1 += 1;
            }
            take(row, at, &mut above, ditto);
        }
        found.extend(count.map(|(row, count)| (row, at, count)));
    }
    found
}

/// Repeats what stood `above` in a cell, or remembers the cell for those below.
fn take(row: &mut Record, at: usize, above: &mut EcoString, repeats: bool) {
    if repeats {
        row.widen(at + 1);
        row.cells[at] = above.clone();
    } else if let Some(cell) = row.cells.get(at) {
        *above = cell.clone();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    #[test]
    fn blanks_repeat_the_cell_above_where_that_is_said() {
        let mut table = grid("Block,Sp,No\nTop,A,3\n,B,\n,C,4\nLow,A,1");
        down(&mut table, &[0]);
        assert_eq!(text(&table), "Block,Sp,No\nTop,A,3\nTop,B,\nTop,C,4\nLow,A,1");
    }

    #[test]
    fn ditto_marks_are_written_out_and_counted() {
        let mut table = grid("Block,Sp,No\n\",A,3\nTop,B,4\n\",ditto,4\nLow,\",1");
        let found = dittos(&mut table);
        // The first has nothing above it and stays.
        assert_eq!(text(&table), "Block,Sp,No\n\",A,3\nTop,B,4\nTop,B,4\nLow,B,1");
        assert_eq!(
            found.iter().map(|(row, at, count)| (row.row, *at, *count)).collect::<Vec<_>>(),
            [(4, 0, 1), (4, 1, 2)]
        );
    }
}
