//! Hours and quantities of work in the period, and what volunteers' hours are worth.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::{Decimal, prelude::FromPrimitive};

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{Basis, Project, Work},
    source::Sources,
    units::{Hours, Money, number},
};

/// Work within the period.
pub fn in_period(project: &Project) -> impl Iterator<Item = &Work> {
    project.works.iter().filter(|work| project.period.holds(work.date))
}

/// Person hours given on `basis` within the period.
///
/// # Errors
/// There is no works table.
pub fn hours(project: &Project, basis: Basis) -> Finding<Hours> {
    if project.works.is_empty() {
        return Err(Gap::TableMissing("works"));
    }
    let rows: Vec<&Work> = in_period(project).filter(|work| work.basis == basis).collect();
    let sum = rows.iter().map(|work| work.person_hours().0).sum();
    let sources = rows.iter().filter(|work| work.hours.is_some()).map(|work| &work.source).collect();
    let estimate = Estimate::counted(Hours(sum), Method::SUM, sources);
    Ok(match rows.iter().filter(|work| work.hours.is_none()).count() {
        0 => estimate,
        1 => estimate.note("one row bears no hours"),
        silent => estimate.note(format!("{silent} rows bear no hours")),
    })
}

/// Quantity of one task over `rows`, with its unit as recorded.
///
/// # Errors
/// The rows bear different units, which can't be added up.
pub fn quantity(rows: &[&Work]) -> Result<(Estimate<f64>, String), Gap> {
    let measured = || rows.iter().filter(|work| work.quantity.is_some());
    let units: BTreeSet<&str> = measured().map(|work| work.unit.as_deref().unwrap_or("").trim()).collect();
    if units.len() > 1 {
        let named = units.iter().map(|unit| if unit.is_empty() { "none" } else { unit });
        return Err(Gap::UnitsDiffer(named.collect::<Vec<_>>().join(", ")));
    }
    let sum = measured().filter_map(|work| work.quantity).sum();
    let sources = measured().map(|work| &work.source).collect();
    let unit = units.first().copied().unwrap_or("").to_owned();
    Ok((Estimate::counted(sum, Method::SUM, sources), unit))
}

/// Work of the period with a quantity, by task, `name` making one name of the ways in which a task is written.
#[must_use]
pub fn by_task(project: &Project, name: fn(&str) -> String) -> BTreeMap<String, Vec<&Work>> {
    let mut tasks: BTreeMap<String, Vec<&Work>> = BTreeMap::new();
    for work in in_period(project).filter(|work| work.quantity.is_some()) {
        tasks.entry(name(&work.task)).or_default().push(work);
    }
    tasks
}

/// What the volunteers' hours of the period are worth at the project's hourly rate.
///
/// # Errors
/// There is no works table, or no rate is set.
pub fn volunteer_value(project: &Project) -> Finding<Money> {
    let rate = project.money.volunteer_rate.as_ref().ok_or(Gap::NotSet("money.volunteer_rate"))?;
    let hours = hours(project, Basis::Volunteer)?;
    let rows = || in_period(project).filter(|work| work.basis == Basis::Volunteer);
    let worked: Decimal = rows().map(person_hours).sum();
    let sources: Sources = hours.sources;
    let words = rate.source.as_deref().map_or_else(String::new, |source| format!(", set by {source}"));
    let each = number(rate.per_hour.number(), 2);
    let estimate = Estimate::counted(Money(worked * rate.per_hour.0), Method::VOLUNTEER_VALUE, sources);
    Ok(estimate.note(format!("{each} for an hour{words}")))
}

/// Person hours as a decimal: 0.1 h is a tenth here, not the binary number next to it.
fn person_hours(work: &Work) -> Decimal {
    let each = Decimal::from_f64(work.hours.unwrap_or_default().0).unwrap_or_default();
    each * Decimal::from(work.people)
}
