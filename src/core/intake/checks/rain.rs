//! More rain in a day than nearly any station has seen.

use crate::{
    problem::{Place, Plausibility, Problem},
    project::Project,
    units::{as_written, number},
};

/// Millimetres in a day beyond which a reading is doubted (common practice, no source; the wettest days of most stations lie below
/// 300, those of a few tropical ones reach 900).
const MOST: f64 = 400.0;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
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
