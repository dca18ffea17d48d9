//! The catalogue of figures that are kept by area: each series declared once, with its stem, its label and its unit.

use crate::{ledger::FigureId, project::AreaId, units::Unit};

/// A series of figures, one for each area and one for all of them, such as `survival.north-face` and `survival.all`.
#[derive(Debug)]
pub struct Series {
    /// What the ids of its figures begin with.
    pub stem: &'static str,
    /// What it is called on paper, before the area's name.
    pub label: &'static str,
    /// The unit of its figures.
    pub unit: Unit,
}

impl Series {
    /// The id of its figure of `area`, or of all areas together.
    #[must_use]
    pub fn of(&self, area: Option<&AreaId>) -> FigureId {
        FigureId::of(self.stem, area.map_or("all", |area| &area.0))
    }
}

/// Declares each series and lists them all.
macro_rules! catalogue {
    ($($name:ident: $stem:literal, $label:literal, $unit:ident;)+) => {
        $(#[doc = $label] pub static $name: Series = Series { stem: $stem, label: $label, unit: Unit::$unit };)+

        /// Every series of the catalogue.
        pub static ALL: &[&Series] = &[$(&$name),+];
    };
}

catalogue! {
    AREA: "site.area", "Plan area", Hectares;
    PERIMETER: "site.perimeter", "Perimeter", Metres;
    SURFACE_AREA: "site.surface-area", "Area along the ground", GroundHectares;
    SLOPE_MEAN: "terrain.slope.mean", "Mean slope", Degrees;
    SLOPE_MAX: "terrain.slope.max", "Steepest slope", Degrees;
    SLOPE_P90: "terrain.slope.p90", "Slope that nine tenths of the ground lie below", Degrees;
    STEMS: "plantings.stems", "Stems planted to date", Stems;
    STEMS_IN_PERIOD: "plantings.stems-in-period", "Stems planted in the period", Stems;
    SPECIES_COUNT: "plantings.species-count", "Species planted", Species;
    INFILL_STEMS: "plantings.infill-stems", "Stems planted as infill", Stems;
    SURVIVAL: "survival", "Planted stems alive", Fraction;
    SURVIVAL_BOUND: "survival.bound-all-missing-alive", "Planted stems alive if every missing stem lives", Fraction;
    DENSITY: "density", "Living stems per hectare", StemsPerHectare;
    RECRUITS: "recruits", "Self-sown stems per hectare", StemsPerHectare;
    RICHNESS: "diversity.richness", "Species found alive in plots", Species;
    NATIVE_SPECIES: "diversity.native-species", "Native species found alive in plots", Species;
    INTRODUCED_SPECIES: "diversity.introduced-species", "Introduced species found alive in plots", Species;
    CHAO1: "diversity.chao1", "Species expected at the least", Species;
    SHANNON: "diversity.shannon", "Shannon's index", Number;
    SIMPSON: "diversity.simpson", "Simpson's index", Number;
    EVENNESS: "diversity.evenness", "Evenness", Number;
    CARBON_ABOVE_GROUND: "carbon.above-ground", "Carbon above the ground", CarbonPerHectare;
    CARBON_BELOW_GROUND: "carbon.below-ground", "Carbon of roots", CarbonPerHectare;
    CARBON_STOCK: "carbon.stock", "Carbon stock of living wood and roots", CarbonDioxide;
    CARBON_STOCK_CAUTIOUS: "carbon.stock-cautious", "Carbon stock after a discount for its error", CarbonDioxide;
    CARBON_SHARED_ERROR: "carbon.shared-error", "Error of the carbon stock that sites measured alike share", Fraction;
    SLOPE_FACTOR: "erosion.ls", "Slope factor LS", Number;
    EROSION_BEFORE: "erosion.before", "Soil loss before the work began", SoilLoss;
    EROSION_NOW: "erosion.now", "Soil loss now", SoilLoss;
    EROSION_CLOSED_CANOPY: "erosion.closed-canopy", "Soil loss once the canopy has closed", SoilLoss;
    COVER_FACTOR_BEFORE: "erosion.c.before", "Cover factor C before the work began", CoverFactor;
    COVER_FACTOR_NOW: "erosion.c.now", "Cover factor C now", CoverFactor;
    EROSION_RATIO: "erosion.ratio", "Soil loss now over before", Fraction;
    SOIL_KEPT: "erosion.kept", "Soil kept on the slope in a year", TonnesPerYear;
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::project::slug;

    #[test]
    fn a_stem_and_a_label_stand_in_the_catalogue_once() {
        let stems: BTreeSet<&str> = ALL.iter().map(|series| series.stem).collect();
        let labels: BTreeSet<&str> = ALL.iter().map(|series| series.label).collect();
        assert_eq!((stems.len(), labels.len()), (ALL.len(), ALL.len()));
        for stem in stems {
            assert!(stem.split('.').all(|part| part == slug(part)), "{stem}");
        }
    }
}
