//! The ground: slope, soil loss and rain, for every document that speaks of them.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    draw::map::scheme::{Scheme, Tint},
    typeset::{
        ReportInputs,
        data::{
            notes::sentence,
            places::{areas, together},
            printed::{Printed, under},
        },
    },
};
use hillfolio_core::{
    estimate::{Method, erosion::SITE_NOTES},
    ledger::{FigureId, Ledger, Series, catalogue},
};

/// Slope, soil loss and rain.
#[derive(Serialize, JsonSchema)]
pub(crate) struct GroundSection {
    /// Whether there is anything to show.
    shows: bool,
    /// What a reader in a hurry takes away.
    summary: Vec<Printed>,
    slope: Option<SlopeTables>,
    soil: Option<Soil>,
    rain: Vec<RainRow>,
}

/// How steep the ground is.
#[derive(Serialize, JsonSchema)]
struct SlopeTables {
    rows: Vec<SlopeRow>,
    all: Option<SlopeRow>,
    /// Whether the slopes come from a terrain model and not from readings.
    by_terrain: bool,
    /// The heads of the classes' columns; none where there are no classes.
    heads: Vec<Head>,
    classes: Vec<ClassRow>,
    all_classes: Option<ClassRow>,
}

/// A class and its colour on the map.
#[derive(Serialize, JsonSchema)]
struct Head {
    words: String,
    colour: &'static str,
}

/// The slope of one area.
#[derive(Serialize, JsonSchema)]
struct SlopeRow {
    area: String,
    mean: Printed,
    p90: Printed,
    max: Printed,
    from_12: Printed,
    from_15: Printed,
    surface: Printed,
}

/// The hectares of one area in every class.
#[derive(Serialize, JsonSchema)]
struct ClassRow {
    area: String,
    hectares: Vec<Printed>,
    plan: Printed,
}

/// Soil loss before and now.
#[derive(Serialize, JsonSchema)]
struct Soil {
    /// Loss now over before, of all areas.
    ratio: Printed,
    rows: Vec<SoilRow>,
    all: Option<SoilRow>,
    /// What must stand beside the figures.
    notes: Vec<String>,
}

/// What went into the soil loss, for the workings.
#[derive(Serialize, JsonSchema)]
pub(crate) struct SoilFactors {
    factors: Vec<Factor>,
}

/// Soil loss of one area.
#[derive(Serialize, JsonSchema)]
struct SoilRow {
    area: String,
    ratio: Printed,
    before: Printed,
    now: Printed,
    closed: Printed,
    kept: Printed,
}

/// One factor of the equation and where it came from.
#[derive(Serialize, JsonSchema)]
struct Factor {
    sign: &'static str,
    name: &'static str,
    values: Vec<FactorValue>,
    how: Vec<String>,
}

/// The value of a factor, of one area or of all.
#[derive(Serialize, JsonSchema)]
struct FactorValue {
    area: String,
    value: Printed,
}

/// One figure of rain.
#[derive(Serialize, JsonSchema)]
struct RainRow {
    figure: Printed,
    notes: String,
}

/// What the section sums up.
const SUMMARY: [&Series; 6] = [
    &catalogue::SLOPE_MEAN,
    &catalogue::SLOPE_MAX,
    &catalogue::STEEPER_THAN_15,
    &catalogue::EROSION_RATIO,
    &catalogue::SOIL_KEPT,
    &catalogue::RAIN,
];

/// What P was.
const NO_BANK: &str = "P is 1: rows of trees planted across a slope make no bank. A drained bank or bench counts where it ends a slope, \
                       in the slope factor.";

impl GroundSection {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> GroundSection {
        let ledger = inputs.ledger;
        let summary = SUMMARY.iter().filter_map(|series| Printed::find(ledger, &series.whole()));
        let summary = summary.filter(|figure| figure.text.is_some()).collect();
        let slope = SlopeTables::of(inputs);
        let soil = Soil::of(inputs);
        let rain = rain(ledger);
        GroundSection {
            shows: slope.is_some() || soil.is_some() || !rain.is_empty(),
            summary,
            slope,
            soil,
            rain,
        }
    }
}

/// Whether the ledger has a figure of one of these series.
fn any(inputs: &ReportInputs<'_>, series: &[&'static Series]) -> bool {
    series.iter().any(|series| inputs.ledger.figures_of(series).next().is_some())
}

impl SlopeTables {
    fn of(inputs: &ReportInputs<'_>) -> Option<SlopeTables> {
        if !any(inputs, &[&catalogue::SLOPE_MEAN, &catalogue::SLOPE_MAX]) {
            return None;
        }
        let ledger = inputs.ledger;
        let row = |(area, name): (String, &str)| SlopeRow {
            area,
            mean: Printed::about(ledger, &catalogue::SLOPE_MEAN, name),
            p90: Printed::about(ledger, &catalogue::SLOPE_P90, name),
            max: Printed::about(ledger, &catalogue::SLOPE_MAX, name),
            from_12: Printed::about(ledger, &catalogue::STEEPER_THAN_12, name),
            from_15: Printed::about(ledger, &catalogue::STEEPER_THAN_15, name),
            surface: Printed::about(ledger, &catalogue::SURFACE_AREA, name),
        };
        let breaks = inputs.cells.map(|cells| cells.breaks.as_slice()).unwrap_or_default();
        let scheme = Scheme::slope(breaks);
        let head = |(tint, words): (Tint, &str)| Head { words: words.to_owned(), colour: tint.colour() };
        let heads: Vec<Head> = scheme.classes().map(head).collect();
        let by_class = any(inputs, &[&catalogue::SLOPE_CLASS]) && !breaks.is_empty();
        let heads = if by_class { heads } else { Vec::new() };
        let classes = |(area, name): (String, &str)| ClassRow {
            area,
            hectares: (1..=heads.len())
                .map(|class| Printed::of(ledger, &catalogue::SLOPE_CLASS.id(&[&class.to_string(), name])))
                .collect(),
            plan: Printed::about(ledger, &catalogue::AREA, name),
        };
        Some(SlopeTables {
            rows: areas(inputs).map(row).collect(),
            all: together(inputs).map(row),
            by_terrain: inputs.cells.is_some(),
            classes: if by_class { areas(inputs).map(classes).collect() } else { Vec::new() },
            all_classes: together(inputs).filter(|_| by_class).map(classes),
            heads,
        })
    }
}

/// What a table of soil loss can show.
const SOIL: [&Series; 4] = [
    &catalogue::EROSION_RATIO,
    &catalogue::EROSION_BEFORE,
    &catalogue::EROSION_NOW,
    &catalogue::EROSION_CLOSED_CANOPY,
];

impl Soil {
    fn of(inputs: &ReportInputs<'_>) -> Option<Soil> {
        if !any(inputs, &SOIL) {
            return None;
        }
        let ledger = inputs.ledger;
        let row = |(area, name): (String, &str)| SoilRow {
            area,
            ratio: Printed::about(ledger, &catalogue::EROSION_RATIO, name),
            before: Printed::about(ledger, &catalogue::EROSION_BEFORE, name),
            now: Printed::about(ledger, &catalogue::EROSION_NOW, name),
            closed: Printed::about(ledger, &catalogue::EROSION_CLOSED_CANOPY, name),
            kept: Printed::about(ledger, &catalogue::SOIL_KEPT, name),
        };
        Some(Soil {
            ratio: Printed::about(ledger, &catalogue::EROSION_RATIO, "all"),
            rows: areas(inputs).map(row).collect(),
            all: together(inputs).map(row),
            notes: SITE_NOTES.iter().map(|note| sentence(note)).collect(),
        })
    }
}

impl SoilFactors {
    /// The factors; `None` where no soil loss could be worked out.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Option<SoilFactors> {
        any(inputs, &SOIL).then(|| SoilFactors { factors: factors(inputs) })
    }
}

/// The factors of the equation, in its order.
fn factors(inputs: &ReportInputs<'_>) -> Vec<Factor> {
    let ledger = inputs.ledger;
    let one =
        |area: String, id: &FigureId| Printed::find(ledger, id).map(|value| FactorValue { area, value });
    let slopes = areas(inputs).filter_map(|(area, name)| one(area, &catalogue::SLOPE_FACTOR.id(&[name])));
    let covers = areas(inputs).flat_map(|(area, name)| {
        let state = |words: &str, series: &Series| one(format!("{area}, {words}"), &series.id(&[name]));
        let states =
            [state("before", &catalogue::COVER_FACTOR_BEFORE), state("now", &catalogue::COVER_FACTOR_NOW)];
        states.into_iter().flatten()
    });
    let of = |sign, name, values: Vec<FactorValue>| {
        let mut how: Vec<String> = Vec::new();
        for figure in values.iter().filter_map(|one| ledger.figure(&one.value.id)) {
            let words = account(figure.method);
            if !how.contains(&words) {
                how.push(words);
            }
        }
        Factor { sign, name, values, how }
    };
    let whole = |series: &Series| one(String::new(), &series.whole()).into_iter().collect();
    let fixed = |sign, name, how: String| Factor { sign, name, values: Vec::new(), how: vec![how] };
    vec![
        of("R", "rain", whole(&catalogue::EROSIVITY)),
        of("K", "soil", whole(&catalogue::ERODIBILITY)),
        of("LS", "slope and its length", slopes.collect()),
        match covers.collect::<Vec<_>>() {
            none if none.is_empty() => fixed("C", "cover", account(Method::COVER_FACTOR)),
            covers => of("C", "cover", covers),
        },
        fixed("P", "banks and benches", NO_BANK.to_owned()),
    ]
}

/// A method in two sentences: what it is, and what it takes for granted.
fn account(method: Method) -> String {
    sentence(method.title()) + " " + &sentence(&method.assumptions())
}

/// The rain of the period, of other years, after every planting, and the longest dry spell.
fn rain(ledger: &Ledger) -> Vec<RainRow> {
    let parts =
        [&catalogue::RAIN, &catalogue::RAIN_MEDIAN, &catalogue::RAIN_AFTER_PLANTING, &catalogue::DRY_SPELL];
    let figures: Vec<Printed> = parts.into_iter().flat_map(|series| under(ledger, series)).collect();
    if figures.iter().all(|figure| figure.text.is_none()) {
        return Vec::new();
    }
    let notes = |figure: &Printed| match (&figure.gap, ledger.figure(&figure.id)) {
        (Some(gap), _) => sentence(gap),
        (None, Some(found)) => found.notes.iter().map(|note| sentence(note)).collect::<Vec<_>>().join(" "),
        (None, None) => String::new(),
    };
    figures.into_iter().map(|figure| RainRow { notes: notes(&figure), figure }).collect()
}
