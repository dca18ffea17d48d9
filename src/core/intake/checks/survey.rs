//! Tallies that their plot or the planting log contradicts.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    intake::checks::{close::too_close, first_plantings},
    problem::{Place, Problem, Records},
    project::{AreaId, PlotId, Project, SpeciesId, Tally},
    units::day,
};

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let log = Log::of(project);
    let areas: BTreeMap<&PlotId, &AreaId> = project.plots.iter().map(|plot| (&plot.id, &plot.area)).collect();
    for tally in &project.tallies {
        let Some(area) = areas.get(&tally.plot) else { continue };
        before_planting(tally, area, &log, problems);
        not_planted(tally, area, &log, problems);
    }
    against_plots(project, problems);
    visits_in_parts(project, problems);
}

/// What the planting log says of each area.
struct Log<'a> {
    first: BTreeMap<&'a AreaId, NaiveDate>,
    species: BTreeSet<(&'a AreaId, &'a SpeciesId)>,
}

impl<'a> Log<'a> {
    fn of(project: &'a Project) -> Log<'a> {
        let planted = project.plantings.iter().map(|planting| (&planting.area, &planting.species));
        Log { first: first_plantings(project), species: planted.collect() }
    }
}

fn before_planting(tally: &Tally, area: &AreaId, log: &Log<'_>, problems: &mut Vec<Problem>) {
    if let Some(planted) = log.first.get(area).filter(|planted| tally.date < **planted) {
        let kind = Records::SurveyBeforePlanting {
            date: day(tally.date),
            planted: day(*planted),
            whereabouts: area.to_string(),
        };
        problems.push(Problem::new(kind, Place::row(&tally.source).column("date")));
    }
}

fn not_planted(tally: &Tally, area: &AreaId, log: &Log<'_>, problems: &mut Vec<Problem>) {
    if tally.set() > 0 && !log.species.contains(&(area, &tally.species)) {
        let kind = Records::TalliedNotPlanted { species: tally.species.to_string(), area: area.to_string() };
        problems.push(Problem::new(kind, Place::row(&tally.source).column("species")));
    }
}

/// Days within which two counts of one plot are likely one visit (common practice, no source).
const ONE_VISIT: i64 = 31;

/// Plots whose latest count, which alone is used, is less than half of one shortly before.
fn visits_in_parts(project: &Project, problems: &mut Vec<Problem>) {
    let mut days: BTreeMap<&PlotId, BTreeMap<NaiveDate, (u64, &Tally)>> = BTreeMap::new();
    for tally in project.tallies.iter().filter(|tally| tally.date <= project.period.to) {
        let visit = days.entry(&tally.plot).or_default().entry(tally.date).or_insert((0, tally));
        visit.0 += tally.set();
    }
    for (plot, days) in days {
        let mut latest = days.iter().rev();
        let (Some((date, (stems, tally))), Some((before, (earlier, _)))) = (latest.next(), latest.next())
        else {
            continue;
        };
        if (*date - *before).num_days() <= ONE_VISIT && stems * 2 < *earlier {
            let (plot, date, before) = (plot.to_string(), day(*date), day(*before));
            let kind = Records::VisitInParts { plot, date, stems: *stems, before, earlier: *earlier };
            problems.push(Problem::new(kind, Place::row(&tally.source).column("date")));
        }
    }
}

/// Each visit of a plot against the stems that were set in it.
fn against_plots(project: &Project, problems: &mut Vec<Problem>) {
    let mut visits: BTreeMap<(&PlotId, NaiveDate), Vec<&Tally>> = BTreeMap::new();
    for tally in &project.tallies {
        visits.entry((&tally.plot, tally.date)).or_default().push(tally);
    }
    for ((id, _), rows) in visits {
        let Some((plot, planted)) = project.plot(id).and_then(|plot| Some((plot, plot.planted_stems?)))
        else {
            continue;
        };
        let alive: u64 = rows.iter().map(|tally| tally.alive.0).sum();
        // More than can grow there is told as that.
        if too_close(plot, alive) {
            continue;
        }
        let set: u64 = rows.iter().map(|tally| tally.set()).sum();
        let told = rows.iter().all(|tally| tally.dead.is_some() && tally.missing.is_some());
        let (kind, column): (Records, &str) = if alive > planted.0 {
            let whereabouts = format!("plot {id}");
            (Records::MoreAliveThanPlanted { alive, planted: planted.0, whereabouts }, "alive")
        } else if told && set != planted.0 {
            (Records::TallyDoesNotAddUp { sum: set, planted: planted.0, plot: id.to_string() }, "missing")
        } else {
            continue;
        };
        problems.push(Problem::new(kind, Place::row(&rows[rows.len() - 1].source).column(column)));
    }
}
