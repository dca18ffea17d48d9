//! Covers that hold one another, and stems that were measured against those that were tallied.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    estimate::cover,
    ledger::{Ledger, catalogue, reconcile::Difference},
    problem::{Agreement, Place},
    project::{Layer, PlotId, Project, SpeciesId, StemStatus, slug},
    source::Row,
    units::day,
};

/// The share of the ground by which a part may pass its whole before it is told: rounding to five per cent in the plots (common
/// practice, no source).
const ROUNDED: f64 = 0.01;

pub(super) fn compare(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    covers(ledger, project, found);
    stems(project, found);
}

/// The words of a class of cover, `non-native` as one.
fn words(cover: &str) -> BTreeSet<String> {
    let plain = cover.to_lowercase().replace("non-", "non").replace("non ", "non");
    plain
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn covers(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    let Some(round) = project.rounds().pop() else { return };
    let latest = cover::within(project, round, slug);
    let keys: Vec<(Layer, &String, BTreeSet<String>)> = latest
        .iter()
        .map(|((layer, cover), covered)| {
            let written = covered.read.iter().flat_map(|reading| &reading.readings).next();
            (*layer, cover, words(written.map_or(cover.as_str(), |reading| &reading.cover)))
        })
        .collect();
    for (layer, whole, wide) in &keys {
        for (_, part, narrow) in keys.iter().filter(|(of, ..)| of == layer) {
            if wide.len() >= narrow.len() || !wide.is_subset(narrow) {
                continue;
            }
            let id = |cover: &str| catalogue::COVER.id(&[layer.word(), cover, "all"]);
            let (whole_id, part_id) = (id(whole), id(part));
            let (Some(all), Some(some)) = (ledger.figure(whole_id.as_str()), ledger.figure(part_id.as_str()))
            else {
                continue;
            };
            let row = latest.get(&(*layer, (*part).clone())).and_then(|covered| covered.read.first());
            let Some(row) = row.and_then(|reading| reading.readings.first()) else { continue };
            if some.value > all.value + ROUNDED {
                let kind = Agreement::CoverPartBeyondWhole {
                    layer: layer.word(),
                    part: row.cover.trim().to_owned(),
                    part_share: some.text(),
                    whole: (*whole).clone(),
                    whole_share: all.text(),
                };
                let place = Place::row(&row.source).column("cover");
                found.push(Difference {
                    doubt: Some((kind, place)),
                    figures: vec![whole_id, part_id],
                    rivals: Vec::new(),
                });
            }
        }
    }
}

/// Trees measured alive and stems tallied alive, planted and self-sown, of a species in a plot on a day.
fn stems(project: &Project, found: &mut Vec<Difference>) {
    type Key<'a> = (&'a PlotId, NaiveDate, &'a SpeciesId);
    let mut tallied: BTreeMap<Key<'_>, u64> = BTreeMap::new();
    for tally in &project.tallies {
        let alive = tally.alive.0 + tally.recruits.map_or(0, |stems| stems.0);
        *tallied.entry((&tally.plot, tally.date, &tally.species)).or_default() += alive;
    }
    let mut measured: BTreeMap<Key<'_>, (BTreeSet<String>, &Row)> = BTreeMap::new();
    let alive = project.stems.iter().filter(|stem| stem.status == StemStatus::Alive);
    for stem in alive.filter(|stem| stem.date <= project.period.to) {
        // Stems of one tag are one tree, and further stems of a tree count none.
        let tree = match (&stem.tag, stem.stem) {
            (Some(tag), _) => tag.to_lowercase(),
            (None, Some(2..)) => continue,
            (None, _) => format!(" {}", stem.source.row),
        };
        let trees = measured
            .entry((&stem.plot, stem.date, &stem.species))
            .or_insert_with(|| (BTreeSet::new(), &stem.source));
        trees.0.insert(tree);
    }
    for ((plot, date, species), (trees, row)) in measured {
        // Where none was tallied that day, the measurements are the survey.
        let Some(&tallied) = tallied.get(&(plot, date, species)) else { continue };
        if trees.len() as u64 > tallied {
            let kind = Agreement::MeasuredBeyondTallied {
                measured: trees.len(),
                species: species.to_string(),
                plot: plot.to_string(),
                day: day(date),
                tallied,
            };
            let figures = vec![catalogue::SURVIVAL.whole(), catalogue::CARBON_STOCK.whole()];
            let place = Place::row(row).column("species");
            found.push(Difference { doubt: Some((kind, place)), figures, rivals: Vec::new() });
        }
    }
}
