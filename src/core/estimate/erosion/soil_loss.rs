//! Soil loss of an area, the ratio of now to before, and the soil kept.

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method,
        erosion::{
            Factor,
            factor::{joined, limits},
            joint::{AreaFactors, joint_kept},
        },
    },
    source::Sources,
    units::{Erodibility, Erosivity, SoilLoss, TonnesPerYear, number, percent},
};

/// Loss on vegetated ground above which something is likely to be wrong, t/(ha.yr) (judgement).
const BEYOND_BELIEF: f64 = 100.0;

/// Sentences that must stand beside every figure of soil loss.
pub const SITE_NOTES: [&str; 3] = [
    "This is a long-run average for thin sheet flow and small rills only. It says nothing about gullies, slips or stream banks, \
     which on steep land can move more soil than everything counted here",
    "Young trees do not yet hold a slope. Roots take years to knit, and losing the grass under them can raise surface wash \
     meanwhile",
    "Tonnes leaving the slope are not tonnes reaching the creek",
];

/// Loss by the classes of the Organisation for Economic Co-operation and Development's indicators for agriculture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rating {
    /// Below 6 t/(ha.yr); "tolerable" there, though soil forms at 0.2 to 2.2 (FAO 2019).
    Tolerable,
    /// 6 to 11.
    Low,
    /// 11 to 22.
    Moderate,
    /// 22 to 33.
    High,
    /// More.
    Severe,
}

/// The class of a loss.
#[must_use]
pub fn rating(loss: SoilLoss) -> Rating {
    match loss.0 {
        t if t < 6.0 => Rating::Tolerable,
        t if t < 11.0 => Rating::Low,
        t if t < 22.0 => Rating::Moderate,
        t if t < 33.0 => Rating::High,
        _ => Rating::Severe,
    }
}

/// Soil loss of an area, A = R K LS C, with P = 1: rows of trees planted across a slope make no bank, and a drained bank acts on
/// slope length.
///
/// Limits are A exp(±z σ), σ² the sum of the factors' σ². The notes name what the spread comes from.
///
/// # Reference
/// [`Method::SOIL_LOSS`].
#[must_use]
pub fn soil_loss(
    r: &Factor<Erosivity>,
    k: &Factor<Erodibility>,
    ls: &Factor<f64>,
    c: &Factor<f64>,
    confidence: f64,
) -> Estimate<SoilLoss> {
    let value = r.value.0 * k.value.0 * ls.value * c.value;
    let sigmas = [("erosivity", r.sigma), ("erodibility", k.sigma), ("slope", ls.sigma), ("cover", c.sigma)];
    let sigma = joined(&sigmas.map(|(_, sigma)| sigma));
    let mut sources = r.sources.clone();
    [&k.sources, &ls.sources, &c.sources].into_iter().for_each(|one| sources.join(one));
    let mut notes: Vec<String> =
        [&r.notes, &k.notes, &ls.notes, &c.notes].into_iter().flatten().cloned().collect();
    notes.push(drivers(&sigmas));
    if value > BEYOND_BELIEF {
        notes.push(format!(
            "{} t/(ha.yr) is far above what was measured on pasture; check cover, length and erosivity",
            number(value, 0)
        ));
    }
    if value < 1.0 {
        notes.push(
            "below 1 t/(ha.yr) twin plots differ by more than their mean: read it as under 1".to_owned(),
        );
    }
    Estimate {
        value: SoilLoss(value),
        interval: limits(value, sigma, confidence, SoilLoss),
        sample: None,
        cautious: None,
        method: Method::SOIL_LOSS,
        sources,
        notes,
    }
}

/// By how much the loss of a plot in a year strays from that of its twin, as a part of it.
///
/// # Equation
/// 0.356 M^-0.312, M in kg/m²: a power law through the two values printed, 14 % at 20 and 150 % at 0.01.
///
/// # Reference
/// Nearing, Govers and Norton (1999), *Variability in soil erosion data from replicated plots*, Soil Science Society of America
/// Journal 63:1829-1835.
#[must_use]
pub fn twin_plots(loss: SoilLoss) -> f64 {
    0.356 * libm::pow(loss.0 / 10.0, -0.312)
}

/// What the spread of a product comes from, the largest first.
fn drivers(sigmas: &[(&str, f64)]) -> String {
    let all: f64 = sigmas.iter().map(|(_, sigma)| sigma * sigma).sum();
    let mut parts: Vec<(&str, f64)> = sigmas
        .iter()
        .map(|(name, sigma)| (*name, if all > 0.0 { sigma * sigma / all } else { 0.0 }))
        .collect();
    parts.sort_by(|one, other| other.1.total_cmp(&one.1));
    let parts: Vec<String> =
        parts.iter().map(|(name, share)| format!("{name} {}", percent(*share, 0))).collect();
    format!("the spread comes from {}", parts.join(", "))
}

/// Soil loss now over soil loss before, of one area: R, K and LS cancel, so only cover and its error count.
///
/// # Equation
/// C_now / C_before; σ² = σ_b² + σ_n² − 2 ρ σ_b σ_n, with ρ the correlation of the two covers' errors: 0.5 where both were read
/// the same way, 0 where the one before is a statement (judgement).
///
/// # Errors
/// There was no loss before.
pub fn ratio(before: &Factor<f64>, now: &Factor<f64>, correlation: f64, confidence: f64) -> Finding<f64> {
    if before.value <= 0.0 {
        return Err(Gap::NothingToDivideBy("soil loss before"));
    }
    let value = now.value / before.value;
    let (b, n) = (before.sigma, now.sigma);
    let sigma = (b * b + n * n - 2.0 * correlation * b * n).max(0.0).sqrt();
    let mut sources: Sources = before.sources.clone();
    sources.join(&now.sources);
    let mut estimate = Estimate {
        value,
        interval: limits(value, sigma, confidence, |value| value),
        sample: None,
        cautious: None,
        method: Method::SOIL_LOSS_RATIO,
        sources,
        notes: before.notes.iter().chain(&now.notes).cloned().collect(),
    };
    if value > 1.0 {
        estimate = estimate
            .note("cover protects less than before: shaded-out grass without litter yet loses more soil");
    }
    Ok(estimate)
}

/// Soil kept on one area in a year: loss before less loss now, over its plan.
///
/// The difference of two products that share three factors is no log-normal; its limits are by Monte Carlo.
///
/// # Errors
/// The arithmetic gave no number.
pub fn kept(
    r: &Factor<Erosivity>,
    k: &Factor<Erodibility>,
    area: AreaFactors<'_>,
    correlation: f64,
    confidence: f64,
) -> Finding<TonnesPerYear> {
    joint_kept(r, k, &[area], correlation, confidence)
}
