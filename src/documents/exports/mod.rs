//! Layers and tables for other programs: the typed project and the ledger as bytes, nothing recomputed.

mod activities;
mod answers;
mod corrections;
mod excerpt;
mod field_book;
mod gpx;
mod kml;
mod kmz;
mod layers;
mod markup;
pub mod parquet;
mod question_book;
mod set_out;
mod shapefiles;
mod sheet;
mod tables;
mod workbook;

pub use corrections::{corrections_csv, is_unanswered};
pub use excerpt::{excerpt, excerpt_files, excerpt_rows};
pub use field_book::field_book_xlsx;
pub use kmz::GroundOverlay;
pub use question_book::corrections_xlsx;

use hillfolio_core::{ledger::Ledger, plan::Plan, problem::Problem, project::Project};

/// Why an export could not be made.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The workbook.
    #[error("data/tables.xlsx could not be made: {0}")]
    Workbook(#[from] rust_xlsxwriter::XlsxError),
    /// The shapefile.
    #[error("a shapefile could not be made: {0}")]
    Shapefile(#[from] shapefile::Error),
    /// A column's name that the table of a shapefile can't hold.
    #[error("a shapefile can't have a column called {0}")]
    FieldName(String),
    /// The zip round the shapefile.
    #[error("the zip round a shapefile could not be made: {0}")]
    Zip(#[from] zip::result::ZipError),
    /// A list.
    #[error("a list could not be made: {0}")]
    Csv(#[from] csv::Error),
    /// A buffer in memory refused to grow.
    #[error("an export could not be made: {0}")]
    Memory(#[from] std::io::Error),
}

/// Every layer and table there is something to put in, and the site map where there is one: path inside the output folder, bytes.
///
/// # Errors
/// [`ExportError`] if a format can't hold what the project says.
pub fn files(
    project: &Project,
    plan: Option<&Plan>,
    ledger: &Ledger,
    problems: &[Problem],
    site_map: Option<&GroundOverlay>,
) -> Result<Vec<(String, Vec<u8>)>, ExportError> {
    let (layers, workbook) = rayon::join(
        || layers::files(project, plan, ledger),
        || workbook::bytes(tables::sheets(project, ledger, problems), project.period.to),
    );
    let mut files = layers?;
    if let Some(map) = site_map {
        files.push(("layers/site-map.kmz".to_owned(), kmz::document(&project.identity.name, map)?));
    }
    files.push(("data/tables.xlsx".to_owned(), workbook?));
    files.extend(answers::file(project, ledger)?);
    Ok(files)
}
