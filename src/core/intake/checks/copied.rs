//! A survey that is an earlier one again: every count, reading or measurement the same, under another day.

use std::collections::BTreeMap;

use chrono::{Datelike as _, NaiveDate};

use crate::{
    intake::checks::say_of,
    problem::{Change, Problem, SecondReading, Surveyed},
    project::{CoverMeasure, Project},
    source::Row,
};

/// Rows that agree by no chance: counts of stems, which change little where little dies; readings of cover and heights of stems, which
/// no two surveys give alike (judgement).
const COUNTS: usize = 8;
const READINGS: usize = 4;

/// What one row of a survey says, whatever its day.
type Says = String;

/// All rows of a year by what they are about.
type Rows<'a> = BTreeMap<String, Vec<(Says, &'a Row)>>;

/// The rows of a year's survey by what they are about: each with what it says.
type Survey<'a> = BTreeMap<String, (Says, &'a Row)>;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let tallies = project.tallies.iter().map(|row| {
        let stems =
            [Some(row.alive), row.dead, row.missing, row.recruits].map(|stems| stems.map(|stems| stems.0));
        let about = format!("{}/{}/{:?}", row.plot, row.species, row.cohort);
        (row.date, about, format!("{stems:?}"), &row.source)
    });
    tell("counts", surveys(tallies), COUNTS, problems);
    let cover = project.cover.iter().map(|row| {
        let about = format!("{}/{}/{}/{}", row.plot, row.layer.word(), row.cover, line_of(&row.measure));
        (row.date, about, format!("{:?}", row.measure), &row.source)
    });
    tell("readings of cover", surveys(cover), READINGS, problems);
    let stems = project.stems.iter().filter_map(|row| {
        let tag = row.tag.as_ref()?;
        let about = format!("{}/{}/{tag}/{:?}", row.plot, row.species, row.stem);
        let says = format!("{:?} {:?}", row.height, row.diameter_mm);
        (row.height.is_some() || row.diameter_mm.is_some()).then_some((row.date, about, says, &row.source))
    });
    tell("measurements of tagged stems", surveys(stems), READINGS, problems);
}

fn line_of(measure: &CoverMeasure) -> String {
    match measure {
        CoverMeasure::Intercept { name: Some(name), .. } => name.to_string(),
        _ => String::new(),
    }
}

/// The rows by year, then by what they are about; what is told twice in a year is left out.
fn surveys<'a>(rows: impl Iterator<Item = (NaiveDate, String, Says, &'a Row)>) -> BTreeMap<i32, Survey<'a>> {
    let mut years: BTreeMap<i32, Rows<'a>> = BTreeMap::new();
    for (day, about, says, row) in rows {
        years.entry(day.year()).or_default().entry(about).or_default().push((says, row));
    }
    let once = |survey: Rows<'a>| {
        let single = survey.into_iter().filter(|(_, rows)| rows.len() == 1);
        single.filter_map(|(about, rows)| Some((about, rows.into_iter().next()?))).collect::<Survey<'_>>()
    };
    years.into_iter().map(|(year, survey)| (year, once(survey))).collect()
}

fn tell(what: &'static str, years: BTreeMap<i32, Survey<'_>>, least: usize, problems: &mut Vec<Problem>) {
    let years: Vec<(i32, Survey<'_>)> = years.into_iter().collect();
    for pair in years.windows(2) {
        let [(before, earlier), (year, later)] = pair else { continue };
        // Every row of the later survey that the earlier one has too; a survey may have gained or lost a plot.
        let both: Vec<(&Says, &Says, &Row)> = later
            .iter()
            .filter_map(|(about, (says, row))| Some((says, &earlier.get(about)?.0, *row)))
            .collect();
        if both.len() < least || both.len() * 2 < later.len() || both.iter().any(|(now, then, _)| now != then)
        {
            continue;
        }
        let rows = || both.iter().map(|(.., row)| *row);
        let kind = Surveyed::SurveyCopied { what, year: *year, before: *before, rows: both.len() };
        let other = SecondReading::of(Change::LeftOut, rows());
        say_of(kind, rows(), "", Some(&other), problems);
    }
}
