//! Wildlife seen.

use std::collections::BTreeSet;

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{Project, Sighting, slug},
    units::Count,
};

/// Sightings of the period.
///
/// # Errors
/// There is no table of them.
pub fn records(project: &Project) -> Finding<Count> {
    counted(project, Method::SUM, |seen| seen.len())
}

/// Kinds of animal seen in the period, by their names as written.
///
/// # Errors
/// There is no table of sightings.
pub fn species(project: &Project) -> Finding<Count> {
    counted(project, Method::DISTINCT, |seen| {
        seen.iter().map(|sighting| slug(&sighting.species)).collect::<BTreeSet<_>>().len()
    })
}

/// Sensitive sightings of the period, whose places the project does not hold.
///
/// # Errors
/// There is no table of them.
pub fn withheld(project: &Project) -> Finding<Count> {
    counted(project, Method::SUM, |seen| seen.iter().filter(|sighting| sighting.sensitive).count())
}

/// Sightings of the period that are not sensitive and have no position.
///
/// # Errors
/// There is no table of them.
pub fn without_place(project: &Project) -> Finding<Count> {
    counted(project, Method::SUM, |seen| {
        seen.iter().filter(|sighting| !sighting.sensitive && sighting.position.is_none()).count()
    })
}

fn counted(project: &Project, method: Method, number: fn(&[&Sighting]) -> usize) -> Finding<Count> {
    if project.sightings.is_empty() {
        return Err(Gap::TableMissing("sightings"));
    }
    let seen: Vec<&Sighting> =
        project.sightings.iter().filter(|sighting| project.period.holds(sighting.date)).collect();
    let sources = seen.iter().map(|sighting| &sighting.source).collect();
    let withheld = seen.iter().filter(|sighting| sighting.sensitive).count();
    let mut estimate = Estimate::counted(Count(number(&seen) as u64), method, sources)
        .note("chance sightings: they say what was there, not how much, and never that something is absent");
    if withheld > 0 {
        estimate = estimate.note(format!("the place of {withheld} is withheld"));
    }
    Ok(estimate)
}
