//! Files that bear no table's name, and what they could hold: told by their headings, by the same words that propose a mapping.

use std::collections::BTreeMap;

use crate::{
    geometry::Datum,
    intake::{
        built_in::names_a_plant,
        choice::{Wanted, bears_a_name, has_ending},
        folder::Folder,
        layers,
        mapping::{Mapping, Sheets},
        reader::Reader,
        records::LAYOUTS,
        table::{self, Layout, likely},
        text,
    },
    problem::{Place, Problem, Reading},
};

/// A table of fewer needed columns is told by its name alone: too many files have a column of species.
const NEEDED: usize = 2;

/// The table of which a bank may write no headings.
const SUMS: &str = "spending";

/// Formats in which nothing but shapes is kept.
const SHAPES: &[&str] = &["geojson", "shp", "kml", "kmz", "gpx"];

/// Formats in which the word for a polygon can't be looked for.
const PACKED: &[&str] = &["kmz", "shp", "zip"];

/// What the file at `path`, which no section reads, could hold; `None` where that can't be told.
fn could_be(folder: &Folder, path: &str) -> Option<&'static str> {
    if has_ending(path, Wanted::terrain().read) {
        return Some("terrain");
    }
    if has_ending(path, SHAPES) {
        return Some(if encloses(folder, path) { "areas" } else { "features" });
    }
    // JSON may be anything.
    if has_ending(path, &["json"]) {
        return encloses(folder, path).then_some("areas");
    }
    if !has_ending(path, Wanted::table("plantings").read) {
        return None;
    }
    let bytes = folder.bytes(path).ok()?;
    let any = LAYOUTS.first()?;
    let sheets = match table::is_workbook(path) {
        true => {
            let every = Mapping { sheets: Sheets::All, ..Mapping::default() };
            let sheets = table::sheets_of(any, path, bytes, &every).ok()?;
            let first =
                |sheet: Vec<table::Line>| sheet.into_iter().take(table::TITLES).map(|(_, cells)| cells);
            sheets.into_iter().map(|sheet| first(sheet).collect()).collect()
        }
        false => vec![table::rows_of(any, path, &text::decoded(path, &bytes, &mut Vec::new())?)],
    };
    let fit = |layout: &'static Layout| {
        let fits = sheets.iter().filter_map(|rows: &Vec<Vec<String>>| {
            let fits = |(at, headings): (usize, &Vec<String>)| Some((likely::fit(layout, headings)?, at));
            let (fits, at) =
                rows.iter().enumerate().filter_map(fits).max_by_key(|(fits, at)| (*fits, usize::MAX - at))?;
            speaks_of(layout, &rows[at], &rows[at + 1..]).then_some(fits)
        });
        let fits = fits.max()?;
        (likely::needed(layout) >= NEEDED).then_some((fits, likely::needed(layout), layout.table))
    };
    let mut found: Vec<_> = LAYOUTS.iter().filter_map(fit).collect();
    found.sort_unstable();
    // Of two that fit alike none is the likelier.
    match found.as_slice() {
        [.., (one, of, _), (other, than, _)] if (one, of) == (other, than) => None,
        [.., (_, _, table)] => Some(table),
        [] => sheets.first().is_some_and(|rows| table::headings_of_sums(rows).is_some()).then_some(SUMS),
    }
}

/// Whether the rows beneath `headings` can be the table's by their words: what was planted is no work, and work is no species.
fn speaks_of(layout: &Layout, headings: &[String], rows: &[Vec<String>]) -> bool {
    if layout.table == "stems" {
        return !counts(layout, headings, rows);
    }
    let (column, is_species) = match layout.table {
        "works" => ("task", false),
        "plantings" => ("species", true),
        _ => return true,
    };
    let Some(at) = headings.iter().position(|heading| likely::stands_for(heading, layout, column)) else {
        return true;
    };
    let words =
        rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let (known, all) =
        words.fold((0, 0), |(known, all), word| (known + usize::from(names_a_plant(word)), all + 1));
    match is_species {
        // Under a heading of its own it may hold species that nobody knows.
        true => 2 * known >= all || likely::is_named(&headings[at], layout, column),
        false => 2 * known < all.max(1),
    }
}

/// Whether what could be the status of single stems holds counts of them.
fn counts(stems: &Layout, headings: &[String], rows: &[Vec<String>]) -> bool {
    let status = headings.iter().position(|heading| likely::stands_for(heading, stems, "status"));
    let cells = |at: usize| rows.iter().filter_map(move |row| row.get(at)).map(|cell| cell.trim());
    // 1 and 0 stand for alive and dead too.
    let is_count = |cell: &str| cell.parse::<f64>().is_ok_and(|number| number > 1.0);
    status.is_some_and(|at| cells(at).any(is_count))
}

/// Whether the layer at `path` holds areas: a polygon, or a walk that comes back, of which the name says no other thing.
fn encloses(folder: &Folder, path: &str) -> bool {
    let reader = Reader::of(folder);
    let mut areas = Vec::new();
    if let Some(layer) = layers::open(path, None, folder, &reader, &mut Vec::new()) {
        layers::areas(&layer, Datum::Wgs84, &Mapping::default(), &mut areas, &mut Vec::new());
    }
    areas.iter().any(|area| !layers::names_a_feature(&area.id.0))
}

/// What is to be said of the files at `paths`, which nothing reads: that they could be a table or a layer, beside those of the paths in
/// `read`, or no more than that nothing reads them.
pub(crate) fn not_read(folder: &Folder, paths: Vec<String>, read: &[(&'static str, &str)]) -> Vec<Problem> {
    let with = |table: &str| {
        let first = read.iter().find(|(of, _)| *of == table);
        first.map(|(_, file)| (*file).to_owned())
    };
    let (mut taken, mut problems) = (BTreeMap::<&'static str, Vec<String>>::new(), Vec::new());
    for path in paths {
        // A file that bears a table's name is left for a reason: the settings name another.
        match could_be(folder, &path).filter(|_| !bears_a_name(&path)) {
            // There is one model of the ground.
            Some(table) if table != "terrain" || with(table).is_none() => {
                taken.entry(table).or_default().push(path);
            }
            _ => {
                let place = Place::file(path.as_str());
                problems.push(Problem::new(Reading::FileNotUsed { file: path }, place));
            }
        }
    }
    problems.extend(taken.into_iter().map(|(table, files)| {
        let place = Place::file(files[0].as_str());
        Problem::new(Reading::FileNotTaken { table, files, with: with(table) }, place)
    }));
    problems
}

/// The files of `found` that could be `table`, and that they could; where none could, those of which nothing can be told.
pub(crate) fn likeliest(folder: &Folder, table: &str, found: Vec<String>) -> (bool, Vec<String>) {
    let likely: Vec<String> = found.iter().filter(|path| is_likely(folder, path, table)).cloned().collect();
    if !likely.is_empty() {
        return (true, likely);
    }
    (
        false,
        found
            .into_iter()
            .filter(|path| could_be(folder, path).is_none_or(|of| ["features", "areas"].contains(&of)))
            .collect(),
    )
}

/// Whether the file at `path` could be `table`: a layer of boundaries is told by a polygon in it.
pub(crate) fn is_likely(folder: &Folder, path: &str, table: &str) -> bool {
    match table {
        "areas" => {
            let has_polygon =
                || folder.bytes(path).is_ok_and(|bytes| memchr::memmem::find(&bytes, b"Polygon").is_some());
            has_polygon() || has_ending(path, PACKED) && encloses(folder, path)
        }
        _ => could_be(folder, path) == Some(table),
    }
}
