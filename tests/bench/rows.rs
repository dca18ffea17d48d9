//! A project of many rows, to see that a ledger takes time in proportion to them and not to their square.

use hillfolio_core::{project::*, source::Row, units::Metres};

use crate::support::{area, oblong, plot, small_project, species_id};

/// The small project with `size` rows of planting and tallies and five times as many stems, spread over 40 areas, 60
/// species and plots of 25 tallies, so that neighbouring rows belong to different figures.
pub(crate) fn project(size: u32) -> Project {
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
