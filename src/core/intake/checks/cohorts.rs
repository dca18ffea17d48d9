//! Stems counted under a year in which nothing was planted where they stand.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::checks::{areas_of_plots, say_of},
    problem::{Problem, Surveyed},
    project::{AreaId, Project, Tally},
    units::listed,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let areas = areas_of_plots(project);
    let mut planted: BTreeMap<&AreaId, BTreeSet<i32>> = BTreeMap::new();
    for planting in &project.plantings {
        planted.entry(&planting.area).or_default().insert(planting.cohort());
    }
    let mut stray: BTreeMap<(&AreaId, i32), Vec<&Tally>> = BTreeMap::new();
    for tally in &project.tallies {
        let (Some(cohort), Some(&area)) = (tally.cohort, areas.get(&tally.plot)) else { continue };
        let known = planted.get(area).is_none_or(|years| years.contains(&cohort));
        if !known {
            stray.entry((area, cohort)).or_default().push(tally);
        }
    }
    for ((area, cohort), rows) in stray {
        let Some(years) = planted.get(area) else { continue };
        let Some(&likely) = years.iter().min_by_key(|year| (*year - cohort).abs()) else { continue };
        let of_likely = project
            .tallies
            .iter()
            .filter(|tally| tally.cohort == Some(likely) && areas.get(&tally.plot) == Some(&area));
        let sum = |tallies: &[&Tally]| {
            tallies.iter().fold((0, 0), |(alive, set), tally| (alive + tally.alive.0, set + tally.set()))
        };
        let ((alive, set), (others, others_set)) = (sum(&rows), sum(&of_likely.collect::<Vec<_>>()));
        let named: Vec<String> = years.iter().map(ToString::to_string).collect();
        let kind = Surveyed::CohortNotPlanted {
            cohort,
            area: area.to_string().into(),
            years: listed(&named).into(),
            alive: alive.to_string().into(),
            set: set.to_string().into(),
            likely,
            then_alive: (alive + others).to_string().into(),
            then_set: (set + others_set).to_string().into(),
        };
        say_of(kind, rows.iter().map(|tally| &tally.source), "cohort", None, problems);
    }
}
