//! One tag on two rows of a day.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::nearest::folded,
    problem::{Change, Place, Plausibility, Problem, SecondReading},
    project::{Project, Stem},
};

/// The part of the tags from which tags that stand twice are how the table numbers trees with several stems, and no slips (common
/// practice, no source).
const HABIT: f64 = 0.05;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut seen: BTreeMap<_, &Stem> = BTreeMap::new();
    let (mut tags, mut twice) = (0_u32, Vec::new());
    for stem in &project.stems {
        let Some(tag) = &stem.tag else { continue };
        let key = (&stem.plot, stem.date, folded(tag), stem.stem);
        match seen.get(&key) {
            Some(first) => twice.push((*first, stem, tag)),
            None => {
                tags += 1;
                seen.insert(key, stem);
            }
        }
    }
    let of_one_species: BTreeSet<_> = twice
        .iter()
        .filter(|(first, stem, _)| first.species == stem.species)
        .map(|(first, ..)| &first.source)
        .collect();
    let habit = of_one_species.len() as f64 > HABIT * f64::from(tags);
    for (first, stem, tag) in twice {
        let same = first.species == stem.species;
        let pasted = first.height == stem.height && first.diameter_mm == stem.diameter_mm;
        if habit && same && !pasted {
            continue;
        }
        let kind = Plausibility::TagTwice {
            tag: tag.clone(),
            plot: stem.plot.to_string(),
            first: first.source.row,
            counted: if same { "two stems of one tree" } else { "two trees" },
        };
        let other = SecondReading::of(Change::LeftOut, [&stem.source]);
        problems.push(Problem::new(kind, Place::row(&stem.source).column("tag")).or(other));
    }
}
