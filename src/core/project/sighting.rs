//! Wildlife seen.

use chrono::NaiveDate;
use geo::Point;

use crate::{
    project::{AreaId, Cell, Column, TableRow},
    source::Row,
    units::Count,
};

/// One sighting. Of a sensitive one the place is left behind where it was read: no area, no position and no note comes this far,
/// so that nothing that is made of the project can give it away.
#[derive(Debug, Clone, PartialEq)]
pub struct Sighting {
    /// The day.
    pub date: NaiveDate,
    /// What was seen, as written.
    pub species: String,
    /// How many, where they were counted.
    pub count: Option<Count>,
    /// Where, by planting area.
    pub area: Option<AreaId>,
    /// Where, by longitude and latitude in degrees (WGS 84).
    pub position: Option<Point<f64>>,
    /// Whether its place is withheld.
    pub sensitive: bool,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Sighting {
    const TABLE: &'static str = "sightings";
    const COLUMNS: &'static [Column<Sighting>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("species", |row| (&row.species).into()),
        Column::optional("count", |row| row.count.map(|count| count.0).into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::optional("longitude", |row| row.position.map(|position| position.x()).into()),
        Column::optional("latitude", |row| row.position.map(|position| position.y()).into()),
        Column::taken_up("easting"),
        Column::taken_up("northing"),
        Column::optional("sensitive", |row| Cell::yes(row.sensitive)),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}
