//! Heights of the measured trees, by species: every tree, and the median with its interval.

use plotters::data::Quartiles;

use crate::draw::{
    Drawing,
    chart::{
        canvas::{self, Canvas},
        counted::Measured,
        dots,
        frame::{Axis, Column, Frame, Row},
        scale::Scale,
        words::{
            NOTHING, confidence, figures_under, interval, listed, missing_under, species_by_slug, value,
            why_missing,
        },
    },
    palette::{SERIES, SOFT_INK},
};
use hillfolio_core::{
    ledger::{Figure, Ledger, catalogue},
    project::Project,
    units::whole,
};

/// Trees of a species that are drawn one by one; where there are more, a box stands for them.
const MOST_DOTS: usize = 150;

/// Most rows that a page holds.
const MOST_ROWS: usize = 60;

struct Heights<'a> {
    name: String,
    figure: &'a Figure,
    trees: Vec<f64>,
}

/// The chart of heights by species, the tallest first.
pub(super) fn heights(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let names = species_by_slug(project);
    let measured = Measured::of(project);
    let name = |slug: &str| names.get(slug).map_or_else(|| slug.to_owned(), |name| name.to_string());
    let mut species: Vec<Heights<'_>> = figures_under(ledger, &catalogue::HEIGHT, &[])
        .map(|(slug, figure)| Heights { name: name(slug), figure, trees: measured.heights(figure) })
        .collect();
    species.sort_by(|a, b| b.figure.value.total_cmp(&a.figure.value).then_with(|| a.name.cmp(&b.name)));
    let left_out = species.len().saturating_sub(MOST_ROWS);
    species.truncate(MOST_ROWS);
    let tallest = species.first()?;

    let confidence = confidence(species.iter().map(|one| one.figure));
    let rows = species.iter().map(|one| Row::species(&one.name, one.cells(confidence.is_some()))).collect();
    let mut columns = vec![Column::new("median, m")];
    columns.extend(confidence.as_ref().map(|level| Column::new(format!("{level} interval"))));
    columns.push(Column::new("trees"));
    let frame = Frame::new(rows, columns, 0.0);
    let scale = Scale::over(species.iter().flat_map(Heights::values), frame.plot(), 7.0, 0.01);
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new("height, m"));
        for (one, middle) in species.iter().zip(frame.middles()) {
            one.draw_trees(canvas, &scale, middle, frame.pitch());
            dots::dot(canvas, &scale, middle, one.figure);
        }
    });

    let named: Vec<String> =
        species.iter().map(|one| format!("{} {} m", one.name, value(one.figure))).collect();
    let reasons =
        missing_under(ledger, &catalogue::HEIGHT).map(|(slug, missing)| (missing.reason.clone(), name(slug)));
    let mut caption = caption(&species, confidence.as_deref());
    if left_out > 0 {
        caption += &format!(" The {left_out} shortest species are left out here; the table has them.");
    }
    Some(Drawing {
        name: "heights".to_owned(),
        title: "Height of measured trees, by species".to_owned(),
        alt: format!(
            "Chart of tree heights by species. The tallest by median is {}, at {} m. Medians: {}.",
            tallest.name,
            value(tallest.figure),
            listed(&named, 20)
        ),
        caption: caption + &why_missing(reasons),
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

impl Heights<'_> {
    fn values(&self) -> impl Iterator<Item = f64> {
        let bounds = self.figure.interval.iter().flat_map(|interval| [interval.low, interval.high]);
        self.trees.iter().copied().chain([self.figure.value]).chain(bounds)
    }

    fn cells(&self, has_interval: bool) -> Vec<String> {
        let mut cells = vec![value(self.figure)];
        if has_interval {
            cells.push(interval(self.figure));
        }
        cells.push(if self.trees.is_empty() { NOTHING.to_owned() } else { whole(self.trees.len() as u64) });
        cells
    }

    fn is_boxed(&self) -> bool {
        self.trees.len() > MOST_DOTS
    }

    /// Every tree as a small dot, or a box from quartile to quartile with a line from the shortest to the tallest.
    fn draw_trees(&self, canvas: &Canvas<'_>, scale: &Scale, middle: f64, pitch: f64) {
        if self.is_boxed() {
            let [_, lower, _, upper, _] = Quartiles::new(&self.trees).values().map(f64::from);
            let (shortest, tallest) = self
                .trees
                .iter()
                .fold((f64::MAX, 0.0_f64), |(low, high), &height| (low.min(height), high.max(height)));
            canvas.line(&[(scale.at(shortest), middle), (scale.at(tallest), middle)], SOFT_INK, 0.2);
            let half = pitch * 0.32;
            canvas.bar((scale.at(lower), middle - half), (scale.at(upper), middle + half), SERIES[4]);
            return;
        }
        for (at, &height) in self.trees.iter().enumerate() {
            let y = middle + (spread(at) - 0.5) * pitch * 0.7;
            canvas.disc((scale.at(height), y), 0.42, SERIES[4]);
        }
    }
}

/// A number from 0 to 1 for the tree at `at`, so that neighbours lie far apart: the van der Corput sequence to base 2.
fn spread(at: usize) -> f64 {
    let (mut rest, mut part, mut sum) = (at + 1, 0.5, 0.0);
    while rest > 0 {
        if rest % 2 == 1 {
            sum += part;
        }
        rest /= 2;
        part /= 2.0;
    }
    sum
}

fn caption(species: &[Heights<'_>], confidence: Option<&str>) -> String {
    let mut caption = "Dark dot: median height at the latest survey.".to_owned();
    if let Some(level) = confidence {
        caption += &format!(" Whisker: its {level} interval.");
    }
    if species.iter().any(|one| one.figure.interval.is_none()) {
        caption += " An open dot has no interval.";
    }
    if species.iter().any(|one| !one.is_boxed() && !one.trees.is_empty()) {
        caption += " Small light dots: the measured trees, spread up and down only to be seen apart.";
    }
    if species.iter().any(Heights::is_boxed) {
        caption += &format!(
            " Box (over {MOST_DOTS} trees): the middle half of them; thin line: from the shortest to the tallest."
        );
    }
    caption
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trees_are_spread_without_chance() {
        let first: Vec<f64> = (0..7).map(spread).collect();
        assert_eq!(first, [0.5, 0.25, 0.75, 0.125, 0.625, 0.375, 0.875]);
    }
}
