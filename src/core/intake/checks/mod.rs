//! What a whole project gives away that no single row does: a file a check, each a function from the project to problems.

mod alive;
mod budget;
mod coverage;
mod frost;
mod lines;
mod names;
mod outlines;
mod period;
mod places;
mod receipts;
mod sizes;
mod survey;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    problem::Problem,
    project::{AreaId, Project},
};

/// Every check, in the order of the files they speak of. `files` are those in the folder.
pub(crate) fn run(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    outlines::check(project, problems);
    places::check(project, problems);
    period::check(project, problems);
    survey::check(project, problems);
    lines::check(project, problems);
    alive::check(project, problems);
    coverage::check(project, problems);
    sizes::check(project, problems);
    frost::check(project, problems);
    budget::check(project, problems);
    receipts::check(project, files, problems);
    names::check(project, problems);
}

/// The day of the first planting in each area.
fn first_plantings(project: &Project) -> BTreeMap<&AreaId, NaiveDate> {
    let mut first = BTreeMap::new();
    for planting in &project.plantings {
        let day = first.entry(&planting.area).or_insert(planting.date);
        *day = planting.date.min(*day);
    }
    first
}
