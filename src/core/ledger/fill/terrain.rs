//! Slopes, slope classes and the ground's area: from the terrain model, else slopes from readings.

use geo::MultiPolygon;

use crate::{
    estimate::{
        Finding, Gap, site, slope,
        terrain::{AreaGround, breaks},
    },
    ledger::{
        Ledger, Member, Series, catalogue,
        fill::{FillContext, Scope},
    },
    project::Area,
    units::{Degrees, Hectares, number},
};

/// Slopes that practice goes by: above the first permanent cover of trees, above the second no earthworks (common practice,
/// no source).
const PRACTICE: [(Degrees, &Series); 2] =
    [(Degrees(12.0), &catalogue::STEEPER_THAN_12), (Degrees(15.0), &catalogue::STEEPER_THAN_15)];

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let breaks = breaks(&context.project.slope_classes);
    for scope in context.areas() {
        let ground = modelled(context, scope, &breaks);
        let mean = ground.as_ref().and_then(|ground| ground.mean().ok());
        let mean = mean.map_or_else(|| read_mean(context, scope), Ok);
        ledger.enter_series(&catalogue::SLOPE_MEAN, scope, mean);
        let steepest = ground.as_ref().and_then(|ground| ground.max().ok());
        let steepest = steepest.map_or_else(|| read_steepest(context, scope), Ok);
        ledger.enter_series(&catalogue::SLOPE_MAX, scope, steepest);
        if let Some(ground) = ground {
            of_terrain(ledger, scope, &ground, &breaks);
        }
    }
}

fn of_terrain(ledger: &mut Ledger, scope: Scope<'_>, ground: &AreaGround<'_>, breaks: &[Degrees]) {
    let p90 = ground.p90();
    ledger.enter_series(&catalogue::SLOPE_P90, scope, p90);
    for (limit, series) in PRACTICE {
        ledger.enter_series(series, scope, ground.steeper(limit));
    }
    for class in 1..=ground.classes() {
        let slopes = Member::new(class.to_string(), format!("{class}, {}", words(class, breaks)));
        ledger.enter_named(catalogue::SLOPE_CLASS.named([slopes, scope.into()]), ground.class(class));
    }
    let surface = ground.surface();
    ledger.enter_series(&catalogue::SURFACE_AREA, scope, surface);
}

/// The slopes of class `class`, such as `12 to 15°`.
fn words(class: usize, breaks: &[Degrees]) -> String {
    let at = |index: usize| breaks.get(index).map(|degrees| plain(*degrees));
    match (class.checked_sub(2).and_then(at), at(class - 1)) {
        (None, Some(high)) => format!("under {high}°"),
        (Some(low), Some(high)) => format!("{low} to {high}°"),
        (Some(low), None) => format!("{low}° and steeper"),
        (None, None) => "all slopes".to_owned(),
    }
}

fn plain(degrees: Degrees) -> String {
    number(degrees.0, usize::from(degrees.0.fract() != 0.0))
}

/// The ground of one area or of all, where the terrain holds it.
fn modelled<'a>(context: &FillContext<'a>, scope: Scope<'_>, breaks: &[Degrees]) -> Option<AreaGround<'a>> {
    let areas: Vec<&Area> = context.project.areas.iter().filter(|area| scope.holds(&area.id)).collect();
    // Where areas overlap the ground is there once.
    let shape: MultiPolygon<f64> = geo::unary_union(areas.iter().flat_map(|area| &area.boundary));
    let plan: Hectares = site::area(areas).ok()?.value;
    let ground = context.hills?.area(&shape, plan, breaks)?;
    ground.mean().is_ok().then_some(ground)
}

fn read_mean(context: &FillContext<'_>, scope: Scope<'_>) -> Finding<Degrees> {
    let slopes = &context.project.slopes;
    match scope.area {
        Some(area) => slope::mean(slopes, area),
        None => {
            let means = context.grounds.iter();
            let means: Vec<_> =
                means.map(|(area, ground)| (area, ground.plan, slope::mean(slopes, area))).collect();
            slope::joint_mean(&means)
        }
    }
}

fn read_steepest(context: &FillContext<'_>, scope: Scope<'_>) -> Finding<Degrees> {
    let slopes = &context.project.slopes;
    match scope.area {
        Some(area) => slope::steepest(slopes, area),
        None => context
            .project
            .areas
            .iter()
            .filter_map(|area| slope::steepest(slopes, &area.id).ok())
            .reduce(|one, other| if other.value > one.value { other } else { one })
            .ok_or(Gap::NoSlope),
    }
}
