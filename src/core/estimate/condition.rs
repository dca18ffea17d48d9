//! What was observed against what a reference stand holds, and the points that published methods give for it.
//!
//! # What was read and what is remembered
//! The steps of BioCondition and the curve of the Biodiversity Assessment Method stand as remembered: their manuals could not be
//! opened again. A score is a working figure; both methods want a trained assessor.

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method},
    project::Scoring,
};

/// What was `observed` over what a reference stand holds, in the same unit.
///
/// # Equations and sources
/// [`Method::CONDITION`].
///
/// # Errors
/// The benchmark is nothing.
pub fn against(observed: &Estimate<f64>, benchmark: f64) -> Finding<f64> {
    if benchmark <= 0.0 {
        return Err(Gap::NothingToDivideBy("benchmark"));
    }
    let interval = observed.interval.map(|ends| Interval {
        low: ends.low / benchmark,
        high: ends.high / benchmark,
        confidence: ends.confidence,
    });
    let mut notes = observed.notes.clone();
    notes.push("a young planting has little structure by nature: read its course, not its level".to_owned());
    Ok(Estimate {
        value: observed.value / benchmark,
        interval,
        sample: None,
        cautious: None,
        method: Method::CONDITION,
        sources: observed.sources.clone(),
        notes,
    })
}

/// Points for an attribute. `level` is what was observed over the benchmark; for cover that is not native, the share of the ground
/// itself.
///
/// # Equations and sources
/// [`Method::BIO_CONDITION`] and [`Method::GROWTH_FORM`].
#[must_use]
pub fn points(scoring: Scoring, level: f64) -> f64 {
    if scoring == Scoring::GrowthForm {
        return growth_form(level);
    }
    let reached = steps(scoring).iter().rfind(|(from, _)| level >= *from);
    reached.map_or(0.0, |(_, points)| *points)
}

/// The most points that an attribute can have.
#[must_use]
pub fn most(scoring: Scoring) -> f64 {
    match scoring {
        Scoring::GrowthForm => 100.0,
        _ => steps(scoring).iter().map(|(_, points)| *points).fold(0.0, f64::max),
    }
}

/// Points with their interval: the least and the most that any level within that of the level would have.
///
/// # Errors
/// None of its own; the signature is that of its neighbours.
pub fn scored(scoring: Scoring, level: &Estimate<f64>) -> Finding<f64> {
    let method = if scoring == Scoring::GrowthForm { Method::GROWTH_FORM } else { Method::BIO_CONDITION };
    let mut estimate = Estimate::counted(points(scoring, level.value), method, level.sources.clone())
        .note(format!("of {} at most; a working figure, for a trained assessor to confirm", most(scoring)));
    if let Some(ends) = level.interval {
        let within =
            steps(scoring).iter().map(|(from, _)| *from).filter(|from| (ends.low..=ends.high).contains(from));
        let levels: Vec<f64> = within.chain([ends.low, ends.high, level.value]).collect();
        let points = || levels.iter().map(|&level| points(scoring, level));
        let (low, high) = (points().fold(f64::INFINITY, f64::min), points().fold(0.0, f64::max));
        if low < high {
            estimate.interval = Some(Interval { low, high, confidence: ends.confidence });
        } else {
            estimate.notes.push("the whole interval of what was observed gives the same points".to_owned());
        }
    }
    Ok(estimate)
}

/// Points of all attributes over the most that they could have.
///
/// # Errors
/// Nothing was scored.
pub fn score(attributes: &[(Scoring, Estimate<f64>)]) -> Finding<f64> {
    let most: f64 = attributes.iter().map(|(scoring, _)| most(*scoring)).sum();
    if most <= 0.0 {
        return Err(Gap::NoObservation);
    }
    let value = attributes.iter().map(|(_, points)| points.value).sum::<f64>() / most;
    let mut sources = crate::source::Sources::default();
    attributes.iter().for_each(|(_, points)| sources.join(&points.sources));
    let mut score = Estimate::counted(value, Method::BIO_CONDITION, sources);
    let confidence = attributes.iter().find_map(|(_, points)| Some(points.interval?.confidence));
    score.interval = confidence.map(|confidence| {
        let end = |of: fn(&Interval<f64>) -> f64| {
            attributes
                .iter()
                .map(|(_, points)| points.interval.as_ref().map_or(points.value, of))
                .sum::<f64>()
                / most
        };
        Interval { low: end(|ends| ends.low), high: end(|ends| ends.high), confidence }
    });
    Ok(score.note("from the least to the most points that the intervals of its attributes allow").note(format!(
        "{most} of the 80 points of a site could be seen in this survey; large trees, fallen logs and the surroundings are \
         not among them"
    )))
}

/// A growth form's score by the Biodiversity Assessment Method, from its level against the benchmark.
fn growth_form(level: f64) -> f64 {
    if level >= 1.0 {
        return 100.0;
    }
    100.0 * 1.01 * (1.0 - libm::exp(-4.4 * libm::pow(level.max(0.0), 1.85)))
}

/// From which level an attribute has how many points.
fn steps(scoring: Scoring) -> &'static [(f64, f64)] {
    match scoring {
        Scoring::CanopyHeight => &[(0.0, 0.0), (0.25, 3.0), (0.70, 5.0)],
        Scoring::CanopyCover => &[(0.0, 0.0), (0.10, 2.0), (0.50, 5.0), (2.000_001, 2.0)],
        Scoring::ShrubCover | Scoring::Litter => &[(0.0, 0.0), (0.10, 3.0), (0.50, 5.0), (2.000_001, 3.0)],
        Scoring::LifeFormRichness => &[(0.0, 0.0), (0.25, 2.5), (0.90, 5.0)],
        Scoring::NativeGrass => &[(0.0, 0.0), (0.10, 1.0), (0.50, 3.0), (0.90, 5.0)],
        Scoring::NonNative => &[(0.0, 10.0), (0.05, 5.0), (0.25, 3.0), (0.500_001, 0.0)],
        Scoring::GrowthForm => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Sources;

    /// The curve at a tenth, a quarter, a half and three quarters of the benchmark: 6.09, 29.01, 71.20, 93.38 (worked out from the
    /// equation by another script); 100 from the benchmark on.
    #[test]
    fn the_growth_form_curve_gives_the_worked_values() {
        for (level, expected) in
            [(0.1, 6.09), (0.25, 29.01), (0.5, 71.20), (0.75, 93.38), (1.0, 100.0), (3.0, 100.0)]
        {
            assert!((points(Scoring::GrowthForm, level) - expected).abs() < 0.005, "{level}");
        }
    }

    /// The example of a young stand: height between a quarter and 0.7 of the benchmark, canopy within it, few shrubs, weeds on a tenth
    /// of the ground, grass below a half, litter thin.
    #[test]
    fn steps_give_their_points() {
        let cases = [
            (Scoring::CanopyHeight, 0.4, 3.0),
            (Scoring::CanopyCover, 0.8, 5.0),
            (Scoring::CanopyCover, 2.5, 2.0),
            (Scoring::ShrubCover, 0.3, 3.0),
            (Scoring::LifeFormRichness, 0.9, 5.0),
            (Scoring::LifeFormRichness, 0.24, 0.0),
            (Scoring::NonNative, 0.04, 10.0),
            (Scoring::NonNative, 0.10, 5.0),
            (Scoring::NonNative, 0.50, 3.0),
            (Scoring::NonNative, 0.60, 0.0),
            (Scoring::NativeGrass, 0.3, 1.0),
            (Scoring::Litter, 0.2, 3.0),
        ];
        for (scoring, level, expected) in cases {
            assert!((points(scoring, level) - expected).abs() < 1e-12, "{scoring:?} at {level}");
        }
    }

    #[test]
    fn points_reach_over_the_whole_interval() {
        let mut level = Estimate::counted(0.55, Method::CONDITION, Sources::default());
        level.interval = Some(Interval { low: 0.2, high: 2.4, confidence: 0.9 });
        let found = scored(Scoring::CanopyCover, &level).unwrap();
        let ends = found.interval.unwrap();
        assert_eq!((found.value, ends.low, ends.high), (5.0, 2.0, 5.0));
    }
}
