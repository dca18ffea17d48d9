//! What a whole project gives away that no single row does: a file a check, each a function from the project to problems.

mod alive;
mod budget;
mod changed_over;
mod close;
mod cohorts;
mod copied;
mod cover;
mod coverage;
mod covers_changed;
mod day_for_month;
mod drawn_twice;
mod erosion_factors;
mod field_book;
mod frost;
pub(crate) mod funding;
mod given;
mod infill;
mod lines;
mod mix;
mod names;
mod new_rows;
mod one_count;
mod one_plot;
mod outlines;
mod period;
mod places;
mod plot_alone;
mod plots;
mod promised_words;
mod rain;
mod rain_record;
mod receipt_letters;
mod receipts;
mod received;
mod revisits;
mod rises;
mod rounds;
mod shrunk;
mod sizes;
mod standing;
mod strata;
mod sums;
mod survey;
mod tags;
mod tax;
mod twins;
mod units;
mod words;
mod work;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::{
    problem::{Kind, Place, Problem, SecondReading},
    project::{AreaId, PlotId, Project},
    source::Row,
    units::{Money, number},
};

/// Every check. `files` are those in the folder. What would not be said if swapped days were put right has its cause in them, and is not
/// said beside them.
pub(crate) fn run(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    day_for_month::check(project, problems);
    let swapped = Problem::swapped_rows(problems);
    let mut found = problems.clone();
    each(project, files, &mut found);
    let mut found = found.split_off(problems.len());
    if !swapped.is_empty() {
        let mut then = Vec::new();
        each(&project.with_days_for_months(|row| swapped.contains(row)), files, &mut then);
        found.retain(|problem| then.iter().any(|other| other.is_like(problem)));
    }
    problems.extend(found);
}

/// Every check but that of days, in the order of the files they speak of.
fn each(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    outlines::check(project, problems);
    places::check(project, problems);
    drawn_twice::check(project, problems);
    field_book::check(project, problems);
    period::check(project, problems);
    plots::check(project, problems);
    plot_alone::check(project, problems);
    standing::check(project, problems);
    twins::check(project, problems);
    cohorts::check(project, problems);
    strata::check(project, problems);
    survey::check(project, problems);
    rounds::check(project, problems);
    lines::check(project, problems);
    alive::check(project, problems);
    close::check(project, problems);
    copied::check(project, problems);
    rises::check(project, problems);
    revisits::check(project, problems);
    tags::check(project, problems);
    shrunk::check(project, problems);
    cover::check(project, problems);
    coverage::check(project, problems);
    covers_changed::check(project, problems);
    units::check(project, problems);
    one_count::check(project, problems);
    changed_over::check(project, problems);
    one_plot::check(project, problems);
    sizes::check(project, problems);
    rain::check(project, problems);
    rain_record::check(project, problems);
    erosion_factors::check(project, problems);
    words::check(project, problems);
    work::check(project, problems);
    frost::check(project, problems);
    mix::check(project, problems);
    infill::check(project, problems);
    new_rows::check(project, problems);
    promised_words::check(project, problems);
    budget::check(project, problems);
    tax::check(project, problems);
    sums::check(project, problems);
    given::check(project, problems);
    received::check(project, problems);
    receipts::check(project, files, problems);
    receipt_letters::check(project, problems);
    names::check(project, problems);
}

/// The day of the first planting in each area.
fn first_plantings(project: &Project) -> BTreeMap<&AreaId, NaiveDate> {
    let mut first = BTreeMap::new();
    for planting in &project.plantings {
        let day = first.entry(&planting.area).or_insert(planting.date);
        *day = planting.date.min(*day);
    }
    first
}

/// The area of each plot.
fn areas_of_plots(project: &Project) -> BTreeMap<&PlotId, &AreaId> {
    project.plots.iter().map(|plot| (&plot.id, &plot.area)).collect()
}

/// Says `kind` of every one of `rows`, so that it is told once with all of them.
fn say_of<'a>(
    kind: impl Into<Kind>,
    rows: impl IntoIterator<Item = &'a Row>,
    column: &str,
    other: Option<&SecondReading>,
    problems: &mut Vec<Problem>,
) {
    let kind = kind.into();
    for row in rows {
        let place = Place::row(row);
        let place = if column.is_empty() { place } else { place.column(column) };
        problems.push(Problem {
            kind: kind.clone(),
            place,
            other: other.cloned().map(Box::new),
            ahead: false,
        });
    }
}

/// Money with its currency.
fn money(project: &Project, sum: Decimal) -> String {
    format!("{} {}", project.identity.currency, number(Money(sum).number(), 2))
}

/// The middle one of `values`; `None` of nothing.
fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len().saturating_sub(1) / 2).copied()
}
