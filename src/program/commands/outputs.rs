//! Everything that is made of a project that was read: figures, plan, drawings, documents, layers and tables, at the same time
//! whatever waits for nothing else.

use std::sync::Arc;

use bytes::Bytes;
use rayon::prelude::*;

use crate::{
    VERSION, audit,
    commands::{CommandError, forms},
};
use hillfolio_core::{
    intake::Folder,
    ledger::{self, Filled},
    plan,
    problem::{self, Evidence, Place, Problem},
    project::{Photo, Project},
};
use hillfolio_documents::{
    draw::{self, Sheets},
    exports::{self, GroundOverlay},
    pack::{File, PackError},
    thumbnails::{Size, Thumbnails},
    typeset::{self, Document, Engine, PrintPicture, ReportInputs},
};

/// Everything that is made of a project.
pub(super) struct Outputs {
    /// The documents and the map sheets.
    pub documents: Vec<File>,
    /// Everything else.
    pub others: Vec<File>,
    /// What was found wrong until now, in listing order.
    pub problems: Vec<Problem>,
}

/// What everything is made from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Materials<'a> {
    /// The project folder.
    pub folder: &'a Folder,
    /// What was read from it.
    pub project: &'a Project,
    /// The photos made small that are kept.
    pub thumbnails: &'a Thumbnails,
    /// The user's own templates: path and text.
    pub templates: &'a [(String, String)],
    /// The documents to be set.
    pub documents: &'a [Document],
}

/// Makes the documents, and every map, layer, table and ledger, of a project with these `problems`. `packs` is given everything but
/// the documents while these are being set.
///
/// # Errors
/// [`CommandError`], after everything that was begun has come to its end.
pub(super) fn outputs(
    Materials { folder, project, thumbnails, templates, documents }: Materials<'_>,
    mut problems: Vec<Problem>,
    packs: impl FnOnce(&[File]) -> Result<(), PackError> + Send,
    says: &dyn Fn(&'static str),
) -> Result<Outputs, CommandError> {
    says("working out the figures and the plan, drawing maps and charts, making photos small");
    // No other figure waits for the plan, which takes longest, and photos wait for none.
    let (plan, ((mut filled, mut sheets), (engine, (pictures, unreadable)))) = rayon::join(
        || plan::make(project),
        || {
            let figures_and_drawings = || {
                let filled = ledger::fill_but_plan(project);
                let sheets = draw::sheets_but_plan(project, &filled);
                (filled, sheets)
            };
            let engine_and_photos = || (Engine::new(templates), pictures(folder, project, thumbnails));
            rayon::join(figures_and_drawings, engine_and_photos)
        },
    );
    if let Some(plan) = &plan {
        ledger::enter_plan(&mut filled.ledger, project, plan);
        sheets.add_plan(project, plan, &filled.ledger);
    }
    let Filled { ledger, cells } = filled;
    problems.extend(unreadable);
    problems.extend(ledger.doubts.iter().cloned());
    problems.extend(ledger::answers(&ledger, project).1);
    let (filled_forms, unfilled) = forms::filled(folder, project, &ledger, &sheets, &pictures)?;
    problems.extend(unfilled);
    problem::list(&mut problems);

    says("typesetting");
    let records = ledger::files(&ledger, project, &problems, VERSION)?;
    let matter = ReportInputs {
        project,
        plan: plan.as_ref(),
        ledger: &ledger,
        cells: cells.as_ref(),
        sheets: &sheets,
        pictures: &pictures,
        problems: &problems,
        records: &records,
        version: VERSION,
    };
    // A document is laid out by one processor for the most part. The others make pictures before its pages ask for them, and what
    // no page waits for once there is no page to help with.
    let mut others = Ok(Vec::new());
    let documents = rayon::in_place_scope(|early| {
        early.spawn(|_| sheets.finish());
        let mut setting = engine.begin(&matter, documents);
        rayon::in_place_scope(|scope| {
            setting.start(scope);
            scope.spawn(|_| {
                others = overlay(&sheets)
                    .and_then(|map| {
                        let files = exports::files(project, plan.as_ref(), &ledger, &problems, map.as_ref());
                        files.map_err(CommandError::from)
                    })
                    .and_then(|exported| {
                        let mut files = all_but_documents(&records, exported, templates);
                        files.extend(filled_forms);
                        packs(&files)?;
                        Ok(files)
                    });
            });
        });
        setting.documents()
    });
    let documents =
        documents?.into_iter().map(|document| File { path: document.name, bytes: document.bytes.into() });
    Ok(Outputs { documents: documents.collect(), others: others?, problems })
}

/// Dots of the map that is laid over the ground, to a millimetre of its paper: what a telephone shows when the map fills it twice over.
const OVERLAY_DOTS: f64 = 6.0;

/// The site map as a picture to be laid over the ground.
fn overlay(sheets: &Sheets) -> Result<Option<GroundOverlay>, CommandError> {
    let Some((drawing, Some(on_ground))) = &sheets.wall else { return Ok(None) };
    let frame = on_ground.frame;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand dots")]
    let dots = |mm: f64| (mm * OVERLAY_DOTS).round() as u32;
    let png = typeset::raster(drawing, frame, (dots(frame.width()), dots(frame.height())), None)?;
    let draw::map::Georeference { middle, half, azimuth, .. } = *on_ground;
    Ok(Some(GroundOverlay { png, middle, half, azimuth }))
}

/// The ledger's `records`, the layers and tables `exported`, and the user's own `templates`, as files.
fn all_but_documents(
    records: &[(String, Bytes)],
    exported: Vec<(String, Vec<u8>)>,
    templates: &[(String, String)],
) -> Vec<File> {
    let records = records.iter().map(|(name, bytes)| (format!("data/{name}"), bytes.clone()));
    let exported = exported.into_iter().map(|(name, bytes)| (name, bytes.into()));
    let templates =
        templates.iter().map(|(path, text)| (format!("{}{path}", audit::TEMPLATES), text.clone().into()));
    records.chain(exported).chain(templates).map(|(path, bytes)| File { path, bytes }).collect()
}

/// The photos that documents print, made small, in order; those that can't be decoded become doubts.
#[must_use]
pub fn pictures(
    folder: &Folder,
    project: &Project,
    thumbnails: &Thumbnails,
) -> (Vec<PrintPicture>, Vec<Problem>) {
    let shrunk: Vec<Result<PrintPicture, Problem>> = typeset::photos(project)
        .into_par_iter()
        .map(|(photo, pixels)| picture(folder, thumbnails, photo, pixels))
        .collect();
    let (mut pictures, mut problems) = (Vec::new(), Vec::new());
    for outcome in shrunk {
        match outcome {
            Ok(picture) => pictures.push(picture),
            Err(problem) => problems.push(problem),
        }
    }
    (pictures, problems)
}

fn picture(
    folder: &Folder,
    thumbnails: &Thumbnails,
    photo: &Photo,
    longest_px: u32,
) -> Result<PrintPicture, Problem> {
    let size = Size { longest_px, quality: typeset::PICTURE_QUALITY };
    let picture = match thumbnails.find(&photo.sha256, size) {
        Some(picture) => picture,
        None => {
            let bytes = folder.bytes(&photo.path)?;
            let picture = draw::photo::shrink(&bytes, size.longest_px, size.quality).map_err(|failure| {
                let kind = Evidence::PictureUnreadable { why: failure.to_string() };
                Problem::new(kind, Place::file(Arc::clone(&photo.path)))
            })?;
            thumbnails.keep(&bytes, size, &picture);
            picture
        }
    };
    Ok(PrintPicture {
        path: Arc::clone(&photo.path),
        jpeg: picture.jpeg.into(),
        width: picture.width,
        height: picture.height,
    })
}
