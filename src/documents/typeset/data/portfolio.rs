//! The tree of the report of a portfolio.

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
        summary::Summary,
        targets::mark,
        tree,
    },
};
use hillfolio_core::{
    estimate::{Method, carbon, erosion},
    ledger::{Figure, Ledger, Standing},
    project::Period,
    source::Sources,
    units::{Unit, percent, whole},
};

/// Key figures by group.
const GROUPS: [(&str, &[&str]); 4] = [
    (
        "The ground and the plants",
        &[
            "site.area.all",
            "plantings.stems-in-period.all",
            "plantings.stems.all",
            "plantings.species-count.all",
        ],
    ),
    (
        "Alive",
        &["survival.all", "plantings.stems-alive.all", "survival.sites.lowest", "survival.sites.highest"],
    ),
    ("Carbon and soil, estimates", &["carbon.stock.all", "erosion.kept.all"]),
    ("Targets and records", &["targets.met", "targets.likely-met", "targets.likely-short", "targets.short"]),
];

#[derive(Serialize)]
struct Report {
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

#[derive(Serialize)]
struct Targets {
    /// None here: those of each site stand in the annex.
    rows: [(); 0],
    by_value: bool,
    counts: Vec<Count>,
}

#[derive(Serialize)]
struct Count {
    mark: &'static str,
    standing: &'static str,
    figure: Printed,
}

/// The money of one currency.
#[derive(Serialize)]
struct Money {
    currency: String,
    budget: Printed,
    spent: Printed,
    unspent: Printed,
    in_kind: Printed,
    per_living_stem: Printed,
}

/// An estimate with what must stand beside it.
#[derive(Serialize)]
struct Estimated {
    figure: Printed,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct Left {
    path: String,
    because: String,
}

/// A site in the annex.
#[derive(Serialize)]
struct Row {
    number: String,
    name: String,
    reference: String,
    path: String,
    cells: Vec<Cell>,
}

#[derive(Serialize)]
struct Cell {
    text: Option<String>,
    interval: Option<String>,
}

#[derive(Serialize)]
struct SiteTarget {
    number: String,
    words: String,
    under: String,
    mark: &'static str,
    standing: &'static str,
    because: String,
}

#[derive(Serialize)]
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
            .filter_map(|class| {
                Printed::find(ledger, &format!("survival.sites.{}-{}", class * 10, class * 10 + 10))
            })
            .collect(),
        money: portfolio.currencies.iter().map(|currency| money(ledger, currency)).collect(),
        hours: printed::under(ledger, "works.hours"),
        carbon: estimated(ledger, "carbon.stock.all", &carbon::CAUTIONS),
        soil: estimated(ledger, "erosion.kept.all", &erosion::SITE_NOTES),
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
    [
        Standing::Met,
        Standing::LikelyMet,
        Standing::LikelyShort,
        Standing::Short,
        Standing::NotDue,
        Standing::NotMeasured,
    ]
    .into_iter()
    .filter_map(|standing| {
        let figure = Printed::find(ledger, &format!("targets.{}", standing.words().replace(' ', "-")))?;
        Some(Count { mark: mark(standing), standing: standing.words(), figure })
    })
    .collect()
}

fn money(ledger: &Ledger, currency: &str) -> Money {
    let of = |stem: &str| Printed::about(ledger, stem, currency);
    Money {
        currency: currency.to_owned(),
        budget: of("budget.total"),
        spent: of("spend.total"),
        unspent: of("spend.unspent"),
        in_kind: of("spend.in-kind"),
        per_living_stem: of("spend.per-living-stem"),
    }
}

fn estimated(ledger: &Ledger, id: &str, cautions: &[&str]) -> Estimated {
    Estimated {
        figure: Printed::of(ledger, id),
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
