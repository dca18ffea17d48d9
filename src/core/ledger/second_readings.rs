//! What the other readings of doubtful rows would change: each is worked out from the project as it would be.

use std::{collections::BTreeMap, sync::Arc};

use geo::BooleanOps as _;
use rust_decimal::{Decimal, prelude::FromPrimitive};

use crate::{
    ledger::{Entry, Judged, Ledger, catalogue, fill, print::value_text},
    problem::{Change, Effect, Measured, Problem, SecondReading},
    project::{CoverMeasure, PlotShape, Project, RainDay, Spending},
    source::{Row, Sources},
    units::{Hours, Metres, Millimetres, Money, SquareMetres, Stems},
};

/// Figures, and targets, that are told of one reading; the rest follow from them.
const TOLD: usize = 2;

/// The part by which a figure must differ to be told.
const WORTH: f64 = 0.001;

/// Readings that are worked out; in a folder with more, each is told by its own arithmetic.
const MOST: usize = 12;

/// Works out what the other readings of `problems` would change in the figures of `project`.
pub(super) fn work_out(project: &Project, problems: &mut [Problem]) {
    // Problems that are alike share their reading, and it is worked out once.
    let mut worked: BTreeMap<*const Sources, Vec<Effect>> = BTreeMap::new();
    let mut now: Option<Ledger> = None;
    for problem in problems.iter_mut() {
        let Some(other) = &mut problem.other else { continue };
        let key = Arc::as_ptr(&other.rows);
        if !worked.contains_key(&key) {
            if worked.len() == MOST {
                continue;
            }
            let now = now.get_or_insert_with(|| fill::judged_but_soil(project));
            let then = fill::judged_but_soil(&read_so(project, other));
            worked.insert(key, effects(now, &then));
        }
        other.effects = worked.get(&key).cloned().unwrap_or_default();
    }
}

/// What figures are looked at first: those that targets and summaries stand on.
fn headline() -> Vec<String> {
    let series = [
        &catalogue::AREA,
        &catalogue::SURVIVAL,
        &catalogue::STEMS,
        &catalogue::DENSITY,
        &catalogue::CARBON_STOCK,
        &catalogue::STEMS_IN_PERIOD,
    ];
    let mut ids: Vec<String> = series.iter().map(|series| series.of(None).to_string()).collect();
    ids.extend([&catalogue::SPENT, &catalogue::SPENT_IN_KIND].map(|series| series.whole().to_string()));
    ids
}

/// The first figures that differ, the weightiest first, then whatever else does by id.
fn effects(now: &Ledger, then: &Ledger) -> Vec<Effect> {
    let text = |entry: Option<&Entry>| match entry {
        Some(Entry::Figure(figure)) => Some(value_text(figure.value, &figure.unit)),
        _ => None,
    };
    let differs = |id: &str| {
        let (one, other) = (now.figure(id), then.figure(id));
        match (one, other) {
            (Some(one), Some(other)) => {
                (one.value - other.value).abs() > WORTH * one.value.abs().max(other.value.abs())
                    && one.text() != other.text()
            }
            (None, None) => false,
            _ => true,
        }
    };
    let label = |id: &str| {
        [now, then]
            .into_iter()
            .find_map(|ledger| ledger.figure(id))
            .map_or_else(String::new, |figure| figure.label.clone())
    };
    let headline = headline();
    let all = now.iter().chain(then.iter()).map(|(id, _)| id.to_string());
    let of_all = all.filter(|id| id.ends_with(".all") || !id.starts_with("survey."));
    let ids: Vec<String> = headline.into_iter().chain(of_all).collect();
    // A figure that one of the readings does not give is told where nothing else differs: it is most often another name for one that
    // both do.
    let of_both = |id: &String| now.figure(id).is_some() && then.figure(id).is_some();
    let of_one = |id: &String| !of_both(id);
    let mut told: Vec<Effect> = Vec::new();
    let mut seen: Vec<&String> = Vec::new();
    for id in ids.iter().filter(|id| of_both(id)).chain(ids.iter().filter(|id| of_one(id))) {
        if told.len() == TOLD || !told.is_empty() && of_one(id) {
            break;
        }
        if !seen.contains(&id) && differs(id) {
            let (was, is) = (text(now.get(id)), text(then.get(id)));
            told.push(Effect { target: None, label: label(id), now: was, then: is });
            seen.push(id);
        }
    }
    told.extend(turned(now, then));
    told
}

/// The first targets that would stand otherwise.
fn turned(now: &Ledger, then: &Ledger) -> Vec<Effect> {
    let pairs = now.targets.iter().zip(&then.targets);
    let turned = pairs.filter(|(now, then)| now.standing != then.standing);
    let effect = |(now, then): (&Judged, &Judged)| Effect {
        target: Some(now.target.id.clone()),
        label: now.target.words.clone().unwrap_or_else(|| now.target.id.clone()),
        now: Some(now.standing.words().to_owned()),
        then: Some(then.standing.words().to_owned()),
    };
    turned.map(effect).take(TOLD).collect()
}

/// The project as it would be if the rows were read in the other way.
fn read_so(project: &Project, reading: &SecondReading) -> Project {
    let meant = |row: &Row| reading.rows.holds(row);
    let mut project = match reading.change {
        Change::DayForMonth => return project.with_days_for_months(meant),
        _ => project.clone(),
    };
    match reading.change {
        Change::LeftOut => leave_out(&mut project, meant),
        Change::TaxAtRate(_) | Change::TaxOnTop | Change::InKind => {
            for payment in project.spending.iter_mut().filter(|payment| meant(&payment.source)) {
                pay_so(payment, reading.change);
            }
        }
        Change::RunningTotals => take_apart(&mut project, meant),
        Change::Times { of, factor } => multiply(&mut project, of, factor, meant),
        Change::CutBack => cut_back(&mut project, meant),
        Change::AliveForLost => {
            for tally in project.tallies.iter_mut().filter(|tally| meant(&tally.source)) {
                let lost = Stems(tally.set() - tally.alive.0);
                (tally.dead, tally.missing) = (Some(tally.alive), None);
                tally.alive = lost;
            }
        }
        Change::DayForMonth => {}
    }
    project
}

fn leave_out(project: &mut Project, meant: impl Fn(&Row) -> bool) {
    project.plantings.retain(|row| !meant(&row.source));
    project.tallies.retain(|row| !meant(&row.source));
    project.stems.retain(|row| !meant(&row.source));
    project.cover.retain(|row| !meant(&row.source));
    project.works.retain(|row| !meant(&row.source));
    project.spending.retain(|row| !meant(&row.source));
    project.rain.retain(|row| !meant(&row.source));
    project.sightings.retain(|row| !meant(&row.source));
    project.features.retain(|row| !meant(&row.source));
}

/// Cuts from each of the areas what an area before it has too.
fn cut_back(project: &mut Project, meant: impl Fn(&Row) -> bool) {
    for at in 0..project.areas.len() {
        let (before, from) = project.areas.split_at_mut(at);
        if let Some(area) = from.first_mut().filter(|area| meant(&area.source)) {
            for earlier in before.iter() {
                area.boundary = area.boundary.difference(&earlier.boundary);
            }
        }
    }
}

/// Takes running totals of rain apart into the rain of each day; a count that falls has begun anew.
fn take_apart(project: &mut Project, meant: impl Fn(&Row) -> bool) {
    let mut days: Vec<&mut RainDay> = project.rain.iter_mut().filter(|day| meant(&day.source)).collect();
    days.sort_by_key(|day| day.date);
    let mut before = 0.0;
    for day in days {
        if let Some(mm) = &mut day.mm {
            let total = mm.0;
            mm.0 = if total >= before { total - before } else { total };
            before = total;
        }
    }
}

/// Takes a payment in another way.
fn pay_so(payment: &mut Spending, change: Change) {
    match change {
        Change::TaxAtRate(rate) => {
            let part = Decimal::from_f64(rate / (100.0 + rate)).unwrap_or_default();
            payment.tax = Some(Money((payment.amount.0 * part).round_dp(2)));
        }
        Change::TaxOnTop => payment.amount = payment.amount + payment.tax.unwrap_or_default(),
        _ => payment.in_kind = true,
    }
}

fn multiply(project: &mut Project, of: Measured, factor: f64, meant: impl Fn(&Row) -> bool) {
    match of {
        Measured::Diameter => {
            for stem in project.stems.iter_mut().filter(|stem| meant(&stem.source)) {
                stem.diameter_mm = stem.diameter_mm.map(|diameter| diameter * factor);
            }
        }
        Measured::Height => {
            for stem in project.stems.iter_mut().filter(|stem| meant(&stem.source)) {
                stem.height = stem.height.map(|height| Metres(height.0 * factor));
            }
        }
        Measured::Cover => {
            for reading in project.cover.iter_mut().filter(|reading| meant(&reading.source)) {
                if let CoverMeasure::Percent(percent) = &mut reading.measure {
                    *percent *= factor;
                }
            }
        }
        Measured::Benchmark => {
            for benchmark in project.benchmarks.iter_mut().filter(|benchmark| meant(&benchmark.source)) {
                benchmark.value *= factor;
            }
        }
        Measured::Hours => {
            for work in project.works.iter_mut().filter(|work| meant(&work.source)) {
                work.hours = work.hours.map(|hours| Hours(hours.0 * factor));
            }
        }
        Measured::Amount => {
            let factor = Decimal::from_f64(factor).unwrap_or(Decimal::ONE);
            for payment in project.spending.iter_mut().filter(|payment| meant(&payment.source)) {
                payment.amount = Money(payment.amount.0 * factor);
                payment.tax = payment.tax.map(|tax| Money(tax.0 * factor));
            }
        }
        Measured::Rain => {
            for day in project.rain.iter_mut().filter(|day| meant(&day.source)) {
                day.mm = day.mm.map(|mm| Millimetres(mm.0 * factor));
            }
        }
        Measured::PlotSide => {
            for plot in project.plots.iter_mut().filter(|plot| meant(&plot.source)) {
                plot.shape = match plot.shape {
                    PlotShape::Area(area) => PlotShape::Area(SquareMetres(area.0 * factor * factor)),
                    PlotShape::Circle(radius) => PlotShape::Circle(Metres(radius.0 * factor)),
                    PlotShape::Rectangle(length, width) => {
                        PlotShape::Rectangle(Metres(length.0 * factor), Metres(width.0 * factor))
                    }
                };
            }
        }
    }
}
