//! The doubts that could change an answer, and the figures that they are about.

use std::collections::BTreeMap;

use crate::typeset::{
    ReportInputs,
    data::{front::told::lowered, notes::sentence},
};
use hillfolio_core::{
    ledger::{FigureId, Judged, catalogue},
    problem,
};

/// Doubts that stand on the second page at the most.
const MOST_DOUBTS: usize = 5;

/// The figures that the first two pages stand on: those of the targets, then those of the summary.
fn figures(judged: &[&Judged]) -> Vec<FigureId> {
    let key = [
        &catalogue::SURVIVAL,
        &catalogue::STEMS,
        &catalogue::STEMS_IN_PERIOD,
        &catalogue::DENSITY,
        &catalogue::AREA,
        &catalogue::SPENT,
        &catalogue::EROSION_RATIO,
        &catalogue::CARBON_STOCK,
    ];
    judged.iter().map(|one| one.figure.clone()).chain(key.map(|series| series.whole())).collect()
}

/// The doubts that could change an answer, and the daggers of the figures that they are about.
pub(super) fn doubts(
    inputs: &ReportInputs<'_>,
    judged: &[&Judged],
) -> (Vec<String>, BTreeMap<String, String>) {
    let ledger = inputs.ledger;
    let figures = figures(judged);
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    let mut doubt = |says: String, id: &str| match found.iter_mut().find(|(known, _)| *known == says) {
        Some((_, ids)) => ids.push(id.to_owned()),
        None => found.push((says, vec![id.to_owned()])),
    };
    for id in &figures {
        for says in ledger.doubts_of(id.as_str()) {
            doubt(sentence(says), id.as_str());
        }
    }
    // Rows that could as well say something else, where that would change one of these figures.
    for problem in problem::doubts(inputs.problems) {
        let effects = problem.other.iter().flat_map(|other| &other.effects);
        for effect in effects {
            let about = figures
                .iter()
                .find(|id| ledger.figure(id.as_str()).is_some_and(|figure| figure.label == effect.label));
            if let Some(id) = about {
                let changed = match &effect.then {
                    Some(then) => format!("{} would else be {then}", lowered(&effect.label)),
                    None => format!("{} could else not be given", lowered(&effect.label)),
                };
                let place = &problem.place;
                let at = place
                    .row
                    .map_or_else(|| place.path.to_string(), |row| format!("row {row} of {}", place.path));
                doubt(sentence(&format!("{at}: {}; {changed}", problem.kind)), id.as_str());
            }
        }
    }
    for id in &figures {
        let sample = ledger.figure(id.as_str()).and_then(|figure| Some((figure, figure.sample?)));
        if let Some((figure, _)) = sample.filter(|(_, sample)| sample.part < 1.0) {
            doubt(
                format!("Not all that was asked about was looked at: {}.", lowered(&figure.label)),
                id.as_str(),
            );
        }
    }
    found.truncate(MOST_DOUBTS);
    let mut daggers: BTreeMap<String, String> = BTreeMap::new();
    for (at, (_, ids)) in found.iter().enumerate() {
        for id in ids {
            let mark = daggers.entry(id.clone()).or_default();
            let one = format!("†{}", at + 1);
            if !mark.contains(&one) {
                mark.push_str(&one);
            }
        }
    }
    (found.into_iter().map(|(says, _)| says).collect(), daggers)
}
