//! The tables of a project folder, one file each: their columns, and what a row of them says.

pub(crate) mod actions;
pub(crate) mod benchmarks;
pub(crate) mod commitments;
pub(crate) mod cover;
pub(crate) mod photo_points;
pub(crate) mod photos;
pub(crate) mod plantings;
pub(crate) mod plots;
mod position;
pub(crate) mod programme;
pub(crate) mod rain;
pub(crate) mod sightings;
pub(crate) mod slopes;
pub(crate) mod species;
pub(crate) mod spending;
pub(crate) mod stems;
pub(crate) mod stock;
pub(crate) mod tallies;
pub(crate) mod works;

use crate::{
    geometry::Grid,
    intake::{
        cell::Cells,
        ids::Ids,
        nearest::{folded, nearest, same},
        species_names::SpeciesNames,
        table::Layout,
    },
    problem::Records,
    project::{AreaId, PlotId, SpeciesId, Target},
};

/// What may stand for the whole site, unless an area is called so.
const WHOLE_SITE: [&str; 3] = ["all", "site", "whole site"];

/// Every table.
pub(crate) const LAYOUTS: [&Layout; 18] = [
    &plantings::LAYOUT,
    &plots::LAYOUT,
    &tallies::LAYOUT,
    &stems::LAYOUT,
    &cover::LAYOUT,
    &benchmarks::LAYOUT,
    &slopes::LAYOUT,
    &rain::LAYOUT,
    &works::LAYOUT,
    &commitments::LAYOUT,
    &actions::LAYOUT,
    &programme::LAYOUT,
    &spending::LAYOUT,
    &sightings::LAYOUT,
    &photo_points::LAYOUT,
    &photos::LAYOUT,
    &stock::LAYOUT,
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

    /// A planting area; `None` too where the whole site is meant.
    pub(crate) fn area_or_site(&mut self, column: &str, known: &Known) -> Option<AreaId> {
        let everywhere =
            |area: &str| known.areas.get(area).is_none() && WHOLE_SITE.contains(&folded(area).as_str());
        if self.raw(column).is_some_and(everywhere) { None } else { self.area(column, known) }
    }

    /// The id of one of `targets`.
    pub(crate) fn target(&mut self, column: &str, targets: &[Target]) -> Option<String> {
        let found = self.text(column)?;
        let known = targets.iter().find(|target| same(&target.id, &found));
        if known.is_none() {
            let nearest = nearest(&found, targets.iter().map(|target| target.id.as_str()));
            self.say(column, Records::IdUnknown { what: "target", found, nearest });
        }
        known.map(|target| target.id.clone())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        intake::{mapping::Mapping, table::Table},
        problem::Problem,
        project::{SCALES, SpeciesList},
    };
    use proptest::prelude::*;

    fn known() -> Known {
        Known {
            areas: Ids::new("area", ["North face"], true),
            plots: Ids::new("plot", ["N1"], true),
            species: SpeciesNames::of(&species::built_in(), true),
            grid: Grid::of_epsg(7855),
            currency: "AUD".to_owned(),
        }
    }

    /// How many rows of `text` came through.
    fn read(layout: &'static Layout, text: &str, known: &Known, problems: &mut Vec<Problem>) -> usize {
        let Some(table) = Table::open(layout, "table.csv", text, &Mapping::default(), problems) else {
            return 0;
        };
        match layout.table {
            "plantings" => plantings::read(&table, known, problems).len(),
            "plots" => plots::read(&table, known, problems).len(),
            "tallies" => tallies::read(&table, known, problems).len(),
            "stems" => stems::read(&table, known, problems).len(),
            "cover" => {
                let scale = SCALES[0].classes().into_iter().map(std::sync::Arc::new).collect::<Vec<_>>();
                let frame = cover::Frame { plots: &[], scale: &scale };
                cover::read(&table, known, &frame, problems).len()
            }
            "benchmarks" => benchmarks::read(&table, known, problems).len(),
            "slopes" => slopes::read(&table, known, problems).len(),
            "rain" => rain::read(&table, problems).len(),
            "works" => works::read(&table, known, problems).len(),
            "spending" => spending::read(&table, known, problems).len(),
            "actions" => actions::read(&table, known, &[], problems).len(),
            "commitments" => commitments::read(&table, &[], problems).len(),
            "programme" => programme::read(&table, known, problems).len(),
            "sightings" => sightings::read(&table, known, problems).len(),
            "stock" => stock::read(&table, known, problems).len(),
            "photopoints" => photo_points::read(&table, known, problems).len(),
            "photos" => photos::read(&table, problems).len(),
            _ => {
                species::read(&table, &mut SpeciesList::default(), problems);
                0
            }
        }
    }

    #[test]
    fn any_cells_are_read_or_refused() {
        let known = known();
        let cell = prop_oneof![
            "[^\0]{0,6}",
            "[-−0-9.,/ e]{1,9}",
            prop::sample::select(vec![
                "N1",
                "North face",
                "Acacia fimbriata",
                "2025-03-01",
                "7",
                "yes",
                "paid",
                "ground"
            ])
            .prop_map(str::to_owned),
        ];
        let rows = prop::collection::vec(prop::collection::vec(cell, 14), 0..4);
        let mut runner = proptest::test_runner::TestRunner::default();
        let outcome = runner.run(&rows, |rows| {
            for layout in LAYOUTS {
                let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(vec![]);
                writer.write_record(layout.columns()).unwrap();
                rows.iter()
                    .for_each(|row| writer.write_record(&row[..layout.columns().count().min(14)]).unwrap());
                let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
                let mut problems = Vec::new();
                let came = read(layout, &text, &known, &mut problems);
                // A row that is lost without a word would be a figure that is wrong without a word.
                let lost =
                    rows.iter().filter(|row| !row.iter().all(|cell| cell.trim().is_empty())).count() > came;
                prop_assert!(!lost || layout.table == "species" || !problems.is_empty(), "{}", text);
            }
            Ok(())
        });
        assert!(outcome.is_ok(), "{outcome:?}");
    }
}
