//! Files that bear no table's name, and what they could hold: told by their headings, by the same words that propose a mapping.

use std::collections::BTreeMap;

use crate::{
    geometry::Datum,
    intake::{
        built_in::sounds_like_a_plant,
        choice::{Wanted, bears_a_name, has_ending},
        folder::Folder,
        layers,
        mapping::{Mapping, Sheets},
        reader::Reader,
        records::LAYOUTS,
        table::{self, Layout, holds, likely},
        text,
    },
    problem::{NotUsed, Place, Problem, Reading},
};

/// A table of fewer needed columns is told by its name alone: too many files have a column of species.
const NEEDED: usize = 2;

/// A table and the columns that a file lacks to be it.
type Lacking = (&'static str, Vec<&'static str>);

/// How many columns a file may lack to come near a table, and of how many tables it is asked which it is (judgement).
const MOST_LACKING: usize = 2;
const MOST_NEAR: usize = 3;

/// The tables that people keep by themselves: what lacks a column of another is no question.
const KEPT: [&str; 8] = ["plantings", "plots", "tallies", "stems", "cover", "rain", "works", "spending"];

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
    match nearly(folder, path)?.1.as_slice() {
        [(table, lacks)] if lacks.is_empty() => Some(table),
        _ => None,
    }
}

/// The first rows of each sheet of a table at `path`; a text has one. `None` where it is no table that is read.
fn sheets(folder: &Folder, path: &str) -> Option<Vec<Vec<Vec<String>>>> {
    if !has_ending(path, Wanted::table("plantings").read) {
        return None;
    }
    let bytes = folder.bytes(path).ok()?;
    let any = LAYOUTS.first()?;
    if !table::is_workbook(path) {
        return Some(vec![table::rows_of(any, path, &text::decoded(path, &bytes, &mut Vec::new())?)]);
    }
    let every = Mapping { sheets: Sheets::All, ..Mapping::default() };
    let sheets = table::sheets_of(any, path, bytes, &every).ok()?;
    let first = |sheet: Vec<table::Line>| sheet.into_iter().take(table::TITLES).map(|(_, cells)| cells);
    Some(sheets.into_iter().map(|sheet| first(sheet).collect()).collect())
}

/// The tables whose columns the headings of one of `sheets` name or likely mean: of those that fit alike all.
fn likeliest_of(sheets: &[Vec<Vec<String>>]) -> Vec<(usize, &'static str)> {
    let fit = |layout: &'static Layout| {
        let fits = sheets.iter().filter_map(|rows| {
            let fits = |at: usize| {
                let holds = holds::beneath(&rows[at], &rows[at + 1..]);
                Some((likely::fit(layout, &rows[at], &holds)?, at))
            };
            let (fits, at) =
                (0..rows.len()).filter_map(fits).max_by_key(|(fits, at)| (*fits, usize::MAX - at))?;
            speaks_of(layout, &rows[at], &rows[at + 1..]).then_some(fits)
        });
        let fits = fits.max()?;
        (likely::needed(layout) >= NEEDED).then_some((fits, likely::needed(layout), layout.table))
    };
    let mut found: Vec<_> = LAYOUTS.iter().filter_map(fit).collect();
    found.sort_unstable();
    match found.last() {
        // Of two that fit alike none is the likelier.
        Some(&(fits, of, _)) => {
            let alike = found.into_iter().filter(|(one, than, _)| (*one, *than) == (fits, of));
            alike.map(|(fits, _, table)| (fits, table)).collect()
        }
        None => {
            let sums = sheets.first().is_some_and(|rows| table::headings_of_sums(rows).is_some());
            sums.then_some((0, SUMS)).into_iter().collect()
        }
    }
}

/// What a table at `path` could be: the tables that it comes nearest to, each with the columns that it lacks, and the headings that tell so.
/// `None` where it is no table that is read, or has fewer than two columns.
fn nearly(folder: &Folder, path: &str) -> Option<(Vec<String>, Vec<Lacking>)> {
    let sheets = sheets(folder, path)?;
    let whole = likeliest_of(&sheets);
    let filled = |row: &[String]| row.iter().filter(|cell| !cell.trim().is_empty()).count();
    let first = || sheets.iter().flatten().find(|row| filled(row) >= NEEDED).cloned();
    if let [(0, table)] = whole[..] {
        return Some((first()?, vec![(table, Vec::new())]));
    }
    let fits = |layout: &Layout| whole.iter().any(|(_, table)| *table == layout.table);
    let is_asked = |layout: &&'static Layout| {
        likely::needed(layout) >= NEEDED && (KEPT.contains(&layout.table) || fits(layout))
    };
    let mut near: Vec<(isize, Lacking, &[String])> = Vec::new();
    for layout in LAYOUTS.iter().filter(is_asked) {
        let one = |rows: &'_ Vec<Vec<String>>, at: usize| {
            let holds = holds::beneath(&rows[at], &rows[at + 1..]);
            let found = likely::found(layout, &rows[at], &holds);
            let lacks: Vec<&'static str> =
                likely::needs(layout).filter(|column| !found.contains(column)).collect();
            let has = likely::needed(layout) - lacks.len();
            let is_near = lacks.len() <= MOST_LACKING && (has >= NEEDED || found.len() > NEEDED);
            let worth = found.len() as isize - 2 * lacks.len() as isize;
            // What lacks nothing and is not the likeliest is none.
            let is_near = is_near && worth >= 0 && at + 1 < rows.len();
            let could = if fits(layout) { lacks.is_empty() } else { !lacks.is_empty() && is_near };
            (could && speaks_of(layout, &rows[at], &rows[at + 1..])).then_some((worth, lacks))
        };
        let each = sheets.iter().flat_map(|rows| (0..rows.len()).map(move |at| (rows, at)));
        let found =
            each.filter_map(|(rows, at)| one(rows, at).map(|(worth, lacks)| (worth, lacks, &*rows[at])));
        // The first of the best.
        let best = found.reduce(|best, next| if next.0 > best.0 { next } else { best });
        near.extend(best.map(|(worth, lacks, headings)| (worth, (layout.table, lacks), headings)));
    }
    near.sort_by_key(|(worth, ..)| -worth);
    let best = near.first().map_or(0, |(worth, ..)| *worth);
    near.retain(|(worth, ..)| *worth == best);
    near.truncate(MOST_NEAR);
    let headings = near.first().map(|(.., headings)| headings.to_vec()).or_else(first)?;
    let headings = headings.into_iter().filter(|heading| !heading.trim().is_empty()).collect();
    Some((headings, near.into_iter().map(|(_, lacking, _)| lacking).collect()))
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
    let words = rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.trim());
    let words = words.filter(|cell| !cell.is_empty() && !table::says_total(cell));
    let (known, all) =
        words.fold((0, 0), |(known, all), word| (known + usize::from(sounds_like_a_plant(word)), all + 1));
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
            could => {
                let near = if could.is_none() && !bears_a_name(&path) { nearly(folder, &path) } else { None };
                let place = Place::file(path.as_str());
                let kind = match near {
                    Some((headings, tables)) if !tables.is_empty() => {
                        Reading::FileUnclear { file: path, headings, tables }
                    }
                    near => {
                        let why = match near {
                            Some(_) => NotUsed::PerhapsTable,
                            None if bears_a_name(&path) => NotUsed::AnotherNamed,
                            None => NotUsed::NoTable,
                        };
                        Reading::FileNotUsed { file: path, why }
                    }
                };
                problems.push(Problem::new(kind, place));
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
            .filter(|path| match could_be(folder, path) {
                Some(of) => ["features", "areas"].contains(&of),
                // What comes nearer to other tables is asked about by itself.
                None => nearly(folder, path)
                    .is_none_or(|(_, near)| near.is_empty() || near.iter().any(|(of, _)| *of == table)),
            })
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
