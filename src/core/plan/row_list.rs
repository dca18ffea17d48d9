//! The rows as a list to be carried along: length, stems, where each starts, which species stand in it.

use std::collections::BTreeMap;

use geo::Point;

use crate::{
    plan::{AreaPlan, Plan},
    project::{AreaId, SpeciesId},
    units::{Metres, Stems},
};

/// Letters in the order in which species get them; without those that are taken for figures or for one another.
const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZabcdefghkmnpqrtuwxyz";

/// So many letters stand together.
const TOGETHER: usize = 5;

/// A mark where no species was assignment.
const NONE: char = '·';

/// One row of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct RowLine {
    /// Its area.
    pub area: AreaId,
    /// Its number within the area.
    pub number: u32,
    /// Its length along the ground.
    pub length: Metres,
    /// How much of it is to be worked by hand alone.
    pub by_hand: Metres,
    /// Stems in it.
    pub stems: Stems,
    /// The first of them: so far from the row's start along the ground.
    pub first: Metres,
    /// Where it starts, longitude and latitude in degrees.
    pub start: Point<f64>,
    /// The species from its start on, a letter a stem in groups of five; empty where none were assignment, or there are too many
    /// species for letters.
    pub species: String,
}

/// A letter for each species of the plan, the commonest first; none beyond what the alphabet holds.
#[must_use]
pub fn letters(plan: &Plan) -> BTreeMap<SpeciesId, char> {
    let Some(assignment) = &plan.assignment else { return BTreeMap::new() };
    let mut totals: Vec<(&SpeciesId, &Stems)> =
        assignment.totals.iter().filter(|(_, stems)| stems.0 > 0).map(|(id, stems)| (id, stems)).collect();
    totals.sort_by(|one, other| other.1.cmp(one.1).then(one.0.cmp(other.0)));
    if totals.len() > LETTERS.len() {
        return BTreeMap::new();
    }
    totals.into_iter().zip(LETTERS.chars()).map(|((id, _), letter)| (id.clone(), letter)).collect()
}

/// Every row of the plan, area by area.
#[must_use]
pub fn row_list(plan: &Plan) -> Vec<RowLine> {
    let letters = letters(plan);
    plan.areas.iter().flat_map(|area| of_area(area, &letters)).collect()
}

fn of_area(area: &AreaPlan, letters: &BTreeMap<SpeciesId, char>) -> Vec<RowLine> {
    let mut species: BTreeMap<u32, (u64, String)> = BTreeMap::new();
    let mut first: BTreeMap<u32, Metres> = BTreeMap::new();
    for (at, stem) in area.stems.iter().enumerate() {
        first.entry(stem.row).or_insert(stem.along);
        let row = species.entry(stem.row).or_default();
        let assignment = area.species.get(at).and_then(Option::as_ref);
        let letter = assignment.and_then(|id| letters.get(id)).copied().unwrap_or(NONE);
        if row.0 > 0 && (row.0 as usize).is_multiple_of(TOGETHER) {
            row.1.push(' ');
        }
        row.0 += 1;
        row.1.push(letter);
    }
    let ground = &area.rows.plantable;
    let mut line = |(row, bands): (&crate::plan::Row, &crate::plan::SlopeBands)| {
        let (stems, letters_of) = species.remove(&row.number).unwrap_or_default();
        let start = row.line.coords().next().map(|place| ground.plane.position(*place))?;
        Some(RowLine {
            area: ground.area.clone(),
            number: row.number,
            length: row.length,
            by_hand: bands.by_hand(),
            stems: Stems(stems),
            first: first.get(&row.number).copied().unwrap_or_default(),
            start,
            species: if letters.is_empty() { String::new() } else { letters_of },
        })
    };
    area.rows.rows.iter().zip(&area.bands).filter_map(&mut line).collect()
}
