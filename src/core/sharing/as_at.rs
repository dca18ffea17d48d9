//! A project as it stood at the end of its reporting period: what came later is no part of that period's documents, so that those of a
//! closed year stay as they were.

use chrono::{Months, NaiveDate};

use crate::{
    project::{Action, Agreement, Instalment, Project},
    sharing::FinancialYears,
    units::Money,
};

/// Months beyond the period's end for which its programme of work is told: the year to come.
const PROGRAMME: Months = Months::new(12);

/// `project` without what came after its period's end, in its tables and in what its only agreement says of money, changes and things.
#[must_use]
pub fn as_at_the_end(mut project: Project) -> Project {
    let until = project.period.to;
    project.plantings.retain(|row| row.date <= until);
    project.tallies.retain(|row| row.date <= until);
    project.stems.retain(|row| row.date <= until);
    project.cover.retain(|row| row.date <= until);
    project.rain.retain(|row| row.date <= until);
    project.works.retain(|row| row.date <= until);
    project.spending.retain(|row| row.counted_on <= until);
    project.sightings.retain(|row| row.date <= until);
    project.photos.retain(|photo| photo.date <= until);
    project.features.retain(|feature| feature.made.is_none_or(|made| made <= until));
    project.actions.retain(|row| row.date <= until);
    project.actions.iter_mut().for_each(|row| still_open(row, until));
    project.not_charged.retain(|one| one.on <= until);
    project.asset_shares.retain(|one| one.asset.on <= until);
    let period = project.period;
    let ahead = until.checked_add_months(PROGRAMME).unwrap_or(until);
    project.programme.retain(|row| row.from <= ahead);
    for agreement in &mut project.agreements {
        let years = FinancialYears::of(agreement, period);
        agreement.contributions.retain(|one| years.span(one.year).from <= until);
        agreement.carried.retain(|one| years.span(one.year).from <= until);
        registers(agreement, until);
    }
    project
}

/// What was found, told and done of an incident by then.
fn still_open(row: &mut Action, until: NaiveDate) {
    row.notified = row.notified.filter(|day| *day <= until);
    if row.done.is_some_and(|day| day > until) {
        // What the response brought is known only once it is done.
        row.done = None;
        row.effect = None;
    }
}

/// What the agreement says of itself, as it stood then.
fn registers(agreement: &mut Agreement, until: NaiveDate) {
    let by_then = |day: Option<NaiveDate>| day.filter(|day| *day <= until);
    instalments(agreement, until);
    for sums in [&mut agreement.interest, &mut agreement.returned, &mut agreement.committed] {
        sums.retain(|one| one.on <= until);
    }
    // A change that bears no day at all is of the agreement as it was made.
    agreement.variations.retain(|one| one.asked.or(one.approved).is_none_or(|day| day <= until));
    for one in &mut agreement.variations {
        if one.approved.is_some_and(|day| day > until) {
            one.approved = None;
            one.letter = None;
        }
    }
    for one in &mut agreement.milestones {
        one.done = by_then(one.done);
    }
    // Nothing says since when it has been asked for: one that falls due later is of the period in which it does.
    agreement.milestones.retain(|one| one.due <= until || one.done.is_some());
    agreement.assets.retain(|one| one.on <= until);
    for one in &mut agreement.assets {
        if one.disposed.is_some_and(|day| day > until) {
            one.disposed = None;
            one.disposal = None;
        }
    }
    agreement.risks.retain(|one| one.seen.is_none_or(|day| day <= until));
    for one in &mut agreement.matters {
        if one.secured_on.is_some_and(|day| day > until) {
            one.secured_on = None;
            one.secured = None;
        }
    }
    for one in &mut agreement.contributions {
        one.received = one.received_by(until);
    }
}

/// The instalments that had come or were due by then, and those to come as far as the money reaches that was approved then: what was agreed
/// later is of a later period.
fn instalments(agreement: &mut Agreement, until: NaiveDate) {
    let approved: Money = agreement.budget_on(until).iter().map(|line| line.line.cash).sum();
    agreement.instalments.sort_by_key(|one| one.on);
    for one in &mut agreement.instalments {
        if one.day() > until {
            one.received = false;
            one.came = None;
        }
    }
    let by_then = |one: &Instalment| one.on <= until || one.received;
    let mut together: Money =
        agreement.instalments.iter().filter(|one| by_then(one)).map(|one| one.amount).sum();
    agreement.instalments.retain(|one| {
        if by_then(one) {
            return true;
        }
        together = together + one.amount;
        together <= approved
    });
}
