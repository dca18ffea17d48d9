//! The plan through the whole of the ledger, on a made-up hill under the small project.

use std::sync::{Arc, LazyLock};

use geo::{LineString, MultiLineString};
use hillfolio_core::{
    ledger,
    plan::{LaidOn, NoRows, Plan, Reason, make},
    project::{Bound, Climate, Feature, FeatureKind, Measure, Project, Shape, Standing},
    units::{Metres, Stems},
};

use crate::support::{
    designed::{designed, on_a_hill},
    row, small_project,
};

/// The plan on the hill, which takes a second to lay out and is looked at from several sides.
static ON_A_HILL: LazyLock<Plan> = LazyLock::new(|| make(&on_a_hill()).unwrap());

/// The guide line along which rows run where there is no terrain.
fn guide_line() -> Feature {
    let line = LineString::from(vec![(148.0, -35.9995), (148.003, -35.9992)]);
    Feature {
        kind: FeatureKind::GuideLine,
        standing: Standing::New,
        made: None,
        name: None,
        shape: Shape::Lines(MultiLineString(vec![line])),
        source: row("features.geojson", 9),
    }
}

#[test]
fn without_a_design_there_is_no_plan() {
    assert!(make(&small_project()).is_none());
    let ledger = ledger::fill(&small_project());
    assert!(!ledger.iter().any(|(id, _)| id.as_str().starts_with("plan.")));
}

/// Stems by species, by row and in all are one number, and the ledger's is that.
#[test]
fn the_ledger_holds_what_the_plan_says() {
    let plan = &*ON_A_HILL;
    let ledger = ledger::fill_with(&on_a_hill(), Some(plan));
    let value = |id: &str| ledger.figure(id).unwrap().value;
    assert_eq!(value("plan.rows"), plan.areas[0].rows.rows.len() as f64);
    let stems = plan.areas[0].stems.len() as f64;
    assert_eq!(value("plan.stems.all"), stems);
    let by_species = ["plan.stems.acacia-melanoxylon", "plan.stems.lophostemon-confertus"].map(value);
    assert_eq!(by_species.iter().sum::<f64>(), stems);
    assert!((by_species[0] - by_species[1]).abs() <= 1.0, "pioneer and late by turns: {by_species:?}");
    let assignment = plan.assignment.as_ref().unwrap();
    assert_eq!((assignment.alike, assignment.shortfalls.len()), (0, 0));
    assert!((value("plan.spacing.p50") / 5.0 - 1.0).abs() < 0.01);
    let spread = plan.spread().unwrap();
    assert_eq!(value("plan.spacing.held"), spread.spaced.part());
    assert_eq!(value("plan.level.laid"), spread.level.part());
    let came = plan.as_measured().unwrap();
    assert_eq!(value("plan.level"), came.level.part());
    assert_eq!(value("plan.level.straight"), came.straight.part());
    assert_eq!(value("plan.level.pieces"), came.pieces.level.part());
    assert_eq!(value("plan.spacing.held.unsmoothed"), came.pieces.spaced.part());
    // Two gullies of 14 m depth and 40 m width: more of the rows must stray than on any of the reference terrains.
    assert!(spread.spaced.part() > 0.9 && spread.level.part() > 0.9, "{spread:?}");
    let length = value("plan.row-length");
    assert!((value("plan.edge") - 2.0 * length - 4.0 * value("plan.rows")).abs() < 1e-6, "bands of 2 m");
    let taken: f64 = plan.plantable[0].taken_out.iter().map(|taken| taken.hectares.0).sum();
    assert!((value("plan.area.all") + taken - value("site.area.north-face")).abs() < 1e-9);
    // A stem for every 10 m² of ground.
    let ground = value("plan.area.all") * 10_000.0 / 10.0;
    assert!((stems / ground - 1.0).abs() < 0.06, "{stems} stems on {ground} places");
}

#[test]
fn the_same_project_gives_the_same_plan() {
    let (one, other) = (&*ON_A_HILL, make(&on_a_hill()).unwrap());
    assert_eq!(one.areas[0].rows.rows, other.areas[0].rows.rows);
    assert_eq!(one.areas[0].species, other.areas[0].species);
}

#[test]
fn without_terrain_rows_follow_a_guide_line_or_are_left_out() {
    let mut project = designed();
    let plan = make(&project).unwrap();
    assert!(plan.areas.is_empty());
    assert!(plan.without_rows.iter().all(|(_, why)| *why == NoRows::NoGuide));
    let ledger = ledger::fill_with(&project, Some(&plan));
    assert!(ledger.figure("plan.rows").is_none(), "a gap, not nought");

    project.features.push(guide_line());
    let plan = make(&project).unwrap();
    assert_eq!(plan.areas.len(), 2);
    assert!(plan.areas.iter().all(|area| matches!(area.rows.laid_on, LaidOn::GuideLine(_))));
    let ledger = ledger::fill_with(&project, Some(&plan));
    assert!(ledger.figure("plan.rows").unwrap().notes.iter().any(|note| note.contains("guide line")));
    assert!(ledger.figure("plan.spacing.p50").is_none());
}

/// The lower left quarter of the terrain is a hole: rows end at its edge, and the plan says so with its hectares.
#[test]
fn ground_without_a_model_is_left_out_and_said() {
    let whole = &*ON_A_HILL;
    let mut project = on_a_hill();
    let heights = Arc::make_mut(&mut project.ground.as_mut().unwrap().heights);
    let (rows, columns) = (heights.lattice.rows, heights.lattice.columns);
    for row in rows / 2..rows {
        heights.values[row * columns..row * columns + columns / 2].fill(f32::NAN);
    }
    let plan = make(&project).unwrap();
    let taken = plan.plantable[0].taken_out.iter().find(|taken| taken.reason == Reason::NoModel).unwrap();
    assert!(taken.hectares.0 > 0.02, "{} ha", taken.hectares.0);
    let (before, after) = (whole.plantable[0].hectares.0, plan.plantable[0].hectares.0);
    assert!((before - after - taken.hectares.0).abs() < 1e-9);
    assert!(plan.length().0 < whole.length().0 - 50.0);
    let ledger = ledger::fill_with(&project, Some(&plan));
    let notes = &ledger.figure("plan.area.north-face").unwrap().notes;
    assert!(notes.iter().any(|note| note.ends_with("left out: no ground model here")), "{notes:?}");
}

/// Wet from December to March, no frost; the year ends on 30 June. An order placed after it is 18 months from the plants, unless the
/// nursery says less or everything is to hand.
#[test]
fn plantings_wait_for_an_order_that_can_still_be_met() {
    let mut project = designed();
    project.features.push(guide_line());
    project.climate = Climate { wet_season: Some((12, 3)), frost: None, fire: None };
    let end = project.period.to;
    let plan = make(&project).unwrap();
    let dates = plan.nursery_dates().unwrap();
    assert!(dates.order > end, "{dates:?} lies before {end}");
    let (planting, missed) = (plan.planting.unwrap(), plan.missed.unwrap());
    assert!(missed > end && missed < planting);

    project.nursery.order_months = Some(9);
    let sooner = make(&project).unwrap();
    assert!(sooner.planting.unwrap() < planting);
    assert!(sooner.nursery_dates().unwrap().order > end);

    project.stock.iter_mut().for_each(|line| line.in_hand = Some(Stems(1_000_000)));
    let to_hand = make(&project).unwrap();
    assert_eq!((to_hand.planting, to_hand.missed), (Some(missed), None));
    assert!(to_hand.nursery_dates().is_none());
}

/// Stems stand across from the gaps of the row above: nearer to the middle of a gap than by chance, and on centred rows no nearer.
#[test]
fn stems_are_staggered_where_the_design_says_so() {
    // How far each stem's nearest in a row above stands, as a mean.
    let off = |plan: &Plan| {
        let stems = &plan.areas[0].stems;
        let apart = stems.iter().filter_map(|stem| {
            let others = stems.iter().filter(|other| other.row < stem.row);
            let near = others.map(|other| {
                let way = other.place - stem.place;
                libm::hypot(way.x, way.y)
            });
            near.min_by(f64::total_cmp).filter(|distance| *distance < 6.0)
        });
        let distances: Vec<f64> = apart.collect();
        distances.iter().sum::<f64>() / distances.len() as f64
    };
    let mut project = on_a_hill();
    project.design.as_mut().unwrap().stagger = false;
    let (staggered, centred) = (off(&ON_A_HILL), off(&make(&project).unwrap()));
    assert!(staggered > centred, "{staggered} m from the nearest stem above, {centred} m without");
}

/// The small project's log: nothing is planted twice. Both its areas are planted, so that there are no new rows and what is ordered is
/// the infill; beside them a third area gets rows, unless the settings ask for rows in none.
#[test]
fn ground_that_is_planted_gets_no_rows_and_only_infill_is_ordered_for_it() {
    let mut project = designed();
    project.plantings = small_project().plantings;
    project.features.push(guide_line());
    let plan = make(&project).unwrap();
    assert!(plan.areas.is_empty() && plan.plantable.is_empty() && plan.assignment.is_none());
    assert!(plan.without_rows.iter().all(|(_, why)| matches!(why, NoRows::Planted(stems) if stems.0 > 0)));
    let ordered: u64 = plan.order.iter().map(|line| line.planned.0 + line.infill.0).sum();
    let set: u64 = plan.infill.iter().filter_map(|area| Some(area.stems.as_ref().ok()?.value.0)).sum();
    assert_eq!(ordered, set);

    let mut third = project.areas[0].clone();
    third.id = hillfolio_core::project::AreaId("Top paddock".into());
    project.areas.push(third);
    let plan = make(&project).unwrap();
    assert_eq!(plan.areas.len(), 1);
    assert_eq!(&*plan.areas[0].rows.plantable.area.0, "Top paddock");
    project.design.as_mut().unwrap().areas = Some(Vec::new());
    assert!(make(&project).unwrap().areas.is_empty());
}

/// By hand: 1 000 stems planted on one area, of which the plots say s live. A target of 0.9 on survival asks for 900; 900 − 1 000 s are
/// short, and of those set again s live.
#[test]
fn infill_is_what_the_target_is_short_of_over_what_lives() {
    let mut project = designed();
    project.plantings = small_project().plantings;
    project.targets.retain(|target| matches!(target.measure, Measure::Survival));
    project.targets.truncate(1);
    (project.targets[0].area, project.targets[0].bound) = (None, Bound::AtLeast(0.9));
    let areas = hillfolio_core::plan::infill(&project);
    let planted: f64 = areas.iter().map(|area| area.planted.0 as f64).sum();
    let ledger = ledger::fill(&project);
    let alive = |area: &str| ledger.figure(&format!("survival.{area}")).unwrap().value;
    let names = ["north-face", "gully-head"];
    let living: f64 = areas.iter().zip(names).map(|(area, name)| area.planted.0 as f64 * alive(name)).sum();
    let short = 0.9 * planted - living;
    assert!(short > 0.0, "the target is missed: {living} of {planted}");
    for (area, name) in areas.iter().zip(names) {
        let died = area.planted.0 as f64 * (1.0 - alive(name));
        assert_eq!(area.dead.as_ref().unwrap().value.0, died.round() as u64);
        let set = (short * died / (planted - living) / alive(name)).ceil() as u64;
        let stems = area.stems.as_ref().unwrap();
        assert_eq!(stems.value.0, set);
        let by_species: u64 = area.species.iter().map(|(_, _, stems)| stems.0).sum();
        assert_eq!(by_species, set, "species add up");
        if let Some(ends) = &stems.interval {
            assert!(ends.low <= stems.value && stems.value <= ends.high);
        }
        assert!(
            area.plots
                .windows(2)
                .all(|pair| { pair[0].lost.0 * pair[1].set.0 >= pair[1].lost.0 * pair[0].set.0 })
        );
    }
}

/// Ground that steepens eastward, rows along it from north to south: tan θ = 0.0011 (x + 200), so that it passes 12° at x = −6.8 m and
/// 15° at 43.6 m. Every row lies in one band but those at its edge.
#[test]
fn metres_by_hand_and_by_machine_are_those_of_the_slope() {
    let mut project = on_a_hill();
    let grid = hillfolio_core::geometry::Grid::of_epsg(7855).unwrap();
    let (east, _) = grid.to_grid(geo::Point::new(148.001, -35.9995)).unwrap();
    let heights = Arc::make_mut(&mut project.ground.as_mut().unwrap().heights);
    for at in 0..heights.values.len() {
        let place = heights.lattice.centre(at / heights.lattice.columns, at % heights.lattice.columns);
        let x = place.x - east + 200.0;
        heights.values[at] = (400.0 + 0.000_55 * x * x) as f32;
    }
    let plan = make(&project).unwrap();
    let rows = &plan.areas[0].rows;
    let mean = |row: &hillfolio_core::plan::Row| {
        let course = rows.course(row);
        let xs = course.points().map(|place| grid.to_grid(place).unwrap().0 - east);
        xs.sum::<f64>() / course.0.len() as f64
    };
    let beyond = |from: f64, to: f64| -> f64 {
        let within = rows.rows.iter().filter(|row| (from..to).contains(&mean(row)));
        within.map(|row| row.length.0).sum()
    };
    let (bands, longest) = (plan.bands(), rows.rows.iter().map(|row| row.length.0).fold(0.0, f64::max));
    let expected = [beyond(-1e3, -6.8), beyond(-6.8, 43.6), beyond(43.6, 1e3)];
    for (found, expected) in [bands.machine, bands.manual, bands.hand].into_iter().zip(expected) {
        assert!(expected > 2.0 * longest, "{expected} m of rows");
        assert!((found.0 - expected).abs() <= longest, "{found:?}, not {expected}");
    }
    assert!((bands.whole().0 - rows.length().0).abs() < 1e-6 && bands.unknown.0 <= 0.0);

    project.design.as_mut().unwrap().machine_rate = Some(Metres(1_000.0));
    let hours = |project: &Project| {
        let ledger = ledger::fill_with(project, Some(&make(project).unwrap()));
        ledger.figure("plan.hours.slashing").map(|figure| figure.value)
    };
    assert_eq!(hours(&project), None, "how fast it goes by hand is not said");
    project.design.as_mut().unwrap().hand_rate = Some(Metres(100.0));
    let by_hand = bands.manual.0 + bands.hand.0;
    let expected = bands.machine.0 / 1_000.0 + by_hand / 100.0;
    assert!((hours(&project).unwrap() - expected).abs() < 1e-9);

    // Along a drawn line nobody knows the slope unless it was measured.
    project.slopes.clear();
    project.ground = None;
    project.features.push(guide_line());
    let plan = make(&project).unwrap();
    assert!((plan.bands().unknown.0 - plan.length().0).abs() < 1e-6);
}
