//! The ground: slope, soil loss and rain, for every document that speaks of them.

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
    ledger::{FigureId, Ledger},
};

/// Slope, soil loss and rain.
#[derive(Serialize)]
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
#[derive(Serialize)]
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
#[derive(Serialize)]
struct Head {
    words: String,
    colour: &'static str,
}

/// The slope of one area.
#[derive(Serialize)]
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
#[derive(Serialize)]
struct ClassRow {
    area: String,
    hectares: Vec<Printed>,
    plan: Printed,
}

/// Soil loss before and now.
#[derive(Serialize)]
struct Soil {
    /// Loss now over before, of all areas.
    ratio: Printed,
    rows: Vec<SoilRow>,
    all: Option<SoilRow>,
    factors: Vec<Factor>,
    /// What must stand beside the figures.
    notes: Vec<String>,
}

/// Soil loss of one area.
#[derive(Serialize)]
struct SoilRow {
    area: String,
    ratio: Printed,
    before: Printed,
    now: Printed,
    closed: Printed,
    kept: Printed,
}

/// One factor of the equation and where it came from.
#[derive(Serialize)]
struct Factor {
    sign: &'static str,
    name: &'static str,
    values: Vec<FactorValue>,
    how: Vec<String>,
}

/// The value of a factor, of one area or of all.
#[derive(Serialize)]
struct FactorValue {
    area: String,
    value: Printed,
}

/// One figure of rain.
#[derive(Serialize)]
struct RainRow {
    figure: Printed,
    notes: String,
}

/// What the section sums up.
const SUMMARY: [&str; 6] = [
    "terrain.slope.mean.all",
    "terrain.slope.max.all",
    "terrain.steeper-than-15.all",
    "erosion.ratio.all",
    "erosion.kept.all",
    "rain.period",
];

/// What P was.
const NO_BANK: &str = "P is 1: rows of trees planted across a slope make no bank. A drained bank or bench counts where it ends a slope, \
                       in the slope factor.";

impl GroundSection {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> GroundSection {
        let ledger = inputs.ledger;
        let known = |id: &&str| ledger.figure(id).is_some();
        let summary = SUMMARY.iter().filter(|id| known(id)).map(|id| Printed::of(ledger, id)).collect();
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

/// Whether the ledger has a figure of one of these stems for any area.
fn any(inputs: &ReportInputs<'_>, stems: &[&str]) -> bool {
    let has = |name: &str| {
        stems.iter().any(|stem| inputs.ledger.figure(FigureId::of(stem, name).as_str()).is_some())
    };
    areas(inputs).any(|(_, name)| has(name)) || has("all")
}

impl SlopeTables {
    fn of(inputs: &ReportInputs<'_>) -> Option<SlopeTables> {
        if !any(inputs, &["terrain.slope.mean", "terrain.slope.max"]) {
            return None;
        }
        let ledger = inputs.ledger;
        let row = |(area, name): (String, &str)| SlopeRow {
            area,
            mean: Printed::about(ledger, "terrain.slope.mean", name),
            p90: Printed::about(ledger, "terrain.slope.p90", name),
            max: Printed::about(ledger, "terrain.slope.max", name),
            from_12: Printed::about(ledger, "terrain.steeper-than-12", name),
            from_15: Printed::about(ledger, "terrain.steeper-than-15", name),
            surface: Printed::about(ledger, "site.surface-area", name),
        };
        let breaks = ledger.cells.as_ref().map(|cells| cells.breaks.as_slice()).unwrap_or_default();
        let scheme = Scheme::slope(breaks);
        let head = |(tint, words): (Tint, &str)| Head { words: words.to_owned(), colour: tint.colour() };
        let heads: Vec<Head> = scheme.classes().map(head).collect();
        let by_class = any(inputs, &["terrain.class.1"]) && !breaks.is_empty();
        let heads = if by_class { heads } else { Vec::new() };
        let classes = |(area, name): (String, &str)| ClassRow {
            area,
            hectares: (1..=heads.len())
                .map(|class| Printed::about(ledger, &format!("terrain.class.{class}"), name))
                .collect(),
            plan: Printed::about(ledger, "site.area", name),
        };
        Some(SlopeTables {
            rows: areas(inputs).map(row).collect(),
            all: together(inputs).map(row),
            by_terrain: ledger.cells.is_some(),
            classes: if by_class { areas(inputs).map(classes).collect() } else { Vec::new() },
            all_classes: together(inputs).filter(|_| by_class).map(classes),
            heads,
        })
    }
}

impl Soil {
    fn of(inputs: &ReportInputs<'_>) -> Option<Soil> {
        if !any(inputs, &["erosion.ratio", "erosion.before", "erosion.now", "erosion.closed-canopy"]) {
            return None;
        }
        let ledger = inputs.ledger;
        let row = |(area, name): (String, &str)| SoilRow {
            area,
            ratio: Printed::about(ledger, "erosion.ratio", name),
            before: Printed::about(ledger, "erosion.before", name),
            now: Printed::about(ledger, "erosion.now", name),
            closed: Printed::about(ledger, "erosion.closed-canopy", name),
            kept: Printed::about(ledger, "erosion.kept", name),
        };
        Some(Soil {
            ratio: Printed::about(ledger, "erosion.ratio", "all"),
            rows: areas(inputs).map(row).collect(),
            all: together(inputs).map(row),
            factors: factors(inputs),
            notes: SITE_NOTES.iter().map(|note| sentence(note)).collect(),
        })
    }
}

/// The factors of the equation, in its order.
fn factors(inputs: &ReportInputs<'_>) -> Vec<Factor> {
    let ledger = inputs.ledger;
    let one = |area: String, id: &str| Printed::find(ledger, id).map(|value| FactorValue { area, value });
    let slopes =
        areas(inputs).filter_map(|(area, name)| one(area, FigureId::of("erosion.ls", name).as_str()));
    let covers = areas(inputs).flat_map(|(area, name)| {
        let state = |words: &str, stem| one(format!("{area}, {words}"), FigureId::of(stem, name).as_str());
        [state("before", "erosion.c.before"), state("now", "erosion.c.now")].into_iter().flatten()
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
    let whole = |id: &str| one(String::new(), id).into_iter().collect();
    let fixed = |sign, name, how: String| Factor { sign, name, values: Vec::new(), how: vec![how] };
    vec![
        of("R", "rain", whole("erosion.r")),
        of("K", "soil", whole("erosion.k")),
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
    let fixed = |id: &str| Printed::find(ledger, id);
    let mut figures: Vec<Printed> =
        ["rain.period", "rain.median-of-other-years"].into_iter().filter_map(fixed).collect();
    figures.extend(under(ledger, "rain.after-planting"));
    figures.extend(fixed("rain.longest-dry-spell"));
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
