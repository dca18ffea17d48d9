//! The file of a layer, opened: which format it is in, and the files that go with it.

use crate::{
    intake::{
        archive::Archive, folder::Folder, layers::shapefile::Parts, nearest::same, reader::Reader, text,
    },
    problem::{Kind, Place, Problem, Reading},
};

/// What a zip begins with.
const ZIP: &[u8] = b"PK\x03\x04";

/// A layer that was opened and not yet understood.
#[derive(Debug, Clone)]
pub(crate) struct LayerFile {
    /// Path inside the project folder.
    pub(crate) path: String,
    /// EPSG code of the project's grid, for shapefiles that name no system.
    pub(crate) grid: Option<u16>,
    pub(super) content: Content,
}

/// What a layer's file holds.
#[derive(Debug, Clone)]
pub(super) enum Content {
    GeoJson(String),
    Kml(String),
    Gpx(String),
    Shapefile(Parts),
}

/// Opens the layer at `path`; `None` where it can't be read, which has then been said.
pub(crate) fn open(
    path: &str,
    grid: Option<u16>,
    folder: &Folder,
    reader: &Reader<'_>,
    problems: &mut Vec<Problem>,
) -> Option<LayerFile> {
    let content = match ending(path).as_str() {
        "kml" | "kmz" => Content::Kml(kml(path, reader, problems)?),
        "gpx" => Content::Gpx(reader.text(path, problems)?),
        "zip" => Content::Shapefile(packed(path, reader, problems)?),
        "shp" => Content::Shapefile(loose(path, folder, reader, problems)?),
        _ => Content::GeoJson(reader.text(path, problems)?),
    };
    Some(LayerFile { path: path.to_owned(), grid, content })
}

fn ending(path: &str) -> String {
    path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).unwrap_or_default()
}

/// The files that lie beside the shapes at `path`.
fn loose(path: &str, folder: &Folder, reader: &Reader<'_>, problems: &mut Vec<Problem>) -> Option<Parts> {
    let stem = &path[..path.len().checked_sub(3)?];
    let beside = |ending: &str| {
        let wanted = format!("{stem}{ending}");
        let exact = folder.files().iter().find(|file| **file == wanted);
        exact.or_else(|| folder.files().iter().find(|file| same(file, &wanted)))
    };
    let mut bytes = |path: &str| match reader.bytes(path) {
        Ok(bytes) => Some(bytes),
        Err(problem) => {
            problems.push(problem);
            None
        }
    };
    let shp = bytes(path)?;
    let dbf = beside("dbf").map(|path| bytes(path));
    // The index is not needed here; read with the others, it goes into the pack, where other programs look for it.
    drop(beside("shx").map(|path| bytes(path)));
    let mut words = |ending| Some(plain(&bytes(beside(ending)?)?));
    let (prj, cpg) = (words("prj"), words("cpg"));
    // A table that is there and can't be read has had its problem.
    let dbf = match dbf {
        Some(None) => return None,
        Some(dbf) => dbf,
        None => None,
    };
    Some(Parts { shp, dbf, prj, cpg })
}

/// The text of a KML, which may be zipped whatever its ending says.
fn kml(path: &str, reader: &Reader<'_>, problems: &mut Vec<Problem>) -> Option<String> {
    let bytes = said(path, reader.bytes(path).map_err(|problem| problem.kind), problems)?;
    let (name, bytes) = match bytes.starts_with(ZIP) {
        true => said(path, Archive::open(bytes, "KMZ").and_then(document), problems)?,
        false => (path.to_owned(), bytes),
    };
    let mut wrong = Vec::new();
    let text = text::decoded(&name, &bytes, &mut wrong);
    problems.extend(wrong.into_iter().map(|problem| Problem::new(problem.kind, Place::file(path))));
    text
}

/// The document of a KMZ: the KML that lies nearest to its top.
fn document(mut archive: Archive) -> Result<(String, Vec<u8>), Kind> {
    let documents = archive.names().iter().filter(|name| ending(name) == "kml" && is_part(name));
    let mut documents: Vec<String> = documents.cloned().collect();
    documents.sort_by_key(|name| name.matches('/').count());
    let Some(name) = documents.first().cloned() else {
        return Err(Reading::Malformed { format: "KMZ", why: "it holds no KML".to_owned() }.into());
    };
    let bytes = archive.part(&name)?;
    // One that only links to the other of two has nothing of its own.
    let links = |bytes: &[u8]| {
        let holds = |word: &[u8]| memchr::memmem::find(bytes, word).is_some();
        holds(b"<NetworkLink") && !holds(b"<Placemark")
    };
    match documents.as_slice() {
        [_, other] if links(&bytes) => archive.part(other).map(|bytes| (other.clone(), bytes)),
        _ => Ok((name, bytes)),
    }
}

/// The shapefile in the zip at `path`.
fn packed(path: &str, reader: &Reader<'_>, problems: &mut Vec<Problem>) -> Option<Parts> {
    let bytes = said(path, reader.bytes(path).map_err(|problem| problem.kind), problems)?;
    said(path, Archive::open(bytes, "zip data").and_then(shapefile), problems)
}

fn shapefile(mut archive: Archive) -> Result<Parts, Kind> {
    let shapes: Vec<String> =
        archive.names().iter().filter(|name| ending(name) == "shp" && is_part(name)).cloned().collect();
    let why = match &shapes[..] {
        [_] => None,
        [] => Some("the zip holds no .shp; of zips only those with a shapefile are read".to_owned()),
        several => Some(format!("the zip holds {}; one layer to a zip", several.join(" and "))),
    };
    if let Some(why) = why {
        return Err(Reading::Malformed { format: "shapefile data", why }.into());
    }
    let name = &shapes[0];
    let stem = &name[..name.len() - 3];
    let shp = archive.part(name)?;
    let mut beside = |ending: &str| match archive.like(&format!("{stem}{ending}")) {
        Some(name) => archive.part(&name).map(Some),
        None => Ok(None),
    };
    let (dbf, prj, cpg) = (beside("dbf")?, beside("prj")?, beside("cpg")?);
    let words = |bytes: Option<Vec<u8>>| bytes.map(|bytes| plain(&bytes));
    Ok(Parts { shp, dbf, prj: words(prj), cpg: words(cpg) })
}

/// What was read, or `None` once its problem is said of the file at `path`.
fn said<T>(path: &str, read: Result<T, Kind>, problems: &mut Vec<Problem>) -> Option<T> {
    read.map_err(|kind| problems.push(Problem::new(kind, Place::file(path)))).ok()
}

/// Whether a part of an archive is one that was packed on purpose: some systems add shadows of every file.
fn is_part(name: &str) -> bool {
    !name.split('/').any(|folder| folder.starts_with('.') || folder == "__MACOSX")
}

/// Short technical text, whatever its encoding: only its ASCII matters.
fn plain(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).trim_start_matches('\u{feff}').to_owned()
}

#[cfg(test)]
impl LayerFile {
    /// A layer of GeoJSON for tests.
    pub(super) fn geojson(path: &str, text: &str) -> LayerFile {
        LayerFile { path: path.to_owned(), grid: None, content: Content::GeoJson(text.to_owned()) }
    }
}
