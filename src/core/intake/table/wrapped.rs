//! Rows that go on in the next: a bank's payment whose words take several lines.

use crate::intake::table::grid::Grid;

/// Joins each row whose cell at `at` is empty to the row above: its words follow those that stand there.
pub(crate) fn joined(grid: &mut Grid, at: usize) {
    let rows = std::mem::take(&mut grid.rows);
    for row in rows {
        match grid.rows.last_mut().filter(|_| row.cell(at).is_empty()) {
            None => grid.rows.push(row),
            Some(above) => {
                for (at, cell) in row.cells.iter().enumerate().filter(|(_, cell)| !cell.trim().is_empty()) {
                    above.widen(at + 1);
                    let before = above.cell(at).to_owned();
                    above.cells[at] = if before.is_empty() {
                        cell.clone()
                    } else {
                        ecow::eco_format!("{before} {}", cell.trim())
                    };
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    #[test]
    fn words_go_on_in_the_row_below() {
        let mut table = grid("Date,What,Out\n1 May,CARD,5\n,CORNER SHOP,\n,NO 7,\n2 May,FEE,1");
        joined(&mut table, 0);
        assert_eq!(text(&table), "Date,What,Out\n1 May,CARD CORNER SHOP NO 7,5\n2 May,FEE,1");
    }
}
