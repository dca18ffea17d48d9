//! A ledger of many rows takes time in proportion to them.

use std::time::{Duration, Instant};

use hillfolio::{ledger, project::*, source::Row, units::Metres};

use crate::support::{area, oblong, plot, small_project, species_id};

/// The small project with `size` rows of planting and tallies and five times as many stems, spread over 40 areas, 60
/// species and plots of 25 tallies, so that neighbouring rows belong to different figures.
fn project(size: u32) -> Project {
    let mut project = small_project();
    let name = |n: u32| format!("Area {n}");
    project.areas = (0..40)
        .map(|n| area(&name(n), oblong(148.0 + f64::from(n) * 0.01, -36.0, 0.005, 0.005), n + 1))
        .collect();
    let species = |n: u32| species_id(&format!("Genus species{}", n % 60));
    let plots = size / 25;
    project.plots =
        (0..plots).map(|n| plot(n + 2, &format!("P{n:06}"), &name(n % 40), 148.0, -36.0)).collect();
    let row = |file: &Row, n: u32| Row { file: file.file.clone(), row: n + 2 };
    let (planting, tally, stem) =
        (project.plantings[0].clone(), project.tallies[0].clone(), project.stems[0].clone());
    let areas: Vec<AreaId> = project.areas.iter().map(|area| area.id.clone()).collect();
    let ids: Vec<PlotId> = project.plots.iter().map(|plot| plot.id.clone()).collect();
    let names: Vec<SpeciesId> = (0..60).map(species).collect();
    let at = |n: u32, of: usize| n as usize % of;
    project.plantings = (0..size)
        .map(|n| Planting {
            area: areas[at(n, areas.len())].clone(),
            species: names[at(n / 7, names.len())].clone(),
            source: row(&planting.source, n),
            ..planting.clone()
        })
        .collect();
    project.tallies = (0..size)
        .map(|n| Tally {
            plot: ids[at(n, ids.len())].clone(),
            species: names[at(n / plots, names.len())].clone(),
            source: row(&tally.source, n),
            ..tally.clone()
        })
        .collect();
    project.stems = (0..5 * size)
        .map(|n| Stem {
            plot: ids[at(n, ids.len())].clone(),
            species: names[at(n / 3, names.len())].clone(),
            tag: Some(n.to_string()),
            height: Some(Metres(f64::from(n % 997) / 100.0)),
            source: row(&stem.source, n),
            ..stem.clone()
        })
        .collect();
    project
}

fn time(size: u32) -> Duration {
    let project = project(size);
    let start = Instant::now();
    let ledger = ledger::fill(&project);
    let took = start.elapsed();
    assert!(ledger.figure("survival.species.genus-species1").is_some());
    took
}

/// Eight times the rows may take three times the share of each, to be safe from a busy machine; an estimator that went
/// through all rows for each of them would take eight times the share.
#[test]
fn time_grows_with_the_rows_and_not_with_their_square() {
    let (few, many) = (time(2_500), time(20_000));
    assert!(many < few * 24 + Duration::from_millis(200), "{few:?} for 2 500 rows, {many:?} for 20 000");
}

/// The largest folder that is promised: 200 000 planting rows, 1 000 000 stems.
#[test]
#[ignore = "half a minute without optimisation"]
fn the_largest_folder() {
    let took = time(200_000);
    assert!(took < Duration::from_secs(60), "{took:?}");
    println!("{took:?}");
}
