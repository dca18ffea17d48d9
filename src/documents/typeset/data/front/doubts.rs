//! The doubts that could change an answer, and the figures that they are about.

use std::collections::BTreeMap;

use crate::typeset::{
    ReportInputs,
    data::{
        front::{doubled, told::lowered},
        notes::sentence,
    },
};
use hillfolio_core::{
    ledger::{FigureId, Judged, Ledger, catalogue},
    problem::{self, Problem},
    source::Sources,
};

/// Doubts that stand on the second page at the most.
const MOST_DOUBTS: usize = 5;

/// What could change an answer: a sentence each, the daggers of the figures that they are about, and what is to be decided of them.
pub(super) struct Doubts {
    pub(super) says: Vec<String>,
    pub(super) daggers: BTreeMap<String, String>,
    /// The daggers that a target's verdict turns on, by the target's id.
    pub(super) turns: BTreeMap<String, String>,
    /// The payments that may have been entered twice, in words, each with its dagger.
    pub(super) doubled: Vec<String>,
}

/// The figures that the first two pages stand on: those of the targets, then those of the summary.
fn figures(judged: &[&Judged]) -> Vec<FigureId> {
    let key = [
        &catalogue::SURVIVAL,
        &catalogue::STEMS,
        &catalogue::STEMS_IN_PERIOD,
        &catalogue::DENSITY,
        &catalogue::AREA,
        &catalogue::SPENT,
        &catalogue::SPENT_TO_DATE,
        &catalogue::UNSPENT,
        &catalogue::EROSION_RATIO,
        &catalogue::CARBON_STOCK,
    ];
    judged.iter().map(|one| one.figure.clone()).chain(key.map(|series| series.whole())).collect()
}

/// A doubt in words, with the figures that it touches.
struct Found {
    says: String,
    ids: Vec<String>,
    /// Targets that would stand otherwise.
    targets: Vec<String>,
}

/// Sentences, each once, with the figures that they are about.
#[derive(Default)]
struct Collected(Vec<Found>);

impl Collected {
    fn add(&mut self, says: String, ids: impl IntoIterator<Item = String>) {
        match self.0.iter_mut().find(|one| one.says == says) {
            Some(known) => known.ids.extend(ids),
            None => self.0.push(Found { says, ids: ids.into_iter().collect(), targets: Vec::new() }),
        }
    }

    fn turns(&mut self, says: &str, target: &str) {
        if let Some(known) = self.0.iter_mut().find(|one| one.says == says) {
            known.targets.push(target.to_owned());
        }
    }
}

/// The doubts that could change an answer, the weightiest first, and where their daggers stand: at every figure that they touch.
pub(super) fn doubts(inputs: &ReportInputs<'_>, judged: &[&Judged]) -> Doubts {
    let ledger = inputs.ledger;
    let figures = figures(judged);
    let mut found = Collected::default();
    let doubled = doubled::payments(inputs);
    for one in &doubled {
        found.add(one.says.clone(), touched(ledger, &one.rows));
        one.turns.iter().for_each(|target| found.turns(&one.says, target));
    }
    for id in &figures {
        for says in ledger.doubts_of(id.as_str()) {
            let about = ledger.iter().filter(|(id, _)| ledger.doubts_of(id.as_str()).contains(says));
            found.add(sentence(says), about.map(|(id, _)| id.to_string()));
        }
    }
    for problem in problem::doubts(inputs.problems).into_iter().filter(|one| !doubled::is_one(inputs, one)) {
        second_reading(ledger, &figures, judged, problem, &mut found);
    }
    for id in &figures {
        let sample = ledger.figure(id.as_str()).and_then(|figure| Some((figure, figure.sample?)));
        if let Some((figure, _)) = sample.filter(|(_, sample)| sample.part < 1.0) {
            let says = format!("Not all that was asked about was looked at: {}.", lowered(&figure.label));
            found.add(says, [id.to_string()]);
        }
    }
    let mut found = found.0;
    found.truncate(MOST_DOUBTS);
    let daggers = marks(&found, |one| &one.ids);
    let turns = marks(&found, |one| &one.targets);
    let says: Vec<String> = found.into_iter().map(|one| one.says).collect();
    let decided = doubled::decisions(&doubled, |of| says.iter().position(|known| *known == of).map(dagger));
    Doubts { says, daggers, turns, doubled: decided }
}

/// The daggers of what the doubts are about.
fn marks(found: &[Found], about: fn(&Found) -> &[String]) -> BTreeMap<String, String> {
    let mut marks: BTreeMap<String, String> = BTreeMap::new();
    for (at, one) in found.iter().enumerate() {
        for id in about(one) {
            let mark = marks.entry(id.clone()).or_default();
            let dagger = dagger(at);
            if !mark.contains(&dagger) {
                mark.push_str(&dagger);
            }
        }
    }
    marks
}

fn dagger(at: usize) -> String {
    format!("†{}", at + 1)
}

/// The figures that rest on any of `rows`.
fn touched(ledger: &Ledger, rows: &Sources) -> Vec<String> {
    let rests = |id: &FigureId| ledger.figure(id.as_str()).is_some_and(|figure| figure.sources.meets(rows));
    ledger.iter().filter(|(id, _)| rests(id)).map(|(id, _)| id.to_string()).collect()
}

/// Rows that could as well say something else, where that would change one of `figures`.
fn second_reading(
    ledger: &Ledger,
    figures: &[FigureId],
    judged: &[&Judged],
    problem: &Problem,
    found: &mut Collected,
) {
    let Some(other) = &problem.other else { return };
    let mut told = None;
    for effect in other.effects.iter().filter(|effect| effect.target.is_none()) {
        let about = figures
            .iter()
            .find(|id| ledger.figure(id.as_str()).is_some_and(|figure| figure.label == effect.label));
        if let Some(id) = about {
            let changed = match &effect.then {
                Some(then) => format!("{} would else be {then}", lowered(&effect.label)),
                None => format!("{} could else not be given", lowered(&effect.label)),
            };
            let says = sentence(&format!("{}: {}; {changed}", at(problem), problem.kind));
            found.add(says.clone(), std::iter::once(id.to_string()).chain(touched(ledger, &other.rows)));
            told.get_or_insert(says);
        }
    }
    for effect in &other.effects {
        let Some(target) = &effect.target else { continue };
        let says = told.get_or_insert_with(|| {
            let then = effect.then.as_deref().unwrap_or_default();
            sentence(&format!("{}: {}; “{}” would else be {then}", at(problem), problem.kind, effect.label))
        });
        if judged.iter().any(|one| one.target.id == *target) {
            found.add(says.clone(), touched(ledger, &other.rows));
            found.turns(says, target);
        }
    }
}

/// Where a problem is, in words.
pub(super) fn at(problem: &Problem) -> String {
    let place = &problem.place;
    place.row.map_or_else(|| place.path.to_string(), |row| format!("row {row} of {}", place.path))
}
