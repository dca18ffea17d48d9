//! Several areas together: they share the errors of rain, soil, the slope's relation and the curve of cover, and have their own of
//! the plots that were drawn.

use std::sync::OnceLock;

use rayon::prelude::*;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        chance::{Chance, ends},
        erosion::Factor,
    },
    source::Sources,
    units::{Erodibility, Erosivity, Hectares, SoilLoss, TonnesPerYear},
};

/// Draws of the Monte Carlo: the limits are then known to about 1 % of their distance.
pub(crate) const DRAWS: u64 = 10_000;

/// The seed. Any would do; this one never changes, so that a figure can be worked out again.
const SEED: u64 = 0x5011_1055;

/// Places of which the numbers are kept: every figure draws the same ones, and few sites have more areas.
const KEPT: usize = 32;

/// The numbers of the first places, draw by draw, worked out when they are first needed.
static NORMALS: [OnceLock<Vec<[f64; 2]>>; KEPT] = [const { OnceLock::new() }; KEPT];

/// Two standard normal numbers: the pair `place` of draw `number`.
fn normals(number: u64, place: u32) -> [f64; 2] {
    let chance = Chance::new(SEED);
    let kept = NORMALS.get(place as usize).map(|kept| {
        // One thread works them out: others that wait here may have to do with its helpers' work.
        kept.get_or_init(|| (0..DRAWS).map(|number| chance.normals(number, place)).collect())
    });
    kept.and_then(|kept| kept.get(number as usize)).copied().unwrap_or_else(|| chance.normals(number, place))
}

/// The factors of one area.
#[derive(Debug, Clone, Copy)]
pub struct AreaFactors<'a> {
    /// Its plan hectares.
    pub plan: Hectares,
    /// L × S.
    pub ls: &'a Factor<f64>,
    /// C before.
    pub before: &'a Factor<f64>,
    /// C now, or in another state.
    pub now: &'a Factor<f64>,
}

/// One draw of the losses before and now, in tonnes in a year over all areas.
fn draw(
    sigmas: (f64, f64),
    scale: f64,
    areas: &[AreaFactors<'_>],
    correlation: f64,
    number: u64,
) -> (f64, f64) {
    let [rain, soil] = normals(number, 0);
    let [slope, _] = normals(number, 1);
    let common = scale * libm::exp(sigmas.0 * rain + sigmas.1 * soil);
    let own = (1.0 - correlation * correlation).max(0.0).sqrt();
    let correlated = |[first, second]: [f64; 2]| (first, correlation * first + own * second);
    let shared = correlated(normals(number, 2));
    let (mut before, mut now) = (0.0, 0.0);
    for (area, place) in areas.iter().zip(3u32..) {
        let drawn = correlated(normals(number, place));
        let error =
            |factor: &Factor<f64>, shared, drawn| libm::exp(factor.common * shared + factor.own() * drawn);
        let ground = common * area.plan.0 * area.ls.value * libm::exp(area.ls.sigma * slope);
        before += ground * area.before.value * error(area.before, shared.0, drawn.0);
        now += ground * area.now.value * error(area.now, shared.1, drawn.1);
    }
    (before, now)
}

/// Losses before and now in tonnes in a year, without their errors.
fn plain(scale: f64, areas: &[AreaFactors<'_>]) -> (f64, f64) {
    let ground = |area: &AreaFactors<'_>| scale * area.plan.0 * area.ls.value;
    let before = areas.iter().map(|area| ground(area) * area.before.value).sum();
    (before, areas.iter().map(|area| ground(area) * area.now.value).sum())
}

fn draws(
    sigmas: (f64, f64),
    scale: f64,
    areas: &[AreaFactors<'_>],
    correlation: f64,
    of: fn(f64, f64) -> f64,
) -> Vec<f64> {
    let one = |number| draw(sigmas, scale, areas, correlation, number);
    (0..DRAWS).into_par_iter().map(one).map(|(before, now)| of(before, now)).collect()
}

fn sources(areas: &[AreaFactors<'_>], and: &[&Sources]) -> Sources {
    let mut all = Sources::default();
    let of_areas = areas.iter().flat_map(|area| [&area.ls.sources, &area.before.sources, &area.now.sources]);
    of_areas.chain(and.iter().copied()).for_each(|one| all.join(one));
    all
}

/// Mean soil loss of all areas in the state `now`, weighted by plan hectares.
///
/// # Errors
/// The areas have no hectares.
pub fn joint_loss(
    r: &Factor<Erosivity>,
    k: &Factor<Erodibility>,
    areas: &[AreaFactors<'_>],
    confidence: f64,
) -> Finding<SoilLoss> {
    let hectares: f64 = areas.iter().map(|area| area.plan.0).sum();
    if hectares <= 0.0 {
        return Err(Gap::NothingToDivideBy("plan area"));
    }
    let scale = r.value.0 * k.value.0 / hectares;
    let ends = ends(draws((r.sigma, k.sigma), scale, areas, 0.0, |_, now| now), confidence);
    let ends = Interval { low: SoilLoss(ends.low), high: SoilLoss(ends.high), confidence };
    Ok(Estimate {
        value: SoilLoss(plain(scale, areas).1),
        interval: Some(ends),
        sample: None,
        cautious: None,
        method: Method::SOIL_LOSS,
        sources: sources(areas, &[&r.sources, &k.sources]),
        notes: vec![format!("{} areas, weighted by plan hectares; limits by Monte Carlo", areas.len())],
    })
}

/// Soil loss of all areas now over before; R and K cancel.
///
/// # Errors
/// There was no loss before.
pub fn joint_ratio(areas: &[AreaFactors<'_>], correlation: f64, confidence: f64) -> Finding<f64> {
    let (before, now) = plain(1.0, areas);
    if before <= 0.0 {
        return Err(Gap::NothingToDivideBy("soil loss before"));
    }
    let ends = ends(draws((0.0, 0.0), 1.0, areas, correlation, |before, now| now / before), confidence);
    Ok(Estimate {
        value: now / before,
        interval: Some(ends),
        sample: None,
        cautious: None,
        method: Method::SOIL_LOSS_RATIO,
        sources: sources(areas, &[]),
        notes: vec![format!(
            "{} areas, weighted by plan hectares and slope; limits by Monte Carlo",
            areas.len()
        )],
    })
}

/// Soil kept on all areas in a year: loss before less loss now.
///
/// # Errors
/// The arithmetic gave no number.
pub fn joint_kept(
    r: &Factor<Erosivity>,
    k: &Factor<Erodibility>,
    areas: &[AreaFactors<'_>],
    correlation: f64,
    confidence: f64,
) -> Finding<TonnesPerYear> {
    let scale = r.value.0 * k.value.0;
    let (before, now) = plain(scale, areas);
    if !(before - now).is_finite() {
        return Err(Gap::NoNumber);
    }
    let ends =
        ends(draws((r.sigma, k.sigma), scale, areas, correlation, |before, now| before - now), confidence);
    let ends = Interval { low: TonnesPerYear(ends.low), high: TonnesPerYear(ends.high), confidence };
    Ok(Estimate {
        value: TonnesPerYear(before - now),
        interval: Some(ends),
        sample: None,
        cautious: None,
        method: Method::SOIL_KEPT,
        sources: sources(areas, &[&r.sources, &k.sources]),
        notes: vec!["kept on the slope; how much would have reached a creek is not known".to_owned()],
    })
}
