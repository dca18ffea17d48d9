//! One picture as it was read: its day, what its camera wrote, and the point that its folder or the table names.

use std::{io::Cursor, sync::Arc};

use chrono::NaiveDate;
use image::ImageReader;

use crate::{
    geometry,
    intake::{
        folder::digest,
        limits, nearest,
        photos::{FOLDER, PhotoRow, Reader, exif::Exif, name},
    },
    problem::{Evidence, Place, Problem},
    project::{AreaId, Claims, Photo, PhotoPoint},
    source::Input,
    units,
};

/// Metres between a picture's own position and its photo point that a telephone's receiver does not explain (common
/// practice, no source).
const ASTRAY: f64 = 100.0;

/// Days between a file's name and its camera's clock that a wrong time zone does not explain.
const DAYS: i64 = 2;

/// A picture that can be used.
pub(super) struct Taken<'p> {
    /// Its bytes, by their sum.
    pub(super) input: Input,
    /// The point that its folder or the table names.
    pub(super) point: Option<&'p PhotoPoint>,
    /// Whether the table names it.
    pub(super) listed: bool,
    /// What its camera wrote.
    pub(super) exif: Exif,
    date: NaiveDate,
    caption: Option<String>,
    claims: Claims,
}

impl Taken<'_> {
    /// The picture, from `point` or of the work in `area`.
    pub(super) fn photo(&self, point: Option<&PhotoPoint>, area: Option<AreaId>) -> Photo {
        Photo {
            path: Arc::clone(&self.input.path),
            point: point.map(|point| Arc::clone(&point.id)),
            area,
            date: self.date,
            caption: self.caption.clone(),
            claims: self.claims.clone(),
            sha256: Arc::from(self.input.sha256.as_str()),
        }
    }
}

/// The picture in `file`; `None` where it can't be used, which has then been said.
pub(super) fn taken<'p>(
    file: &str,
    read: Reader<'_>,
    points: &'p [PhotoPoint],
    row: Option<&PhotoRow>,
    problems: &mut Vec<Problem>,
) -> Option<Taken<'p>> {
    let mut says = |kind: Evidence| problems.push(Problem::new(kind, Place::file(file)));
    let point = match named(file, points, row) {
        Ok(point) => point,
        Err(kind) => {
            says(kind);
            return None;
        }
    };
    let bytes = match read(file) {
        Ok(bytes) => bytes,
        Err(problem) => {
            problems.push(problem);
            return None;
        }
    };
    if let Some(kind) = unreadable(&bytes) {
        says(kind);
        return None;
    }
    let exif = Exif::of(&bytes);
    let told = row.and_then(|row| row.date).or_else(|| name::day(file));
    if let (Some(named), Some(taken)) = (told, exif.day())
        && (named - taken).num_days().abs() > DAYS
    {
        says(Evidence::PhotoDateDiffers { named: units::day(named), taken: units::day(taken) });
    }
    if let (Some(place), Some(point)) = (exif.place, point) {
        let metres = geometry::distance(place, point.position).0;
        if metres > ASTRAY {
            says(Evidence::PhotoFarAway { point: point.id.to_string(), metres });
        }
    }
    let Some(date) = told.or(exif.day()).or_else(|| name::day_within(file)) else {
        says(Evidence::PhotoWithoutDate);
        return None;
    };
    let caption = row.and_then(|row| row.caption.clone());
    let claims = row.map(|row| row.claims.clone()).unwrap_or_default();
    Some(Taken { input: digest(file, &bytes), point, listed: row.is_some(), exif, date, caption, claims })
}

/// The point that the table or a folder names; none where neither does.
///
/// # Errors
/// A name that is no point's stands where only a point's can: in the table, in a folder that is called almost as one, or as the
/// one folder of a picture that is called by its day.
fn named<'p>(
    file: &str,
    points: &'p [PhotoPoint],
    row: Option<&PhotoRow>,
) -> Result<Option<&'p PhotoPoint>, Evidence> {
    let called = |name: &str| points.iter().find(|point| nearest::same(&point.id, name));
    let unknown = |found: &str| Evidence::PhotoWithoutPoint {
        found: found.to_owned(),
        nearest: nearest::nearest(found, points.iter().map(|point| &*point.id)),
    };
    if let Some(found) = row.and_then(|row| row.point.as_deref()) {
        return called(found).map(Some).ok_or_else(|| unknown(found));
    }
    let folders: Vec<&str> =
        file.strip_prefix(FOLDER).map(|below| name::folders(below).collect()).unwrap_or_default();
    if let Some(point) = folders.iter().find_map(|folder| called(folder)) {
        return Ok(Some(point));
    }
    let near = |folder: &&&str| nearest::nearest(folder, points.iter().map(|point| &*point.id)).is_some();
    let by_the_rule = folders.len() == 1 && name::day(file).is_some() && row.is_none();
    match folders.iter().find(near).or(folders.first().filter(|_| by_the_rule)) {
        Some(folder) => Err(unknown(folder)),
        None => Ok(None),
    }
}

/// What keeps a picture from being decoded, as far as its first bytes tell.
fn unreadable(bytes: &[u8]) -> Option<Evidence> {
    let why = |why: String| Some(Evidence::PictureUnreadable { why });
    let (width, height) = if is_heif(bytes) {
        match heic_decoder::probe(bytes) {
            Ok(info) => {
                let side = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
                (side(info.width), side(info.height))
            }
            Err(error) => return why(format!("HEIF: {error}")),
        }
    } else {
        let size =
            ImageReader::new(Cursor::new(bytes)).with_guessed_format().map(ImageReader::into_dimensions);
        match size {
            Ok(Ok(size)) => size,
            Ok(Err(error)) => return why(error.to_string()),
            Err(error) => return why(error.to_string()),
        }
    };
    (width > limits::PIXELS || height > limits::PIXELS).then_some(Evidence::PictureTooBig { width, height })
}

/// Whether the bytes begin as a picture of the family that telephones write (ISO/IEC 23008-12).
fn is_heif(bytes: &[u8]) -> bool {
    const BRANDS: [&[u8]; 8] = [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"];
    bytes.get(4..8) == Some(b"ftyp") && bytes.get(8..12).is_some_and(|brand| BRANDS.contains(&brand))
}
