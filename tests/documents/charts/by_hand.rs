//! Ledgers entered by hand, so that a chart can be held against numbers that no estimator made.

use hillfolio_core::{
    estimate::{Estimate, Interval, Method},
    ledger::{FigureId, Ledger},
    project::{Project, Stem, Tally},
    source::Sources,
    units::{Metres, Share, Stems, Unit},
};

use crate::support::{self, money, row, species_id};

pub(crate) fn stems(ledger: &mut Ledger, id: &str, count: u64) {
    let estimate = Estimate::counted(Stems(count), Method::SUM, Sources::default());
    ledger.enter(FigureId::fixed(id), "Stems", Unit::Stems, Ok(estimate));
}

pub(crate) fn share(
    ledger: &mut Ledger,
    id: &str,
    value: f64,
    between: Option<(f64, f64)>,
    sources: Sources,
) {
    let estimate = Estimate {
        sample: None,
        cautious: None,
        value: Share::nearest(value),
        interval: between.map(|(low, high)| Interval {
            low: Share::nearest(low),
            high: Share::nearest(high),
            confidence: 0.90,
        }),
        method: Method::SUM,
        sources,
        notes: vec![],
    };
    ledger.enter(FigureId::fixed(id), "Planted stems alive", Unit::Fraction, Ok(estimate));
}

pub(crate) fn cash(ledger: &mut Ledger, id: &str, amount: &str) {
    let estimate = Estimate::counted(money(amount), Method::SUM, Sources::default());
    ledger.enter(FigureId::fixed(id), "Money", Unit::Currency("AUD".to_owned()), Ok(estimate));
}

pub(crate) fn height(
    ledger: &mut Ledger,
    id: &str,
    median: f64,
    between: Option<(f64, f64)>,
    sources: Sources,
) {
    let estimate = Estimate {
        sample: None,
        cautious: None,
        value: Metres(median),
        interval: between.map(|(low, high)| Interval {
            low: Metres(low),
            high: Metres(high),
            confidence: 0.90,
        }),
        method: Method::SUM,
        sources,
        notes: vec![],
    };
    ledger.enter(FigureId::fixed(id), "Median height", Unit::Height, Ok(estimate));
}

pub(crate) fn tallies_where(project: &Project, kept: impl Fn(&Tally) -> bool) -> Sources {
    project.tallies.iter().filter(|tally| kept(tally)).map(|tally| &tally.source).collect()
}

pub(crate) fn stems_where(project: &Project, kept: impl Fn(&Stem) -> bool) -> Sources {
    project.stems.iter().filter(|stem| kept(stem)).map(|stem| &stem.source).collect()
}

/// The small project with figures for every chart, entered by hand.
pub(crate) fn small() -> (Project, Ledger) {
    let project = support::small_project();
    let mut ledger = Ledger::default();
    for (species, to_date, in_period, alive, between, median) in [
        ("Acacia melanoxylon", 1800, 1200, 0.884, Some((0.802, 0.934)), 0.84),
        ("Lophostemon confertus", 1700, 1700, 0.869, None, 1.41),
    ] {
        let slug = hillfolio_core::project::slug(species);
        let id = species_id(species);
        stems(&mut ledger, &format!("plantings.species-stems.{slug}"), to_date);
        stems(&mut ledger, &format!("plantings.species-stems-in-period.{slug}"), in_period);
        let sources = tallies_where(&project, |tally| tally.species == id);
        share(&mut ledger, &format!("survival.species.{slug}"), alive, between, sources);
        let sources = stems_where(&project, |stem| stem.species == id);
        height(
            &mut ledger,
            &format!("height.median.{slug}"),
            median,
            Some((median - 0.1, median + 0.2)),
            sources,
        );
    }
    stems(&mut ledger, "plantings.stems.all", 3500);
    stems(&mut ledger, "plantings.stems-in-period.all", 2900);
    for (id, alive, low, high, plot) in [
        ("survival.north-face", 0.886, 0.80, 0.93, "N"),
        ("survival.gully-head", 0.867, 0.71, 0.95, "G"),
        ("survival.cohort.2024", 0.71, 0.55, 0.83, "N"),
        ("survival.cohort.2025", 0.88, 0.82, 0.92, ""),
        ("survival.all", 0.876, 0.82, 0.92, ""),
    ] {
        let sources = tallies_where(&project, |tally| tally.plot.0.starts_with(plot));
        share(&mut ledger, id, alive, Some((low, high)), sources);
    }
    for (id, amount) in [
        ("budget.line.plants-and-guards", "18400"),
        ("spend.line.plants-and-guards", "19250.50"),
        ("budget.line.fencing", "9500"),
        ("spend.line.fencing", "4120"),
        ("budget.total", "27900"),
        ("spend.total", "23370.50"),
        ("budget.in-kind", "1200"),
        ("spend.in-kind", "850"),
    ] {
        cash(&mut ledger, id, amount);
    }
    (project, ledger)
}

/// `count` species with figures of every kind, made from small sums so that no two are alike.
pub(crate) fn many(count: u32) -> (Project, Ledger) {
    let mut project = support::small_project();
    let mut ledger = Ledger::default();
    project.plantings.clear();
    project.stems.clear();
    let model = support::small_project();
    for n in 0..count {
        let name = format!("Invented{n:02} longepithetica{}", "x".repeat(n as usize % 30));
        let slug = hillfolio_core::project::slug(&name);
        let mut planting = model.plantings[0].clone();
        planting.species = species_id(&name);
        project.plantings.push(planting);
        let first = project.stems.len() as u32 + 2;
        for k in 0..(3 + n * 7 % 190) {
            let mut stem = model.stems[0].clone();
            stem.species = species_id(&name);
            stem.height = Some(Metres(0.3 + f64::from(k * 37 % 100) / 60.0 + f64::from(n) / 40.0));
            stem.tag = None;
            stem.source = row("stems.csv", first + k);
            project.stems.push(stem);
        }
        stems(&mut ledger, &format!("plantings.species-stems.{slug}"), u64::from(40 + n * 97 % 1500));
        let alive = 0.4 + f64::from(n * 13 % 60) / 100.0;
        let between = (n % 4 != 3).then_some((alive - 0.15, alive + 0.1));
        share(&mut ledger, &format!("survival.species.{slug}"), alive, between, Sources::default());
        let id = species_id(&name);
        let sources = stems_where(&project, |stem| stem.species == id);
        let median = 1.1 + f64::from(n) / 40.0;
        height(
            &mut ledger,
            &format!("height.median.{slug}"),
            median,
            Some((median - 0.2, median + 0.2)),
            sources,
        );
    }
    (project, ledger)
}
