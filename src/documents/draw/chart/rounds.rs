//! What several rounds of survey found, as curves over time with the targets that ask about them.

use chrono::NaiveDate;

use crate::draw::chart::{
    across::{Across, day_number},
    curve::{Aim, Curve, Join, Shape},
    panels::ABREAST,
    words::value,
};
use hillfolio_core::{
    ledger::{Figure, FigureId, Ledger},
    project::{Bound, Project},
};

/// Most strips of panels a measure may have; what the areas of more would show stands in the tables.
const MOST_SCOPES: usize = 2 * ABREAST;

/// How marks, whiskers and targets are to be read, in every chart of rounds.
pub(super) const READING: &str = "Time is true to the day and begins with the first planting.";

/// The areas that are drawn.
pub(super) struct Scopes {
    /// Heading, and name in ids; all areas first.
    pub(super) shown: Vec<(String, String)>,
    /// Areas left out for want of room.
    pub(super) left_out: usize,
}

impl Scopes {
    pub(super) fn of(project: &Project) -> Scopes {
        let all = ("All areas".to_owned(), "all".to_owned());
        // One area is all of them.
        let areas = if project.areas.len() > 1 { project.areas.as_slice() } else { &[] };
        let areas = areas.iter().map(|area| (area.id.to_string(), area.id.0.to_string()));
        let mut shown: Vec<(String, String)> = std::iter::once(all).chain(areas).collect();
        let left_out = shown.len().saturating_sub(MOST_SCOPES);
        shown.truncate(MOST_SCOPES);
        Scopes { shown, left_out }
    }

    /// What is said of the areas left out.
    pub(super) fn words(&self) -> String {
        match self.left_out {
            0 => String::new(),
            1 => " One area is left out here; the table has it.".to_owned(),
            more => format!(" {more} areas are left out here; the table has them."),
        }
    }
}

/// The figures of `id` from round to round.
pub(super) fn curve<'a>(
    ledger: &'a Ledger,
    id: &FigureId,
    name: &'static str,
    shape: Shape,
) -> Option<Curve<'a>> {
    let rounds = ledger.rounds(id);
    let found = |(day, id): (NaiveDate, FigureId)| Some((day_number(day), ledger.figure(id.as_str())?));
    let points: Vec<(f64, &Figure)> = rounds.into_iter().filter_map(found).collect();
    (points.len() > 1).then_some(Curve { name, shape, join: Join::Line, points })
}

/// What the targets ask of `id`, each at its day.
pub(super) fn aims<'a>(project: &Project, ledger: &'a Ledger, id: &FigureId) -> Vec<Aim<'a>> {
    let here = ledger.targets.iter().filter(|judged| judged.figure == *id);
    here.map(|judged| {
        let (asked, side, upward) = match judged.target.bound {
            Bound::AtLeast(asked) => (asked, "at least", true),
            Bound::AtMost(asked) => (asked, "at most", false),
        };
        let number = ledger.figure(id.as_str()).map_or_else(
            || asked.to_string(),
            |figure| value(&Figure { value: asked, interval: None, ..figure.clone() }),
        );
        Aim {
            at: day_number(judged.target.by.unwrap_or(project.period.to)),
            asked,
            words: format!("{side} {number}").replace('\u{a0}', " "),
            upward,
            expected: judged.outlook.as_ref().and_then(|(id, _)| ledger.figure(id.as_str())),
        }
    })
    .collect()
}

/// Time from the first planting to the last survey of `ids` or the last day of their targets.
pub(super) fn time(project: &Project, ledger: &Ledger, ids: &[FigureId]) -> Option<Across> {
    let surveys: Vec<NaiveDate> = ids.iter().flat_map(|id| ledger.rounds(id)).map(|(day, _)| day).collect();
    let planted = project.plantings.iter().map(|planting| planting.date);
    let first = planted.chain(surveys.iter().copied()).min()?;
    let asked = ledger.targets.iter().filter(|judged| ids.contains(&judged.figure));
    let asked = asked.map(|judged| judged.target.by.unwrap_or(project.period.to));
    let last = asked.chain(surveys.iter().copied()).max()?;
    Some(Across::years(first, last))
}

/// How the marks are to be read, given what is drawn.
pub(super) fn reading<'a>(
    curves: impl Iterator<Item = &'a Curve<'a>>,
    aims: &[&Aim<'_>],
    level: Option<&str>,
) -> String {
    let mut words = "Filled mark: what a survey found.".to_owned();
    if let Some(level) = level {
        words += &format!(" Whisker: its {level} interval.");
    }
    let mut figures = curves.flat_map(|curve| curve.points.iter());
    if figures.any(|(_, figure)| figure.interval.is_none()) {
        words += " A mark without a whisker has no interval, because all plots read alike or one alone was read, or one that the mark hides.";
    }
    if !aims.is_empty() {
        words += " Brown bar: what a target asks, at the day by which it must hold; its point shows the side that is right.";
    }
    if aims.iter().any(|aim| aim.expected.is_some()) {
        words += " Open mark at the end of dashes: what is expected on that day if things go on as between the last two surveys; an \
                  expectation, not a finding.";
    }
    format!("{words} {READING}")
}
