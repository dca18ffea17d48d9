//! Median heights.

use std::collections::BTreeMap;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, interval, measured},
    project::{Period, PlotId, Project, Stem, StemStatus, trees},
    source::{Row, Sources},
    units::{Metres, whole},
};

/// Heights of one species, or of another kind of tree, and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heights<'a> {
    /// The trees of each plot.
    plots: BTreeMap<&'a PlotId, Vec<f64>>,
    rows: Vec<&'a Row>,
}

impl Heights<'_> {
    /// The plots in which they were measured.
    #[must_use]
    pub fn plots(&self) -> usize {
        self.plots.len()
    }
}

/// The latest round in which the height of a living stem was measured of which `of` is true.
#[must_use]
pub fn latest_round(project: &Project, of: impl Fn(&Stem) -> bool) -> Option<Period> {
    project.latest_measured(|stem| living(stem).is_some() && of(stem))
}

/// Heights of living stems that the round `window` measured, by what `of` tells of a stem, in one walk.
///
/// The height of a tree is that of its tallest stem.
#[must_use]
pub fn within<'a, K: Ord + Copy>(
    project: &'a Project,
    window: Period,
    of: impl Fn(&'a Stem) -> Option<K>,
) -> BTreeMap<K, Heights<'a>> {
    let latest = measured::within(project, window);
    let mut heights: BTreeMap<K, Heights<'_>> = BTreeMap::new();
    for tree in trees(latest.filter(|stem| of(stem).and(living(stem)).is_some())) {
        let Some(key) = tree.first().and_then(|stem| of(stem)) else { continue };
        let own = heights.entry(key).or_default();
        if let (Some(first), Some(metres)) =
            (tree.first(), tree.iter().filter_map(|stem| living(stem)).reduce(f64::max))
        {
            own.plots.entry(&first.plot).or_default().push(metres);
        }
        own.rows.extend(tree.iter().map(|stem| &stem.source));
    }
    heights
}

fn living(stem: &Stem) -> Option<f64> {
    (stem.status == StemStatus::Alive).then_some(stem.height)?.map(|height| height.0)
}

/// Median of `heights`.
///
/// # Equations and sources
/// [`Method::MEDIAN`].
///
/// # Errors
/// No height was measured.
pub fn median(heights: &Heights<'_>, confidence: f64) -> Finding<Metres> {
    let plots: Vec<Vec<f64>> = heights.plots.values().cloned().collect();
    let middle = middle(&plots, confidence).ok_or(Gap::NoHeights)?;
    let ends =
        middle.interval.map(|(low, high)| Interval { low: Metres(low), high: Metres(high), confidence });
    Ok(Estimate {
        value: Metres(middle.value),
        interval: ends,
        sample: None,
        cautious: None,
        method: Method::MEDIAN,
        sources: heights.rows.iter().copied().collect::<Sources>(),
        notes: middle.notes,
    })
}

/// A median, its interval and what is to be said of it.
pub(crate) struct Middle {
    pub(crate) value: f64,
    pub(crate) interval: Option<(f64, f64)>,
    pub(crate) notes: Vec<String>,
}

/// The median of the values of the trees of `plots`; `None` where there are none.
pub(crate) fn middle(plots: &[Vec<f64>], confidence: f64) -> Option<Middle> {
    let mut sorted: Vec<f64> = plots.iter().flatten().copied().collect();
    sorted.sort_unstable_by(f64::total_cmp);
    let n = sorted.len();
    let (low, high) = (*sorted.get(n.saturating_sub(1) / 2)?, *sorted.get(n / 2)?);
    let interval = interval::median_limits(plots, confidence);
    let trees = if n == 1 { "tree" } else { "trees" };
    let in_plots = if plots.len() == 1 { "plot" } else { "plots" };
    let mut notes = vec![format!("from {} {trees} in {} {in_plots}", whole(n as u64), plots.len())];
    if interval.is_none() {
        notes.push("too few trees or plots for an interval at this confidence".to_owned());
    }
    Some(Middle { value: f64::midpoint(low, high), interval, notes })
}
