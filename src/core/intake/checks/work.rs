//! More hours than a day has: most often those of all people together, written where those of each are read.

use crate::{
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading},
    project::Project,
    units::{as_written, number},
};

/// Hours that nobody works in a day.
const DAY: f64 = 24.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for work in &project.works {
        let Some(hours) = work.hours.map(|hours| hours.0).filter(|hours| *hours > DAY) else { continue };
        let (people, sum) = (work.people, number(work.person_hours().0, 1));
        let kind = Plausibility::HoursBeyondADay { hours: as_written(hours), people, sum };
        let problem = Problem::new(kind, Place::row(&work.source).column("hours"));
        let each = Change::Times { of: Measured::Hours, factor: 1.0 / f64::from(people) };
        let other = (people > 1).then(|| SecondReading::of(each, [&work.source]));
        problems.push(match other {
            Some(other) => problem.or(other),
            None => problem,
        });
    }
}
