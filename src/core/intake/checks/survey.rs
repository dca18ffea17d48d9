//! Tallies that their plot or the planting log contradicts.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::checks::{close::too_close, first_plantings},
    problem::{Change, Place, Problem, Records, SecondReading},
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
}

/// What the planting log says of each area.
struct Log<'a> {
    first: BTreeMap<&'a AreaId, NaiveDate>,
    /// The first planting of each species in each area.
    species: BTreeMap<(&'a AreaId, &'a SpeciesId), NaiveDate>,
}

impl<'a> Log<'a> {
    fn of(project: &'a Project) -> Log<'a> {
        let mut species = BTreeMap::new();
        for planting in &project.plantings {
            let day = species.entry((&planting.area, &planting.species)).or_insert(planting.date);
            *day = planting.date.min(*day);
        }
        Log { first: first_plantings(project), species }
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
        return;
    }
    let first =
        log.species.get(&(area, &tally.species)).filter(|first| tally.set() > 0 && tally.date < **first);
    if let Some(first) = first {
        let kind = Records::SurveyBeforePlanting {
            date: day(tally.date),
            planted: day(*first),
            whereabouts: format!("{area} of {}", tally.species),
        };
        problems.push(Problem::new(kind, Place::row(&tally.source).column("date")));
    }
}

fn not_planted(tally: &Tally, area: &AreaId, log: &Log<'_>, problems: &mut Vec<Problem>) {
    if tally.set() > 0 && !log.species.contains_key(&(area, &tally.species)) {
        let kind = Records::TalliedNotPlanted { species: tally.species.to_string(), area: area.to_string() };
        problems.push(Problem::new(kind, Place::row(&tally.source).column("species")));
    }
}

/// What was tallied of a plot in a round, by species and year of planting.
type Visit<'a> = BTreeMap<(&'a SpeciesId, Option<i32>), Vec<&'a Tally>>;

/// Each visit of a plot, which may take several days of a round, against the stems that were set in it.
fn against_plots(project: &Project, problems: &mut Vec<Problem>) {
    let rounds = project.rounds();
    let round = |day| rounds.iter().find(|round| round.holds(day)).map_or(day, |round| round.from);
    // A species that was counted twice in a round stands for what was counted last.
    let mut visits: BTreeMap<(&PlotId, NaiveDate), Visit<'_>> = BTreeMap::new();
    for tally in &project.tallies {
        let visit = visits.entry((&tally.plot, round(tally.date))).or_default();
        let rows = visit.entry((&tally.species, tally.cohort)).or_default();
        if rows.first().is_some_and(|first| first.date < tally.date) {
            rows.clear();
        }
        if rows.first().is_none_or(|first| first.date == tally.date) {
            rows.push(tally);
        }
    }
    for ((id, _), visit) in visits {
        let rows: Vec<&Tally> = visit.into_values().flatten().collect();
        let Some(last) = rows.iter().max_by_key(|tally| tally.source.row) else { continue };
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
            // Two plots whose names were changed over each have what was set in the other.
            let others = project.plots.iter().filter(|other| &other.id != id);
            let mut fits = others.filter(|other| {
                other.area == plot.area && other.planted_stems.is_some_and(|stems| stems.0 == set)
            });
            let fits = match (fits.next(), fits.next()) {
                (Some(only), None) => format!("; {set} were set in plot {}", only.id),
                _ => String::new(),
            };
            (
                Records::TallyDoesNotAddUp { sum: set, planted: planted.0, plot: id.to_string(), fits },
                "missing",
            )
        } else {
            continue;
        };
        let other = SecondReading::of(Change::LeftOut, rows.iter().map(|tally| &tally.source));
        problems.push(Problem::new(kind, Place::row(&last.source).column(column)).or(other));
    }
}
