//! Layers as zipped shapefiles with their `.prj` and `.cpg`, as funders' mapping systems ask for.
//!
//! A shapefile holds shapes of one kind: a layer of several kinds becomes a file for each.

use std::{
    borrow::Cow,
    collections::BTreeMap,
    io::{Cursor, Write as _},
};

use chrono::{Datelike, NaiveDate};
use geo::{Geometry, MultiLineString, MultiPoint, MultiPolygon};
use geojson::{Feature, JsonValue};
use shapefile::{
    dbase::{FieldName, FieldValue, Record, TableWriterBuilder},
    record::EsriShape,
};
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use crate::exports::{ExportError, layers::Layer};

/// WGS 84 in the well-known text that goes beside a shapefile (OGC 01-009).
const WGS84: &str = r#"GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]"#;

/// Most bytes of text that the table of a shapefile holds in a cell.
const CELL: usize = 254;

/// Most letters of a column's name.
const NAME: usize = 10;

/// The shapes of one kind, each with its feature.
#[derive(Default)]
struct Kinds<'f> {
    points: Vec<(MultiPoint<f64>, &'f Feature)>,
    lines: Vec<(MultiLineString<f64>, &'f Feature)>,
    polygons: Vec<(MultiPolygon<f64>, &'f Feature)>,
}

impl<'f> Kinds<'f> {
    fn of(features: &'f [Feature]) -> Kinds<'f> {
        let mut kinds = Kinds::default();
        for feature in features {
            let geometry =
                feature.geometry.clone().and_then(|geometry| Geometry::try_from(geometry.value).ok());
            match geometry {
                Some(Geometry::Point(point)) => kinds.points.push((MultiPoint(vec![point]), feature)),
                Some(Geometry::MultiPoint(points)) => kinds.points.push((points, feature)),
                Some(Geometry::LineString(line)) => kinds.lines.push((MultiLineString(vec![line]), feature)),
                Some(Geometry::MultiLineString(lines)) => kinds.lines.push((lines, feature)),
                Some(Geometry::Polygon(polygon)) => {
                    kinds.polygons.push((MultiPolygon(vec![polygon]), feature))
                }
                Some(Geometry::MultiPolygon(polygons)) => kinds.polygons.push((polygons, feature)),
                _ => {}
            }
        }
        kinds
    }
}

/// The layer's shapefiles, dated `dated`: path inside the output folder, bytes.
pub(super) fn files(layer: &Layer, dated: NaiveDate) -> Result<Vec<(String, Vec<u8>)>, ExportError> {
    let kinds = Kinds::of(&layer.features);
    let several = [kinds.points.len(), kinds.lines.len(), kinds.polygons.len()]
        .iter()
        .filter(|count| **count > 0)
        .count()
        > 1;
    let name = |kind: &str| if several { format!("{}-{kind}", layer.name) } else { layer.name.to_owned() };
    let mut files = Vec::new();
    if !kinds.points.is_empty() {
        let single = kinds.points.iter().all(|(points, _)| points.0.len() == 1);
        let bytes = match single {
            true => {
                let points = kinds.points.iter().flat_map(|(points, feature)| {
                    points.iter().map(move |point| (shapefile::Point::new(point.x(), point.y()), *feature))
                });
                packed(layer, &name("points"), &points.collect::<Vec<_>>(), dated)?
            }
            false => {
                packed(layer, &name("points"), &shapes(kinds.points, shapefile::Multipoint::from), dated)?
            }
        };
        files.push((name("points"), bytes));
    }
    if !kinds.lines.is_empty() {
        let lines = shapes(kinds.lines, shapefile::Polyline::from);
        files.push((name("lines"), packed(layer, &name("lines"), &lines, dated)?));
    }
    if !kinds.polygons.is_empty() {
        let polygons = shapes(kinds.polygons, shapefile::Polygon::from);
        files.push((name("polygons"), packed(layer, &name("polygons"), &polygons, dated)?));
    }
    Ok(files.into_iter().map(|(name, bytes)| (format!("layers/{name}.zip"), bytes)).collect())
}

fn shapes<G, S>(of: Vec<(G, &Feature)>, make: impl Fn(G) -> S) -> Vec<(S, &Feature)> {
    of.into_iter().map(|(shape, feature)| (make(shape), feature)).collect()
}

/// `NAME.shp`, `.shx`, `.dbf`, `.prj` and `.cpg` in one zip.
fn packed<S: EsriShape>(
    layer: &Layer,
    name: &str,
    shapes: &[(S, &Feature)],
    dated: NaiveDate,
) -> Result<Vec<u8>, ExportError> {
    let (mut shp, mut shx, mut dbf) = (Cursor::new(vec![]), Cursor::new(vec![]), Cursor::new(vec![]));
    let columns = in_order(layer, columns(shapes.iter().map(|(_, feature)| *feature)));
    {
        let mut table = TableWriterBuilder::new();
        for (column, kind) in &columns {
            let short: String = column.chars().take(NAME).collect();
            let field =
                FieldName::try_from(short.as_str()).map_err(|_| ExportError::FieldName(short.clone()))?;
            table = match kind {
                Column::Text { width } => table.add_character_field(field, *width),
                Column::Number { decimals } => table.add_numeric_field(field, 18, *decimals),
            };
        }
        let writer = shapefile::ShapeWriter::with_shx(&mut shp, &mut shx);
        let mut writer = shapefile::Writer::new(writer, table.build_with_dest(&mut dbf));
        for (shape, feature) in shapes {
            let mut record = Record::default();
            for (column, kind) in &columns {
                record.insert(column.chars().take(NAME).collect(), cell(feature.property(column), kind));
            }
            writer.write_shape_and_record(shape, &record)?;
        }
    }
    let mut dbf = dbf.into_inner();
    date(&mut dbf, dated);
    let parts = [
        ("cpg", b"UTF-8".to_vec()),
        ("dbf", dbf),
        ("prj", WGS84.as_bytes().to_vec()),
        ("shp", shp.into_inner()),
        ("shx", shx.into_inner()),
    ];
    let mut zip = ZipWriter::new(Cursor::new(vec![]));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    for (ending, bytes) in parts {
        zip.start_file(format!("{name}.{ending}"), options)?;
        zip.write_all(&bytes)?;
    }
    Ok(zip.finish()?.into_inner())
}

/// What a column of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    /// Text of so many bytes at most: every row of the table takes as many.
    Text {
        width: u8,
    },
    Number {
        decimals: u8,
    },
}

/// The properties that say something of any feature, and what they hold.
fn columns<'f>(features: impl Iterator<Item = &'f Feature>) -> BTreeMap<&'f str, Column> {
    let mut columns = BTreeMap::new();
    for (name, value) in features.flat_map(|feature| feature.properties.iter().flatten()) {
        let kind = match value {
            JsonValue::Null => continue,
            JsonValue::Number(number) => {
                let whole = number.as_f64().is_some_and(|value| value.fract() == 0.0);
                Column::Number { decimals: if whole { 0 } else { 4 } }
            }
            _ => Column::Text { width: 1 },
        };
        let known: &mut (Column, usize) = columns.entry(name.as_str()).or_insert((kind, 1));
        known.0 = match (known.0, kind) {
            (Column::Number { decimals: one }, Column::Number { decimals: other }) => {
                Column::Number { decimals: other.max(one) }
            }
            (Column::Text { .. }, _) => known.0,
            (_, kind) => kind,
        };
        known.1 = known.1.max(written(value).len());
    }
    let fitted = |(name, (kind, longest)): (_, (Column, usize))| match kind {
        Column::Number { .. } => (name, kind),
        Column::Text { .. } => {
            (name, Column::Text { width: u8::try_from(longest.min(CELL)).unwrap_or(u8::MAX - 1) })
        }
    };
    columns.into_iter().map(fitted).collect()
}

/// The columns by name; of a layer that says which it has, those in its order, empty ones among them.
fn in_order<'l>(layer: &'l Layer, mut found: BTreeMap<&'l str, Column>) -> Vec<(&'l str, Column)> {
    if layer.columns.is_empty() {
        return found.into_iter().collect();
    }
    let empty = Column::Text { width: 1 };
    layer.columns.iter().map(|name| (name.as_str(), found.remove(name.as_str()).unwrap_or(empty))).collect()
}

/// A value as a cell of text has it.
fn written(value: &JsonValue) -> Cow<'_, str> {
    match value {
        JsonValue::String(text) => text.into(),
        other => other.to_string().into(),
    }
}

fn cell(value: Option<&JsonValue>, kind: &Column) -> FieldValue {
    match (kind, value) {
        (Column::Number { .. }, value) => FieldValue::Numeric(value.and_then(JsonValue::as_f64)),
        (Column::Text { .. }, None | Some(JsonValue::Null)) => FieldValue::Character(None),
        (Column::Text { .. }, Some(value)) => FieldValue::Character(Some(cut(&written(value)).to_owned())),
    }
}

/// The table's header holds the day of writing in its bytes 1 to 3, the year from 1900; the report's day stands there
/// instead, so that the same content gives the same bytes.
fn date(dbf: &mut [u8], day: NaiveDate) {
    let byte = |number: u32| u8::try_from(number).unwrap_or(0);
    if let Some(stamp) = dbf.get_mut(1..4) {
        stamp.copy_from_slice(&[
            u8::try_from(day.year() - 1900).unwrap_or(0),
            byte(day.month()),
            byte(day.day()),
        ]);
    }
}

/// `text` cut to what a cell holds, at the border of a letter.
fn cut(text: &str) -> &str {
    let end = (0..=text.len().min(CELL)).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0);
    &text[..end]
}
