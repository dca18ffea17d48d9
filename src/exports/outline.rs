//! The areas as a zipped shapefile with its `.prj` and `.cpg`, as funders' mapping systems ask for.

use std::io::{Cursor, Write as _};

use chrono::{Datelike, NaiveDate};
use shapefile::dbase::{FieldName, FieldValue, Record, TableWriterBuilder};
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use crate::{
    exports::Failure,
    ledger::{FigureId, Ledger},
    project::Project,
};

/// WGS 84 in the well-known text that goes beside a shapefile (OGC 01-009).
const WGS84: &str = r#"GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]"#;

/// Most bytes of text that the table of a shapefile holds in a cell.
const CELL: usize = 254;

/// `areas.shp`, `.shx`, `.dbf`, `.prj` and `.cpg` in one zip.
pub(super) fn shapefile(project: &Project, ledger: &Ledger) -> Result<Vec<u8>, Failure> {
    let (mut shp, mut shx, mut dbf) = (Cursor::new(vec![]), Cursor::new(vec![]), Cursor::new(vec![]));
    {
        let shapes = shapefile::ShapeWriter::with_shx(&mut shp, &mut shx);
        let table = TableWriterBuilder::new()
            .add_character_field(field("area")?, u8::MAX - 1)
            .add_numeric_field(field("hectares")?, 18, 4)
            .add_numeric_field(field("stems")?, 12, 0)
            .build_with_dest(&mut dbf);
        let mut writer = shapefile::Writer::new(shapes, table);
        for area in &project.areas {
            let figure = |stem: &str| {
                let id = FigureId::of(stem, &area.id.0);
                FieldValue::Numeric(ledger.figure(id.as_str()).map(|figure| figure.value))
            };
            let mut record = Record::default();
            record.insert("area".to_owned(), FieldValue::Character(Some(cut(&area.id.0).to_owned())));
            record.insert("hectares".to_owned(), figure("site.area"));
            record.insert("stems".to_owned(), figure("plantings.stems"));
            writer.write_shape_and_record(&shapefile::Polygon::from(area.boundary.clone()), &record)?;
        }
    }
    let mut dbf = dbf.into_inner();
    date(&mut dbf, project.period.to);
    let parts = [
        ("areas.cpg", b"UTF-8".to_vec()),
        ("areas.dbf", dbf),
        ("areas.prj", WGS84.as_bytes().to_vec()),
        ("areas.shp", shp.into_inner()),
        ("areas.shx", shx.into_inner()),
    ];
    let mut zip = ZipWriter::new(Cursor::new(vec![]));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    for (name, bytes) in parts {
        zip.start_file(name, options)?;
        zip.write_all(&bytes)?;
    }
    Ok(zip.finish()?.into_inner())
}

fn field(name: &'static str) -> Result<FieldName, Failure> {
    FieldName::try_from(name).map_err(|_| Failure::FieldName(name))
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
