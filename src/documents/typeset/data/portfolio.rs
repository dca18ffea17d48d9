//! The tree of the report of a portfolio.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    Portfolio, SiteLine, Told,
    data::{
        Job,
        cover::Cover,
        drawings::{self, Picture},
        meta::{Colophon, Meta, footer_of_portfolio},
        methods::with_workings_of,
        notes::sentence,
        printed::{self, Printed},
        report::{STANDARD, STANDARDS},
        summary::{KeyFigure, Summary, key},
        targets::mark,
        tree,
    },
};
use hillfolio_core::{
    estimate::{Method, carbon, erosion},
    ledger::{
        Figure, Ledger, Member, Series, Standing,
        catalogue::{
            AREA, CARBON_STOCK, HIGHEST_SURVIVAL, HOURS, LOWEST_SURVIVAL, SITES_BUDGET, SITES_BY_SURVIVAL,
            SITES_COST_PER_LIVING_STEM, SITES_SPENT, SITES_SPENT_IN_KIND, SITES_UNSPENT, SOIL_KEPT,
            SPECIES_COUNT, STEMS, STEMS_ALIVE, STEMS_IN_PERIOD, SURVIVAL, TARGETS,
        },
    },
    project::Period,
    source::Sources,
    units::{Unit, percent, whole},
};

/// Key figures by group.
const GROUPS: [(&str, &[KeyFigure]); 4] = [
    ("The ground and the plants", &[key(&AREA), key(&STEMS_IN_PERIOD), key(&STEMS), key(&SPECIES_COUNT)]),
    ("Alive", &[key(&SURVIVAL), key(&STEMS_ALIVE), key(&LOWEST_SURVIVAL), key(&HIGHEST_SURVIVAL)]),
    ("Carbon and soil, estimates", &[key(&CARBON_STOCK), key(&SOIL_KEPT)]),
    (
        "Targets and records",
        &[
            (&TARGETS, &[Standing::Met.words()]),
            (&TARGETS, &[Standing::ProbablyMet.words()]),
            (&TARGETS, &[Standing::NotShown.words()]),
            (&TARGETS, &[Standing::NotMet.words()]),
        ],
    ),
];

#[derive(Serialize, JsonSchema)]
pub(crate) struct Report {
    meta: Meta,
    footer: String,
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    summary: Summary,
    targets: Targets,
    map: Option<Picture>,
    charts: Vec<Picture>,
    classes: Vec<Printed>,
    money: Vec<Money>,
    hours: Vec<Printed>,
    carbon: Estimated,
    soil: Estimated,
    left_out: Vec<Left>,
    sites: Vec<Row>,
    site_targets: Vec<SiteTarget>,
    doubts: Vec<Doubt>,
    periods_differ: bool,
}

#[derive(Serialize, JsonSchema)]
struct Targets {
    /// None here: those of each site stand in the annex.
    rows: [(); 0],
    by_value: bool,
    counts: Vec<Count>,
}

#[derive(Serialize, JsonSchema)]
struct Count {
    mark: &'static str,
    standing: &'static str,
    figure: Printed,
}

/// The money of one currency.
#[derive(Serialize, JsonSchema)]
struct Money {
    currency: String,
    budget: Printed,
    spent: Printed,
    unspent: Printed,
    in_kind: Printed,
    per_living_stem: Printed,
}

/// An estimate with what must stand beside it.
#[derive(Serialize, JsonSchema)]
struct Estimated {
    figure: Printed,
    cautions: Vec<String>,
}

#[derive(Serialize, JsonSchema)]
struct Left {
    path: String,
    because: String,
}

/// A site in the annex.
#[derive(Serialize, JsonSchema)]
struct Row {
    number: String,
    name: String,
    reference: String,
    path: String,
    cells: Vec<Cell>,
}

#[derive(Serialize, JsonSchema)]
struct Cell {
    text: Option<String>,
    interval: Option<String>,
}

#[derive(Serialize, JsonSchema)]
struct SiteTarget {
    number: String,
    words: String,
    under: String,
    mark: &'static str,
    standing: &'static str,
    because: String,
}

#[derive(Serialize, JsonSchema)]
struct Doubt {
    number: String,
    says: String,
    place: String,
    count: String,
}

/// The report to be set.
pub(crate) fn job(portfolio: &Portfolio<'_>) -> Job {
    let ledger = portfolio.ledger;
    let data = Report {
        meta: Meta::of_portfolio(portfolio, STANDARD),
        footer: footer_of_portfolio(portfolio),
        interval_heading: format!("{} interval", percent(portfolio.confidence, 0)),
        colophon: Colophon::of_portfolio(portfolio, STANDARD),
        cover: cover(portfolio),
        summary: Summary::in_groups(ledger, &GROUPS, portfolio.confidence),
        targets: Targets { rows: [], by_value: false, counts: counts(ledger) },
        map: portfolio.map.map(|map| Picture::of("map", 0, map)),
        charts: portfolio
            .charts
            .iter()
            .enumerate()
            .map(|(at, chart)| Picture::of("chart", at, chart))
            .collect(),
        classes: (0..10)
            .rev()
            .filter_map(|tenth| Printed::find(ledger, &SITES_BY_SURVIVAL.id(&[Member::tenth(tenth).code()])))
            .collect(),
        money: portfolio.currencies.iter().map(|currency| money(ledger, currency)).collect(),
        hours: printed::under(ledger, &HOURS),
        carbon: estimated(ledger, &CARBON_STOCK, &carbon::CAUTIONS),
        soil: estimated(ledger, &SOIL_KEPT, &erosion::SITE_NOTES),
        left_out: portfolio
            .left_out
            .iter()
            .map(|left| Left { path: left.path.clone(), because: sentence(&left.because) })
            .collect(),
        sites: portfolio.sites.iter().map(row).collect(),
        site_targets: portfolio.sites.iter().flat_map(site_targets).collect(),
        doubts: portfolio.sites.iter().flat_map(doubts).collect(),
        periods_differ: portfolio.periods_differ,
    };
    let mut drawings = drawings::keyed(&[("chart", portfolio.charts)]);
    drawings.extend(portfolio.map.map(|map| ("map-0".to_owned(), map.svg.clone())));
    Job {
        name: "portfolio.pdf".to_owned(),
        template: "portfolio.typ",
        data: with_workings_of(ledger, portfolio.inputs, &[], tree(&data)),
        images: portfolio.attached.to_vec(),
        drawings,
        standards: STANDARDS,
    }
}

fn cover(portfolio: &Portfolio<'_>) -> Cover {
    let facts = [
        ("Sites", whole(portfolio.sites.len() as u64)),
        (
            "Not in it",
            match portfolio.left_out.len() {
                0 => String::new(),
                1 => "1 project, named in the report".to_owned(),
                more => format!("{} projects, named in the report", whole(more as u64)),
            },
        ),
    ];
    let period = Period { from: portfolio.from, to: portfolio.to };
    Cover::without_emblem("Portfolio report", &printed::shortened(portfolio.name, 120), period, facts)
}

fn counts(ledger: &Ledger) -> Vec<Count> {
    Standing::ALL
        .into_iter()
        .filter_map(|standing| {
            let figure = Printed::find(ledger, &TARGETS.id(&[standing.words()]))?;
            Some(Count { mark: mark(standing), standing: standing.words(), figure })
        })
        .collect()
}

fn money(ledger: &Ledger, currency: &str) -> Money {
    let of = |series: &Series| Printed::about(ledger, series, currency);
    Money {
        currency: currency.to_owned(),
        budget: of(&SITES_BUDGET),
        spent: of(&SITES_SPENT),
        unspent: of(&SITES_UNSPENT),
        in_kind: of(&SITES_SPENT_IN_KIND),
        per_living_stem: of(&SITES_COST_PER_LIVING_STEM),
    }
}

fn estimated(ledger: &Ledger, series: &Series, cautions: &[&str]) -> Estimated {
    Estimated {
        figure: Printed::of(ledger, &series.whole()),
        cautions: cautions.iter().map(|caution| sentence(caution)).collect(),
    }
}

fn row(site: &SiteLine) -> Row {
    let cell = |told: &Option<Told>| match told.as_ref().map(as_figure) {
        None => Cell { text: None, interval: None },
        Some(figure) => Cell {
            // The currency is the site's own; all other units stand in the heading.
            text: Some(if is_money(&figure.unit) { figure.text() } else { figure.number_text() }),
            interval: figure.bounds_text(),
        },
    };
    Row {
        number: site.number.to_string(),
        name: site.name.clone(),
        reference: site.reference.clone(),
        path: site.path.clone(),
        cells: site.figures.iter().map(cell).collect(),
    }
}

fn is_money(unit: &Unit) -> bool {
    matches!(unit, Unit::Currency(_))
}

/// The figure as the ledger prints its own.
fn as_figure(told: &Told) -> Figure {
    Figure {
        label: String::new(),
        value: told.value,
        unit: told.unit.clone(),
        interval: told.interval,
        sample: None,
        cautious: None,
        method: Method::SITES_SUM,
        sources: Sources::default(),
        notes: Vec::new(),
    }
}

fn site_targets(site: &SiteLine) -> impl Iterator<Item = SiteTarget> {
    site.targets.iter().map(|target| SiteTarget {
        number: site.number.to_string(),
        words: target.words.clone(),
        under: target.under.clone(),
        mark: mark(target.standing),
        standing: target.standing.words(),
        because: sentence(&target.because),
    })
}

fn doubts(site: &SiteLine) -> impl Iterator<Item = Doubt> {
    site.doubts.iter().map(|doubt| Doubt {
        number: site.number.to_string(),
        says: sentence(&doubt.says),
        place: doubt.place.clone(),
        count: whole(doubt.count as u64),
    })
}
