//! The rest of `project.toml`: how figures are judged, climate, soil, the planting design.

use std::collections::BTreeMap;

use crate::{
    project::{AreaId, Bound, FeatureKind, Measure, Target},
    units::{Degrees, Metres, Money, Share},
};

/// Whether the interval or the value alone decides a target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TargetRule {
    /// The interval decides.
    #[default]
    Interval,
    /// The value alone decides, because the agreement says so.
    Value,
}

/// How figures are judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Statistics {
    /// Two-sided confidence level of every interval, between 0.5 and 0.999.
    pub confidence: f64,
    /// What decides a target.
    pub targets_by: TargetRule,
}

impl Default for Statistics {
    fn default() -> Self {
        Statistics { confidence: 0.90, targets_by: TargetRule::Interval }
    }
}

/// What an hour of volunteers is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct VolunteerRate {
    /// Money for an hour.
    pub per_hour: Money,
    /// Who set it and when.
    pub source: Option<String>,
}

/// Months, 1 to 12, first and last; a season may cross the new year.
pub type Months = (u32, u32);

/// Wet season and frost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Climate {
    /// The wet season.
    pub wet_season: Option<Months>,
    /// The frost months.
    pub frost: Option<Months>,
    /// The fire season.
    pub fire: Option<Months>,
}

/// Soil facts for the erosion estimate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Soil {
    /// Texture class, as written.
    pub texture: Option<String>,
    /// Organic matter, per cent of mass.
    pub organic_matter_percent: Option<f64>,
    /// Silt and very fine sand, per cent.
    pub silt_and_very_fine_sand_percent: Option<f64>,
    /// Clay, per cent.
    pub clay_percent: Option<f64>,
    /// Structure code of the nomograph, 1 to 4.
    pub structure: Option<u8>,
    /// Permeability code of the nomograph, 1 to 6.
    pub permeability: Option<u8>,
    /// Erodibility K, t.ha.h/(ha.MJ.mm).
    pub k: Option<f64>,
    /// Erosivity R, MJ.mm/(ha.h.yr).
    pub erosivity: Option<f64>,
    /// Intensity of the 2-year 6-hour storm, mm/h.
    pub rain_2y_6h_mm_per_h: Option<f64>,
}

impl Soil {
    /// Values of R beyond which something is likely to be wrong (judgement).
    pub const EROSIVITIES: std::ops::RangeInclusive<f64> = 300.0..=20_000.0;

    /// Values of K that soils have: the nomograph of Wischmeier and Smith (1978) ends at 0.7 in the customary units of the United
    /// States, 0.09 in t.ha.h/(ha.MJ.mm) (from memory).
    pub const ERODIBILITIES: std::ops::RangeInclusive<f64> = 0.001..=0.1;
}

/// The cover as it was before the work began.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverBefore {
    /// Ground cover.
    pub ground: Share,
    /// Canopy cover.
    pub canopy: Share,
    /// Who saw it, when, or what shows it.
    pub source: Option<String>,
}

/// Slope class breaks.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum SlopeClasses {
    /// 3, 6, 9, 12, 15, 20 and 25 degrees (common practice, no source).
    #[default]
    Practice,
    /// The Australian Soil and Land Survey Field Handbook's classes.
    FieldHandbook,
    /// The user's own breaks.
    Breaks(Vec<Degrees>),
}

/// The planting design for the landholder's plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlantingDesign {
    /// Areas that get new rows; `None` is every area in which nothing stands yet.
    pub areas: Option<Vec<AreaId>>,
    /// Between rows, measured down the slope.
    pub spacing: Metres,
    /// Along the row, on the ground.
    pub stem_spacing: Metres,
    /// Grass left between rows, for mowing.
    pub strip: Option<Metres>,
    /// Metres of strip that the project's machine slashes in an hour.
    pub machine_rate: Option<Metres>,
    /// Metres of strip that a person slashes by hand in an hour.
    pub hand_rate: Option<Metres>,
    /// Distance kept from each kind of feature.
    pub setback: BTreeMap<FeatureKind, Metres>,
    /// Roles along the row, in order.
    pub pattern: Vec<String>,
    /// No rows on ground steeper than this.
    pub steepest: Option<Degrees>,
    /// Stems nearer than this to the edge of the planted ground take the pattern's first role; `None` treats edges as the rest.
    pub exposed: Option<Metres>,
    /// Whether stems stand across from the gaps of the row above, rather than centred on their own row.
    pub stagger: bool,
}

impl PlantingDesign {
    /// Whether new rows are asked for in `area`, as far as the settings say.
    #[must_use]
    pub fn asks_for(&self, area: &AreaId) -> bool {
        self.areas.as_ref().is_none_or(|areas| areas.iter().any(|name| area.is_called(&name.0)))
    }

    /// Of `targets` on survival the one that holds beside `density`, with the share that it asks for: in the same agreement, due the
    /// nearest, of those the lowest.
    #[must_use]
    pub fn survival_beside<'a>(&self, targets: &'a [Target], density: &Target) -> Option<(&'a Target, f64)> {
        let asked = targets.iter().filter_map(|target| match (&target.measure, target.bound) {
            (Measure::Survival, Bound::AtLeast(least)) if target.under == density.under => {
                Some((target, least))
            }
            _ => None,
        });
        let days = |target: &Target| {
            target.by.zip(density.by).map_or(i64::MAX, |(one, other)| (one - other).num_days().abs())
        };
        asked.min_by(|(one, least), (other, less)| days(one).cmp(&days(other)).then(least.total_cmp(less)))
    }
}
