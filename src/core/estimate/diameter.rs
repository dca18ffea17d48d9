//! Median diameters.

use std::collections::BTreeMap;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, carbon, height, measured},
    project::{DiameterAt, Period, PlotId, Project, SpeciesId},
    source::Row,
    units::Millimetres,
};

/// Diameters of one species at one height on the stem, and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Diameters<'a> {
    plots: BTreeMap<&'a PlotId, Vec<f64>>,
    rows: Vec<&'a Row>,
}

/// The latest round in which a diameter was measured.
#[must_use]
pub fn latest_round(project: &Project) -> Option<Period> {
    project.latest_measured(|stem| stem.diameter_mm.is_some())
}

/// Diameters of living trees that the round `window` measured, by where they were taken and species; a tree of several stems has that
/// of one with as much basal area.
#[must_use]
pub fn within(project: &Project, window: Period) -> BTreeMap<(DiameterAt, &SpeciesId), Diameters<'_>> {
    let mut diameters: BTreeMap<_, Diameters<'_>> = BTreeMap::new();
    for tree in carbon::trees(measured::within(project, window)) {
        for (at, centimetres) in [(DiameterAt::Base, tree.base), (DiameterAt::Breast, tree.breast)] {
            let Some(centimetres) = centimetres else { continue };
            let own = diameters.entry((at, tree.species)).or_default();
            own.plots.entry(tree.plot).or_default().push(centimetres * 10.0);
            own.rows.extend(&tree.rows);
        }
    }
    diameters
}

/// Median of `diameters`.
///
/// # Equations and sources
/// [`Method::MEDIAN_DIAMETER`].
///
/// # Errors
/// No diameter was measured.
pub fn median(diameters: &Diameters<'_>, confidence: f64) -> Finding<Millimetres> {
    let plots: Vec<Vec<f64>> = diameters.plots.values().cloned().collect();
    let middle = height::middle(&plots, confidence).ok_or(Gap::NotMeasured)?;
    let ends = |(low, high)| Interval { low: Millimetres(low), high: Millimetres(high), confidence };
    Ok(Estimate {
        value: Millimetres(middle.value),
        interval: middle.interval.map(ends),
        sample: None,
        cautious: None,
        method: Method::MEDIAN_DIAMETER,
        sources: diameters.rows.iter().copied().collect(),
        notes: middle.notes,
    })
}
