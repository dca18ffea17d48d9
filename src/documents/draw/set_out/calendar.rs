//! The calendar as a chart: what is due when, from the order at the nursery to the third year after planting.

use chrono::{Datelike, Months, NaiveDate};
use geo::{Coord, LineString};

use crate::draw::{
    Drawing,
    palette::{ACCENT, INK, RULE, SOFT_INK},
    set_out::WIDTH,
    svg::{Anchor, Stroke, Svg, line_data},
    text::{CAP_HEIGHT, Line, POINT_MM, Weight},
};
use hillfolio_core::{
    plan::{
        Plan,
        calendar::{Task, months, wet_season},
    },
    project::Project,
};

/// Months drawn after the planting.
const AFTER: u32 = 37;

/// Left end of the months, mm.
const LEFT: f64 = 48.0;

/// Height of the strip of years, of months, and of a season's strip, mm.
const YEARS: f64 = 4.8;
const MONTHS: f64 = 4.4;
const SEASON: f64 = 4.6;

/// Height of a row, mm.
const ROW: f64 = 5.6;

/// Type of words, and the smallest, points.
const POINTS: (f64, f64) = (8.0, 7.0);

/// A season as it is drawn: its months, its words from long to short, the colours of its strip and of the columns below.
struct Season {
    months: Vec<u32>,
    words: [&'static str; 2],
    strip: &'static str,
    columns: &'static str,
}

/// Something on a row of the chart.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Mark {
    /// A day.
    Day(NaiveDate),
    /// A time from one day to another.
    Time(NaiveDate, NaiveDate),
}

struct Row {
    words: &'static str,
    marks: Vec<Mark>,
    /// Whether it is the planting itself.
    strong: bool,
}

/// The chart; `None` where no planting is in sight.
#[must_use]
pub(super) fn calendar(project: &Project, plan: &Plan) -> Option<Drawing> {
    let planting = plan.planting?;
    let rows = rows(plan, planting);
    let first = rows.iter().flat_map(|row| &row.marks).map(Mark::from).min()?.with_day(1)?;
    let end = planting.checked_add_months(Months::new(AFTER))?.with_day(1)?;
    let axis = Axis { first, months: months_between(first, end) };
    let seasons = seasons(project);
    let top = YEARS + MONTHS + SEASON * seasons.len() as f64 + 1.2;
    let bottom = top + ROW * rows.len() as f64;
    let size = (WIDTH, bottom + 0.5);

    let mut svg = Svg::new(size);
    svg.oblong(Coord::zero(), size, "#ffffff", None);
    for (at, season) in seasons.iter().enumerate() {
        axis.shade(&mut svg, season, YEARS + MONTHS + SEASON * at as f64, (top, bottom));
    }
    axis.draw(&mut svg, bottom);
    for (at, row) in rows.iter().enumerate() {
        let middle = top + ROW * (at as f64 + 0.5);
        if at > 0 {
            level(&mut svg, 0.0, middle - ROW / 2.0);
        }
        let weight = if row.strong { Weight::SemiBold } else { Weight::Regular };
        let words = Line::new(row.words, POINTS.0).weight(weight).within(LEFT - 2.0);
        svg.words(Coord { x: 0.0, y: middle + drop(POINTS.0) }, Anchor::Start, 0.0, &words, false);
        row.marks.iter().for_each(|mark| axis.mark(&mut svg, *mark, middle, row.strong));
    }
    let said = |day: NaiveDate| day.format("%B %Y").to_string();
    let counted = rows.iter().map(|row| format!("{}: {}", row.words, spelt(&row.marks)));
    Some(Drawing {
        name: "calendar".to_owned(),
        title: "The work through the seasons".to_owned(),
        alt: format!("Chart of the work by month. {}.", counted.collect::<Vec<_>>().join("; ")),
        caption: caption(plan, &seasons, end, &said(planting)),
        svg: svg.finish(),
        size_mm: size,
        landscape: false,
    })
}

fn caption(plan: &Plan, seasons: &[Season], end: NaiveDate, planting: &str) -> String {
    let mut caption = format!(
        "A diamond is a day or the first of the weeks in which something is due, a bar a time it takes. Everything is counted \
         from a planting in {planting}: if that moves, all of it moves."
    );
    if plan.nursery_dates().is_some() {
        caption += " The nursery's own times go before those drawn here.";
    }
    if seasons.len() < 2 {
        caption += " Frost months or a wet season that the project does not state are not shaded.";
    }
    let beyond: Vec<String> = plan
        .calendar
        .iter()
        .filter(|entry| entry.day >= end)
        .map(|entry| format!("{}, {}", entry.task.words(), entry.day.format("%B %Y")))
        .collect();
    if !beyond.is_empty() {
        caption += &format!(" Beyond the chart: {}.", beyond.join("; "));
    }
    caption
}

/// `2026-12, 2027-02` in words, or how many there are.
fn spelt(marks: &[Mark]) -> String {
    let month = |day: NaiveDate| day.format("%B %Y").to_string();
    match marks {
        [Mark::Time(from, to)] => format!("{} to {}", month(*from), month(*to)),
        marks if marks.len() <= 6 => {
            marks.iter().map(|mark| month(mark.from())).collect::<Vec<String>>().join(", ")
        }
        marks => format!("{} times", marks.len()),
    }
}

impl Mark {
    /// Its first day.
    fn from(&self) -> NaiveDate {
        match self {
            Mark::Day(day) | Mark::Time(day, _) => *day,
        }
    }
}

fn rows(plan: &Plan, planting: NaiveDate) -> Vec<Row> {
    let row = |words: &'static str, marks: Vec<Mark>| Row { words, marks, strong: false };
    let mut rows = Vec::new();
    if let Some(dates) = plan.nursery_dates() {
        rows.extend([
            row("order with the nursery", vec![Mark::Day(dates.order)]),
            row("seed in, cleaned, treated", vec![Mark::Time(dates.seed_in, dates.sow)]),
            row("sown, in trays", vec![Mark::Time(dates.sow, dates.prick)]),
            row("pricked out, growing on", vec![Mark::Time(dates.prick, dates.harden)]),
            row("hardened off", vec![Mark::Time(dates.harden, planting)]),
        ]);
    }
    let last = planting.checked_add_months(Months::new(AFTER)).unwrap_or(NaiveDate::MAX);
    for task in [
        Task::Prepare,
        Task::Baseline,
        Task::SecondWeed,
        Task::SetOut,
        Task::Plant,
        Task::Browse,
        Task::Maintain,
        Task::Slash,
        Task::Survey,
        Task::Photograph,
        Task::OrderInfill,
        Task::Infill,
        Task::Prune,
    ] {
        let days = plan.calendar.iter().filter(|entry| entry.task == task && entry.day < last);
        let mut marks: Vec<Mark> = days.map(|entry| Mark::Day(entry.day)).collect();
        if task == Task::Plant {
            marks = vec![Mark::Time(planting, window_end(plan, planting))];
        }
        if !marks.is_empty() {
            rows.push(Row { words: short(task), marks, strong: task == Task::Plant });
        }
    }
    rows
}

/// The day after the last month of the planting window that `planting` begins.
fn window_end(plan: &Plan, planting: NaiveDate) -> NaiveDate {
    let months = plan.window.as_ref().map_or(&[][..], |window| &window.months);
    let follows = |(on, month): &(u32, &u32)| (planting.month0() + on) % 12 + 1 == **month;
    let run = (0..).zip(months).take_while(follows).count() as u32;
    planting.checked_add_months(Months::new(run.max(1))).unwrap_or(planting)
}

/// A task in few words; the list beside the chart says it in full.
fn short(task: Task) -> &'static str {
    match task {
        // The nursery's own rows tell of these, and guards go on as stems are set.
        Task::Order => "order with the nursery",
        Task::Sow => "seed sown",
        Task::Guard => "guards fitted",
        Task::SecondWeed => "second weed control",
        Task::Browse => "browsing looked for",
        Task::OrderInfill => "infill ordered",
        Task::Prepare => "fence, first weed control",
        Task::Baseline => "plots, photo points set out",
        Task::SetOut => "rows pegged, spots cleared",
        Task::Plant => "planting",
        Task::Maintain => "grass cleared at the stem",
        Task::Slash => "grass strips slashed",
        Task::Survey => "survival and cover surveyed",
        Task::Photograph => "pictures from photo points",
        Task::Infill => "dead stems replaced",
        Task::Prune => "pioneers pruned",
    }
}

fn seasons(project: &Project) -> Vec<Season> {
    let wet = wet_season(&project.climate, &project.rain).map(|wet| Season {
        months: months(wet),
        words: ["wet season", "wet"],
        strip: "#bcd8ea",
        columns: "#eaf3f9",
    });
    let frost = project.climate.frost.map(|frost| Season {
        months: months(frost),
        words: ["frost", "frost"],
        strip: "#d3d0dc",
        columns: "#f3f2f5",
    });
    wet.into_iter().chain(frost).collect()
}

fn months_between(from: NaiveDate, to: NaiveDate) -> u32 {
    let months = (to.year() - from.year()) * 12 + to.month0() as i32 - from.month0() as i32;
    u32::try_from(months).unwrap_or(0).max(1)
}

fn drop(points: f64) -> f64 {
    CAP_HEIGHT * points * POINT_MM / 2.0
}

fn level(svg: &mut Svg, left: f64, y: f64) {
    let line = vec![Coord { x: left, y }, Coord { x: WIDTH, y }];
    svg.path(&line_data(&LineString(line)), "none", Some(&Stroke::solid(RULE, 0.15)));
}

/// Months from left to right, each as wide as the next.
struct Axis {
    first: NaiveDate,
    months: u32,
}

impl Axis {
    fn month(&self, n: u32) -> f64 {
        LEFT + (WIDTH - LEFT) * f64::from(n) / f64::from(self.months)
    }

    fn at(&self, day: NaiveDate) -> f64 {
        let whole = if day < self.first { 0 } else { months_between(self.first, day) };
        let whole =
            if day.year() == self.first.year() && day.month() == self.first.month() { 0 } else { whole };
        self.month(whole) + (self.month(1) - LEFT) * f64::from(day.day0()) / 30.5
    }

    /// Each month of the chart by its number, with the month of the year from 1.
    fn each(&self) -> impl Iterator<Item = (u32, u32)> {
        let first = self.first.month0();
        (0..self.months).map(move |n| (n, (first + n) % 12 + 1))
    }

    fn draw(&self, svg: &mut Svg, bottom: f64) {
        let upright =
            |x: f64, from: f64| line_data(&LineString(vec![Coord { x, y: from }, Coord { x, y: bottom }]));
        for (n, month) in self.each() {
            let x = self.month(n);
            if month == 1 || n == 0 {
                svg.path(&upright(x, 0.0), "none", Some(&Stroke::solid(SOFT_INK, 0.3)));
                let year = self.first.year() + ((self.first.month0() + n) / 12) as i32;
                let line = Line::new(year.to_string(), POINTS.0).weight(Weight::SemiBold);
                let left = (13 - month).min(self.months - n);
                // A year of which little shows has no room for its number.
                if self.month(n + left) - x > line.width() + 1.6 {
                    svg.words(Coord { x: x + 0.9, y: 3.6 }, Anchor::Start, 0.0, &line, false);
                }
            }
            if month % 3 == 1 {
                svg.path(&upright(x, YEARS), "none", Some(&Stroke::solid(RULE, 0.15)));
                let name = ["Jan", "Apr", "Jul", "Oct"][(month / 3) as usize % 4];
                let line = Line::new(name, POINTS.1).colour(SOFT_INK);
                if x + line.width() + 0.6 < WIDTH {
                    svg.words(Coord { x: x + 0.6, y: YEARS + 3.2 }, Anchor::Start, 0.0, &line, false);
                }
            }
        }
    }

    /// Colours the months of a season, with its name in a strip at `y` and its columns between `span`.
    fn shade(&self, svg: &mut Svg, season: &Season, y: f64, (top, bottom): (f64, f64)) {
        let inside: Vec<u32> =
            self.each().filter(|(_, month)| season.months.contains(month)).map(|(n, _)| n).collect();
        for run in inside.chunk_by(|one, other| one + 1 == *other) {
            let (Some(from), Some(to)) = (run.first(), run.last()) else { continue };
            let (left, right) = (self.month(*from), self.month(to + 1));
            svg.oblong(Coord { x: left, y: top }, (right - left, bottom - top), season.columns, None);
            svg.oblong(Coord { x: left, y: y + 0.3 }, (right - left, SEASON - 0.6), season.strip, None);
            let lines = season.words.map(|words| Line::new(words, POINTS.1));
            if let Some(line) = lines.iter().find(|line| line.width() < right - left - 0.6) {
                let at = Coord { x: f64::midpoint(left, right), y: y + SEASON / 2.0 + drop(POINTS.1) };
                svg.words(at, Anchor::Middle, 0.0, line, false);
            }
        }
    }

    fn mark(&self, svg: &mut Svg, mark: Mark, y: f64, strong: bool) {
        let colour = if strong { ACCENT } else { INK };
        match mark {
            Mark::Day(day) => {
                let x = self.at(day);
                let ring = [(-1.35, 0.0), (0.0, -1.35), (1.35, 0.0), (0.0, 1.35)];
                let ring = ring.map(|(dx, dy)| Coord { x: x + dx, y: y + dy });
                let data = line_data(&LineString(ring.to_vec())) + "Z";
                svg.path(&data, colour, Some(&Stroke::solid("#ffffff", 0.25)));
            }
            Mark::Time(from, to) => {
                let (left, right) = (self.at(from), self.at(to));
                svg.oblong(Coord { x: left, y: y - 1.3 }, ((right - left).max(0.8), 2.6), colour, None);
            }
        }
    }
}
