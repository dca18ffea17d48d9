//! The stems of one row as an example of the order along it: role and letter, stem by stem.

use std::collections::{BTreeMap, BTreeSet};

use hillfolio_core::{
    plan::{AreaPlan, Plan, letters},
    project::{AreaId, SpeciesId},
};

/// The word for a place that the design gives no role.
const ANY: &str = "any place";

/// One stem of the example.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    /// Its role, as a place in the design's pattern.
    pub(super) role: Option<usize>,
    /// Its role's number among the different words of the pattern.
    pub(super) style: usize,
    /// The letter of its species.
    pub(super) letter: Option<char>,
}

/// The beginning of one row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Example {
    /// The row's area and number.
    pub(super) row: (AreaId, u32),
    /// Its stems from its start on.
    pub(super) places: Vec<Place>,
}

/// The different words of the pattern in their order.
#[must_use]
pub(super) fn roles(plan: &Plan) -> Vec<String> {
    let mut roles: Vec<String> = Vec::new();
    for word in &plan.design.pattern {
        if !roles.contains(word) {
            roles.push(word.clone());
        }
    }
    if roles.is_empty() {
        roles.push(ANY.to_owned());
    }
    roles
}

/// The first `most` stems of the row that has the most.
#[must_use]
pub(super) fn example(plan: &Plan, most: usize) -> Option<Example> {
    let letters = letters(plan);
    let roles = roles(plan);
    let (mut best, mut best_count): (Option<(&AreaPlan, u32)>, usize) = (None, 0);
    for area in &plan.areas {
        for row in area.stems.chunk_by(|one, other| one.row == other.row) {
            if row.len() > best_count {
                (best, best_count) = (row.first().map(|stem| (area, stem.row)), row.len());
            }
        }
    }
    let (area, row) = best?;
    let stems = area.stems.iter().enumerate().filter(|(_, stem)| stem.row == row);
    let place = |(at, stem): (usize, &hillfolio_core::plan::Stem)| Place {
        role: stem.role,
        style: style(plan, &roles, stem.role),
        letter: area.species.get(at).and_then(Option::as_ref).and_then(|id| letters.get(id)).copied(),
    };
    let places: Vec<Place> = stems.take(most).map(place).collect();
    Some(Example { row: (area.rows.plantable.area.clone(), row), places })
}

/// The species dealt to each of the different roles, with their letters, in the letters' order.
#[must_use]
pub(super) fn by_role(plan: &Plan) -> Vec<(String, Vec<(char, SpeciesId)>)> {
    let letters = letters(plan);
    let roles = roles(plan);
    // The commonest species got the first letter: the alphabet in the letters' own order.
    let mut dealt: BTreeMap<usize, BTreeSet<SpeciesId>> = BTreeMap::new();
    for area in &plan.areas {
        for (stem, species) in area.stems.iter().zip(&area.species) {
            if let Some(species) = species {
                dealt.entry(style(plan, &roles, stem.role)).or_default().insert(species.clone());
            }
        }
    }
    let named = |(style, word): (usize, String)| {
        let species = dealt.get(&style).into_iter().flatten();
        let mut species: Vec<(char, SpeciesId)> =
            species.filter_map(|id| Some((*letters.get(id)?, id.clone()))).collect();
        species.sort_by_key(|(letter, _)| (letter.is_lowercase(), *letter));
        (word, species)
    };
    roles.into_iter().enumerate().map(named).collect()
}

fn style(plan: &Plan, roles: &[String], role: Option<usize>) -> usize {
    let word = role.and_then(|role| plan.design.pattern.get(role));
    word.and_then(|word| roles.iter().position(|one| one == word)).unwrap_or(0)
}
