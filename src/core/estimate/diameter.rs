//! Median diameters.

use std::collections::BTreeMap;

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method, carbon, height, measured, round::to_date},
    project::{DiameterAt, Project, SpeciesId},
    source::Row,
    units::Millimetres,
};

/// Diameters of one species at one height on the stem, and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Diameters<'a> {
    millimetres: Vec<f64>,
    rows: Vec<&'a Row>,
}

/// Diameters of living trees at the latest measurement of each plot up to the period's end, by where they were taken and species; a
/// tree of several stems has that of one with as much basal area.
#[must_use]
pub fn latest(project: &Project) -> BTreeMap<(DiameterAt, &SpeciesId), Diameters<'_>> {
    let mut diameters: BTreeMap<_, Diameters<'_>> = BTreeMap::new();
    for tree in carbon::trees(measured::within(project, to_date(project))) {
        for (at, centimetres) in [(DiameterAt::Base, tree.base), (DiameterAt::Breast, tree.breast)] {
            let Some(centimetres) = centimetres else { continue };
            let own = diameters.entry((at, tree.species)).or_default();
            own.millimetres.push(centimetres * 10.0);
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
    let middle = height::middle(&diameters.millimetres, confidence).ok_or(Gap::NotMeasured)?;
    let ends = |(low, high)| Interval { low: Millimetres(low), high: Millimetres(high), confidence };
    Ok(Estimate {
        value: Millimetres(middle.value),
        interval: middle.interval.map(ends),
        method: Method::MEDIAN_DIAMETER,
        sources: diameters.rows.iter().copied().collect(),
        notes: middle.notes,
    })
}
