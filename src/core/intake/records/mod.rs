//! The tables of a project folder, one file each: their columns, and what a row of them says.

mod account;
pub(crate) mod actions;
mod balances;
pub(crate) mod benchmarks;
mod came_in;
pub(crate) mod claims;
pub(crate) mod commitments;
pub(crate) mod cover;
mod direction;
pub(crate) mod photo_points;
pub(crate) mod photos;
pub(crate) mod plantings;
pub(crate) mod plots;
mod position;
pub(crate) mod programme;
pub(crate) mod rain;
pub(crate) mod reasons;
pub(crate) mod sightings;
mod signs;
pub(crate) mod slopes;
pub(crate) mod species;
pub(crate) mod spending;
mod status;
pub(crate) mod stems;
pub(crate) mod stock;
pub(crate) mod tallies;
pub(crate) mod works;

use std::sync::{Arc, LazyLock};

use crate::{
    geometry::Grid,
    intake::{
        cell::Cells,
        ids::Ids,
        nearest::{folded, nearest, same},
        opened::Tables,
        species_names::{SpeciesNames, names_a_group},
        table::{Layout, Table},
    },
    problem::{Plausibility, Problem, Records},
    project::{AgreementId, AreaId, CoverClass, Planting, PlotId, Project, SpeciesId, TableRow, Target},
};

/// What may stand for the whole site, unless an area is called so.
const WHOLE_SITE: [&str; 3] = ["all", "site", "whole site"];

/// The columns of every table.
pub(crate) static LAYOUTS: LazyLock<Vec<Layout>> =
    LazyLock::new(|| Project::default().tables().iter().map(Layout::of).collect());

/// Reads into `project` every table that refers to others by name only.
pub(crate) fn fill(
    project: &mut Project,
    tables: &Tables,
    known: &Known,
    scale: &[Arc<CoverClass>],
    problems: &mut Vec<Problem>,
) {
    // An infill that is written down in the field may replace a batch of the planting book.
    let batches: Vec<&str> = tables.each(Planting::TABLE).flat_map(|table| table.column("batch")).collect();
    let batches = Ids::new("batch", batches, true);
    project.plantings = rows(tables, known, problems, |table, known, problems| {
        plantings::read(table, known, &batches, problems)
    });
    project.plots = rows(tables, known, problems, plots::read);
    project.tallies = rows(tables, known, problems, tallies::read);
    project.stems = rows(tables, known, problems, stems::read);
    let frame = cover::Frame { plots: &project.plots, scale };
    project.cover =
        rows(tables, known, problems, |table, known, problems| cover::read(table, known, &frame, problems));
    project.benchmarks = rows(tables, known, problems, benchmarks::read);
    project.slopes = rows(tables, known, problems, slopes::read);
    project.works = rows(tables, known, problems, works::read);
    project.spending = rows(tables, known, problems, spending::read);
    let lines = lines(project);
    project.reasons =
        rows(tables, known, problems, |table, known, problems| reasons::read(table, known, &lines, problems));
    project.commitments = rows(tables, known, problems, commitments::read);
    project.actions = rows(tables, known, problems, actions::read);
    project.programme = rows(tables, known, problems, programme::read);
    project.sightings = rows(tables, known, problems, sightings::read);
    project.stock = rows(tables, known, problems, stock::read);
    project.photo_points = rows(tables, known, problems, photo_points::read);
}

/// The lines of the budget, then those that were spent on without one.
fn lines(project: &Project) -> Vec<String> {
    let budget = project.budget.iter().map(|line| &line.line);
    let spent = project.spending.iter().map(|spending| &spending.line);
    budget.chain(spent).cloned().collect()
}

/// The rows of one table, those of field books behind the others; none where the folder has no such table.
fn rows<R: TableRow>(
    tables: &Tables,
    known: &Known,
    problems: &mut Vec<Problem>,
    mut read: impl FnMut(&Table, &Known, &mut Vec<Problem>) -> Vec<R>,
) -> Vec<R> {
    tables.each(R::TABLE).flat_map(|table| read(table, known, problems)).collect()
}

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
    /// What the grant or the approval asks for.
    pub(crate) targets: Vec<Target>,
    /// The agreements over the place.
    pub(crate) agreements: Vec<AgreementId>,
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

    /// The id of a target.
    pub(crate) fn target(&mut self, column: &str, known: &Known) -> Option<String> {
        let (found, targets) = (self.text(column)?, &known.targets);
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
        if id.is_some() || !known.species.complete {
            return id;
        }
        match known.species.bearers(found) {
            [] if names_a_group(found) => {
                self.say(column, Plausibility::GroupUnknown { found: found.to_owned() });
                None
            }
            [] => {
                let found = found.to_owned();
                let kind = match known.species.like(&found) {
                    Some((like, bearers)) if bearers.len() > 1 => {
                        let bearers = bearers.iter().map(|id| id.0.to_string()).collect();
                        Records::CommonNameOfSeveral { found, like: Some(like), bearers }
                    }
                    _ => match (known.species.nearest(&found), known.species.only_by_last_word(&found)) {
                        (None, Some((id, last))) => {
                            Records::SpeciesLikely { found, species: id.0.to_string(), last }
                        }
                        (nearest, _) => Records::SpeciesUnknown { nearest, found },
                    },
                };
                self.say(column, kind);
                None
            }
            [one] => {
                self.take_name(column, found, &one.0);
                Some(one.clone())
            }
            several => {
                let bearers = several.iter().map(|id| id.0.to_string()).collect();
                let found = found.to_owned();
                self.say(column, Records::CommonNameOfSeveral { found, like: None, bearers });
                None
            }
        }
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
        intake::mapping::Mapping,
        project::{Photo, RainDay, SCALES, Species, SpeciesList},
    };
    use proptest::prelude::*;

    fn known() -> Known {
        Known {
            areas: Ids::new("area", ["North face"], true),
            plots: Ids::new("plot", ["N1"], true),
            species: SpeciesNames::of(&species::built_in(), true),
            grid: Grid::of_epsg(7855),
            currency: "AUD".to_owned(),
            targets: Vec::new(),
            agreements: vec![AgreementId("catchment".into())],
        }
    }

    /// How many rows of `text` came through.
    fn read(layout: &'static Layout, text: &str, known: &Known, problems: &mut Vec<Problem>) -> usize {
        let Some(table) = Table::open(layout, "table.csv", text, &Mapping::default(), problems) else {
            return 0;
        };
        match layout.table {
            RainDay::TABLE => rain::read(&table, problems).len(),
            Photo::TABLE => photos::read(&table, known, problems).len(),
            Species::TABLE => {
                species::read(&table, &mut SpeciesList::default(), problems);
                0
            }
            name => {
                let mut project = Project::default();
                let scale = SCALES[0].classes().into_iter().map(Arc::new).collect::<Vec<_>>();
                fill(&mut project, &Tables::one(name, table), known, &scale, problems);
                project.tables().into_iter().map(|table| table.rows.count()).sum()
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
            for layout in LAYOUTS.iter() {
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
