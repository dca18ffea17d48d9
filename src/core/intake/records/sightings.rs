//! `sightings`: wildlife seen; the place of a sensitive one goes no further than this file.

use crate::{
    intake::{records::Known, table::Table, withheld},
    problem::Problem,
    project::Sighting,
    units::Count,
};

/// The columns that tell nothing of the place.
pub(crate) const OPEN: [&str; 4] = ["date", "species", "count", "sensitive"];

/// More of one kind than are seen at once.
const MOST: u32 = 1_000_000;

/// Every sighting. What was said of a sensitive row keeps its sentence and loses its cells. The table must have the column
/// `sensitive`, empty or not: a misspelt one would publish what it was to hide.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Sighting> {
    if table.lacks("sensitive", problems) {
        return Vec::new();
    }
    table.doubt_repeats(problems);
    let sightings: Vec<Sighting> = table.each(problems, |row| {
        let (date, area) = (row.day("date"), row.area_or_site("area", known));
        let count = row.whole("count", (0, MOST), "a whole number, 0 or more");
        let placed =
            ["longitude", "latitude", "easting", "northing"].iter().any(|column| row.raw(column).is_some());
        let position = if placed { row.position(known) } else { None };
        let sensitive = row.yes("sensitive").unwrap_or_default();
        let open = Sighting {
            date: date?,
            species: row.text("species")?,
            count: count.map(|count| Count(count.into())),
            area: None,
            position: None,
            sensitive,
            note: None,
            source: row.source(),
        };
        Some(if sensitive { open } else { Sighting { area, position, note: row.text("note"), ..open } })
    });
    let hidden: Vec<u32> =
        sightings.iter().filter(|sighting| sighting.sensitive).map(|sighting| sighting.source.row).collect();
    withheld::silence(&table.path, &hidden, problems);
    sightings
}

/// The copy of the table that may leave the folder; `None` where it holds nothing sensitive.
pub(crate) fn open_copy(table: &Table, sightings: &[Sighting]) -> Option<Vec<u8>> {
    let hidden: Vec<u32> =
        sightings.iter().filter(|sighting| sighting.sensitive).map(|sighting| sighting.source.row).collect();
    (!hidden.is_empty()).then(|| withheld::copy(table, &OPEN, &hidden))
}
