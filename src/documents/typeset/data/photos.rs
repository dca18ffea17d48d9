//! Photo points, and the earliest and latest picture of each side by side.

use bytes::Bytes;
use chrono::{Datelike, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    PrintPicture, ReportInputs,
    data::{
        narrative,
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

/// Days by which two pictures of one season must lie apart to be preferred.
const LONG_APART: i64 = 300;

/// So many visits to a point are shown in its strip.
const MOST_OF_A_STRIP: usize = 8;

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
#[derive(Serialize, JsonSchema)]
pub(crate) struct PhotoPoints {
    points: Vec<PointRow>,
    pairs: Vec<Pair>,
    /// Those beyond the first [`LARGE`], which stand small.
    further_pairs: Vec<Pair>,
    count: Printed,
    paired: Printed,
}

/// One photo point.
#[derive(Serialize, JsonSchema)]
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
#[derive(Serialize, JsonSchema)]
struct Pair {
    point: String,
    about: String,
    bearing: String,
    before: Shot,
    after: Option<Shot>,
    /// Every visit, the first [`MOST_OF_A_STRIP`] spread over the time, where there are more than two.
    strip: Vec<Shot>,
    /// Visits that the strip leaves out.
    strip_lacks: usize,
    interval: Option<String>,
    /// Days between the two.
    #[serde(skip)]
    days: i64,
    /// Whether the two were taken at different times of the year.
    seasons_differ: bool,
}

/// One picture with its caption.
#[derive(Serialize, JsonSchema)]
struct Shot {
    image: String,
    date: String,
    /// The same, short.
    short_date: String,
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

impl PhotoPoints {
    /// The pair that tells most at a glance: of one season rather than of two, then the longest apart.
    pub(crate) fn telling(&self) -> Option<usize> {
        let apart = self.pairs.iter().enumerate().filter(|(_, pair)| pair.after.is_some());
        apart
            .max_by_key(|(at, pair)| (!pair.seasons_differ, pair.days, std::cmp::Reverse(*at)))
            .map(|(at, _)| at)
    }
}

/// The photos that are placed, the earliest, a later and every visit of each point up to the period's end, with the pixels of their longest
/// side in print.
pub(crate) fn placed(project: &Project) -> Vec<(&Photo, u32)> {
    let pairs =
        project.photo_points.iter().map(|point| taken(project, point)).filter(|taken| !taken.is_empty());
    let shown = pairs.enumerate().flat_map(|(at, taken)| {
        let pixels = if at < LARGE { LARGE_PIXELS } else { SMALL_PIXELS };
        let days: Vec<NaiveDate> = taken.iter().map(|photo| photo.date).collect();
        let later = later(&days);
        let strip = if at < LARGE { strip(taken.len(), later) } else { Vec::new() };
        let size = |place: usize| if place == 0 || place == later { pixels } else { SMALL_PIXELS };
        let mut places: Vec<usize> = [0, later].into_iter().chain(strip).collect();
        places.sort_unstable();
        places.dedup();
        places.into_iter().filter_map(|place| Some((*taken.get(place)?, size(place)))).collect::<Vec<_>>()
    });
    let mut placed: Vec<(&Photo, u32)> = shown.collect();
    placed.dedup_by(|(a, _), (b, _)| a.path == b.path);
    let of_work = work_photos::shown(project).map(|photo| (photo, WORK_PIXELS));
    for (photo, pixels) in of_work.chain(narrative::pictured(project).map(|photo| (photo, LARGE_PIXELS))) {
        match placed.iter_mut().find(|(placed, _)| placed.path == photo.path) {
            Some((_, most)) => *most = pixels.max(*most),
            None => placed.push((photo, pixels)),
        }
    }
    placed
}

/// The picture that is held against the first of `days`: the latest of the same season where it lies long after, else the latest.
fn later(days: &[NaiveDate]) -> usize {
    let last = days.len().saturating_sub(1);
    let Some(first) = days.first() else { return last };
    let alike = |day: &NaiveDate| {
        season_apart(*first, *day) <= SEASON_APART && (*day - *first).num_days() >= LONG_APART
    };
    days.iter().rposition(alike).unwrap_or(last)
}

/// The places of the pictures in a strip of `count`, with the one held against the first; none where there are but two.
fn strip(count: usize, later: usize) -> Vec<usize> {
    if count <= 2 {
        return Vec::new();
    }
    if count <= MOST_OF_A_STRIP {
        return (0..count).collect();
    }
    let mut places: Vec<usize> =
        (0..MOST_OF_A_STRIP).map(|at| at * (count - 1) / (MOST_OF_A_STRIP - 1)).collect();
    if !places.contains(&later) {
        // It takes the place of its neighbour.
        let near = (1..places.len() - 1).min_by_key(|at| places[*at].abs_diff(later)).unwrap_or(1);
        places[near] = later;
    }
    places
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
    let of_points = points.flat_map(|point| shown(inputs, point)).map(|(_, picture)| picture);
    let others = work_photos::shown(inputs.project).chain(narrative::pictured(inputs.project));
    let of_work = others.filter_map(|photo| picture(inputs, photo));
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
    let days: Vec<NaiveDate> = shown.iter().map(|(photo, _)| photo.date).collect();
    let later = later(&days);
    let (first, last) = (shown.first()?, shown.get(later)?);
    let strip = strip(shown.len(), later);
    let after = (first.0.date < last.0.date).then_some(last);
    Some(Pair {
        point: point.id.to_string(),
        about: point.about.clone().unwrap_or_default(),
        bearing: bearing(point),
        before: shot(point, first),
        after: after.map(|last| shot(point, last)),
        strip_lacks: if strip.is_empty() { 0 } else { shown.len() - strip.len() },
        strip: strip.into_iter().filter_map(|place| Some(shot(point, shown.get(place)?))).collect(),
        days: after.map_or(0, |last| (last.0.date - first.0.date).num_days()),
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
        short_date: printed::short_day(photo.date),
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
