//! The camera roll: pictures by photo point and day, from `photos/POINT/DAY…`, their EXIF and the optional photos table.

mod exif;
mod name;

use std::{
    collections::{BTreeMap, BTreeSet},
    io::Cursor,
    sync::Arc,
};

use chrono::NaiveDate;
use image::ImageReader;
use rayon::prelude::*;

use crate::{
    geometry,
    intake::{folder::digest, limits, nearest},
    problem::{Evidence, Place, Problem},
    project::{Photo, PhotoPoint},
    source::{Input, Row},
    units,
};

use exif::Exif;

/// The folder of the pictures.
const FOLDER: &str = "photos/";

/// Metres between a picture's own position and its photo point that a telephone's receiver does not explain (common
/// practice, no source).
const ASTRAY: f64 = 100.0;

/// Days between a file's name and its camera's clock that a wrong time zone does not explain.
const DAYS: i64 = 2;

/// One row of the photos table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PhotoRow {
    /// The picture's path in the folder.
    pub(crate) file: String,
    /// The point it was taken from.
    pub(crate) point: Option<String>,
    /// The day.
    pub(crate) date: Option<NaiveDate>,
    /// What it shows.
    pub(crate) caption: Option<String>,
    /// The row of the table.
    pub(crate) source: Row,
}

/// A picture with its input, if it can be used, and what is wrong with it.
type Outcome = (Option<(Photo, Input)>, Vec<Problem>);

/// Reads a file of the folder by its path.
pub(crate) type Reader<'a> = &'a (dyn Fn(&str) -> Result<Vec<u8>, Problem> + Sync);

/// The pictures among `files`, by point, day and path, with the inputs they were read from. Whatever is no picture, of no
/// known point or of no known day is left out and said so.
pub(crate) fn photos(
    files: &[String],
    read: Reader<'_>,
    points: &[PhotoPoint],
    table: &[PhotoRow],
    problems: &mut Vec<Problem>,
) -> (Vec<Photo>, Vec<Input>) {
    let listed: BTreeSet<&str> = table.iter().map(|row| row.file.as_str()).collect();
    for row in table.iter().filter(|row| !files.contains(&row.file)) {
        let kind = Evidence::FileAbsent { what: "photo", name: row.file.clone() };
        problems.push(Problem::new(kind, Place::row(&row.source).column("file")));
    }
    for file in files.iter().filter(|file| file.starts_with(FOLDER)) {
        if let Some(ending) = name::other_picture(file) {
            problems.push(Problem::new(Evidence::PictureFormat { ending }, Place::file(file.as_str())));
        }
    }
    let pictures = files.iter().filter(|file| {
        name::is_picture(file) && (file.starts_with(FOLDER) || listed.contains(file.as_str()))
    });
    let pictures: Vec<&String> = pictures.collect();
    let outcomes: Vec<Outcome> = pictures
        .into_par_iter()
        .map(|file| {
            let mut problems = Vec::new();
            let row = table.iter().find(|row| row.file == *file);
            (photo(file, read, points, row, &mut problems), problems)
        })
        .collect();
    let (mut photos, mut inputs) = (Vec::new(), Vec::new());
    for (found, said) in outcomes {
        problems.extend(said);
        if let Some((photo, input)) = found {
            photos.push(photo);
            inputs.push(input);
        }
    }
    photos.sort_by(|a, b| (&a.point, a.date, &a.path).cmp(&(&b.point, b.date, &b.path)));
    twice(&photos, problems);
    for point in points.iter().filter(|point| !photos.iter().any(|photo| photo.point == point.id)) {
        let kind = Evidence::PointWithoutPhoto { point: point.id.to_string() };
        problems.push(Problem::new(kind, Place::row(&point.source)));
    }
    (photos, inputs)
}

fn photo(
    file: &str,
    read: Reader<'_>,
    points: &[PhotoPoint],
    row: Option<&PhotoRow>,
    problems: &mut Vec<Problem>,
) -> Option<(Photo, Input)> {
    let mut says = |kind: Evidence| problems.push(Problem::new(kind, Place::file(file)));
    let below = file.strip_prefix(FOLDER);
    let Some(named) = row.and_then(|row| row.point.as_deref()).or_else(|| name::point(below?)) else {
        says(Evidence::PhotoUnplaced);
        return None;
    };
    let Some(point) = points.iter().find(|point| nearest::same(&point.id, named)) else {
        let nearest = nearest::nearest(named, points.iter().map(|point| &*point.id));
        says(Evidence::PhotoWithoutPoint { found: named.to_owned(), nearest });
        return None;
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
    if let (Some(named), Some(taken)) = (told, exif.day)
        && (named - taken).num_days().abs() > DAYS
    {
        says(Evidence::PhotoDateDiffers { named: units::day(named), taken: units::day(taken) });
    }
    if let Some(place) = exif.place {
        let metres = geometry::distance(place, point.position).0;
        if metres > ASTRAY {
            says(Evidence::PhotoFarAway { point: point.id.to_string(), metres });
        }
    }
    let Some(date) = told.or(exif.day) else {
        says(Evidence::PhotoWithoutDate);
        return None;
    };
    let input = digest(file, &bytes);
    let photo = Photo {
        path: Arc::clone(&input.path),
        point: Arc::clone(&point.id),
        date,
        caption: row.and_then(|row| row.caption.clone()),
        sha256: Arc::from(input.sha256.as_str()),
    };
    Some((photo, input))
}

/// Doubts pictures that are there under an earlier name, in order of path.
fn twice(photos: &[Photo], problems: &mut Vec<Problem>) {
    let mut paths: Vec<&Photo> = photos.iter().collect();
    paths.sort_by(|a, b| a.path.cmp(&b.path));
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    for photo in paths {
        match first.get(&*photo.sha256) {
            Some(first) => {
                let kind = Evidence::PhotoTwice { first: (*first).to_owned() };
                problems.push(Problem::new(kind, Place::file(&*photo.path)));
            }
            None => drop(first.insert(&photo.sha256, &photo.path)),
        }
    }
}

/// What keeps a picture from being decoded, as far as its first bytes tell.
fn unreadable(bytes: &[u8]) -> Option<Evidence> {
    let size = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map(ImageReader::into_dimensions);
    match size {
        Ok(Ok((width, height))) if width > limits::PIXELS || height > limits::PIXELS => {
            Some(Evidence::PictureTooBig { width, height })
        }
        Ok(Ok(_)) => None,
        Ok(Err(why)) => Some(Evidence::PictureUnreadable { why: why.to_string() }),
        Err(why) => Some(Evidence::PictureUnreadable { why: why.to_string() }),
    }
}
