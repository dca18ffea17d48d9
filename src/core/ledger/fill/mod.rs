//! Filling the ledger: each section asks its estimators and enters what they found.

mod accounts;
mod attributes;
mod carbon;
mod condition;
mod crew_days;
mod diversity;
mod erosion;
mod few_stems;
mod money;
mod next_survey;
mod plan;
mod plantings;
mod plots;
mod rain;
mod records;
mod rests;
mod series;
mod sightings;
mod site;
mod sources;
mod survival;
mod terrain;

pub use attributes::attribute_figure;
pub use condition::observed;

use std::{collections::BTreeMap, sync::Arc};

use chrono::{Months, NaiveDate};

use crate::{
    estimate::{
        Finding, Quantity,
        ground::Grounds,
        plantings::Log,
        terrain::{Hills, breaks},
        visit::{self, Round},
    },
    ledger::{
        CellFigures, Judged, Ledger, Member, Series, judge,
        reconcile::{at_the_soil, reconcile},
    },
    plan::{Plan, make},
    project::{AreaId, Measure, Project},
};

/// Everything that can be worked out of `project`, and how its targets stand.
#[must_use]
pub fn fill(project: &Project) -> Ledger {
    fill_with(project, make(project).as_ref())
}

/// The same, with the plan of the project made already.
#[must_use]
pub fn fill_with(project: &Project, plan: Option<&Plan>) -> Ledger {
    let mut ledger = fill_but_plan(project).ledger;
    if let Some(plan) = plan {
        enter_plan(&mut ledger, project, plan);
    }
    ledger
}

/// The figures of `plan`: no other figure and no target waits for them.
pub fn enter_plan(ledger: &mut Ledger, project: &Project, plan: &Plan) {
    plan::enter(ledger, project, plan);
}

/// Everything but the soil and the plan, without the targets: enough to tell what another reading of rows would change.
pub(super) fn fill_but_soil(project: &Project) -> Ledger {
    let hills = project.ground.as_ref().and_then(Hills::of);
    all_but_soil(&FillContext::of(project, hills.as_ref()))
}

/// The same with its targets, of which none asks for the soil.
pub(super) fn judged_but_soil(project: &Project) -> Ledger {
    let hills = project.ground.as_ref().and_then(Hills::of);
    let mut ledger = all_but_soil(&FillContext::of(project, hills.as_ref()));
    let earlier = earlier(project, hills.as_ref());
    ledger.targets = judge_all(&mut ledger, project, &earlier);
    ledger
}

/// How every target stands.
fn judge_all(ledger: &mut Ledger, project: &Project, earlier: &BTreeMap<NaiveDate, Ledger>) -> Vec<Judged> {
    project.targets.iter().map(|target| judge::judge(ledger, project, target, earlier)).collect()
}

/// The figures, and the rasters that they were worked out from, which maps draw.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Filled {
    /// Every figure.
    pub ledger: Ledger,
    /// What stands in every cell of the ground, where there is a terrain model.
    pub cells: Option<CellFigures>,
}

/// Everything but the figures of the plan.
#[must_use]
pub fn fill_but_plan(project: &Project) -> Filled {
    let hills = project.ground.as_ref().and_then(Hills::of);
    let context = FillContext::of(project, hills.as_ref());
    let earlier = earlier(project, hills.as_ref());
    // The soil takes about as long as everything else, and nothing else asks for it.
    let (soil, mut ledger) = rayon::join(
        || {
            let mut soil = Ledger::default();
            let loss = erosion::enter(&mut soil, &context);
            (soil.entries, loss)
        },
        || all_but_soil(&context),
    );
    let (mut entries, loss) = soil;
    ledger.entries.append(&mut entries);
    at_the_soil(&mut ledger, project);
    let breaks = breaks(&project.slope_classes);
    ledger.targets = judge_all(&mut ledger, project, &earlier);
    few_stems::say(&mut ledger, project, hills.as_ref());
    let slope = hills.map(|hills| Arc::new(hills.into_slope()));
    let cells = slope.map(|slope| CellFigures { slope, breaks, loss });
    Filled { ledger, cells }
}

/// What targets are judged by that were due before the period's end: the figures as at each of their days.
fn earlier(project: &Project, hills: Option<&Hills>) -> BTreeMap<NaiveDate, Ledger> {
    let mut days: Vec<NaiveDate> =
        project.targets.iter().filter_map(|target| target.by).filter(|&by| by < project.period.to).collect();
    days.sort_unstable();
    days.dedup();
    days.into_iter().map(|day| (day, as_at(project, hills, day))).collect()
}

/// The project with `day` for its period's end, and the start of its period as many whole years earlier as it takes.
fn up_to(project: &Project, day: NaiveDate) -> Project {
    let mut then = project.clone();
    then.period.to = day;
    while then.period.from > day {
        let Some(year_before) = then.period.from.checked_sub_months(Months::new(12)) else { break };
        then.period.from = year_before;
    }
    then
}

/// The figures that targets ask about, from the records up to `day`.
fn as_at(project: &Project, hills: Option<&Hills>, day: NaiveDate) -> Ledger {
    let then = up_to(project, day);
    let context = FillContext::of(&then, hills);
    let mut ledger = Ledger::default();
    site::enter(&mut ledger, &context);
    plantings::enter(&mut ledger, &context);
    let survival = survival::enter(&mut ledger, &context);
    plots::enter(&mut ledger, &context);
    diversity::enter(&mut ledger, &context);
    carbon::enter(&mut ledger, &context);
    records::enter(&mut ledger, &then);
    money::enter(&mut ledger, &context, &survival);
    accounts::enter(&mut ledger, &context);
    if then.targets.iter().any(|target| target.measure == Measure::ErosionRatio) {
        erosion::enter(&mut ledger, &context);
    }
    ledger
}

fn all_but_soil(context: &FillContext<'_>) -> Ledger {
    let mut ledger = Ledger::default();
    site::enter(&mut ledger, context);
    terrain::enter(&mut ledger, context);
    rain::enter(&mut ledger, context);
    plantings::enter(&mut ledger, context);
    let survival = survival::enter(&mut ledger, context);
    plots::enter(&mut ledger, context);
    diversity::enter(&mut ledger, context);
    series::enter(&mut ledger, context);
    next_survey::enter(&mut ledger, context);
    carbon::enter(&mut ledger, context);
    attributes::enter(&mut ledger, context);
    condition::enter(&mut ledger, context);
    records::enter(&mut ledger, context.project);
    sightings::enter(&mut ledger, context.project);
    money::enter(&mut ledger, context, &survival);
    accounts::enter(&mut ledger, context);
    sources::enter(&mut ledger, context);
    reconcile(&mut ledger, context.project);
    ledger
}

/// The project with what several sections ask of it, worked out once.
struct FillContext<'a> {
    project: &'a Project,
    hills: Option<&'a Hills>,
    grounds: Grounds<'a>,
    log: Log<'a>,
    rounds: Vec<Round<'a>>,
    confidence: f64,
}

impl<'a> FillContext<'a> {
    fn of(project: &'a Project, hills: Option<&'a Hills>) -> FillContext<'a> {
        FillContext {
            project,
            grounds: Grounds::of(project, hills),
            hills,
            log: Log::read(project),
            rounds: visit::rounds(project),
            confidence: project.statistics.confidence,
        }
    }

    /// Each area, then all of them together.
    fn areas(&self) -> impl Iterator<Item = Scope<'a>> + use<'a> {
        let areas = self.project.areas.iter().map(|area| Scope { area: Some(&area.id) });
        areas.chain([Scope { area: None }])
    }
}

/// One area, or all of them.
#[derive(Clone, Copy)]
struct Scope<'a> {
    area: Option<&'a AreaId>,
}

impl Scope<'_> {
    fn holds(self, area: &AreaId) -> bool {
        self.area.is_none_or(|own| own == area)
    }
}

impl From<Scope<'_>> for Member {
    fn from(scope: Scope<'_>) -> Member {
        Member::from(scope.area)
    }
}

impl Ledger {
    /// Enters the figure of a series that is kept by area alone.
    fn enter_series<Q: Quantity>(&mut self, series: &Series, scope: Scope<'_>, finding: Finding<Q>) {
        self.enter_named(series.named([scope.into()]), finding);
    }
}
