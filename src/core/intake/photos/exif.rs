//! What a camera wrote into a picture: when and where.

use std::io::Cursor;

use chrono::NaiveDate;
use exif::{In, Reader, Tag, Value};
use geo::Point;

/// When and where a picture was taken, as far as it says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Exif {
    pub(super) day: Option<NaiveDate>,
    pub(super) place: Option<Point<f64>>,
}

impl Exif {
    /// What the picture `bytes` says of itself; nothing where its EXIF is absent or broken.
    pub(super) fn of(bytes: &[u8]) -> Exif {
        let Ok(read) = Reader::new().read_from_container(&mut Cursor::new(bytes)) else {
            return Exif::default();
        };
        Exif { day: day(&read), place: place(&read) }
    }
}

fn day(read: &exif::Exif) -> Option<NaiveDate> {
    let field = read.get_field(Tag::DateTimeOriginal, In::PRIMARY)?;
    let Value::Ascii(texts) = &field.value else { return None };
    let taken = exif::DateTime::from_ascii(texts.first()?).ok()?;
    NaiveDate::from_ymd_opt(i32::from(taken.year), u32::from(taken.month), u32::from(taken.day))
}

fn place(read: &exif::Exif) -> Option<Point<f64>> {
    let latitude = degrees(read, Tag::GPSLatitude, Tag::GPSLatitudeRef, b'S')?;
    let longitude = degrees(read, Tag::GPSLongitude, Tag::GPSLongitudeRef, b'W')?;
    // Cameras without a fix write nought.
    let real = latitude.abs() <= 90.0 && longitude.abs() <= 180.0 && (latitude != 0.0 || longitude != 0.0);
    real.then(|| Point::new(longitude, latitude))
}

/// Degrees, minutes and seconds as degrees, negative on the side that `negative` names.
fn degrees(read: &exif::Exif, tag: Tag, side: Tag, negative: u8) -> Option<f64> {
    let Value::Rational(parts) = &read.get_field(tag, In::PRIMARY)?.value else { return None };
    let part = |at: usize| parts.get(at).map_or(0.0, exif::Rational::to_f64);
    let degrees = part(0) + part(1) / 60.0 + part(2) / 3600.0;
    let Value::Ascii(sides) = &read.get_field(side, In::PRIMARY)?.value else { return None };
    let sign = if sides.first()?.first()?.to_ascii_uppercase() == negative { -1.0 } else { 1.0 };
    degrees.is_finite().then_some(sign * degrees)
}
