//! The field book: sheets of the tables that are filled in on the hill, with what is known of each row written in beforehand.
//!
//! Columns come from the tables' declarations; here stands only which tables go along, what is given in them, and what a cell may hold.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::project::{
    AreaId, Cell, CoverReading, Layer, Photo, Planting, Plot, Project, SpeciesId, Stock, TableRow, Tally,
};

/// The heading of what was found the last time; it is for reading and is not read back.
pub const LAST_TIME: &str = "last time";

/// One sheet of the field book.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldSheet {
    /// The table whose rows it takes.
    pub table: &'static str,
    /// What it is called on paper.
    pub title: &'static str,
    /// Its columns, those that are given first.
    pub columns: Vec<FieldColumn>,
    /// Its rows as far as they are known, a cell a column.
    pub rows: Vec<Vec<Cell>>,
}

/// A column of a field sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldColumn {
    /// Its heading.
    pub name: &'static str,
    /// Whether it must be filled in each row that is used.
    pub needed: bool,
    /// Whether it is filled in beforehand.
    pub given: bool,
    /// What its cells may hold.
    pub check: Check,
}

/// What a cell may hold.
#[derive(Debug, Clone, PartialEq)]
pub enum Check {
    /// Any text.
    Text,
    /// A day.
    Day,
    /// A whole number, 0 or more.
    Count,
    /// A number from 0 to 100.
    Percent,
    /// A number, 0 or more.
    Number,
    /// One of these.
    OneOf(Vec<String>),
}

/// A table of the field book: its name, its title and the columns that are given in it.
struct Taken(&'static str, &'static str, &'static [&'static str]);

const TAKEN: [Taken; 4] = [
    Taken(Tally::TABLE, "Tally", &["plot", "species"]),
    Taken(CoverReading::TABLE, "Cover", &["plot", "layer", "cover"]),
    Taken(Photo::TABLE, "Photos", &["photopoint"]),
    Taken(Planting::TABLE, "Planting day", &["area", "species"]),
];

/// The columns that are given in the field sheet of `table`; `None` where it has none.
#[must_use]
pub fn given_in_field(table: &str) -> Option<&'static [&'static str]> {
    TAKEN.iter().find(|taken| taken.0 == table).map(|taken| taken.2)
}

impl Project {
    /// The sheets of the field book: those of plots and photo points only where there are any.
    #[must_use]
    pub fn field_sheets(&self) -> Vec<FieldSheet> {
        let tables = self.tables();
        let sheet = |Taken(table, title, given): &Taken| {
            let heads = &tables.iter().find(|known| known.name == *table)?.heads;
            let rows = self.known_rows(table);
            let of = |name: &&'static str| heads.iter().find(|head| head.name == *name);
            let rest = heads.iter().filter(|head| head.kept && !given.contains(&head.name));
            let column = |head: &crate::project::Head, given| FieldColumn {
                name: head.name,
                needed: head.needed,
                given,
                check: self.check(table, head.name),
            };
            let mut columns: Vec<FieldColumn> =
                given.iter().filter_map(of).map(|head| column(head, true)).collect();
            let last = FieldColumn { name: LAST_TIME, needed: false, given: true, check: Check::Text };
            columns.push(last);
            columns.extend(rest.map(|head| column(head, false)));
            let cells = |(keys, last): (Vec<Cell>, String)| {
                let blank = std::iter::repeat(Cell::Empty);
                let known = keys.into_iter().chain([last.into()]);
                known.chain(blank).take(columns.len()).collect()
            };
            let rows: Vec<Vec<Cell>> = rows.into_iter().map(cells).collect();
            (!rows.is_empty()).then_some(FieldSheet { table, title, columns, rows })
        };
        TAKEN.iter().filter_map(sheet).collect()
    }

    /// The rows that are known of a table: the cells that are given, and what was found the last time.
    fn known_rows(&self, table: &str) -> Vec<(Vec<Cell>, String)> {
        match table {
            Tally::TABLE => self.plots.iter().flat_map(|plot| self.tallied(plot)).collect(),
            CoverReading::TABLE => self.plots.iter().flat_map(|plot| self.cover_of(plot)).collect(),
            Photo::TABLE => self
                .photo_points
                .iter()
                .map(|point| {
                    let own = self.photos.iter().filter(|photo| photo.point.as_ref() == Some(&point.id));
                    let last = own.map(|photo| photo.date).max().map(|day| format!("{day}"));
                    let looks = format!("looks to {:.0}°", point.bearing.0);
                    let last = last.map_or(looks.clone(), |day| format!("{looks}; {day}"));
                    (vec![(&point.id).into()], last)
                })
                .collect(),
            _ => self.areas.iter().flat_map(|area| self.planted_in(&area.id)).collect(),
        }
    }

    /// Each species that was ever counted in the plot, with its last count; where none was, each that was planted in its area.
    fn tallied(&self, plot: &Plot) -> Vec<(Vec<Cell>, String)> {
        let mut last: BTreeMap<&SpeciesId, (NaiveDate, u64)> = BTreeMap::new();
        for tally in self.tallies.iter().filter(|tally| tally.plot == plot.id) {
            let known = last.entry(&tally.species).or_insert((tally.date, 0));
            match tally.date.cmp(&known.0) {
                std::cmp::Ordering::Greater => *known = (tally.date, tally.alive.0),
                // Cohorts of one species have a row each.
                std::cmp::Ordering::Equal => known.1 += tally.alive.0,
                std::cmp::Ordering::Less => {}
            }
        }
        let row = |species: &SpeciesId, last: String| (vec![(&plot.id).into(), species.into()], last);
        if last.is_empty() {
            let planted = self.species_in(&plot.area);
            return planted.into_keys().map(|species| row(species, String::new())).collect();
        }
        last.into_iter()
            .map(|(species, (day, alive))| row(species, format!("{alive} alive, {day}")))
            .collect()
    }

    /// What was read in the plot the last time, by layer; where nothing was, the plot alone.
    fn cover_of(&self, plot: &Plot) -> Vec<(Vec<Cell>, String)> {
        let own = || self.cover.iter().filter(|reading| reading.plot == plot.id);
        let Some(last) = own().map(|reading| reading.date).max() else {
            return vec![(vec![(&plot.id).into(), Cell::Empty, Cell::Empty], String::new())];
        };
        let row = |reading: &CoverReading| {
            let cells = vec![(&plot.id).into(), reading.layer.word().into(), (&reading.cover).into()];
            (cells, format!("read {last}"))
        };
        let mut rows: Vec<(Vec<Cell>, String)> = Vec::new();
        for row in own().filter(|reading| reading.date == last).map(row) {
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
        rows
    }

    /// Each species that was planted in the area, with how many.
    fn planted_in(&self, area: &AreaId) -> Vec<(Vec<Cell>, String)> {
        let row = |(species, stems): (&SpeciesId, u64)| {
            (vec![area.into(), species.into()], format!("{stems} planted so far"))
        };
        self.species_in(area).into_iter().map(row).collect()
    }

    fn species_in(&self, area: &AreaId) -> BTreeMap<&SpeciesId, u64> {
        let mut stems: BTreeMap<&SpeciesId, u64> = BTreeMap::new();
        for planting in self.plantings.iter().filter(|planting| &planting.area == area) {
            *stems.entry(&planting.species).or_default() += planting.stems.0;
        }
        stems
    }

    /// What a cell of the column may hold.
    fn check(&self, table: &str, column: &str) -> Check {
        match column {
            "date" => Check::Day,
            "plot" => Check::OneOf(self.plots.iter().map(|plot| plot.id.to_string()).collect()),
            "area" => Check::OneOf(self.areas.iter().map(|area| area.id.to_string()).collect()),
            "photopoint" => {
                Check::OneOf(self.photo_points.iter().map(|point| point.id.to_string()).collect())
            }
            "species" => {
                let planted = self.plantings.iter().map(|planting| &planting.species);
                let counted = self.tallies.iter().map(|tally| &tally.species);
                let names: std::collections::BTreeSet<String> =
                    planted.chain(counted).map(ToString::to_string).collect();
                Check::OneOf(names.into_iter().collect())
            }
            "layer" => Check::OneOf(Layer::ALL.iter().map(|layer| layer.word().to_owned()).collect()),
            "stock" => Check::OneOf(Stock::ALL.iter().map(|stock| stock.words().to_owned()).collect()),
            "alive" | "dead" | "missing" | "recruits" | "stems" | "hits" | "points" | "cohort" => {
                Check::Count
            }
            "percent" => Check::Percent,
            _ if table == CoverReading::TABLE && column.ends_with("_m") => Check::Number,
            _ => Check::Text,
        }
    }
}
