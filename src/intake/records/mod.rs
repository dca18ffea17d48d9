//! The tables of a project folder, one file each: their columns, and what a row of them says.

pub(crate) mod cover;
pub(crate) mod photo_points;
pub(crate) mod photos;
pub(crate) mod plantings;
pub(crate) mod plots;
mod position;
pub(crate) mod slopes;
pub(crate) mod species;
pub(crate) mod spending;
pub(crate) mod stems;
pub(crate) mod tallies;
pub(crate) mod works;

use crate::{
    geometry::Grid,
    intake::{cell::Cells, ids::Ids, species_names::SpeciesNames, table::Layout},
    problem::Records,
    project::{AreaId, PlotId, SpeciesId},
};

/// Every table.
pub(crate) const LAYOUTS: [&Layout; 11] = [
    &plantings::LAYOUT,
    &plots::LAYOUT,
    &tallies::LAYOUT,
    &stems::LAYOUT,
    &cover::LAYOUT,
    &slopes::LAYOUT,
    &works::LAYOUT,
    &spending::LAYOUT,
    &photo_points::LAYOUT,
    &photos::LAYOUT,
    &species::LAYOUT,
];

/// What the rows of a table may refer to.
#[derive(Debug)]
pub(crate) struct Known {
    /// The planting areas.
    pub(crate) areas: Ids,
    /// The survey plots.
    pub(crate) plots: Ids,
    /// The species, under every name that is understood.
    pub(crate) species: SpeciesNames,
    /// The project's grid, for eastings and northings.
    pub(crate) grid: Option<Grid>,
    /// The project's currency.
    pub(crate) currency: String,
}

impl Cells<'_> {
    /// A planting area.
    pub(crate) fn area(&mut self, column: &str, known: &Known) -> Option<AreaId> {
        self.id(column, &known.areas).map(AreaId)
    }

    /// A survey plot.
    pub(crate) fn plot(&mut self, column: &str, known: &Known) -> Option<PlotId> {
        self.id(column, &known.plots).map(PlotId)
    }

    /// A species.
    pub(crate) fn species(&mut self, column: &str, known: &Known) -> Option<SpeciesId> {
        let found = self.raw(column)?;
        let id = known.species.get(found);
        if id.is_none() && known.species.complete {
            let nearest = known.species.nearest(found);
            self.say(column, Records::SpeciesUnknown { found: found.to_owned(), nearest });
        }
        id
    }

    /// Says that of two columns that belong together one is filled and the other is empty.
    pub(crate) fn both(&mut self, one: &'static str, other: &'static str) {
        match (self.raw(one), self.raw(other)) {
            (Some(_), None) => self.say(one, Records::HalfPosition { has: one, lacks: other }),
            (None, Some(_)) => self.say(other, Records::HalfPosition { has: other, lacks: one }),
            _ => {}
        }
    }
}
