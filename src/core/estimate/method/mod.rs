//! The methods by which figures are made: their names, equations and published sources, said once.

mod carbon;
mod condition;
mod diversity;
mod erosion;
mod ground;
mod money;
mod plan;
mod rain;
mod records;
mod series;
mod sites;
mod survey;
mod terrain;

/// How a figure was worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Area of a polygon on the ellipsoid.
    GeodesicArea,
    /// Length of a line on the ellipsoid.
    GeodesicLength,
    /// Mean of slopes read with a clinometer.
    SlopeReadings,
    /// Steepest slope read with a clinometer.
    SlopeSteepest,
    /// Mean slope of a terrain model.
    TerrainMean,
    /// Slope that nine cells in ten lie below.
    TerrainP90,
    /// Steepest cell of a terrain model.
    TerrainMax,
    /// Plan hectares in a slope class.
    TerrainClass,
    /// Share of the plan steeper than a limit.
    TerrainSteeper,
    /// Area along the ground.
    SurfaceArea,
    /// Rain of a time.
    RainSum,
    /// Median rain of the same months of other years.
    RainMedian,
    /// Rain of the eight weeks after a planting.
    RainAfterPlanting,
    /// Longest run of dry days.
    DrySpell,
    /// Erosivity as given.
    ErosivityGiven,
    /// Erosivity from the two-year six-hour storm.
    ErosivityIntensity,
    /// Erosivity from daily rain.
    ErosivityDaily,
    /// Erosivity from yearly rain.
    ErosivityAnnual,
    /// Erodibility as given.
    ErodibilityGiven,
    /// Erodibility by the nomograph.
    ErodibilityNomograph,
    /// Erodibility by texture.
    ErodibilityTexture,
    /// Slope factor from a terrain model.
    SlopeFactorGrid,
    /// Slope factor from slopes read with a clinometer.
    SlopeFactorMeasured,
    /// Cover factor.
    CoverFactor,
    /// Soil loss.
    SoilLoss,
    /// Soil loss now over before.
    SoilLossRatio,
    /// Soil kept on the slope.
    SoilKept,
    /// Adding up rows.
    Sum,
    /// Counting different names.
    Distinct,
    /// Photo points with an earlier and a later picture.
    PhotoPairs,
    /// Stratified ratio of living to planted stems, over plots.
    SurvivalRatio,
    /// The same where plots show no spread.
    SurvivalEffective,
    /// Share of stems alive in a single plot.
    SurvivalOnePlot,
    /// Share of stems alive where all were counted.
    SurvivalCensus,
    /// Stems on plan hectares of plots.
    Density,
    /// The same where plots show no spread.
    DensityPoisson,
    /// Mean cover of plots.
    Cover,
    /// Mean cover of plots, read in classes.
    CoverClasses,
    /// The line through two surveys.
    Trend,
    /// Median and its order-statistic interval.
    Median,
    /// Median diameter.
    MedianDiameter,
    /// Change of the share alive between two surveys.
    SurvivalChange,
    /// Share of tagged stems that live on.
    Lifetime,
    /// Tagged stems that could still be seen dying.
    AtRisk,
    /// Plots that the next survey needs.
    PlotsNeeded,
    /// Half-width of this survey's interval.
    Precision,
    /// Shannon's index.
    Shannon,
    /// Simpson's index.
    Simpson,
    /// Evenness.
    Evenness,
    /// Chao's lower bound of the number of species.
    Chao1,
    /// Species expected in fewer plots.
    Rarefied,
    /// What was observed over a benchmark.
    Condition,
    /// Share of native tree species with self-sown young.
    Recruiting,
    /// Points of BioCondition.
    BioCondition,
    /// Growth-form score.
    GrowthForm,
    /// Carbon above the ground.
    CarbonAbove,
    /// Carbon of roots.
    CarbonBelow,
    /// Carbon stock as carbon dioxide.
    CarbonStock,
    /// Carbon stock after a discount for its error.
    CarbonCautious,
    /// Gain of carbon stock between two surveys.
    CarbonChange,
    /// Carbon stock carried forward.
    CarbonProjection,
    /// Plan area that can be planted.
    PlantableArea,
    /// Rows on the contour.
    ContourRows,
    /// Spacing and grade of the rows.
    RowSpacing,
    /// Spacing and grade of rows on the model's own heights.
    RowsAsMeasured,
    /// Edge between planted bands and grass.
    GrassEdge,
    /// Mean slope under the rows of an area.
    RowSlope,
    /// Distance between rows on the map.
    MapSpacing,
    /// What the grass strip leaves of the spacing.
    PlantedBand,
    /// Stems along the rows.
    PlannedStems,
    /// Adding up money.
    MoneySum,
    /// Spent less approved.
    Variance,
    /// Spent less approved, over approved.
    VarianceShare,
    /// Received less spent to date.
    Unspent,
    /// Money for each stem that lives.
    PerLivingStem,
    /// Money for each plan hectare.
    PerHectare,
    /// Volunteers' hours at an hourly rate.
    VolunteerValue,
    /// Figures of several sites added up.
    SitesSum,
    /// Things of several sites counted.
    SitesCount,
    /// Estimates of several sites joined.
    SitesJoined,
    /// The same with the errors that all sites share.
    SitesJoinedShared,
    /// Money for each stem that lives, over several sites.
    SitesPerLivingStem,
}

/// A method in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Account {
    id: &'static str,
    title: &'static str,
    equation: &'static str,
    assumptions: &'static str,
    reference: &'static str,
}

impl Method {
    /// Every method, in the order of the methods appendix.
    pub const ALL: [Method; 82] = [
        Method::GeodesicArea,
        Method::GeodesicLength,
        Method::SlopeReadings,
        Method::SlopeSteepest,
        Method::TerrainMean,
        Method::TerrainP90,
        Method::TerrainMax,
        Method::TerrainClass,
        Method::TerrainSteeper,
        Method::SurfaceArea,
        Method::RainSum,
        Method::RainMedian,
        Method::RainAfterPlanting,
        Method::DrySpell,
        Method::ErosivityGiven,
        Method::ErosivityIntensity,
        Method::ErosivityDaily,
        Method::ErosivityAnnual,
        Method::ErodibilityGiven,
        Method::ErodibilityNomograph,
        Method::ErodibilityTexture,
        Method::SlopeFactorGrid,
        Method::SlopeFactorMeasured,
        Method::CoverFactor,
        Method::SoilLoss,
        Method::SoilLossRatio,
        Method::SoilKept,
        Method::Sum,
        Method::Distinct,
        Method::PhotoPairs,
        Method::SurvivalRatio,
        Method::SurvivalEffective,
        Method::SurvivalOnePlot,
        Method::SurvivalCensus,
        Method::Density,
        Method::DensityPoisson,
        Method::Cover,
        Method::CoverClasses,
        Method::Trend,
        Method::Median,
        Method::MedianDiameter,
        Method::SurvivalChange,
        Method::Lifetime,
        Method::AtRisk,
        Method::PlotsNeeded,
        Method::Precision,
        Method::Shannon,
        Method::Simpson,
        Method::Evenness,
        Method::Chao1,
        Method::Rarefied,
        Method::Condition,
        Method::Recruiting,
        Method::BioCondition,
        Method::GrowthForm,
        Method::CarbonAbove,
        Method::CarbonBelow,
        Method::CarbonStock,
        Method::CarbonCautious,
        Method::CarbonChange,
        Method::CarbonProjection,
        Method::PlantableArea,
        Method::ContourRows,
        Method::RowSpacing,
        Method::RowsAsMeasured,
        Method::GrassEdge,
        Method::RowSlope,
        Method::MapSpacing,
        Method::PlantedBand,
        Method::PlannedStems,
        Method::MoneySum,
        Method::Variance,
        Method::VarianceShare,
        Method::Unspent,
        Method::PerLivingStem,
        Method::PerHectare,
        Method::VolunteerValue,
        Method::SitesSum,
        Method::SitesCount,
        Method::SitesJoined,
        Method::SitesJoinedShared,
        Method::SitesPerLivingStem,
    ];

    /// Its stable name in the ledger.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.account().id
    }

    /// What it does, in plain words.
    #[must_use]
    pub fn title(self) -> &'static str {
        self.account().title
    }

    /// Its equation, in plain text.
    #[must_use]
    pub fn equation(self) -> &'static str {
        self.account().equation
    }

    /// What must hold for it to be right.
    #[must_use]
    pub fn assumptions(self) -> &'static str {
        self.account().assumptions
    }

    /// Where it is published; empty where it is plain arithmetic.
    #[must_use]
    pub fn reference(self) -> &'static str {
        self.account().reference
    }

    /// Whether the figure rests on one plot, which can't show how plots differ.
    #[must_use]
    pub fn rests_on_one_plot(self) -> bool {
        self == Method::SurvivalOnePlot
    }

    fn account(self) -> Account {
        match self {
            Method::GeodesicArea => ground::GEODESIC_AREA,
            Method::GeodesicLength => ground::GEODESIC_LENGTH,
            Method::SlopeReadings => ground::SLOPE_READINGS,
            Method::SlopeSteepest => ground::SLOPE_STEEPEST,
            Method::TerrainMean => terrain::MEAN,
            Method::TerrainP90 => terrain::P90,
            Method::TerrainMax => terrain::MAX,
            Method::TerrainClass => terrain::CLASS,
            Method::TerrainSteeper => terrain::STEEPER,
            Method::SurfaceArea => terrain::SURFACE,
            Method::RainSum => rain::SUM,
            Method::RainMedian => rain::MEDIAN,
            Method::RainAfterPlanting => rain::AFTER_PLANTING,
            Method::DrySpell => rain::DRY_SPELL,
            Method::ErosivityGiven => erosion::R_GIVEN,
            Method::ErosivityIntensity => erosion::R_INTENSITY,
            Method::ErosivityDaily => erosion::R_DAILY,
            Method::ErosivityAnnual => erosion::R_ANNUAL,
            Method::ErodibilityGiven => erosion::K_GIVEN,
            Method::ErodibilityNomograph => erosion::K_NOMOGRAPH,
            Method::ErodibilityTexture => erosion::K_TEXTURE,
            Method::SlopeFactorGrid => erosion::LS_GRID,
            Method::SlopeFactorMeasured => erosion::LS_MEASURED,
            Method::CoverFactor => erosion::C_FACTOR,
            Method::SoilLoss => erosion::LOSS,
            Method::SoilLossRatio => erosion::RATIO,
            Method::SoilKept => erosion::KEPT,
            Method::Sum => records::SUM,
            Method::Distinct => records::DISTINCT,
            Method::PhotoPairs => records::PHOTO_PAIRS,
            Method::SurvivalRatio => survey::SURVIVAL_RATIO,
            Method::SurvivalEffective => survey::SURVIVAL_EFFECTIVE,
            Method::SurvivalOnePlot => survey::SURVIVAL_ONE_PLOT,
            Method::SurvivalCensus => survey::SURVIVAL_CENSUS,
            Method::Density => survey::DENSITY,
            Method::DensityPoisson => survey::DENSITY_POISSON,
            Method::Cover => survey::COVER,
            Method::CoverClasses => survey::COVER_CLASSES,
            Method::Trend => survey::TREND,
            Method::Median => survey::MEDIAN,
            Method::MedianDiameter => series::MEDIAN_DIAMETER,
            Method::SurvivalChange => series::SURVIVAL_CHANGE,
            Method::Lifetime => series::LIFETIME,
            Method::AtRisk => series::AT_RISK,
            Method::PlotsNeeded => series::PLOTS_NEEDED,
            Method::Precision => series::PRECISION,
            Method::Shannon => diversity::SHANNON,
            Method::Simpson => diversity::SIMPSON,
            Method::Evenness => diversity::EVENNESS,
            Method::Chao1 => diversity::CHAO1,
            Method::Rarefied => diversity::RAREFIED,
            Method::Condition => condition::CONDITION,
            Method::Recruiting => condition::RECRUITING,
            Method::BioCondition => condition::BIOCONDITION,
            Method::GrowthForm => condition::GROWTH_FORM,
            Method::CarbonAbove => carbon::ABOVE,
            Method::CarbonBelow => carbon::BELOW,
            Method::CarbonStock => carbon::STOCK,
            Method::CarbonCautious => carbon::CAUTIOUS,
            Method::CarbonChange => carbon::CHANGE,
            Method::CarbonProjection => carbon::PROJECTION,
            Method::PlantableArea => plan::PLANTABLE,
            Method::ContourRows => plan::ROWS,
            Method::RowSpacing => plan::SPACING,
            Method::RowsAsMeasured => plan::AS_MEASURED,
            Method::GrassEdge => plan::EDGE,
            Method::RowSlope => plan::ROW_SLOPE,
            Method::MapSpacing => plan::MAP_SPACING,
            Method::PlantedBand => plan::BAND,
            Method::PlannedStems => plan::STEMS,
            Method::MoneySum => money::SUM,
            Method::Variance => money::VARIANCE,
            Method::VarianceShare => money::VARIANCE_SHARE,
            Method::Unspent => money::UNSPENT,
            Method::PerLivingStem => money::PER_LIVING_STEM,
            Method::PerHectare => money::PER_HECTARE,
            Method::VolunteerValue => money::VOLUNTEER_VALUE,
            Method::SitesSum => sites::SUM,
            Method::SitesCount => sites::COUNT,
            Method::SitesJoined => sites::JOINED,
            Method::SitesJoinedShared => sites::JOINED_SHARED,
            Method::SitesPerLivingStem => sites::COST,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_method_is_listed_once_and_said_in_full() {
        let mut ids: Vec<&str> = Method::ALL.iter().map(|method| method.id()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), Method::ALL.len(), "two methods share an id");
        for method in Method::ALL {
            assert!(!method.title().is_empty() && !method.equation().is_empty(), "{}", method.id());
            assert!(!method.assumptions().is_empty(), "{}", method.id());
        }
    }
}
