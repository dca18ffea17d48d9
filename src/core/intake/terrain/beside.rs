//! What lies beside a terrain model under its name: its coordinate reference system, and for a TIFF where its cells lie.

use crate::{
    intake::{
        folder::Folder,
        reader::Reader,
        terrain::{Reference, read_prj, site::Refused},
    },
    problem::{Problem, Terrain},
};

/// What the `.prj` of the same name says.
pub(super) fn prj(
    folder: &Folder,
    reader: &Reader<'_>,
    file: &str,
    problems: &mut Vec<Problem>,
) -> Result<Option<Reference>, Refused> {
    let Some((path, text)) = text(folder, reader, file, &["prj"], problems) else { return Ok(None) };
    match read_prj(&text) {
        Some(reference) => Ok(Some(reference)),
        None => Err(Terrain::CrsUnknown { found: format!("{path} names none") }.into()),
    }
}

/// The six numbers of a world file: cell, turns, cell, and the centre of the north-west cell.
pub(super) fn world_file(
    folder: &Folder,
    reader: &Reader<'_>,
    file: &str,
    problems: &mut Vec<Problem>,
) -> Option<[f64; 6]> {
    let (_, text) = text(folder, reader, file, &["tfw", "tifw", "tiffw", "wld"], problems)?;
    let numbers: Option<Vec<f64>> = text.split_whitespace().map(|word| word.parse().ok()).collect();
    numbers?.try_into().ok()
}

/// The path and text of the file beside `file` that has one of `endings`.
fn text(
    folder: &Folder,
    reader: &Reader<'_>,
    file: &str,
    endings: &[&str],
    problems: &mut Vec<Problem>,
) -> Option<(String, String)> {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let path = endings.iter().find_map(|ending| {
        let wanted = format!("{stem}.{ending}");
        folder.files().iter().find(|path| path.eq_ignore_ascii_case(&wanted))
    })?;
    Some((path.clone(), reader.text(path, problems)?))
}
