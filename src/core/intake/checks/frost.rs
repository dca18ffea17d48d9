//! Species that frost kills, planted where it is.

use std::collections::BTreeSet;

use chrono::Datelike;

use crate::{
    problem::{Place, Problem, Records},
    project::{Project, Tolerance},
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    if let Some((first, last)) = project.climate.frost {
        let length = (last + 12 - first) % 12;
        let mut said = BTreeSet::new();
        for planting in &project.plantings {
            let frosty = (planting.date.month() + 12 - first) % 12 <= length;
            if frosty && said.insert(planting.date.format("%Y-%m").to_string()) {
                let kind = Records::PlantedInFrost { month: planting.date.format("%B %Y").to_string() };
                problems.push(Problem::new(kind, Place::row(&planting.source).column("date")));
            }
        }
    }
    let mut said = BTreeSet::new();
    for planting in &project.plantings {
        let frosty = project.area(&planting.area).is_some_and(|area| area.frosty);
        let species = project.species.get(&planting.species);
        let tender = species.is_some_and(|species| species.frost == Tolerance::Sensitive);
        if frosty && tender && said.insert((&planting.area, &planting.species)) {
            let kind = Records::FrostSensitive {
                species: planting.species.to_string(),
                area: planting.area.to_string(),
            };
            problems.push(Problem::new(kind, Place::row(&planting.source).column("species")));
        }
    }
}
