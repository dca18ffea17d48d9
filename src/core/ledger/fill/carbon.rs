//! Carbon: the stock of each area, what it gained, and where it may go.

use chrono::{Datelike as _, NaiveDate};

use crate::{
    estimate::{
        Finding, Gap,
        carbon::{self, PlotMass, Stand, Stocks, most_of_site},
        listed,
    },
    ledger::{
        Ledger, Member, catalogue,
        fill::{FillContext, Scope, rests::By},
    },
    project::{Measure, Period},
    units::{CarbonDioxide, day},
};

/// Years after the period's end to which a stock is carried forward.
const AHEAD: [i32; 5] = [5, 10, 15, 20, 30];

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    let rounds = project.rounds().into_iter();
    let stands = rounds.map(|round| (round, Stand::of(project, &context.grounds, round)));
    let stands: Vec<(Period, Stand<'_>)> = stands.filter(|(_, stand)| stand.weighed).collect();
    let asked = project.targets.iter().any(|target| target.measure == Measure::CarbonStock);
    // A folder that never measured a diameter and owes no carbon is not troubled with it.
    if stands.is_empty() && !asked {
        return;
    }
    let days = stands.last().map(|(round, _)| *round);
    for scope in context.areas() {
        let here = |stand: &Stand<'_>| stand.plots.iter().any(|plot| scope.holds(&plot.plot.area));
        let latest = stands.iter().rev().find(|(_, stand)| here(stand));
        let rests = latest.map(|(round, stand)| {
            let plots = of_scope(stand, scope);
            context.rests(scope, (*round, days), plots.iter().map(|plot| &plot.plot.id), By::Ground)
        });
        let member = rests.as_ref().map_or_else(|| scope.into(), |rests| rests.member(scope));
        let stocks = latest.map_or(Err(Gap::NotMeasured), |(_, stand)| stocks(context, stand, scope));
        let figure =
            |of: fn(&Stocks) -> Finding<CarbonDioxide>| stocks.as_ref().map_err(Clone::clone).and_then(of);
        let (above, below) = match &stocks {
            Ok(stocks) => (Ok(stocks.above.clone()), Ok(stocks.below.clone())),
            Err(gap) => (Err(gap.clone()), Err(gap.clone())),
        };
        ledger.enter_series(&catalogue::CARBON_ABOVE_GROUND, scope, above);
        ledger.enter_series(&catalogue::CARBON_BELOW_GROUND, scope, below);
        let stock = figure(|stocks| Ok(stocks.stock.clone()));
        let stock = rests.as_ref().map_or(stock.clone(), |rests| rests.under(stock));
        ledger.enter_named(catalogue::CARBON_STOCK.named([member]), stock);
        let cautious = figure(|stocks| stocks.cautious.clone());
        ledger.enter_series(&catalogue::CARBON_STOCK_CAUTIOUS, scope, cautious);
        if scope.area.is_none() {
            let shared = stocks.as_ref().map_err(Clone::clone).and_then(|stocks| stocks.shared.clone());
            ledger.enter_series(&catalogue::CARBON_SHARED_ERROR, scope, shared);
        }
        if let (Ok(stocks), Some(date)) = (&stocks, latest.and_then(|(_, stand)| stand.date)) {
            ahead(ledger, context, scope, stocks, date);
        }
    }
    series(ledger, context, &stands);
}

fn of_scope<'a, 'b>(stand: &'b Stand<'a>, scope: Scope<'_>) -> Vec<&'b PlotMass<'a>> {
    stand.plots.iter().filter(|plot| scope.holds(&plot.plot.area)).collect()
}

fn stocks(context: &FillContext<'_>, stand: &Stand<'_>, scope: Scope<'_>) -> Result<Stocks, Gap> {
    let plots = of_scope(stand, scope);
    let mut stocks = carbon::stocks(&plots, &context.grounds, &context.project.carbon, context.confidence)?;
    for note in left_out(context, stand, scope, &plots) {
        stocks.above.notes.push(note.clone());
        stocks.below.notes.push(note.clone());
        stocks.stock.notes.push(note);
    }
    Ok(stocks)
}

/// Plots and areas of which the figure does not speak.
fn left_out(
    context: &FillContext<'_>,
    stand: &Stand<'_>,
    scope: Scope<'_>,
    plots: &[&PlotMass<'_>],
) -> Vec<String> {
    let unmeasured = stand.unmeasured.iter().filter(|plot| scope.holds(&plot.area));
    let areas = context.project.areas.iter().filter(|area| scope.holds(&area.id));
    let unseen = areas.filter(|area| plots.iter().all(|plot| plot.plot.area != area.id));
    [
        (unmeasured.map(|plot| plot.id.to_string()).collect::<Vec<_>>(), "no stem was measured in it"),
        (unseen.map(|area| area.id.to_string()).collect(), "no plot tells of it"),
    ]
    .into_iter()
    .filter(|(names, _)| !names.is_empty())
    .map(|(names, why)| format!("left out, because {why}: {}", listed(&names)))
    .collect()
}

/// The stock of each round of survey and the gain since the round before; nothing where there was but one.
fn series(ledger: &mut Ledger, context: &FillContext<'_>, stands: &[(Period, Stand<'_>)]) {
    if stands.len() < 2 {
        return;
    }
    for scope in context.areas() {
        for (round, stand) in stands {
            let plots = of_scope(stand, scope);
            let mut stock =
                carbon::stock(&plots, &context.grounds, &context.project.carbon, context.confidence);
            if let Ok(stock) = &mut stock {
                stock.notes.extend(left_out(context, stand, scope, &plots));
            }
            ledger.enter_named(catalogue::CARBON_STOCK_AT.named([round.to.into(), scope.into()]), stock);
        }
        let (Some((then, before)), Some((now, after))) = (stands.iter().rev().nth(1), stands.last()) else {
            continue;
        };
        let gained = after.since(before);
        let plots = of_scope(&gained, scope);
        let gain = carbon::gain(&plots, &context.grounds, &context.project.carbon, context.confidence);
        let between =
            Member::from(scope).said(|area| format!("from {} to {}, {area}", day(then.to), day(now.to)));
        ledger.enter_named(catalogue::CARBON_STOCK_CHANGE.named([between]), gain);
    }
}

/// The stock carried forward, where the folder gives the age of fastest growth.
fn ahead(ledger: &mut Ledger, context: &FillContext<'_>, scope: Scope<'_>, stocks: &Stocks, date: NaiveDate) {
    let (project, rules) = (context.project, &context.project.carbon);
    let Some(fastest) = rules.fastest_growth else { return };
    let plantings = project.plantings.iter().filter(|planting| scope.holds(&planting.area));
    let Some(now) = carbon::age(plantings, date) else { return };
    let most = rules.most.or(rules.productivity.map(most_of_site)).filter(|_| stocks.above.value.0 > 0.0);
    // Roots and hectares are those of now: the most is to the stock as the most above the ground is to what stands there.
    let most =
        most.map(|most| CarbonDioxide(stocks.stock.value.0 * most * rules.fraction / stocks.above.value.0));
    for years in AHEAD {
        let year = project.period.to.year() + years;
        let last_of_february = || NaiveDate::from_ymd_opt(year, 2, 28);
        let Some(then) = project.period.to.with_year(year).or_else(last_of_february) else { continue };
        let projection = carbon::projection(&stocks.stock, now, now.later(then - date), fastest, most);
        ledger.enter_named(catalogue::CARBON_PROJECTION.named([year.into(), scope.into()]), projection);
    }
}
