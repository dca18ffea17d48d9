//! C from cover readings: by plot, then averaged.

use std::{collections::BTreeMap, ops::RangeInclusive};

use chrono::NaiveDate;

use crate::{
    estimate::{
        Gap, Method,
        cover::{Within, within_plot},
        erosion::{CLOSED_CANOPY, Canopy, Factor, GroundCover, cover_factor, logarithmic_slope},
        interval::quantile,
        ratio::count,
    },
    project::{CoverBefore, CoverReading, Layer, PlotId, slug},
    source::{Row, Sources},
    units::{Metres, span},
};

/// Least error of ln C, and that of a C below 0.01 (judgement; twin plots differ by more than their mean there: Nearing,
/// Govers and Norton 1999).
pub(crate) const SIGMAS: (f64, f64) = (0.25, 0.70);

/// Below this C the larger error counts.
pub(crate) const SMALL: f64 = 0.01;

/// Error of a cover that was guessed or read in one plot, in points (judgement).
const GUESSED_POINTS: f64 = 15.0;

/// Height of the underside of crowns where none was read and no cover before had one, m: the tallest of AH-537's table 10.
const FALL_UNKNOWN: f64 = 4.0;

/// Cover of one plot on one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotCover {
    /// The plot.
    pub plot: PlotId,
    /// The day on which the ground was read.
    pub date: NaiveDate,
    /// Ground cover.
    pub ground: GroundCover,
    /// Error of the ground cover where it was read in classes, points; 0 otherwise.
    pub class_error: f64,
    /// Layers of leaves, lowest first.
    pub layers: Vec<Canopy>,
    /// Whether the height of a layer was not read.
    pub fall_guessed: bool,
    /// The rows that say so.
    pub rows: Vec<Row>,
}

impl PlotCover {
    /// C of the plot.
    #[must_use]
    pub fn factor(&self) -> f64 {
        cover_factor(self.ground, &self.layers)
    }
}

/// The latest cover of each plot within `days`; a plot whose ground was not read is left out.
///
/// Ground cover is what is not bare where bare ground was read, else the sum of what covers it. Weeds and forbs count as broad
/// leaves. A layer whose height was not read hangs `fall` above the ground, or 4 m.
#[must_use]
pub fn cover_plots<'a>(
    readings: impl IntoIterator<Item = &'a CoverReading>,
    days: RangeInclusive<NaiveDate>,
    fall: Option<Metres>,
) -> Vec<PlotCover> {
    let mut plots: BTreeMap<&PlotId, BTreeMap<Layer, Vec<&CoverReading>>> = BTreeMap::new();
    for reading in readings.into_iter().filter(|reading| days.contains(&reading.date)) {
        let layer = plots.entry(&reading.plot).or_default().entry(reading.layer).or_default();
        if layer.first().is_some_and(|first| first.date < reading.date) {
            layer.clear();
        }
        if layer.first().is_none_or(|first| first.date == reading.date) {
            layer.push(reading);
        }
    }
    let plots = plots.into_iter().filter_map(|(plot, layers)| {
        let ground = layers.get(&Layer::Ground)?;
        let leaves: Vec<(Canopy, bool)> = [Layer::Shrub, Layer::Canopy]
            .iter()
            .filter_map(|layer| canopy(layers.get(layer)?, fall.unwrap_or(Metres(FALL_UNKNOWN))))
            .collect();
        let (covered, class_error) = ground_cover(ground)?;
        Some(PlotCover {
            plot: plot.clone(),
            date: ground.first()?.date,
            ground: covered,
            class_error,
            fall_guessed: leaves.iter().any(|(_, guessed)| *guessed),
            layers: leaves.into_iter().map(|(layer, _)| layer).collect(),
            rows: layers.values().flatten().map(|reading| reading.source.clone()).collect(),
        })
    });
    plots.collect()
}

/// What each cover of a layer comes to, by its name: readings of one cover are one cover, however many there are.
fn by_cover<'a>(readings: &[&'a CoverReading]) -> Option<Vec<(&'a CoverReading, Within)>> {
    let mut covers: BTreeMap<String, Vec<&CoverReading>> = BTreeMap::new();
    for &reading in readings {
        covers.entry(slug(&reading.cover)).or_default().push(reading);
    }
    covers.into_values().map(|readings| Some((*readings.first()?, within_plot(&readings)?))).collect()
}

/// The ground's cover, and the error of a class's midpoint in points: that of a place anywhere between its edges.
fn ground_cover(readings: &[&CoverReading]) -> Option<(GroundCover, f64)> {
    let (mut bare, mut grass, mut weeds) = (None, 0.0, 0.0);
    let (mut bare_width, mut width) = (0.0, 0.0_f64);
    for (reading, within) in by_cover(readings)? {
        let share = within.share();
        let name = reading.cover.to_lowercase();
        if name.contains("bare") {
            bare = Some(bare.unwrap_or(0.0) + share);
            bare_width += within.width();
            continue;
        }
        width += within.width();
        if name.contains("weed") || name.contains("forb") {
            weeds += share;
        } else {
            grass += share;
        }
    }
    let read = grass + weeds;
    let covered = bare.map_or(read, |bare: f64| 1.0 - bare).clamp(0.0, 1.0);
    let part = if read > 0.0 { weeds / read } else { 0.0 };
    let width = if bare.is_some() { bare_width } else { width };
    let ground = GroundCover { grass: covered * (1.0 - part), weeds: covered * part };
    Some((ground, width.min(1.0) * 100.0 / 12.0_f64.sqrt()))
}

fn canopy(readings: &[&CoverReading], unread: Metres) -> Option<(Canopy, bool)> {
    let (mut cover, mut fall, mut guessed) = (0.0, 0.0, false);
    for (reading, within) in by_cover(readings)? {
        let share = within.share();
        cover += share;
        fall += share * reading.height.unwrap_or(unread).0;
        guessed |= reading.height.is_none() && share > 0.0;
    }
    (cover > 0.0).then(|| (Canopy { cover: cover.min(1.0), fall: Metres(fall / cover) }, guessed))
}

/// C of an area from the cover of its plots: the mean of the plots' C, never C of their mean cover.
///
/// # Errors
/// No plot was read.
pub fn surveyed(plots: &[PlotCover]) -> Result<Factor<f64>, Gap> {
    if plots.is_empty() {
        return Err(Gap::NoCover);
    }
    let n = count(plots.len());
    let c = plots.iter().map(PlotCover::factor).sum::<f64>() / n;
    let cover = plots.iter().map(|plot| plot.ground.all() * 100.0).sum::<f64>() / n;
    let spread: f64 = plots.iter().map(|plot| (plot.ground.all() * 100.0 - cover).powi(2)).sum();
    let drawn = if plots.len() > 1 { (spread / (n - 1.0) / n).sqrt() } else { GUESSED_POINTS };
    // Readers may lean the same way within a class, so its width does not average out.
    let classed = plots.iter().map(|plot| plot.class_error).sum::<f64>() / n;
    let points = libm::hypot(drawn, classed);
    let sources: Sources = plots.iter().flat_map(|plot| &plot.rows).collect();
    let days: std::collections::BTreeSet<NaiveDate> = plots.iter().map(|plot| plot.date).collect();
    // Of several areas, readers and the curve err alike in each; only the plots drawn are an area's own.
    let mut factor = Factor::new(c, sigma(c, cover, points), Method::COVER_FACTOR, sources)
        .in_common(libm::hypot(logarithmic_slope(cover).abs() * classed, least(c)));
    if let (Some(first), Some(last)) = (days.first(), days.last()) {
        let when = span(*first, *last);
        factor =
            factor.note(format!("cover read in {} plots, {when}; other seasons may differ", plots.len()));
    }
    if plots.iter().any(|plot| plot.fall_guessed) {
        factor =
            factor.note("the height of some crowns was not read; drops were taken to fall 4 m or as given");
    }
    Ok(factor)
}

/// C before the work began, from the cover that the settings give.
#[must_use]
pub fn before(cover: &CoverBefore, settings: &Sources) -> Factor<f64> {
    let ground = GroundCover { grass: cover.ground.part(), weeds: 0.0 };
    let canopy = Canopy { cover: cover.canopy.part(), fall: Metres(FALL_UNKNOWN) };
    let c = cover_factor(ground, &[canopy]);
    let sigma = sigma(c, ground.all() * 100.0, GUESSED_POINTS);
    // One statement speaks of all areas: where it errs, it errs in each.
    let factor = Factor::new(c, sigma, Method::COVER_FACTOR, settings.clone()).in_common(sigma);
    let source = cover.source.as_ref().map(|source| format!(" ({source})")).unwrap_or_default();
    let factor = factor.note(format!(
        "the cover before is the project's own statement{source}; taken to be right within 15 points"
    ));
    match cover.canopy.part() > 0.0 {
        true => factor.note("drops from the canopy before were taken to fall 4 m"),
        false => factor,
    }
}

/// C once the canopy has closed over litter; its error spans the limits of the published class.
#[must_use]
pub fn closed_canopy() -> Factor<f64> {
    let (low, high) = CLOSED_CANOPY.limits;
    // The wider side of the class as a 90 % limit.
    let reach = (CLOSED_CANOPY.value / low).max(high / CLOSED_CANOPY.value);
    let sigma = libm::log(reach) / quantile::normal(0.95);
    let factor =
        Factor::new(CLOSED_CANOPY.value, sigma, Method::COVER_FACTOR, Sources::default()).in_common(sigma);
    factor.note(
        "holds once three quarters of the ground lie under canopy and nine tenths under litter 5 cm deep",
    )
}

/// Error of ln C: by the error of the cover, in points, along the ground curve.
fn sigma(c: f64, cover: f64, points: f64) -> f64 {
    if c < SMALL { SIGMAS.1 } else { (logarithmic_slope(cover).abs() * points).max(SIGMAS.0) }
}

/// The error of ln C that the curve itself makes.
fn least(c: f64) -> f64 {
    if c < SMALL { SIGMAS.1 } else { SIGMAS.0 }
}
