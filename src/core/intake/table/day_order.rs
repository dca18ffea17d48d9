//! Settles how the days of a table are written where the mapping does not say: each file and sheet tells for itself.

use crate::{
    intake::{
        cell::{
            date::{self, Day},
            date_order::{self, Shown},
        },
        mapping::DateOrder,
        table::{Record, Table},
    },
    problem::{Problem, Reading},
    units::{day, span},
};

/// Finds the order in which the days of each part stand, and says of which days it decides.
pub(super) fn settle(table: &mut Table, problems: &mut Vec<Problem>) {
    let Some((at, _)) = table.position("date").filter(|_| table.mapping.dates == DateOrder::Unstated) else {
        return;
    };
    for number in 0..table.parts.len() {
        let of_part = |row: &&Record| usize::from(row.part) == number && !row.cell(at).is_empty();
        let shown = date_order::shown(table.rows.iter().filter(of_part).map(|row| row.cell(at)));
        if shown == Shown::Nothing {
            continue;
        }
        table.parts[number].dates = shown.order();
        let either = |row: &&Record| {
            matches!(date::day(row.cell(at), DateOrder::Unstated), Ok(Day::Either(..))) && of_part(row)
        };
        let mut undecided = table.rows.iter().filter(either);
        let Some(first) = undecided.next() else { continue };
        let cells = 1 + undecided.count();
        let found = first.cell(at).to_owned();
        let Ok(Day::Either(day_first, month_first)) = date::day(&found, DateOrder::Unstated) else {
            continue;
        };
        let (read_as, other) = match shown.order() {
            DateOrder::MonthFirst => (day(month_first), day(day_first)),
            _ => (day(day_first), day(month_first)),
        };
        let kind = match shown {
            Shown::ByForm(order, example, shows) => {
                let order = if order == DateOrder::DayFirst { "day" } else { "month" };
                Reading::DateOrderShown { found, read_as, cells, order, example, shows }
            }
            Shown::ByNearness(order, from, to) => {
                let month_first = order == DateOrder::MonthFirst;
                let (table, others) = (table.layout.table, span(from, to));
                Reading::DateOrderLikely { table, found, read_as, other, cells, others, month_first }
            }
            Shown::Nothing => continue,
        };
        problems.push(Problem::new(kind, table.place(first, at)));
    }
}
