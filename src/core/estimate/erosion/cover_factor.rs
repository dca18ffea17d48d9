//! C, the factor of cover: ground cover by a curve, canopy by how far drops fall from it.

use crate::units::Metres;

/// What covers the ground, in shares of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct GroundCover {
    /// Grass, litter, moss, stone: whatever holds or shields the surface.
    pub grass: f64,
    /// Broad-leaved weeds and forbs with few roots near the surface.
    pub weeds: f64,
}

impl GroundCover {
    /// All of it, at most the whole ground.
    #[must_use]
    pub fn all(self) -> f64 {
        (self.grass + self.weeds).clamp(0.0, 1.0)
    }
}

/// A layer of leaves above the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canopy {
    /// The share of the ground beneath it.
    pub cover: f64,
    /// How far drops fall from it: the height of its underside.
    pub fall: Metres,
}

/// C under a closed canopy with litter, and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosedCanopy {
    /// The value.
    pub value: f64,
    /// The lowest and highest of its class.
    pub limits: (f64, f64),
}

/// Undisturbed forest with three quarters canopy and nine tenths litter 5 cm deep: AH-537, table 11.
pub const CLOSED_CANOPY: ClosedCanopy = ClosedCanopy { value: 0.001, limits: (0.0001, 0.004) };

/// Cover above which the curve is held, per cent.
const MOST_COVER: f64 = 95.0;

/// How fast a drop gathers strength, per m of fall: AH-703's canopy subfactor exp(−0.1 H), H in feet.
pub(crate) const FALL: f64 = 0.328;

/// C under broad-leaved weeds without canopy at 0, 20, 40, 60, 80 and 95 % cover: AH-537, table 10, type W.
const WEEDS: [(f64, f64); 6] =
    [(0.0, 0.45), (20.0, 0.24), (40.0, 0.15), (60.0, 0.090), (80.0, 0.043), (95.0, 0.011)];

/// Coefficients of ln C under grass and litter, by powers of the cover in per cent.
pub(crate) const CURVE: [f64; 4] = [-0.799, -0.0474, 0.000449, -0.0000052];

/// C of ground under `percent` of grass and litter, without canopy.
///
/// # Equation
/// C₀ = exp(−0.799 − 0.0474 G + 0.000449 G² − 0.0000052 G³), G in per cent, held above 95 %.
///
/// # Reference
/// Fitted to AH-537, table 10 (permanent pasture, range and idle land, no appreciable canopy, type G), whose six cells it gives
/// within 0.001; used in New South Wales after Rosewell (1997).
#[must_use]
pub fn ground_curve(percent: f64) -> f64 {
    let g = percent.clamp(0.0, MOST_COVER);
    let [a, b, c, d] = CURVE;
    libm::exp(a + g * (b + g * (c + d * g)))
}

/// d ln C₀ / dG, per per cent of cover: what an error in cover does to C.
#[must_use]
pub fn logarithmic_slope(percent: f64) -> f64 {
    let g = percent.clamp(0.0, MOST_COVER);
    let [_, b, c, d] = CURVE;
    b + 2.0 * c * g + 3.0 * d * g * g
}

/// C of ground under `percent` of broad-leaved weeds: straight lines in ln C between the cells of AH-537, table 10, type W.
fn weed_curve(percent: f64) -> f64 {
    let percent = percent.clamp(0.0, MOST_COVER);
    let at = WEEDS.partition_point(|(cover, _)| *cover <= percent).clamp(1, WEEDS.len() - 1);
    let ((from, low), (to, high)) = (WEEDS[at - 1], WEEDS[at]);
    let part = (percent - from) / (to - from);
    libm::exp(libm::log(low) + part * (libm::log(high) - libm::log(low)))
}

/// C of a place: `layers` of leaves from the lowest up over `ground`.
///
/// # Equation
/// C = C₀(G) (1 − (1 − g) F), F = c₁ e^(−0.328 H₁) + (1 − c₁) c₂ e^(−0.328 H₂) + …: a drop from a layer falls H and does so
/// much less than rain, on the part of the ground that is not covered; a higher layer counts where the lower leaves a gap. Of
/// mixed ground cover, grass and weeds count by their shares.
///
/// # Reference
/// AH-703's canopy subfactor over the ground curve; it gives 106 of the 108 canopy cells of AH-537's table 10 within 5 %.
#[must_use]
pub fn cover_factor(ground: GroundCover, layers: &[Canopy]) -> f64 {
    let covered = ground.all();
    let percent = (covered * 100.0).min(MOST_COVER);
    let both = ground.grass + ground.weeds;
    let weeds = if both > 0.0 { ground.weeds / both } else { 0.0 };
    let bare_of_trees = (1.0 - weeds) * ground_curve(percent) + weeds * weed_curve(percent);
    let (mut softened, mut gap) = (0.0, 1.0);
    for layer in layers {
        let cover = layer.cover.clamp(0.0, 1.0);
        softened += gap * cover * libm::exp(-FALL * layer.fall.0.max(0.0));
        gap *= 1.0 - cover;
    }
    bare_of_trees * (1.0 - (1.0 - percent / 100.0) * softened)
}
