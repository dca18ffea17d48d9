//! The camera roll: pictures by photo point and day, from wherever they lie under `photos/`, their EXIF and the optional photos
//! table.
//!
//! A folder or the table settles where a picture belongs. What neither settles is placed by the picture's own place and bearing,
//! then by the pictures of the same minutes; the rest are pictures of the work.

mod exif;
mod name;
mod points;
mod taken;

use std::{collections::BTreeMap, collections::BTreeSet};

use chrono::{NaiveDate, NaiveDateTime};
use rayon::prelude::*;

use crate::{
    intake::settings::PhotoRules,
    problem::{Evidence, Place, Problem},
    project::{Area, Claims, Photo, PhotoPoint},
    source::{Input, Row},
};

use points::{Fit, by_place, by_time, nearest_area};
use taken::{Taken, taken};

/// The folder of the pictures.
const FOLDER: &str = "photos/";

/// Metres beyond which a picture is of something else than the site (judgement).
const ELSEWHERE: f64 = 2_000.0;

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
    /// The agreements that it names.
    pub(crate) claims: Claims,
    /// The row of the table.
    pub(crate) source: Row,
}

/// Reads a file of the folder by its path.
pub(crate) type Reader<'a> = &'a (dyn Fn(&str) -> Result<Vec<u8>, Problem> + Sync);

/// What pictures are held against.
#[derive(Clone, Copy)]
pub(crate) struct Site<'a> {
    /// The photo points.
    pub(crate) points: &'a [PhotoPoint],
    /// The planting areas.
    pub(crate) areas: &'a [Area],
    /// How a picture finds its point.
    pub(crate) rules: PhotoRules,
}

/// The pictures among `files`, by point, day and path, with the inputs they were read from. Whatever is no picture, of no known
/// day or of another place is left out and said so.
pub(crate) fn photos(
    files: &[String],
    read: Reader<'_>,
    site: Site<'_>,
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
    let read: Vec<(Option<Taken<'_>>, Vec<Problem>)> = pictures
        .into_par_iter()
        .map(|file| {
            let mut problems = Vec::new();
            let row = table.iter().find(|row| row.file == *file);
            (taken(file, read, site.points, row, &mut problems), problems)
        })
        .collect();
    let mut all = Vec::new();
    for (found, said) in read {
        problems.extend(said);
        all.extend(found);
    }
    let (mut photos, mut inputs) = (Vec::new(), Vec::new());
    for (photo, input) in belonging(all, site, problems) {
        photos.push(photo);
        inputs.push(input);
    }
    photos.sort_by(|a, b| (&a.point, a.date, &a.path).cmp(&(&b.point, b.date, &b.path)));
    twice(&photos, problems);
    let pictured: BTreeSet<&str> = photos.iter().filter_map(|photo| photo.point.as_deref()).collect();
    for point in site.points.iter().filter(|point| !pictured.contains(&*point.id)) {
        let kind = Evidence::PointWithoutPhoto { point: point.id.to_string() };
        problems.push(Problem::new(kind, Place::row(&point.source)));
    }
    (photos, inputs)
}

/// How many pictures were placed in which way.
#[derive(Default)]
struct Placed {
    place: usize,
    time: usize,
    work: usize,
}

/// Each picture with the point or the area that it belongs to.
fn belonging(all: Vec<Taken<'_>>, site: Site<'_>, problems: &mut Vec<Problem>) -> Vec<(Photo, Input)> {
    let Site { points, areas, rules } = site;
    let fits: Vec<Fit<'_>> = all
        .iter()
        .map(|one| one.point.map_or_else(|| by_place(&one.exif, points, rules), Fit::Point))
        .collect();
    let times: Vec<(NaiveDateTime, &PhotoPoint)> = all
        .iter()
        .zip(&fits)
        .filter_map(|(one, fit)| match fit {
            Fit::Point(point) => Some((one.exif.time?, *point)),
            _ => None,
        })
        .collect();
    let mut placed = Placed::default();
    let mut belonging = Vec::with_capacity(all.len());
    for (one, fit) in all.into_iter().zip(fits) {
        let mut says = |kind: Evidence| problems.push(Problem::new(kind, Place::file(&*one.input.path)));
        let point = match fit {
            Fit::Point(point) => {
                placed.place += usize::from(one.point.is_none());
                Some(point)
            }
            Fit::Unplaced => {
                let point = one.exif.time.and_then(|time| by_time(time, &times, rules));
                placed.time += usize::from(point.is_some());
                point
            }
            Fit::Several(first, second) => {
                let (one, other) = (first.id.to_string(), second.id.to_string());
                says(Evidence::PhotoFitsSeveral { one, other });
                None
            }
            Fit::None => None,
        };
        let near = one.exif.place.and_then(|place| nearest_area(place, areas));
        if let Some((_, metres)) =
            near.filter(|(_, metres)| point.is_none() && !one.listed && *metres > ELSEWHERE)
        {
            says(Evidence::PhotoElsewhere { metres });
            continue;
        }
        placed.work += usize::from(point.is_none());
        let within = near.filter(|(_, metres)| point.is_none() && *metres <= rules.within_metres);
        let area = within.and_then(|(at, _)| areas.get(at)).map(|area| area.id.clone());
        belonging.push((one.photo(point, area), one.input));
    }
    if placed.place + placed.time + placed.work > 0 {
        let kind = Evidence::PhotosPlaced {
            place: placed.place,
            time: placed.time,
            work: placed.work,
            metres: rules.within_metres,
            degrees: rules.within_degrees,
            minutes: rules.within_minutes,
        };
        problems.push(Problem::new(kind, Place::file(FOLDER.trim_end_matches('/'))));
    }
    belonging
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
