//! The plan's set-out: ground to plant, rows, spacing, stems.

use std::collections::BTreeMap;

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    ledger::{Ledger, Series, catalogue},
    plan::{Assignment, Because, LaidOn, Plan, RowQuality, Spread, planting_hours, slashing_hours},
    project::{Bound, Project, SpeciesId},
    source::Sources,
    units::{
        Count, Hectares, Metres, PercentSlope, Share, SquareMetres, Stems, Unit, as_written, number, percent,
        whole,
    },
};

/// Less than this is said in square metres, ha.
const SMALL: f64 = 0.1;

pub(crate) fn enter(ledger: &mut Ledger, project: &Project, plan: &Plan) {
    let mut sources: Sources = project.areas.iter().map(|area| &area.source).collect();
    for feature in &project.features {
        sources.add(&feature.source);
    }
    if let Some(ground) = &project.ground {
        sources.join(&ground.sources());
    }
    for ground in &plan.plantable {
        let mut estimate = Estimate::counted(ground.hectares, Method::PLANTABLE_AREA, sources.clone());
        for taken in &ground.taken_out {
            estimate = estimate.note(format!("{} are left out: {}", said(taken.hectares), taken.reason));
        }
        ledger.enter_named(catalogue::PLANTABLE.named([Some(&ground.area).into()]), Ok(estimate));
    }
    let all = Estimate::counted(plan.hectares(), Method::PLANTABLE_AREA, sources.clone());
    ledger.enter_named(catalogue::PLANTABLE.named([None.into()]), Ok(all));
    cell(ledger, plan, &sources);
    rows(ledger, plan, &sources);
    spacing(ledger, plan, &sources);
    section(ledger, plan, &sources);
    stems(ledger, plan, &sources);
    density(ledger, project, plan, &sources);
    work(ledger, project, plan, &sources);
    crate::ledger::fill::crew_days::enter(ledger, project, plan, &sources);
    infill(ledger, plan);
    order(ledger, project, plan, &sources);
}

/// The cell at which the terrain was read, and what averaging to it did.
fn cell(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    let Some(ground) = &plan.ground else { return };
    let averaged = ground.cell != ground.own_cell;
    let mut cell = Estimate::counted(ground.cell, Method::WORKING_CELL, sources.clone());
    if averaged {
        cell = cell.note(format!("the model's own cells are {} m", as_written(ground.own_cell.0)));
        let change = Estimate::counted(ground.change, Method::WORKING_CELL, sources.clone());
        ledger.enter_named(catalogue::WORKING_CELL_CHANGE.named([]), Ok(change));
    }
    ledger.enter_named(catalogue::WORKING_CELL.named([]), Ok(cell));
}

fn said(hectares: Hectares) -> String {
    if hectares.0 < SMALL {
        format!("{} m²", number(SquareMetres::from(hectares).0, 0))
    } else {
        format!("{} ha", number(hectares.0, Unit::Hectares.decimals()))
    }
}

fn rows(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    let none = plan.areas.is_empty();
    let mut count = Estimate::counted(Count(plan.rows() as u64), Method::CONTOUR_ROWS, sources.clone());
    for (area, why) in &plan.without_rows {
        count = count.note(format!("{area} has no rows: {why}"));
    }
    for area in &plan.areas {
        if let LaidOn::GuideLine(_) = area.rows.laid_on {
            let name = &area.rows.plantable.area;
            count =
                count.note(format!("the rows of {name} follow a drawn guide line and may leave the level"));
        }
    }
    ledger.enter_named(catalogue::ROWS.named([]), found(none, count));
    let length = Estimate::counted(plan.length(), Method::CONTOUR_ROWS, sources.clone());
    ledger.enter_named(catalogue::ROW_LENGTH.named([]), found(none, length));
    let edge = plan.edge().ok_or(Gap::NotSet("strip_m under [rows]"));
    let edge = edge.map(|edge| Estimate::counted(edge, Method::GRASS_EDGE, sources.clone()));
    let edge = if none { Err(Gap::NoRows) } else { edge };
    ledger.enter_named(catalogue::GRASS_EDGE.named([]), edge);
}

fn spacing(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    let spread = plan.spread();
    let said =
        |share: f64| format!("measured on {} of the rows' length, which has a row below", percent(share, 1));
    let parts = [&catalogue::ROW_SPACING_P05, &catalogue::ROW_SPACING_P50, &catalogue::ROW_SPACING_P95];
    for (at, series) in parts.into_iter().enumerate() {
        let finding = spread.ok_or(Gap::NoRows).map(|spread| {
            Estimate::counted(spread.spacing[at], Method::ROW_SPACING, sources.clone())
                .note(said(spread.measured.part()))
        });
        ledger.enter_named(series.named([]), finding);
    }
    let share = |value: fn(&Spread) -> Share| {
        let spread = spread.as_ref().ok_or(Gap::NoRows);
        spread.map(|spread| Estimate::counted(value(spread), Method::ROW_SPACING, sources.clone()))
    };
    ledger.enter_named(catalogue::ROW_SPACING_HELD.named([]), share(|spread| spread.spaced));
    ledger.enter_named(catalogue::ROWS_LEVEL_LAID.named([]), share(|spread| spread.level));
    as_measured(ledger, plan, sources);
}

/// The rows on the model's own heights, unsmoothed.
fn as_measured(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    let came = plan.as_measured();
    let share = |value: fn(&RowQuality) -> Share| {
        let came = came.as_ref().ok_or(Gap::NoRows)?;
        let estimate = Estimate::counted(value(came), Method::ROWS_AS_MEASURED, sources.clone());
        Ok(match came.by_rounding {
            PercentSlope(grade) if grade > 0.0 => estimate.note(format!(
                "the rounding of the heights alone makes grades of ±{} % on a level row",
                number(grade, 1)
            )),
            _ => estimate,
        })
    };
    let mut enter = |series: &Series, value: fn(&RowQuality) -> Share| {
        ledger.enter_named(series.named([]), share(value));
    };
    enter(&catalogue::ROWS_LEVEL, |came| came.level);
    enter(&catalogue::ROWS_LEVEL_STRAIGHT, |came| came.straight);
    enter(&catalogue::ROWS_LEVEL_PIECES, |came| came.pieces.level);
    enter(&catalogue::ROW_SPACING_HELD_UNSMOOTHED, |came| came.pieces.spaced);
}

/// What a section through the rows shows beside the design's own distances.
fn section(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    for area in &plan.areas {
        let name = &area.rows.plantable.area;
        let slope = area.rows.mean_slope();
        let estimate = Estimate::counted(slope, Method::ROW_SLOPE, sources.clone());
        ledger.enter_named(catalogue::ROW_SLOPE.named([Some(name).into()]), Ok(estimate));
        let apart = Metres(plan.design.spacing.0 * slope.cos());
        let estimate = Estimate::counted(apart, Method::MAP_SPACING, sources.clone());
        ledger.enter_named(catalogue::ROW_MAP_SPACING.named([Some(name).into()]), Ok(estimate));
    }
    if let Some(band) = plan.band() {
        let estimate = Estimate::counted(band, Method::PLANTED_BAND, sources.clone());
        ledger.enter_named(catalogue::PLANTED_BAND.named([]), Ok(estimate));
    }
}

fn stems(ledger: &mut Ledger, plan: &Plan, sources: &Sources) {
    let mut stems = Estimate::counted(plan.stems(), Method::PLANNED_STEMS, sources.clone());
    if let Some(assignment) = plan.assignment.as_ref().filter(|assignment| assignment.off_pattern > 0) {
        let off = whole(assignment.off_pattern);
        stems = stems
            .note(format!("{off} stand at a place of another word of the pattern, so that shares are kept"));
    }
    let stems = found(plan.areas.is_empty(), stems);
    ledger.enter_named(catalogue::PLANNED_STEMS.named([]), stems);
    let Some(assignment) = &plan.assignment else { return };
    for (species, stems) in &assignment.totals {
        let mut estimate = Estimate::counted(*stems, Method::PLANNED_STEMS, sources.clone());
        if stems.0 == 0 && assignment.shortfalls.iter().all(|shortfall| &shortfall.species != species) {
            estimate = estimate.note("no word of the pattern calls for it");
        }
        for note in notes(assignment, species) {
            estimate = estimate.note(note);
        }
        ledger.enter_named(catalogue::SPECIES_PLANNED_STEMS.named([species.into()]), Ok(estimate));
    }
}

/// Stems on a hectare, and whether so many can meet the target on density.
fn density(ledger: &mut Ledger, project: &Project, plan: &Plan, sources: &Sources) {
    let Some(density) = plan.density() else { return };
    let mut estimate = Estimate::counted(density, Method::PLANNED_DENSITY, sources.clone());
    for target in &project.targets {
        let (true, Bound::AtLeast(least)) = (target.measure.is_density(), target.bound) else { continue };
        let Some((survival, lives)) = plan.design.survival_beside(&project.targets, target) else { continue };
        let living = density.0 * lives;
        let verdict = if living < least { "too few for" } else { "enough for" };
        estimate = estimate.note(format!(
            "if {} live, as {} asks, {} do: {verdict} the {} of {}",
            percent(lives, 0),
            survival.id,
            number(living, 0),
            number(least, 0),
            target.id
        ));
    }
    ledger.enter_named(catalogue::PLANNED_DENSITY.named([]), Ok(estimate));
}

/// By machine or by hand, and the hours that follow.
fn work(ledger: &mut Ledger, project: &Project, plan: &Plan, sources: &Sources) {
    let bands = plan.bands();
    let none = bands.whole().0 <= 0.0;
    let metres = |metres: Metres| {
        let estimate = Estimate::counted(metres, Method::SLOPE_BANDS, sources.clone());
        found(none, estimate)
    };
    ledger.enter_named(catalogue::ROWS_BY_MACHINE.named([]), metres(bands.machine));
    ledger.enter_named(catalogue::ROWS_BY_MANUAL.named([]), metres(bands.manual));
    ledger.enter_named(catalogue::ROWS_BY_HAND.named([]), metres(bands.hand));
    let share = Share::nearest(if none { 0.0 } else { bands.by_hand().0 / bands.whole().0 });
    let mut share = Estimate::counted(share, Method::SLOPE_BANDS, sources.clone());
    if bands.unknown.0 > 0.0 {
        let unknown = number(bands.unknown.0, 0);
        share = share.note(format!("{unknown} m lie on ground whose slope nobody has measured"));
    }
    ledger.enter_named(catalogue::ROWS_HAND_SHARE.named([]), found(none, share));
    let hours = if none { Err(Gap::NoRows) } else { slashing_hours(bands, &plan.design, sources) };
    ledger.enter_named(catalogue::SLASHING_HOURS.named([]), hours);
    let stems = Stems(plan.order.iter().map(|line| line.planned.0 + line.infill.0).sum());
    let hours = if stems.0 == 0 { Err(Gap::NoRows) } else { planting_hours(project, stems) };
    ledger.enter_named(catalogue::PLANTING_HOURS.named([]), hours);
}

/// What died of earlier plantings, and what is set again.
fn infill(ledger: &mut Ledger, plan: &Plan) {
    let mut species: BTreeMap<&SpeciesId, (u64, Sources)> = BTreeMap::new();
    for area in &plan.infill {
        let member = || [Some(&area.area).into()];
        ledger.enter_named(catalogue::INFILL_DEAD.named(member()), area.dead.clone());
        ledger.enter_named(catalogue::INFILL.named(member()), area.stems.clone());
        for (id, _, stems) in &area.species {
            let of = species.entry(id).or_default();
            of.0 += stems.0;
            if let Ok(stems) = &area.stems {
                of.1.join(&stems.sources);
            }
        }
    }
    for (id, (stems, sources)) in species.into_iter().filter(|(_, (stems, _))| *stems > 0) {
        let estimate = Estimate::counted(Stems(stems), Method::INFILL, sources);
        ledger.enter_named(catalogue::SPECIES_INFILL.named([id.into()]), Ok(estimate));
    }
}

/// What to order: the plan with spares, less what is to hand, in whole trays.
fn order(ledger: &mut Ledger, project: &Project, plan: &Plan, sources: &Sources) {
    let mut sources = sources.clone();
    for line in &project.stock {
        sources.add(&line.source);
    }
    for line in plan.order.iter().filter(|line| line.planned.0 + line.infill.0 > 0) {
        let mut estimate = Estimate::counted(line.order, Method::PLANNED_STEMS, sources.clone())
            .note(format!("{} spares", whole(line.spares.0)));
        if line.infill.0 > 0 {
            estimate = estimate.note(format!("{} of them for infill", whole(line.infill.0)));
        }
        if line.in_hand.0 > 0 {
            estimate = estimate.note(format!("{} to hand", whole(line.in_hand.0)));
        }
        if let Some(seeds) = line.seeds {
            estimate = estimate.note(format!("from {} pure seeds", whole(seeds)));
        }
        ledger.enter_named(catalogue::PLANT_ORDER.named([(&line.species).into()]), Ok(estimate));
    }
}

fn notes(assignment: &Assignment, species: &SpeciesId) -> impl Iterator<Item = String> {
    let untried = assignment.untried.iter().filter(move |(untried, _)| untried == species);
    let untried = untried.map(|(_, stems)| {
        format!("{} stand on frosty, dry or waterlogged ground that it is not known to bear", whole(stems.0))
    });
    let own = assignment.shortfalls.iter().filter(move |shortfall| &shortfall.species == species);
    let short = own.map(|shortfall| {
        let because = match shortfall.because {
            Because::Sensitive => "the places left lie on ground that it would die on",
            Because::NoPlace => "there are no more places of its role",
            Because::StandsIn => "it stands in for species that would die there",
        };
        format!("{} were its share; {because}", whole(shortfall.wanted.0))
    });
    short.chain(untried)
}

fn found<Q>(none: bool, estimate: Estimate<Q>) -> Finding<Q> {
    if none { Err(Gap::NoRows) } else { Ok(estimate) }
}
