//! Planted stems and what becomes of them: the counts that a survey crew would bring home.

use super::{dice::Dice, sheet::Sheet};

/// A species and how it fares on the site.
#[derive(Clone)]
pub(crate) struct Kind {
    pub(crate) name: &'static str,
    /// Share of the stems planted.
    pub(crate) share: f64,
    /// Chance that a stem lives to the first survey.
    pub(crate) lives: f64,
    /// Usual height at the first survey, cm.
    pub(crate) height_cm: f64,
}

impl Kind {
    /// A species with its share, its chance and its height.
    pub(crate) const fn new(name: &'static str, share: f64, lives: f64, height_cm: f64) -> Kind {
        Kind { name, share, lives, height_cm }
    }
}

/// A survey plot with the stems set in it.
pub(crate) struct Plot {
    pub(crate) id: String,
    /// Stems set, by the place of the species in the list.
    pub(crate) set: Vec<u64>,
    /// How good the spot is: about 1; below it more stems die.
    pub(crate) luck: f64,
}

impl Plot {
    /// A plot of `m2` plan square metres in ground planted at `per_hectare`.
    pub(crate) fn new(id: &str, m2: f64, per_hectare: f64, kinds: &[Kind]) -> Plot {
        let mut dice = Dice::new(&format!("plot {id}"));
        let stems = (per_hectare * m2 / 10_000.0 + 0.9 * dice.bell()).round().max(1.0) as u64;
        let shares: Vec<f64> = kinds.iter().map(|kind| kind.share).collect();
        let mut set = vec![0; kinds.len()];
        for _ in 0..stems {
            set[dice.weighed(&shares)] += 1;
        }
        Plot { id: id.to_owned(), set, luck: 1.0 + 0.07 * dice.bell() }
    }

    /// All stems set in the plot.
    pub(crate) fn stems(&self) -> u64 {
        self.set.iter().sum()
    }
}

/// A visit to a plot.
pub(crate) struct Visit<'a> {
    pub(crate) date: &'a str,
    pub(crate) cohort: &'a str,
    /// Years since planting; each further year takes a little more.
    pub(crate) years: f64,
}

/// Adds a row for every species set in the plot, and a measured stem or two of each.
pub(crate) fn survey(plot: &Plot, kinds: &[Kind], visit: &Visit, tallies: &mut Sheet, stems: &mut Sheet) {
    let mut first_tag = 1;
    for (kind, set) in kinds.iter().zip(&plot.set).filter(|(_, set)| **set > 0) {
        // One die for a stem and its fate on all visits, so that no stem rises from the dead.
        let mut dice = Dice::new(&format!("{} {}", plot.id, kind.name));
        let chance = (kind.lives * plot.luck - 0.05 * (visit.years - 1.0)).clamp(0.2, 0.98);
        let fates: Vec<f64> = (0..*set).map(|_| dice.part()).collect();
        let alive = fates.iter().filter(|fate| **fate < chance).count() as u64;
        let missing = fates.iter().filter(|fate| **fate > 0.965 && **fate >= chance).count() as u64;
        let recruits = if visit.years > 1.5 && dice.happens(0.18) { dice.whole(1, 3) } else { 0 };
        let counts = [alive, set - alive - missing, missing, recruits].map(|count| count.to_string());
        let [alive_text, dead, missing, recruits] = &counts;
        tallies.row([visit.date, &plot.id, kind.name, alive_text, dead, missing, recruits, visit.cohort, ""]);
        for rank in 0..alive.min(2) {
            // A tag stays with its tree, whatever dies beside it.
            let tag = first_tag + rank;
            let grown = 0.45 + 0.55 * visit.years;
            let height = kind.height_cm * grown * (1.0 + 0.16 * dice.bell()).max(0.3);
            let tag = format!("{}-{tag}", plot.id);
            stems.row([visit.date, &plot.id, kind.name, &tag, &format!("{height:.0}"), "alive", ""]);
        }
        first_tag += (*set).min(2);
    }
}

/// Adds the planting log's rows: every species of the block, in as many lots as there are days.
pub(crate) fn shares_out(stems: u64, kinds: &[Kind]) -> Vec<u64> {
    let whole: f64 = kinds.iter().map(|kind| kind.share).sum();
    // Nurseries sell by the tray of forty.
    kinds.iter().map(|kind| ((stems as f64 * kind.share / whole / 40.0).round() as u64).max(1) * 40).collect()
}
