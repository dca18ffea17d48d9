//! Rain over the period, with what was planted when and the days without a reading: where the record has enough other years, its sum
//! since the first day in their band, else day by day.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, Days, NaiveDate};

use crate::draw::{
    Drawing,
    chart::{
        canvas::{self, Canvas, Hold, drop_to_baseline},
        frame::WIDTH,
        rain_sum,
        scale::Scale,
        words::{drawable, value},
    },
    palette::{ACCENT, RULE, SERIES, SOFT_INK},
    text::{Line, Weight},
};
use hillfolio_core::{
    ledger::{self, CumulativeRain, Figure, Ledger, catalogue},
    project::Project,
    units::{day, number},
};

/// Left and right end of the plot, mm.
pub(super) const PLOT: (f64, f64) = (11.0, 156.0);
/// Upper and lower end of the plot, mm; above it stand the names of plantings.
pub(super) const SPAN: (f64, f64) = (10.0, 52.0);
/// The strip that marks days without a reading: its distance below the axis and its height, mm.
const STRIP: (f64, f64) = (0.7, 1.5);
/// Height of the months' names under the plot.
const MONTHS: f64 = 8.0;
/// Days after a planting that are shaded: eight weeks, as the ledger counts them.
const AFTER_PLANTING: u64 = 56;
/// The pale ground of those days.
const WASH: &str = "#f1e9df";
/// Plantings nearer than this on paper share one name, mm.
const APART: f64 = 16.0;
/// The narrowest column, mm.
const NARROWEST: f64 = 0.12;

/// The chart of the period's rain; `None` where no day of it was read.
pub(super) fn rain(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let record = Record::of(project)?;
    let totals = totals(ledger);
    let sums = ledger::cumulative_rain(project).filter(|_| totals.len() > 1);
    let size = (WIDTH, SPAN.1 + STRIP.0 + STRIP.1 + MONTHS);
    let svg = canvas::drawn(size, |canvas| {
        record.draw_ground(canvas);
        match &sums {
            Some(sums) => rain_sum::draw(canvas, &record, sums, &totals),
            None => record.draw_days(canvas),
        }
        record.draw_front(canvas);
    });
    Some(Drawing {
        name: "rain".to_owned(),
        title: "Rain in the period".to_owned(),
        alt: record.alt(&totals, sums.as_ref()),
        caption: record.caption(sums.as_ref()),
        svg,
        size_mm: size,
        landscape: false,
    })
}

/// The days of the period.
pub(super) struct Record {
    from: NaiveDate,
    to: NaiveDate,
    /// Millimetres on each day that was read.
    read: BTreeMap<NaiveDate, f64>,
    planted: BTreeSet<NaiveDate>,
}

impl Record {
    fn of(project: &Project) -> Option<Record> {
        let (from, to) = (project.period.from, project.period.to);
        let mut read = BTreeMap::new();
        for day in project.rain.iter().filter(|day| (from..=to).contains(&day.date)) {
            if let Some(mm) = day.mm {
                read.entry(day.date).or_insert(mm.0);
            }
        }
        let planted = project.plantings.iter().map(|planting| planting.date);
        let planted = planted.filter(|date| (from..=to).contains(date)).collect();
        (!read.is_empty()).then_some(Record { from, to, read, planted })
    }

    fn length(&self) -> i64 {
        (self.to - self.from).num_days() + 1
    }

    /// Where `date` begins, mm from the left.
    pub(super) fn at(&self, date: NaiveDate) -> f64 {
        let part = (date - self.from).num_days() as f64 / self.length() as f64;
        PLOT.0 + part.clamp(0.0, 1.0) * (PLOT.1 - PLOT.0)
    }

    fn after(date: NaiveDate, days: u64) -> NaiveDate {
        date.checked_add_days(Days::new(days)).unwrap_or(date)
    }

    /// The weeks after each planting.
    fn draw_ground(&self, canvas: &Canvas<'_>) {
        for planted in &self.planted {
            let (first, last) = (Record::after(*planted, 1), Record::after(*planted, AFTER_PLANTING + 1));
            canvas.bar((self.at(first), SPAN.0), (self.at(last), SPAN.1), WASH);
        }
    }

    /// One column a day.
    fn draw_days(&self, canvas: &Canvas<'_>) {
        let scale = Scale::over(self.read.values().copied(), (SPAN.1, SPAN.0), 5.0, 1.0);
        self.draw_axes(canvas, &scale, "mm a day");
        let width = (self.at(Record::after(self.from, 1)) - PLOT.0).max(NARROWEST);
        for (date, mm) in &self.read {
            let left = self.at(*date);
            if scale.at(*mm) < SPAN.1 {
                canvas.bar((left, scale.at(*mm)), (left + width, SPAN.1), SERIES[0]);
            }
        }
    }

    /// Days without a reading, and the plantings.
    fn draw_front(&self, canvas: &Canvas<'_>) {
        let top = SPAN.1 + STRIP.0;
        for (first, last) in self.gaps() {
            let right = self.at(Record::after(last, 1)).max(self.at(first) + NARROWEST);
            canvas.bar((self.at(first), top), (right, top + STRIP.1), ACCENT);
        }
        self.draw_plantings(canvas);
    }

    /// The end of the day that lies `place` days behind the first, mm from the left.
    pub(super) fn end_of(&self, place: usize) -> f64 {
        self.at(Record::after(self.from, place as u64 + 1))
    }

    /// Heights in `unit`, and the months.
    pub(super) fn draw_axes(&self, canvas: &Canvas<'_>, scale: &Scale, unit: &str) {
        for tick in scale.ticks() {
            let y = scale.at(tick);
            let colour = if tick.abs() < 1e-9 { SOFT_INK } else { RULE };
            canvas.line(&[(PLOT.0, y), (PLOT.1, y)], colour, 0.2);
            let words = Line::new(number(tick, scale.decimals(tick)), 7.0).colour(SOFT_INK);
            canvas.words((PLOT.0 - 1.5, y + drop_to_baseline(7.0)), Hold::Right, &words);
        }
        let unit = Line::new(unit, 7.0).colour(SOFT_INK);
        canvas.words((unit.width(), SPAN.0 - 3.0), Hold::Right, &unit);
        let months = self.months();
        let every = (months.len() / 13 + 1).next_power_of_two();
        for (at, (first, last)) in months.iter().enumerate() {
            let (left, right) = (self.at(*first), self.at(Record::after(*last, 1)));
            if at > 0 {
                canvas.line(&[(left, SPAN.1), (left, SPAN.1 + STRIP.0 + STRIP.1 + 0.8)], SOFT_INK, 0.15);
            }
            let year = at == 0 || first.month() <= every as u32 && every < 12;
            let pattern = if year || every >= 12 { "%b %Y" } else { "%b" };
            let words = Line::new(first.format(pattern).to_string(), 7.0).colour(SOFT_INK);
            if at % every == 0 && words.width() <= (right - left) * every as f64 {
                canvas.words(
                    (f64::midpoint(left, right), SPAN.1 + STRIP.0 + STRIP.1 + 3.6),
                    Hold::Middle,
                    &words,
                );
            }
        }
    }

    /// A dashed line a day of planting; days close together share one name above.
    fn draw_plantings(&self, canvas: &Canvas<'_>) {
        for planted in &self.planted {
            canvas.dashes(self.at(*planted), (SPAN.0 - 1.6, SPAN.1), ACCENT, 0.3);
        }
        for (first, last) in self.groups() {
            let words = format!("planting, {}", said(first, last));
            let line = Line::new(words, 7.0).weight(Weight::SemiBold).colour(ACCENT);
            let half = line.width() / 2.0;
            let middle = f64::midpoint(self.at(first), self.at(last));
            let middle = middle.max(PLOT.0 + 8.0 + half).min(WIDTH - half);
            canvas.words((middle, SPAN.0 - 3.0), Hold::Middle, &line);
        }
    }

    /// Days of planting so close that one name stands for them: the first and the last of each group.
    fn groups(&self) -> Vec<(NaiveDate, NaiveDate)> {
        let mut groups: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        for &date in &self.planted {
            match groups.last_mut() {
                // The names of two groups need the room of both.
                Some(group) if self.at(date) - self.at(group.1) < 2.2 * APART => group.1 = date,
                _ => groups.push((date, date)),
            }
        }
        groups
    }

    /// Runs of days without a reading.
    fn gaps(&self) -> Vec<(NaiveDate, NaiveDate)> {
        let mut gaps: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        let unread = self.from.iter_days().take_while(|date| *date <= self.to);
        for date in unread.filter(|date| !self.read.contains_key(date)) {
            match gaps.last_mut() {
                Some(gap) if gap.1.succ_opt() == Some(date) => gap.1 = date,
                _ => gaps.push((date, date)),
            }
        }
        gaps
    }

    /// The months of the period, cut at its ends.
    fn months(&self) -> Vec<(NaiveDate, NaiveDate)> {
        let mut months: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        for date in self.from.iter_days().take_while(|date| *date <= self.to) {
            match months.last_mut() {
                Some(month) if date.day() != 1 => month.1 = date,
                _ => months.push((date, date)),
            }
        }
        months
    }

    fn alt(&self, totals: &Totals<'_>, sums: Option<&CumulativeRain>) -> String {
        let wettest = self.read.iter().max_by(|one, other| one.1.total_cmp(other.1));
        let wettest = wettest.map_or_else(String::new, |(date, mm)| {
            format!(" The wettest day was {}, with {} mm.", day(*date), number(*mm, 0))
        });
        let totals: String =
            totals.iter().map(|(name, figure)| format!(" {name}: {} mm.", value(figure))).collect();
        let planted: Vec<String> = self.groups().into_iter().map(|(first, last)| said(first, last)).collect();
        let planted =
            if planted.is_empty() { String::new() } else { format!(" Planting: {}.", planted.join("; ")) };
        let kind = match sums {
            Some(_) => "Line chart of the rain since the first day, in the band of other years,",
            None => "Column chart of daily rain",
        };
        format!("{kind} from {} to {}.{wettest}{totals}{planted}", day(self.from), day(self.to))
    }

    fn caption(&self, sums: Option<&CumulativeRain>) -> String {
        let mut caption = match sums {
            Some(sums) => format!(
                "Rain since the first day of the period. Dark line: this period; pale band: the driest to the wettest of {} other \
                 years on the same day, dashed line their median.",
                sums.years
            ),
            None => "One column a day.".to_owned(),
        };
        if !self.planted.is_empty() {
            caption += " Dashed uprights: days of planting; pale ground: the eight weeks after each.";
        }
        if !self.gaps().is_empty() {
            caption += " Brown strip: days without a reading; sums are too low by what fell then.";
        }
        caption
    }
}

/// What the ledger has of the period and of other years.
pub(super) type Totals<'l> = [(&'static str, &'l Figure)];

/// The totals that the ledger has, and what each is called.
fn totals(ledger: &Ledger) -> Vec<(&'static str, &Figure)> {
    [("This period", &catalogue::RAIN), ("Median of other years", &catalogue::RAIN_MEDIAN)]
        .into_iter()
        .filter_map(|(name, series)| Some((name, drawable(ledger, &series.whole())?)))
        .collect()
}

/// A day, or a first and a last day, as short as they can be said.
fn said(first: NaiveDate, last: NaiveDate) -> String {
    if first == last {
        return first.format("%-d %b").to_string();
    }
    let from = if first.month() == last.month() && first.year() == last.year() { "%-d" } else { "%-d %b" };
    format!("{} to {}", first.format(from), last.format("%-d %b"))
}
