//! Photo points, and the earliest and latest picture of each side by side.

use bytes::Bytes;
use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::typeset::{
    PrintPicture, ReportInputs,
    data::{
        printed::{self, Printed},
        work_photos,
    },
};
use hillfolio_core::{
    ledger::catalogue,
    project::{Photo, PhotoPoint, Project},
};

/// Days of the year by which two pictures may differ before the season makes them hard to compare.
const SEASON_APART: u32 = 60;

/// So many pairs are shown large.
const LARGE: usize = 24;

/// Longest side of a large picture in pixels: half a text page wide at 300 dots an inch.
const LARGE_PIXELS: u32 = 1_000;

/// The same of a small one, a sixth of a page wide.
const SMALL_PIXELS: u32 = 260;

/// The same of a picture of the work, a third of a page wide.
const WORK_PIXELS: u32 = 520;

/// Width over height of the frame that a picture is set in: half a page wide, 56 mm high.
const FRAME: f64 = 1.38;

/// The photo chapter.
#[derive(Serialize)]
pub(crate) struct PhotoPoints {
    points: Vec<PointRow>,
    pairs: Vec<Pair>,
    /// Those beyond the first [`LARGE`], which stand small.
    further_pairs: Vec<Pair>,
    count: Printed,
    paired: Printed,
}

/// One photo point.
#[derive(Serialize)]
struct PointRow {
    id: String,
    area: String,
    position: String,
    bearing: String,
    about: String,
    pictures: usize,
    first: String,
    last: String,
}

/// The earliest and the latest picture of a point; a point with one picture shows that one.
#[derive(Serialize)]
struct Pair {
    point: String,
    about: String,
    bearing: String,
    before: Shot,
    after: Option<Shot>,
    interval: Option<String>,
    /// Whether the two were taken at different times of the year.
    seasons_differ: bool,
}

/// One picture with its caption.
#[derive(Serialize)]
struct Shot {
    image: String,
    date: String,
    caption: Option<String>,
    alt: String,
    /// Whether it fills the column before it fills the frame's height.
    wide: bool,
}

impl PhotoPoints {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> PhotoPoints {
        let points = &inputs.project.photo_points;
        let mut pairs: Vec<Pair> = points.iter().filter_map(|point| pair(inputs, point)).collect();
        PhotoPoints {
            points: points.iter().map(|point| point_row(inputs, point)).collect(),
            further_pairs: pairs.split_off(LARGE.min(pairs.len())),
            pairs,
            count: Printed::of(inputs.ledger, &catalogue::PHOTO_POINTS.whole()),
            paired: Printed::of(inputs.ledger, &catalogue::PHOTO_PAIRS.whole()),
        }
    }
}

/// The photos that are placed, the earliest and the latest of each point up to the period's end, with the pixels of their longest
/// side in print.
pub(crate) fn placed(project: &Project) -> Vec<(&Photo, u32)> {
    let pairs =
        project.photo_points.iter().map(|point| taken(project, point)).filter(|taken| !taken.is_empty());
    let ends = pairs.enumerate().flat_map(|(at, taken)| {
        let pixels = if at < LARGE { LARGE_PIXELS } else { SMALL_PIXELS };
        [taken.first().copied(), taken.last().copied()].map(|photo| Some((photo?, pixels)))
    });
    let mut placed: Vec<(&Photo, u32)> = ends.flatten().collect();
    placed.dedup_by(|(a, _), (b, _)| a.path == b.path);
    placed.extend(work_photos::shown(project).map(|photo| (photo, WORK_PIXELS)));
    placed
}

/// Photos of `point` up to the period's end, in order of day.
fn taken<'a>(project: &'a Project, point: &PhotoPoint) -> Vec<&'a Photo> {
    let end = project.period.to;
    let mut taken: Vec<&Photo> = project
        .photos
        .iter()
        .filter(|photo| photo.point.as_ref() == Some(&point.id) && photo.date <= end)
        .collect();
    taken.sort_by(|a, b| (a.date, &a.path).cmp(&(b.date, &b.path)));
    taken
}

/// The bytes of every picture that is placed.
pub(crate) fn images(inputs: &ReportInputs<'_>) -> Vec<(String, Bytes)> {
    let points = inputs.project.photo_points.iter();
    let ends = points.flat_map(|point| {
        let shown = shown(inputs, point);
        [shown.first().copied(), shown.last().copied()]
    });
    let of_points = ends.flatten().map(|(_, picture)| picture);
    let of_work = work_photos::shown(inputs.project).filter_map(|photo| picture(inputs, photo));
    let mut images: Vec<(String, Bytes)> =
        of_points.chain(of_work).map(|picture| (key(picture), picture.jpeg.clone())).collect();
    images.sort_by(|a, b| a.0.cmp(&b.0));
    images.dedup_by(|a, b| a.0 == b.0);
    images
}

/// Photos of `point` up to the period's end that could be shrunk, in order of day.
fn shown<'a>(inputs: &ReportInputs<'a>, point: &PhotoPoint) -> Vec<(&'a Photo, &'a PrintPicture)> {
    let taken = taken(inputs.project, point).into_iter();
    taken.filter_map(|photo| Some((photo, picture(inputs, photo)?))).collect()
}

/// The picture of a photo that could be shrunk.
pub(crate) fn picture<'a>(inputs: &ReportInputs<'a>, photo: &Photo) -> Option<&'a PrintPicture> {
    inputs.pictures.iter().find(|picture| picture.path == photo.path)
}

/// What templates ask for a picture by. Text in the tree is cleaned for paper, so a path as it stands could come out as another.
pub(crate) fn key(picture: &PrintPicture) -> String {
    picture.path.bytes().fold("photo ".to_owned(), |key, byte| key + &format!("{byte:02x}"))
}

fn point_row(inputs: &ReportInputs<'_>, point: &PhotoPoint) -> PointRow {
    let taken = taken(inputs.project, point);
    let day = |photo: Option<&&Photo>| photo.map(|photo| printed::short_day(photo.date)).unwrap_or_default();
    PointRow {
        id: point.id.to_string(),
        area: point.area.as_ref().map(ToString::to_string).unwrap_or_default(),
        position: format!(
            "{}, {}",
            degrees(point.position.y(), 'N', 'S'),
            degrees(point.position.x(), 'E', 'W')
        ),
        bearing: bearing(point),
        about: point.about.clone().unwrap_or_default(),
        pictures: taken.len(),
        first: day(taken.first()),
        last: day(taken.last().filter(|_| taken.len() > 1)),
    }
}

/// Five decimals of a degree are a metre: finer than the phone that took the position.
pub(crate) fn degrees(value: f64, positive: char, negative: char) -> String {
    const DECIMALS: usize = 5;
    let side = if value < 0.0 { negative } else { positive };
    format!("{:.DECIMALS$}°\u{a0}{side}", value.abs())
}

fn bearing(point: &PhotoPoint) -> String {
    format!("{:03.0}°", point.bearing.0)
}

fn pair(inputs: &ReportInputs<'_>, point: &PhotoPoint) -> Option<Pair> {
    let shown = shown(inputs, point);
    let (first, last) = (shown.first()?, shown.last()?);
    let after = (first.0.date < last.0.date).then_some(last);
    Some(Pair {
        point: point.id.to_string(),
        about: point.about.clone().unwrap_or_default(),
        bearing: bearing(point),
        before: shot(point, first),
        after: after.map(|last| shot(point, last)),
        interval: after.map(|last| apart(first.0.date, last.0.date)),
        seasons_differ: after.is_some_and(|last| season_apart(first.0.date, last.0.date) > SEASON_APART),
    })
}

fn shot(point: &PhotoPoint, (photo, picture): &(&Photo, &PrintPicture)) -> Shot {
    let date = printed::day(photo.date);
    let shows = photo.caption.as_ref().or(point.about.as_ref()).map(|about| format!(": {about}"));
    Shot {
        image: key(picture),
        alt: format!("Photo from point {} on {date}{}", point.id, shows.unwrap_or_default()),
        date,
        caption: photo.caption.clone(),
        wide: f64::from(picture.width) > FRAME * f64::from(picture.height),
    }
}

/// How far two days lie apart, in whole months, in days under two months.
fn apart(first: NaiveDate, last: NaiveDate) -> String {
    let months =
        i64::from(last.year() - first.year()) * 12 + i64::from(last.month()) - i64::from(first.month());
    let months = if last.day() < first.day() { months - 1 } else { months };
    let (years, rest) = (months / 12, months % 12);
    let several = |count: i64, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    match (years, rest) {
        (0, 0 | 1) => several((last - first).num_days(), "day"),
        (0, rest) => several(rest, "month"),
        (years, 0) => several(years, "year"),
        (years, rest) => format!("{} {}", several(years, "year"), several(rest, "month")),
    }
}

/// Days between the two as days of one leap year, by the shorter way round.
fn season_apart(first: NaiveDate, last: NaiveDate) -> u32 {
    const YEAR: u32 = 366;
    const LEAP: i32 = 2024;
    let of_year = |day: NaiveDate| day.with_year(LEAP).map_or_else(|| day.ordinal(), |day| day.ordinal());
    let apart = of_year(first).abs_diff(of_year(last));
    apart.min(YEAR - apart)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default()
    }

    #[test]
    fn the_time_between_two_pictures_is_said_in_whole_months() {
        assert_eq!(apart(day(2025, 8, 20), day(2026, 8, 20)), "1 year");
        assert_eq!(apart(day(2025, 8, 20), day(2026, 8, 19)), "11 months");
        assert_eq!(apart(day(2023, 1, 31), day(2026, 6, 30)), "3 years 4 months");
        assert_eq!(apart(day(2026, 6, 1), day(2026, 6, 2)), "1 day");
    }

    #[test]
    fn seasons_are_compared_across_the_new_year() {
        assert_eq!(season_apart(day(2024, 12, 20), day(2026, 1, 10)), 21);
        assert!(season_apart(day(2025, 1, 15), day(2026, 6, 15)) > SEASON_APART);
        assert_eq!(season_apart(day(2024, 12, 31), day(2025, 12, 31)), 0);
    }

    #[test]
    fn positions_bear_their_side() {
        assert_eq!(degrees(-36.000_12, 'N', 'S'), "36.00012°\u{a0}S");
    }
}
