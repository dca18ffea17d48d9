//! Money received that is out of all scale with what is budgeted and spent.

use rust_decimal::Decimal;

use crate::{
    intake::{checks::money, whole::SETTINGS},
    problem::{Place, Problem, Slips},
    project::Project,
};

/// How many times less may have been received than was spent, or more than was budgeted (common practice, no source: a slipped point
/// makes ten, and nobody carries seven eighths of a grant for the funder).
const FACTOR: i64 = 8;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let Some(received) = project.money.received.map(|money| money.0) else { return };
    let spent: Decimal = project
        .spending
        .iter()
        .filter(|payment| !payment.in_kind)
        .map(|payment| payment.counted(project.money.acquit).0)
        .sum();
    let budget: Decimal = project.budget.iter().map(|line| line.cash.0).sum();
    let (ten, factor) = (Decimal::from(10), Decimal::from(FACTOR));
    let meant = match () {
        () if received > Decimal::ZERO && received * factor < spent => received * ten,
        () if budget > Decimal::ZERO && received > budget.max(spent) * factor => received / ten,
        () => return,
    };
    let left = |received: Decimal| money(project, received - spent);
    let kind = Slips::ReceivedOutOfScale {
        received: money(project, received),
        beside: format!(
            "{} of cash is budgeted and {} spent: {} is left of what was received",
            money(project, budget),
            money(project, spent),
            left(received)
        ),
        explained: format!(
            "; with the point moved, {}, {} would be left",
            money(project, meant),
            left(meant)
        ),
    };
    problems.push(Problem::new(kind, Place::file(SETTINGS).column("received")));
}
