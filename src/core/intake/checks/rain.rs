//! More rain in a day than nearly any station has seen.

use crate::{
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading, Surveyed},
    project::{Project, RainDay},
    units::{as_written, number},
};

/// Millimetres in a day beyond which a reading is doubted (common practice, no source; the wettest days of most stations lie below
/// 300, those of a few tropical ones reach 900).
const MOST: f64 = 400.0;

/// How many times as much as on any other day, on how many days at least, and how much at least a day's rain is that may have lost its
/// decimal point (common practice, no source: the wettest day of a year has seldom more than three times what the next has).
const ALONE: f64 = 5.0;
const WET_DAYS: usize = 20;
const LEAST: f64 = 50.0;

/// The wettest day, where it is far beyond every other.
fn alone(project: &Project) -> Option<(&RainDay, f64, f64)> {
    let mut wet: Vec<(&RainDay, f64)> =
        project.rain.iter().filter_map(|day| Some((day, day.mm?.0))).filter(|(_, mm)| *mm > 0.0).collect();
    wet.sort_by(|one, other| other.1.total_cmp(&one.1));
    let [(day, most), (_, next), ..] = wet.as_slice() else { return None };
    let far = wet.len() >= WET_DAYS && *most >= LEAST && *most <= MOST && *most > ALONE * next;
    far.then_some((*day, *most, *next))
}

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    if let Some((day, most, next)) = alone(project) {
        let kind = Surveyed::RainOfOneDay {
            mm: as_written(most).into(),
            next: as_written(next).into(),
            tenth: as_written(most / 10.0).into(),
        };
        let tenth = Change::Times { of: Measured::Rain, factor: 0.1 };
        let problem = Problem::new(kind, Place::row(&day.source).column("mm"));
        problems.push(problem.or(SecondReading::of(tenth, [&day.source])));
    }
    let all: f64 = project.rain.iter().filter_map(|day| day.mm).map(|mm| mm.0).sum();
    for day in &project.rain {
        let Some(mm) = day.mm.map(|mm| mm.0).filter(|mm| *mm > MOST) else { continue };
        let kind = Plausibility::RainBeyondBelief {
            mm: as_written(mm),
            with: number(all, 1),
            without: number(all - mm, 1),
            tenth: format!("; {} mm would be a tenth", as_written(mm / 10.0)),
        };
        problems.push(Problem::new(kind, Place::row(&day.source).column("mm")));
    }
}
