//! The crew's pace: person hours to plant stems and to set out rows, by the settings, by the works log, or as is usual.

use crate::{
    estimate::{
        Estimate, Method,
        ratio::Pair,
        stratified::{Stratum, separate_ratio},
    },
    project::{Project, Work},
    source::Sources,
    units::{Hours, number},
};

/// A pace is given for so many stems, or metres.
pub(crate) const PER: f64 = 100.0;

/// Stems that a person plants in an hour where neither settings nor works log say (common practice, no source).
const USUAL_STEMS: f64 = 25.0;

/// Metres of row that a person sets out in an hour where neither settings nor works log say (common practice, no source).
const USUAL_METRES: f64 = 150.0;

/// Person hours for a hundred stems, or for a hundred metres of row.
pub type Pace = Estimate<Hours>;

/// Person hours to plant a hundred stems.
///
/// # Equations and sources
/// [`Method::CREW_PACE`].
#[must_use]
pub fn planting_pace(project: &Project) -> Pace {
    let log = logged(project, &["planting"], &["stems"]);
    pace(project.crew.stems_per_hour, "stems_per_h under [crew]", log, USUAL_STEMS, "stems")
}

/// Person hours to set out a hundred metres of row.
///
/// # Equations and sources
/// [`Method::CREW_PACE`].
#[must_use]
pub fn set_out_pace(project: &Project) -> Pace {
    let log = logged(project, &["setting out rows", "setting out", "pegging"], &["m", "metres"]);
    let own = project.crew.pegged_per_hour.map(|metres| metres.0);
    pace(own, "pegged_m_per_h under [crew]", log, USUAL_METRES, "metres")
}

fn pace(own: Option<f64>, key: &str, log: Option<(f64, usize, Sources)>, usual: f64, things: &str) -> Pace {
    let of = |hours: f64, sources| Estimate::counted(Hours(hours * PER), Method::CREW_PACE, sources);
    let said = |pace: f64, by: &str| format!("{} {things} in a person's hour, {by}", number(pace, 0));
    match (own, log) {
        (Some(own), _) => of(1.0 / own, Sources::default()).note(said(own, &format!("by {key}"))),
        (None, Some((hours, rows, sources))) => {
            of(hours, sources).note(said(1.0 / hours, &format!("over {rows} entries of the works log")))
        }
        (None, None) => of(1.0 / usual, Sources::default()).note(said(usual, "common practice, no source")),
    }
}

/// Person hours for one stem, or metre, by the works log.
fn logged(project: &Project, tasks: &[&str], units: &[&str]) -> Option<(f64, usize, Sources)> {
    let is = |text: &str, words: &[&str]| words.iter().any(|word| text.trim().eq_ignore_ascii_case(word));
    let days: Vec<(&Work, Pair)> = project
        .works
        .iter()
        .filter(|work| work.date <= project.period.to && is(&work.task, tasks))
        .filter(|work| work.unit.as_deref().is_some_and(|unit| is(unit, units)))
        .filter_map(|work| {
            let whole = work.quantity.filter(|quantity| *quantity > 0.0)?;
            Some((work, Pair { part: work.hours.map(|_| work.person_hours().0)?, whole }))
        })
        .collect();
    let plots = days.iter().map(|(_, pair)| *pair).collect();
    let joint = separate_ratio(&[Stratum { weight: 1.0, sampled: 0.0, plots }])?;
    let sources = days.iter().map(|(work, _)| &work.source).collect();
    (joint.value > 0.0).then_some((joint.value, days.len(), sources))
}
