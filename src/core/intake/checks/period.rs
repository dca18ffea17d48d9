//! Work, spending and plantings that the reporting period does not hold.

use crate::{
    problem::{Place, Problem, Records},
    project::Project,
    units::day,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let period = project.period;
    for planting in project.plantings.iter().filter(|planting| planting.date > period.to) {
        let kind = Records::PlantedAfterPeriod { date: day(planting.date) };
        problems.push(Problem::new(kind, Place::row(&planting.source).column("date")));
    }
    let works = project.works.iter().map(|work| ("work", work.date, &work.source));
    let spending = project.spending.iter().map(|spending| ("spending", spending.date, &spending.source));
    for (what, date, source) in works.chain(spending).filter(|(_, date, _)| !period.holds(*date)) {
        let kind = Records::OutsidePeriod { what, date: day(date) };
        problems.push(Problem::new(kind, Place::row(source).column("date")));
    }
}
