//! The catalogue of figures: each series declared once, with its stem, its dimensions, its label and its unit.

use crate::ledger::{Dimension, Series};
use crate::units::Unit;

/// Declares each series: name, stem, dimensions, label, unit (`_` where the folder says it), and after `at` the series that has the
/// same figure of every survey. Lists them all.
macro_rules! catalogue {
    (@unit _) => { None };
    (@unit $unit:ident) => { Some(Unit::$unit) };
    (@dated) => { None };
    (@dated $dated:ident) => { Some(&$dated) };
    ($($name:ident: $stem:literal [$($dimension:ident)*], $label:literal, $unit:tt $(, at $dated:ident)?;)+) => {
        $(
            #[doc = $label]
            pub static $name: Series = Series {
                stem: $stem,
                dimensions: &[$(Dimension::$dimension),*],
                label: $label,
                unit: catalogue!(@unit $unit),
                dated: catalogue!(@dated $($dated)?),
            };
        )+

        /// Every series of the catalogue.
        pub static ALL: &[&Series] = &[$(&$name),+];
    };
}

catalogue! {
    AREA: "site.area" [Area], "Plan area", Hectares;
    PERIMETER: "site.perimeter" [Area], "Perimeter", Metres;
    SURFACE_AREA: "site.surface-area" [Area], "Area along the ground", GroundHectares;
    LENGTH_IN_PERIOD: "site.length-in-period" [Kind], "Length of {0} made in the period", Metres;
    LENGTH: "site.length" [Kind Standing], "Length of {1} {0}", Metres;

    SLOPE_MEAN: "terrain.slope.mean" [Area], "Mean slope", Degrees;
    SLOPE_MAX: "terrain.slope.max" [Area], "Steepest slope", Degrees;
    SLOPE_P90: "terrain.slope.p90" [Area], "Slope that nine tenths of the ground lie below", Degrees;
    STEEPER_THAN_12: "terrain.steeper-than-12" [Area], "Share of 12° or steeper", Fraction;
    STEEPER_THAN_15: "terrain.steeper-than-15" [Area], "Share of 15° or steeper", Fraction;
    SLOPE_CLASS: "terrain.class" [Class Area], "Plan area of slope class {0}", Hectares;

    RAIN: "rain.period" [], "Rain of the period", Millimetres;
    RAIN_MEDIAN: "rain.median-of-other-years" [], "Median rain of the same days in other years", Millimetres;
    RAIN_AFTER_PLANTING: "rain.after-planting" [Day], "Rain of the eight weeks after the planting of {0}", Millimetres;
    DRY_SPELL: "rain.longest-dry-spell" [], "Longest dry spell, days", Count;

    STEMS: "plantings.stems" [Area], "Stems planted to date", Stems;
    STEMS_IN_PERIOD: "plantings.stems-in-period" [Area], "Stems planted in the period", Stems;
    SPECIES_COUNT: "plantings.species-count" [Area], "Species planted", Species;
    INFILL_STEMS: "plantings.infill-stems" [Area], "Stems planted as infill", Stems;
    SPECIES_STEMS: "plantings.species-stems" [Species], "Stems planted, {0}", Stems;
    SPECIES_STEMS_IN_PERIOD: "plantings.species-stems-in-period" [Species], "Stems planted in the period, {0}", Stems;
    COHORT_STEMS: "plantings.cohort-stems" [Cohort], "Stems planted in {0}", Stems;

    SURVIVAL: "survival" [Area], "Planted stems alive", Fraction, at SURVIVAL_AT;
    SURVIVAL_AT: "survival.at" [Day Area], "Planted stems alive, survey to {0}", Fraction;
    SURVIVAL_BOUND: "survival.bound-all-missing-alive" [Area], "Planted stems alive if every missing stem lives", Fraction;
    SPECIES_SURVIVAL: "survival.species" [Species], "Planted stems alive, {0}", Fraction;
    SPECIES_SET_IN_PLOTS: "survey.species-set" [Species], "Stems of {0} that were set in the plots of the latest survey", Stems;
    SPECIES_ALIVE_IN_PLOTS: "survey.species-alive" [Species], "Stems of {0} found alive among them", Stems;
    COHORT_SURVIVAL: "survival.cohort" [Cohort], "Stems planted in {0} alive", Fraction;
    SURVIVAL_CHANGE: "survival.change" [Day Area], "Change of the share alive, survey to {0}", Fraction;
    TAGGED_SURVIVAL: "survival.tagged" [Days Area], "Tagged stems alive {0} after they were first seen", Fraction;
    TAGGED_AT_RISK: "survival.at-risk" [Days Area], "Tagged stems at risk {0} after they were first seen", Count;

    PLOTS_VISITED: "survey.plots.at" [Day Area], "Plots visited, survey to {0}", Count;
    SURVIVAL_PRECISION: "survey.precision.survival" [Area],
        "Reach of this survey's interval to each side, the share alive", Fraction;
    SURVIVAL_PLOTS_NEEDED: "survey.plots-needed.survival" [Area],
        "Plots that the next survey needs to come within ten points of the share alive", Count;
    DENSITY_PRECISION: "survey.precision.density" [Area],
        "Reach of this survey's interval to each side, the density", Fraction;
    DENSITY_PLOTS_NEEDED: "survey.plots-needed.density" [Area],
        "Plots that the next survey needs to come within a tenth of the density", Count;

    DENSITY: "density" [Area], "Living stems per hectare", StemsPerHectare, at DENSITY_AT;
    DENSITY_AT: "density.at" [Day Area], "Living stems per hectare, survey to {0}", StemsPerHectare;
    PLANTED_ALIVE_DENSITY: "density-planted" [Area], "Living planted stems per hectare", StemsPerHectare;
    RECRUITS: "recruits" [Area], "Self-sown stems per hectare", StemsPerHectare, at RECRUITS_AT;
    RECRUITS_AT: "recruits.at" [Day Area], "Self-sown stems per hectare, survey to {0}", StemsPerHectare;
    COVER: "cover" [Layer Cover Area], "Cover of the {0} layer, {1}", Fraction, at COVER_AT;
    COVER_AT: "cover.at" [Day Layer Cover Area], "Cover of the {1} layer, {2}, survey to {0}", Fraction;
    HEIGHT: "height.median" [Species], "Median height, {0}", Height, at HEIGHT_AT;
    HEIGHT_AT: "height.at" [Day Species], "Median height, {1}, survey to {0}", Height;
    COHORT_HEIGHT: "height.cohort" [Cohort], "Median height, planted in {0}", Height;
    DIAMETER_BASE: "diameter.base" [Species], "Median diameter at 10 cm above the ground, {0}", Millimetres;
    DIAMETER_BREAST: "diameter.breast" [Species], "Median diameter at breast height, {0}", Millimetres;

    RICHNESS: "diversity.richness" [Area], "Species found alive in plots", Species;
    NATIVE_SPECIES: "diversity.native-species" [Area], "Native species found alive in plots", Species;
    INTRODUCED_SPECIES: "diversity.introduced-species" [Area], "Introduced species found alive in plots", Species;
    FORM_SPECIES: "diversity.form" [Form Area], "Species found alive in plots, growth form {0}", Species;
    CHAO1: "diversity.chao1" [Area], "Species expected at the least", Species;
    SHANNON: "diversity.shannon" [Area], "Shannon's index", Number;
    SIMPSON: "diversity.simpson" [Area], "Simpson's index", Number;
    EVENNESS: "diversity.evenness" [Area], "Evenness", Number;
    RAREFIED: "diversity.rarefied" [Plots Area], "Species expected in {0}", Number;

    ATTRIBUTE: "attribute" [Attribute Area], "{0}", _;
    CONDITION: "condition" [Attribute Area], "Share of the benchmark, {0}", Fraction;
    CONDITION_POINTS: "condition.points" [Attribute Area], "Points for {0}", Number;
    CONDITION_SCORE: "condition.score.biocondition" [Area], "Points over those possible, BioCondition", Fraction;

    CARBON_ABOVE_GROUND: "carbon.above-ground" [Area], "Carbon above the ground", CarbonPerHectare;
    CARBON_BELOW_GROUND: "carbon.below-ground" [Area], "Carbon of roots", CarbonPerHectare;
    CARBON_STOCK: "carbon.stock" [Area], "Carbon stock of living wood and roots", CarbonDioxide, at CARBON_STOCK_AT;
    CARBON_STOCK_AT: "carbon.stock.at" [Day Area], "Carbon stock at {0}", CarbonDioxide;
    CARBON_STOCK_CAUTIOUS: "carbon.stock-cautious" [Area], "Carbon stock after a discount for its error", CarbonDioxide;
    CARBON_STOCK_CHANGE: "carbon.stock-change" [Area], "Gain of carbon stock {0}", CarbonDioxide;
    CARBON_SHARED_ERROR: "carbon.shared-error" [Area],
        "Error of the carbon stock that sites measured alike share", Fraction;
    CARBON_PROJECTION: "carbon.projection" [Year Area], "Carbon stock projected to {0}", CarbonDioxide;

    EROSIVITY: "erosion.r" [], "Rainfall erosivity R", Erosivity;
    ERODIBILITY: "erosion.k" [], "Soil erodibility K", Erodibility;
    SLOPE_FACTOR: "erosion.ls" [Area], "Slope factor LS", Number;
    EROSION_BEFORE: "erosion.before" [Area], "Soil loss before the work began", SoilLoss;
    EROSION_NOW: "erosion.now" [Area], "Soil loss now", SoilLoss;
    EROSION_CLOSED_CANOPY: "erosion.closed-canopy" [Area], "Soil loss once the canopy has closed", SoilLoss;
    COVER_FACTOR_BEFORE: "erosion.c.before" [Area], "Cover factor C before the work began", CoverFactor;
    COVER_FACTOR_NOW: "erosion.c.now" [Area], "Cover factor C now", CoverFactor;
    EROSION_RATIO: "erosion.ratio" [Area], "Soil loss now over before", Fraction;
    SOIL_KEPT: "erosion.kept" [Area], "Soil kept on the slope in a year", TonnesPerYear;

    HOURS: "works.hours" [Basis], "Hours worked, {0}", Hours;
    QUANTITY: "works.quantity" [Task], "{0}", _;
    VOLUNTEER_VALUE: "works.volunteer-value" [], "Value of volunteers' hours", _;
    PHOTO_POINTS: "photos.points" [], "Photo points", Count;
    PHOTO_PAIRS: "photos.pairs" [], "Photo points with an earlier and a later picture", Count;
    SIGHTINGS: "sightings.records" [], "Sightings of wildlife in the period", Count;
    SIGHTED_SPECIES: "sightings.species" [], "Kinds of wildlife seen in the period", Species;
    SIGHTINGS_WITHHELD: "sightings.withheld" [], "Sensitive sightings in the period, their places withheld", Count;
    SIGHTINGS_UNPLACED: "sightings.without-place" [], "Other sightings in the period without a place", Count;

    BUDGET: "budget.total" [], "Approved cash", _;
    BUDGET_IN_KIND: "budget.in-kind" [], "Approved in kind", _;
    SPENT: "spend.total" [], "Cash spent in the period", _;
    SPENT_IN_KIND: "spend.in-kind" [], "Given in kind in the period", _;
    UNSPENT: "spend.unspent" [], "Received and not spent", _;
    VARIANCE: "spend.total-variance" [], "Spent less approved", _;
    VARIANCE_SHARE: "spend.total-variance-share" [], "Spent less approved, as a share of approved", Fraction;
    SPENT_AGAINST_BUDGET: "spend.against-budget" [], "Cash spent that the approved cash is held against", _;
    SPENT_AGAINST_BUDGET_LINE: "spend.against-budget-line" [Line], "Cash spent that the approved cash is held against, {0}", _;
    COST_PER_LIVING_STEM: "spend.per-living-stem" [], "Cash spent for each living planted stem", _;
    COST_PER_HECTARE: "spend.per-hectare" [], "Cash spent for each plan hectare", _;
    BUDGET_LINE: "budget.line" [Line], "Approved cash, {0}", _;
    BUDGET_LINE_IN_KIND: "budget.in-kind-line" [Line], "Approved in kind, {0}", _;
    SPENT_LINE: "spend.line" [Line], "Cash spent in the period, {0}", _;
    SPENT_LINE_IN_KIND: "spend.in-kind-line" [Line], "Given in kind in the period, {0}", _;
    VARIANCE_LINE: "spend.variance" [Line], "Spent less approved, {0}", _;
    VARIANCE_LINE_SHARE: "spend.variance-share" [Line], "Spent less approved, as a share of approved, {0}", Fraction;

    SPENT_TO_DATE: "accounts.spent-to-date" [], "Cash spent to date", _;
    SPENT_IN_KIND_TO_DATE: "accounts.to-date-in-kind" [], "Given in kind to date", _;
    SPENT_TO_DATE_LINE: "accounts.spent-to-date.line" [Line], "Cash spent to date, {0}", _;
    BUDGET_YEAR: "accounts.budget-this-year" [], "Approved cash, this year", _;
    BUDGET_YEAR_LINE: "accounts.budget-this-year.line" [Line], "Approved cash, this year, {0}", _;
    BUDGET_TO_DATE: "accounts.budget-to-date" [], "Approved cash, to date", _;
    BUDGET_TO_DATE_LINE: "accounts.budget-to-date.line" [Line], "Approved cash, to date, {0}", _;
    BUDGET_LIFE: "accounts.budget-whole-life" [], "Approved cash, whole life", _;
    BUDGET_LIFE_LINE: "accounts.budget-whole-life.line" [Line], "Approved cash, whole life, {0}", _;
    BUDGET_AT_FIRST: "accounts.budget-at-first" [], "First approved cash, whole life", _;
    BUDGET_AT_FIRST_LINE: "accounts.budget-at-first.line" [Line], "First approved cash, whole life, {0}", _;
    RECEIVED_TO_DATE: "accounts.received" [], "Instalments received to date", _;
    TO_COME: "accounts.to-come" [], "Approved and not yet paid by the funder", _;
    INTEREST_TO_DATE: "accounts.interest" [], "Interest to date", _;
    RETURNED_TO_DATE: "accounts.returned" [], "Given back to date", _;
    COMMITTED: "accounts.committed" [], "Committed and not paid", _;
    UNSPENT_LIMIT: "accounts.unspent-limit" [], "May stay unspent without asking", _;
    TEST_WHOLE_GRANT: "accounts.test.whole-grant" [], "Largest rise of a line over the grant paid", Fraction;
    TEST_CUMULATIVE_TRANSFERS: "accounts.test.cumulative-transfers" [], "All rises of lines over the budget", Fraction;
    TEST_LARGEST_LINE: "accounts.test.largest-line" [], "Largest change of a line over its budget", Fraction;
    TEST_LINE: "accounts.test.line" [Line], "Change to date over the budget, {0}", Fraction;
    TEST_NEW_LINE: "accounts.test.new-line" [], "Spent on lines that were not approved, over the budget", Fraction;
    YEAR_CARRIED_IN: "accounts.year.carried-in" [Year], "Carried into {0}", _;
    YEAR_RECEIVED: "accounts.year.received" [Year], "Instalments of {0}", _;
    YEAR_INTEREST: "accounts.year.interest" [Year], "Interest of {0}", _;
    YEAR_SPENT: "accounts.year.spent" [Year], "Cash spent in {0}", _;
    YEAR_RETURNED: "accounts.year.returned" [Year], "Given back in {0}", _;
    YEAR_CARRIED_OUT: "accounts.year.carried-out" [Year], "Carried out of {0}", _;
    OTHER_SOURCE: "accounts.other-source" [Payer], "Cash spent to date on the place, {0}", _;
    ALL_SOURCES: "accounts.all-sources" [], "Cash spent to date on the place, all sources", _;
    MATTER_OWED: "offset.owed" [Matter], "Owed for {0}", _;
    MATTER_DELIVERED: "offset.delivered" [Matter], "Delivered for {0}", _;
    MATTER_SHORTFALL: "offset.shortfall" [Matter], "Still to be delivered for {0}", _;
    PROMISED: "accounts.promised" [Year], "Promised by others for {0}", _;
    CONTRIBUTED: "accounts.contributed" [Year], "Received of what others promised for {0}", _;

    SOURCE_RECEIVED: "sources.received" [Payer], "Received, {0}", _;
    SOURCE_INTEREST: "sources.interest" [Payer], "Interest, {0}", _;
    SOURCE_SPENT: "sources.spent" [Payer], "Cash spent to date, {0}", _;
    SOURCE_SPENT_LINE: "sources.spent.line" [Line Payer], "Cash spent to date on {0}, {1}", _;
    SOURCE_UNSPENT: "sources.unspent" [Payer], "Received and not spent, {0}", _;
    SOURCE_IN_KIND: "sources.in-kind" [Payer], "Given in kind to date, {0}", _;
    SOURCE_VOLUNTEERS: "sources.volunteers" [], "Value of volunteers' hours to date", _;
    SOURCE_OUTSIDE: "sources.outside" [], "Cash dated outside the terms of its agreements", _;
    SOURCE_PART_OF_CASH: "sources.part-of-cash" [Payer], "Part of all cash, {0}", Fraction;
    SOURCE_PART_OF_ALL: "sources.part-of-all" [Payer], "Part of all cash and all given in kind, {0}", Fraction;
    SOURCE_HOURS: "sources.hours" [Basis Payer], "Hours to date, {0}, {1}", Hours;
    SOURCE_STEMS: "sources.stems" [Payer], "Stems planted to date, {0}", Stems;
    SOURCE_HECTARES: "sources.hectares" [Payer], "Plan hectares reported, {0}", Hectares;

    TARGET_AS_AT: "target.as-at" [Target], "{0}", _;
    TARGET_EXPECTED: "target.expected" [Target], "Expected on {0}", _;

    PLANTABLE: "plan.area" [Area], "Ground to plant", Hectares;
    WORKING_CELL: "plan.cell" [], "Cell at which the terrain model is read", Height;
    WORKING_CELL_CHANGE: "plan.cell.change" [], "Change of heights by averaging to that cell", Height;
    ROWS: "plan.rows" [], "Rows to set out", Count;
    ROW_LENGTH: "plan.row-length" [], "Length of rows", Metres;
    ROWS_BY_MACHINE: "plan.slope-band.machine" [], "Rows on ground under 12°: machine or hand", Metres;
    ROWS_BY_MANUAL: "plan.slope-band.manual" [],
        "Rows on 12° to under 15°: by hand, or as the machine's manual allows", Metres;
    ROWS_BY_HAND: "plan.slope-band.hand" [], "Rows on 15° and steeper: hand work alone", Metres;
    ROWS_HAND_SHARE: "plan.hand-share" [], "Rows to be worked by hand alone, by length", Fraction;
    SLASHING_HOURS: "plan.hours.slashing" [], "Hours to slash the strips once", Hours;
    PLANTING_HOURS: "plan.hours.planting" [], "Hours to plant new rows and infill", Hours;
    CONTROL_ROWS: "plan.control-rows" [], "Control rows to peg", Count;
    PEGS: "plan.pegs" [], "Pegs of the control rows", Count;
    CREW_DAYS: "plan.crew-days" [], "Crew-days to set out and plant the new rows", Count;
    CREW_DAY_HOURS: "plan.crew-day-hours" [], "Person hours in a crew-day", Hours;
    PLANTING_PACE: "plan.pace.planting" [], "Person hours to plant a hundred stems", Hours;
    SET_OUT_PACE: "plan.pace.set-out" [], "Person hours to set out a hundred metres of row", Hours;
    MATERIAL: "plan.material" [Material], "{0} for all new stems", Number;
    DAY_ROWS: "plan.day.rows" [CrewDay], "Rows of {0}", Count;
    DAY_LENGTH: "plan.day.length" [CrewDay], "Metres of row of {0}", Metres;
    DAY_STEMS: "plan.day.stems" [CrewDay], "Stems to plant on {0}", Stems;
    DAY_TRAYS: "plan.day.trays" [CrewDay], "Trays to carry on {0}", Count;
    DAY_HOURS: "plan.day.hours" [CrewDay], "Person hours of {0}", Hours;
    DAY_BY_MACHINE: "plan.day.machine" [CrewDay], "Rows of {0} on ground under 12°: machine or hand", Metres;
    DAY_BY_MANUAL: "plan.day.manual" [CrewDay],
        "Rows of {0} on 12° to under 15°: by hand, or as the machine's manual allows", Metres;
    DAY_BY_HAND: "plan.day.hand" [CrewDay], "Rows of {0} on 15° and steeper, or of unknown slope: hand work alone", Metres;
    DAY_MATERIAL: "plan.day.material" [CrewDay Material], "{1} for {0}", Number;
    GRASS_EDGE: "plan.edge" [], "Edge between planted bands and grass", Metres;
    ROW_SPACING_P05: "plan.spacing.p05" [], "Row spacing that a twentieth of the length stays under", Height;
    ROW_SPACING_P50: "plan.spacing.p50" [], "Median row spacing", Height;
    ROW_SPACING_P95: "plan.spacing.p95" [], "Row spacing that nineteen twentieths of the length stay under", Height;
    ROW_SPACING_HELD: "plan.spacing.held" [], "Rows within 15 % of the spacing asked for, by length", Fraction;
    ROW_SPACING_HELD_UNSMOOTHED: "plan.spacing.held.unsmoothed" [],
        "Rows within 15 % of the spacing asked for, on the model as it stands", Fraction;
    ROWS_LEVEL: "plan.level" [], "Rows that rise or fall by under 2 % from peg to peg, by length", Fraction;
    ROWS_LEVEL_LAID: "plan.level.laid" [],
        "Rows that rise or fall by under 2 % on the ground they were laid on, by length", Fraction;
    ROWS_LEVEL_STRAIGHT: "plan.level.straight" [],
        "Rows under 2 % from peg to peg, heights straight between the model's own", Fraction;
    ROWS_LEVEL_PIECES: "plan.level.pieces" [],
        "Rows under 2 % over every half spacing of the model as it stands", Fraction;
    ROW_SLOPE: "plan.slope" [Area], "Mean slope under the rows", Degrees;
    ROW_MAP_SPACING: "plan.map-spacing" [Area], "Distance between rows on the map", Height;
    PLANTED_BAND: "plan.band" [], "Planted band of each row", Height;
    PLANNED_STEMS: "plan.stems.all" [], "Stems to plant, all species", Stems;
    SPECIES_PLANNED_STEMS: "plan.stems" [Species], "Stems to plant, {0}", Stems;
    PLANNED_DENSITY: "plan.density" [], "Stems to plant per hectare, new rows", StemsPerHectare;
    INFILL_DEAD: "plan.infill.dead" [Area], "Stems of earlier plantings that died", Stems;
    INFILL: "plan.infill" [Area], "Stems to set as infill", Stems;
    SPECIES_INFILL: "plan.infill.species" [Species], "Stems to set as infill, {0}", Stems;
    PLANT_ORDER: "plan.order" [Species], "Plants to order, {0}", Stems;

    SITES: "sites.count" [], "Sites", Count;
    DOUBTS: "doubts.count" [], "Doubts about the sites' files", Count;
    STEMS_ALIVE: "plantings.stems-alive" [Area], "Stems alive of those planted", Stems;
    SITES_BY_SURVIVAL: "survival.sites" [Tenth], "Sites with {0} of planted stems alive", Count;
    LOWEST_SURVIVAL: "survival.sites.lowest" [], "Lowest survival of a site", Fraction;
    HIGHEST_SURVIVAL: "survival.sites.highest" [], "Highest survival of a site", Fraction;
    TARGETS: "targets" [Standing], "Targets {0}", Count;
    SITES_SPENT: "spend.total" [Currency], "Spent in the period, all sites", _;
    SITES_SPENT_IN_KIND: "spend.in-kind" [Currency], "Given in kind in the period, all sites", _;
    SITES_UNSPENT: "spend.unspent" [Currency], "Received less spent to date, all sites", _;
    SITES_BUDGET: "budget.total" [Currency], "Approved, all sites", _;
    SITES_COST_PER_LIVING_STEM: "spend.per-living-stem" [Currency], "Spent for each living stem, all sites", _;
}
