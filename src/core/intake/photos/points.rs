//! Which photo point a picture was taken from: by its folder, by its own place and bearing, by the pictures before and after it.

use chrono::NaiveDateTime;
use geo::Point;

use crate::{
    geometry,
    intake::{photos::exif::Exif, settings::PhotoRules},
    project::PhotoPoint,
};

/// Where a picture belongs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fit<'p> {
    /// To this point.
    Point(&'p PhotoPoint),
    /// To one of these: it can't be told which.
    Several(&'p PhotoPoint, &'p PhotoPoint),
    /// To none by its place.
    None,
    /// It says no place.
    Unplaced,
}

/// The point that `exif` fits: within the distance, and looking the same way where the camera says which way it looked.
pub(super) fn by_place<'p>(exif: &Exif, points: &'p [PhotoPoint], rules: PhotoRules) -> Fit<'p> {
    let Some(place) = exif.place else { return Fit::Unplaced };
    let near = |point: &&PhotoPoint| geometry::distance(place, point.position).0 <= rules.within_metres;
    let looks = |point: &&PhotoPoint| {
        exif.bearing.is_none_or(|bearing| turned(bearing, point.bearing.0) <= rules.within_degrees)
    };
    let mut fitting = points.iter().filter(near).filter(looks);
    match (fitting.next(), fitting.next()) {
        (Some(one), Some(other)) => Fit::Several(one, other),
        (Some(one), None) => Fit::Point(one),
        (None, _) => Fit::None,
    }
}

/// Degrees between two bearings, by the shorter way round.
fn turned(one: f64, other: f64) -> f64 {
    let apart = (one - other).rem_euclid(360.0);
    apart.min(360.0 - apart)
}

/// The point of the pictures that were `taken` within some minutes of `time`, if they are all of one.
pub(super) fn by_time<'p>(
    time: NaiveDateTime,
    taken: &[(NaiveDateTime, &'p PhotoPoint)],
    rules: PhotoRules,
) -> Option<&'p PhotoPoint> {
    #[allow(clippy::cast_precision_loss, reason = "seconds between two pictures")]
    let near =
        |other: NaiveDateTime| ((time - other).num_seconds().abs() as f64) <= rules.within_minutes * 60.0;
    let mut points = taken.iter().filter(|(other, _)| near(*other)).map(|(_, point)| *point);
    let first = points.next()?;
    points.all(|point| point.id == first.id).then_some(first)
}

/// Metres from a position to the nearest of `shapes`, with the place of that in their order.
pub(super) fn nearest_area(position: Point<f64>, areas: &[crate::project::Area]) -> Option<(usize, f64)> {
    use geo::{Closest, ClosestPoint as _, Contains as _};
    let metres = |area: &crate::project::Area| {
        if area.boundary.contains(&position) {
            return 0.0;
        }
        match area.boundary.closest_point(&position) {
            Closest::Intersection(at) | Closest::SinglePoint(at) => geometry::distance(position, at).0,
            Closest::Indeterminate => f64::INFINITY,
        }
    };
    let all = areas.iter().enumerate().map(|(at, area)| (at, metres(area)));
    all.min_by(|one, other| one.1.total_cmp(&other.1)).filter(|(_, metres)| metres.is_finite())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use chrono::NaiveDate;

    use super::*;
    use crate::{source::Row, units::Degrees};

    fn point(id: &str, longitude: f64, bearing: f64) -> PhotoPoint {
        let source = Row { file: Arc::from("photopoints.csv"), row: 2 };
        let position = Point::new(longitude, -36.0);
        PhotoPoint { id: id.into(), position, bearing: Degrees(bearing), area: None, about: None, source }
    }

    #[test]
    fn a_picture_goes_to_the_one_point_that_it_fits() {
        // Some nine metres apart; the first looks north.
        let points = [point("P1", 148.0, 350.0), point("P2", 148.0001, 170.0)];
        let fit = |longitude: f64, bearing: Option<f64>| {
            let exif = Exif { time: None, place: Some(Point::new(longitude, -36.0)), bearing };
            by_place(&exif, &points, PhotoRules::default())
        };
        assert_eq!(fit(148.0, Some(5.0)), Fit::Point(&points[0]));
        assert_eq!(fit(148.0, Some(180.0)), Fit::Point(&points[1]));
        assert_eq!(fit(148.0, None), Fit::Several(&points[0], &points[1]));
        assert_eq!(fit(148.0, Some(90.0)), Fit::None);
        assert_eq!(fit(148.01, None), Fit::None);
        assert_eq!(by_place(&Exif::default(), &points, PhotoRules::default()), Fit::Unplaced);
    }

    #[test]
    fn a_picture_without_a_place_goes_with_those_of_its_minutes() {
        let points = [point("P1", 148.0, 350.0), point("P2", 148.01, 170.0)];
        let at =
            |minute: u32| NaiveDate::from_ymd_opt(2025, 9, 1).unwrap().and_hms_opt(10, minute, 0).unwrap();
        let taken = [(at(0), &points[0]), (at(20), &points[1])];
        let of = |minute| by_time(at(minute), &taken, PhotoRules::default()).map(|point| &*point.id);
        assert_eq!([of(3), of(19), of(10)], [Some("P1"), Some("P2"), None]);
        let close = [(at(0), &points[0]), (at(4), &points[1])];
        assert_eq!(by_time(at(2), &close, PhotoRules::default()), None, "it could be either");
    }
}
