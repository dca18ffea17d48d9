//! More people than any other day had, and more hours than a day has: most often those of all people together, written where those of each are read.

use crate::{
    problem::{Change, Measured, Place, Plausibility, Problem, SecondReading, Slips},
    project::Project,
    units::{as_written, number},
};

/// Hours that nobody works in a day.
const DAY: f64 = 24.0;

/// Hours that several people seldom work each on one day (common practice, no source: ten, the way to the hill left out).
const LONG_DAY: f64 = 10.0;

/// People from which a crew stands out, how many times as many as in any other row, and how many other rows must tell (common
/// practice, no source).
const MANY: u32 = 20;
const TIMES: u32 = 4;
const OTHERS: usize = 3;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    crews(project, problems);
    hours(project, problems);
}

/// A crew many times as large as any other of the table: most often with a digit too many.
fn crews(project: &Project, problems: &mut Vec<Problem>) {
    if project.works.len() <= OTHERS {
        return;
    }
    for work in project.works.iter().filter(|work| work.people >= MANY) {
        let others = || project.works.iter().filter(|other| other.source != work.source);
        let Some(most) = others().map(|other| other.people).max().filter(|most| most * TIMES < work.people)
        else {
            continue;
        };
        let tenth = Change::Times { of: Measured::Hours, factor: 0.1 };
        let kind = Slips::CrewOutOfLine {
            people: work.people,
            most,
            sum: number(work.person_hours().0, 1),
            tenth: number(work.person_hours().0 / 10.0, 1),
        };
        let other = SecondReading::of(tenth, [&work.source]);
        problems.push(Problem::new(kind, Place::row(&work.source).column("people")).or(other));
    }
}

fn hours(project: &Project, problems: &mut Vec<Problem>) {
    for work in &project.works {
        let people = work.people;
        // What one person has may be the hours of all, or of a machine.
        let most = if people > 1 { LONG_DAY } else { DAY };
        let Some(hours) = work.hours.map(|hours| hours.0).filter(|hours| *hours > most) else { continue };
        let sum = number(work.person_hours().0, 1);
        let place = Place::row(&work.source).column("hours");
        if people > 1 && hours > DAY {
            let kind = Slips::HoursOfNoDay { hours: as_written(hours), people, sum };
            problems.push(Problem::new(kind, place));
            continue;
        }
        let kind = Plausibility::HoursBeyondADay { hours: as_written(hours), people, sum };
        let problem = Problem::new(kind, place);
        let each = Change::Times { of: Measured::Hours, factor: 1.0 / f64::from(people) };
        let other = (people > 1).then(|| SecondReading::of(each, [&work.source]));
        problems.push(match other {
            Some(other) => problem.or(other),
            None => problem,
        });
    }
}
