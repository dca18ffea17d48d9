//! Rows that are parts of one: rain by the hour, hits a row each, a delivery in several lines.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::intake::{
    cell::number::{self, Mark},
    table::Record,
};

/// Adds up the cells at the places `summed` of rows whose cells at the places `alike` are the same, as `told` tells them; the first row of
/// each stands for all. Rows with a cell that is no number stay as they are. Empty cells add nothing.
pub(crate) fn of(
    rows: Vec<Record>,
    alike: &[usize],
    summed: &[usize],
    mark: impl Fn(&Record) -> Mark,
    told: impl Fn(&Record, usize) -> String,
) -> Vec<Record> {
    let mut found: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    let mut sums: Vec<Record> = Vec::with_capacity(rows.len());
    for row in rows {
        let parts: Option<Vec<Option<Decimal>>> = summed
            .iter()
            .map(|&at| match row.cell(at) {
                "" => Some(None),
                cell => number::plain(cell, mark(&row))
                    .and_then(|text| Decimal::from_str_exact(&text).ok())
                    .map(Some),
            })
            .collect();
        let Some(parts) = parts else {
            sums.push(row);
            continue;
        };
        let key = alike.iter().map(|&at| told(&row, at)).collect();
        let at = *found.entry(key).or_insert_with(|| {
            sums.push(Record { cells: row.cells.clone(), ..row });
            for &at in summed {
                sums.last_mut().iter_mut().for_each(|sum| {
                    sum.widen(at + 1);
                    sum.cells[at].clear();
                });
            }
            sums.len() - 1
        });
        let decimal = |sum: Decimal, row: &Record| match mark(row) {
            Mark::Comma => sum.to_string().replace('.', ","),
            _ => sum.to_string(),
        };
        for (&place, part) in summed.iter().zip(parts) {
            let Some(part) = part else { continue };
            let so_far = number::plain(sums[at].cell(place), mark(&sums[at]));
            let so_far = so_far.and_then(|text| Decimal::from_str_exact(&text).ok()).unwrap_or_default();
            sums[at].cells[place] = decimal(so_far + part, &sums[at]).into();
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::table::grid::tests::{grid, text};

    #[test]
    fn parts_of_one_are_added_up() {
        let mut table = grid(
            "day,at,mm\n1,06:00,0.1\n1,07:00,0.2\n2,06:00,\n2,07:00,\n3,06:00,trace\n1,08:00,\n4,06:00,1.50",
        );
        table.rows = of(table.rows, &[0], &[2], |_| Mark::Point, |row, at| row.cell(at).to_owned());
        assert_eq!(text(&table), "day,at,mm\n1,06:00,0.3\n2,06:00,\n3,06:00,trace\n4,06:00,1.50");
    }
}
