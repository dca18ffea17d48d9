//! Rules of sharing that were decided after the days of what they share: one that is altered alters years that are closed.

use chrono::NaiveDate;

use crate::{
    intake::checks::funding::{rows_of, sum},
    problem::{Funding, Place, Problem},
    project::{Project, Sharing},
    sharing::{RowShares, Settled, Shares},
    source::Row,
    units::{Hours, Money, day, number},
};

/// What a rule shares of days before it was decided.
#[derive(Default)]
struct Earlier<'a> {
    rows: Vec<&'a Row>,
    money: Money,
    hours: f64,
    /// The same of the days before the reporting period.
    closed: (Money, f64),
}

impl Earlier<'_> {
    /// A sum of money and one of hours in words; of nothing no word.
    fn words(project: &Project, (money, hours): (Money, f64)) -> String {
        let money = (money != Money::ZERO).then(|| sum(project, money));
        let hours = (hours > 0.0).then(|| format!("{} hours", number(hours, 1)));
        money.into_iter().chain(hours).collect::<Vec<_>>().join(" and ")
    }
}

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for (at, rule) in project.sharing.iter().enumerate() {
        let earlier = earlier(project, shares, at, rule);
        if earlier.rows.is_empty() {
            continue;
        }
        let of: Vec<&str> = rule.lines.iter().chain(&rule.tasks).map(String::as_str).collect();
        let closed = match Earlier::words(project, earlier.closed) {
            none if none.is_empty() => String::new(),
            closed => format!(
                ", of which {closed} are of days before {}: if it was altered since, what was reported of them is no longer what is shared out",
                day(project.period.from)
            ),
        };
        let kind = Funding::RuleDecidedLater {
            of: if of.is_empty() { "every row that names no agreement".to_owned() } else { of.join(", ") },
            decided: day(rule.decided),
            rows: rows_of(earlier.rows.iter().copied()),
            sum: Earlier::words(project, (earlier.money, earlier.hours)),
            closed,
        };
        problems.push(Problem::new(kind, Place::row(&rule.source).column("decided")));
    }
}

/// The rows that the rule at this place of the list shares and that are older than it.
fn earlier<'a>(project: &'a Project, shares: &Shares, at: usize, rule: &Sharing) -> Earlier<'a> {
    let by_it = |of: &RowShares| matches!(of.settled, Settled::Rule { at: by, .. } if by == at);
    let before = |on: NaiveDate| on < rule.decided && on <= project.period.to;
    let closed = |on: NaiveDate| on < project.period.from;
    let mut found = Earlier::default();
    for (row, (of, _)) in project.spending.iter().zip(&shares.spending) {
        if by_it(of) && before(row.date) {
            found.rows.push(&row.source);
            found.money = found.money + row.amount;
            if closed(row.date) {
                found.closed.0 = found.closed.0 + row.amount;
            }
        }
    }
    for (row, of) in project.works.iter().zip(&shares.works) {
        if by_it(of) && before(row.date) {
            let Hours(hours) = row.person_hours();
            found.rows.push(&row.source);
            found.hours += hours;
            if closed(row.date) {
                found.closed.1 += hours;
            }
        }
    }
    found
}
