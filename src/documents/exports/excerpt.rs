//! The folder of one agreement: the rows, columns and layers that its documents rest on, as text, each row with the place where it
//! stands in the whole folder. It reads like any other folder, so that a pack of it can be held to account.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use geojson::{FeatureCollection, JsonValue};

use crate::exports::{ExportError, layers::feature};
use hillfolio_core::{
    project::{Cell, Project, Shape, TableRow as _},
    source::Row,
};

/// The column that tells where a row stands in the whole folder.
const ORIGINAL: &str = "original_row";

/// Tables that say nothing of what was done under an agreement.
const LEFT_OUT: [&str; 1] = ["stock"];

/// The tables and layers of `project`, as its one agreement sees it: path inside the folder, bytes.
///
/// # Errors
/// [`ExportError`] if a table can't be written.
pub fn excerpt(project: &Project) -> Result<Vec<(String, Vec<u8>)>, ExportError> {
    let mut files = vec![("areas.geojson".to_owned(), areas(project))];
    if !project.features.is_empty() {
        files.push(("features.geojson".to_owned(), features(project)));
    }
    for table in project.tables() {
        let name = table.name;
        let mut rows = table.rows.peekable();
        if rows.peek().is_none() || LEFT_OUT.contains(&name) {
            continue;
        }
        let kept: Vec<&str> = table.heads.iter().filter(|head| head.kept).map(|head| head.name).collect();
        let rows: Vec<Vec<Cell>> = rows.collect();
        // Columns in which nothing stands say nothing, unless they must be there.
        let needed = |at: usize| {
            let head = table.heads.iter().find(|head| head.name == kept[at]);
            head.is_some_and(|head| head.needed) || rows.iter().any(|row| row.get(at) != Some(&Cell::Empty))
        };
        let columns: Vec<usize> = (0..kept.len()).filter(|&at| needed(at)).collect();
        let places = places(project, name);
        let mut writer = csv::Writer::from_writer(Vec::new());
        let place_column = (places.len() == rows.len()).then_some(ORIGINAL);
        writer.write_record(columns.iter().map(|&at| kept[at]).chain(place_column))?;
        for (number, row) in rows.iter().enumerate() {
            let cells = columns.iter().map(|&at| row.get(at).map(text).unwrap_or_default());
            let place = place_column.map(|_| format!("{}:{}", places[number].file, places[number].row));
            writer.write_record(cells.chain(place))?;
        }
        let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
        files.push((format!("{name}.csv"), bytes));
    }
    Ok(files)
}

/// The files of the whole folder from which the rows and shapes of `project` were read.
#[must_use]
pub fn excerpt_files(project: &Project) -> BTreeSet<Arc<str>> {
    let tables = project.tables();
    let rows = tables.iter().flat_map(|table| places(project, table.name));
    let spending = project.spending.iter().map(|row| &row.source);
    let areas = project.areas.iter().map(|area| &area.source);
    let features = project.features.iter().map(|feature| &feature.source);
    let all = rows.chain(spending).chain(areas).chain(features);
    all.map(|row| Arc::clone(&row.file)).collect()
}

/// Where every row of the files of the part stands in the whole folder, by the name of the file.
#[must_use]
pub fn excerpt_rows(project: &Project) -> BTreeMap<String, Vec<Row>> {
    let tables = project.tables();
    let of_table = |name: &str| match name {
        hillfolio_core::project::Spending::TABLE => project.spending.iter().map(|row| &row.source).collect(),
        hillfolio_core::project::Reason::TABLE => project.reasons.iter().map(|row| &row.source).collect(),
        name => places(project, name),
    };
    let tables = tables.iter().map(|table| (format!("{}.csv", table.name), of_table(table.name)));
    let areas = project.areas.iter().map(|area| &area.source).collect();
    let features = project.features.iter().map(|feature| &feature.source).collect();
    let layers = [("areas.geojson".to_owned(), areas), ("features.geojson".to_owned(), features)];
    tables.chain(layers).map(|(name, rows)| (name, rows.into_iter().cloned().collect())).collect()
}

/// Where each row of a table stands in the whole folder; nothing for tables whose rows do not say, or say it in a column of their own.
fn places<'a>(project: &'a Project, table: &str) -> Vec<&'a Row> {
    use hillfolio_core::project as rows;
    match table {
        rows::Planting::TABLE => project.plantings.iter().map(|row| &row.source).collect(),
        rows::Plot::TABLE => project.plots.iter().map(|row| &row.source).collect(),
        rows::Tally::TABLE => project.tallies.iter().map(|row| &row.source).collect(),
        rows::Stem::TABLE => project.stems.iter().map(|row| &row.source).collect(),
        rows::CoverReading::TABLE => project.cover.iter().map(|row| &row.source).collect(),
        rows::Benchmark::TABLE => project.benchmarks.iter().map(|row| &row.source).collect(),
        rows::MeasuredSlope::TABLE => project.slopes.iter().map(|row| &row.source).collect(),
        rows::Work::TABLE => project.works.iter().map(|row| &row.source).collect(),
        rows::Commitment::TABLE => project.commitments.iter().map(|row| &row.source).collect(),
        rows::Action::TABLE => project.actions.iter().map(|row| &row.source).collect(),
        rows::PlannedWork::TABLE => project.programme.iter().map(|row| &row.source).collect(),
        rows::Sighting::TABLE => project.sightings.iter().map(|row| &row.source).collect(),
        rows::PhotoPoint::TABLE => project.photo_points.iter().map(|row| &row.source).collect(),
        _ => Vec::new(),
    }
}

/// A cell as the reader takes it back.
fn text(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => text.clone(),
        Cell::Number(number) => number.to_string(),
        Cell::Money(sum) => sum.to_string(),
        Cell::Day(day) => day.to_string(),
    }
}

fn layer(features: Vec<geojson::Feature>) -> Vec<u8> {
    let layer = FeatureCollection { bbox: None, features, foreign_members: None };
    (layer.to_string() + "\n").into_bytes()
}

/// The areas, every corner as it was read: hectares may not change by a digit.
fn areas(project: &Project) -> Vec<u8> {
    let marked = |is: bool| if is { JsonValue::from("yes") } else { JsonValue::Null };
    let one = |area: &hillfolio_core::project::Area| {
        feature(
            (&area.boundary).into(),
            [
                ("area", (&*area.id.0).into()),
                ("hectares", area.stated_hectares.into()),
                ("frosty", marked(area.frosty)),
                ("dry", marked(area.dry)),
                ("waterlogged", marked(area.waterlogged)),
                ("note", area.note.clone().into()),
            ],
        )
    };
    layer(project.areas.iter().map(one).collect())
}

fn features(project: &Project) -> Vec<u8> {
    let one = |of: &hillfolio_core::project::Feature| {
        let shape: geojson::GeometryValue = match &of.shape {
            Shape::Points(points) => points.into(),
            Shape::Lines(lines) => lines.into(),
            Shape::Polygons(polygons) => polygons.into(),
        };
        feature(
            shape,
            [
                ("kind", of.kind.words().into()),
                ("status", of.standing.word().into()),
                ("name", of.name.clone().into()),
                ("made", of.made.map(|day| day.to_string()).into()),
            ],
        )
    };
    layer(project.features.iter().map(one).collect())
}
