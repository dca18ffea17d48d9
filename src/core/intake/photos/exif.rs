//! What a camera wrote into a picture: when, where and looking which way.
//!
//! Real cameras leave out much and get some of it wrong, so what can be read is read and the rest is passed over: a date in any
//! of three tags, in whichever directory it stands; fields of the maker's own; directories that break off.

use std::io::Cursor;

use chrono::{NaiveDate, NaiveDateTime};
use exif::{Context, Field, In, Reader, Tag, Value};
use geo::Point;

/// Tags that say when, the best first: taken, made digital, last written. By number, for some programs write them where they do
/// not belong.
const WHEN: [u16; 3] = [0x9003, 0x9004, 0x0132];

/// When, where and looking which way a picture was taken, as far as it says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Exif {
    /// The camera's own clock.
    pub(super) time: Option<NaiveDateTime>,
    pub(super) place: Option<Point<f64>>,
    /// Degrees clockwise from north, true or magnetic as the camera has it.
    pub(super) bearing: Option<f64>,
}

impl Exif {
    /// What the picture `bytes` says of itself; nothing where its EXIF is absent or broken.
    pub(super) fn of(bytes: &[u8]) -> Exif {
        let mut reader = Reader::new();
        reader.continue_on_error(true);
        let read = match reader.read_from_container(&mut Cursor::new(bytes)) {
            Ok(read) => read,
            Err(exif::Error::PartialResult(part)) => part.into_inner().0,
            Err(_) => return Exif::default(),
        };
        Exif { time: time(&read), place: place(&read), bearing: bearing(&read) }
    }

    /// The day by the camera's clock.
    pub(super) fn day(&self) -> Option<NaiveDate> {
        self.time.map(|time| time.date())
    }
}

fn time(read: &exif::Exif) -> Option<NaiveDateTime> {
    WHEN.into_iter().find_map(|number| {
        let mut fields = read.fields().filter(|field| {
            field.ifd_num == In::PRIMARY
                && field.tag.number() == number
                && matches!(field.tag.context(), Context::Tiff | Context::Exif)
        });
        fields.find_map(|field| moment(&text(field)?))
    })
}

/// A day and a time of day, whatever stands between their numbers.
fn moment(text: &str) -> Option<NaiveDateTime> {
    let mut numbers = text.split(|letter: char| !letter.is_ascii_digit()).filter(|part| !part.is_empty());
    let mut number = |limit: usize| numbers.next().filter(|part| part.len() <= limit)?.parse::<u32>().ok();
    let day = NaiveDate::from_ymd_opt(i32::try_from(number(4)?).ok()?, number(2)?, number(2)?)?;
    let (hour, minute, second) = (number(2).unwrap_or(12), number(2).unwrap_or(0), number(2).unwrap_or(0));
    day.and_hms_opt(hour, minute, second.min(59))
}

fn text(field: &Field) -> Option<String> {
    let Value::Ascii(texts) = &field.value else { return None };
    Some(String::from_utf8_lossy(texts.first()?).into_owned())
}

fn place(read: &exif::Exif) -> Option<Point<f64>> {
    let latitude = degrees(read, Tag::GPSLatitude, Tag::GPSLatitudeRef, 'S')?;
    let longitude = degrees(read, Tag::GPSLongitude, Tag::GPSLongitudeRef, 'W')?;
    // Cameras without a fix write nought.
    let real = latitude.abs() <= 90.0 && longitude.abs() <= 180.0 && (latitude != 0.0 || longitude != 0.0);
    real.then(|| Point::new(longitude, latitude))
}

/// Degrees, minutes and seconds as degrees, negative on the side that `negative` names.
fn degrees(read: &exif::Exif, tag: Tag, side: Tag, negative: char) -> Option<f64> {
    let parts = rationals(&read.get_field(tag, In::PRIMARY)?.value)?;
    let part = |at: usize| parts.get(at).copied().unwrap_or(0.0);
    let degrees = part(0) + part(1) / 60.0 + part(2) / 3600.0;
    let side = text(read.get_field(side, In::PRIMARY)?)?;
    let sign = if side.trim().starts_with([negative, negative.to_ascii_lowercase()]) { -1.0 } else { 1.0 };
    degrees.is_finite().then_some(sign * degrees)
}

fn bearing(read: &exif::Exif) -> Option<f64> {
    let turn = *rationals(&read.get_field(Tag::GPSImgDirection, In::PRIMARY)?.value)?.first()?;
    (0.0..=360.0).contains(&turn).then_some(turn % 360.0)
}

/// Fractions, with or without a sign.
fn rationals(value: &Value) -> Option<Vec<f64>> {
    match value {
        Value::Rational(parts) => Some(parts.iter().map(exif::Rational::to_f64).collect()),
        Value::SRational(parts) => Some(parts.iter().map(exif::SRational::to_f64).collect()),
        Value::Double(parts) => Some(parts.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_read_however_they_are_written() {
        let known = NaiveDate::from_ymd_opt(2025, 3, 1).unwrap().and_hms_opt(11, 45, 0);
        for text in [
            "2025:03:01 11:45:00",
            "2025-03-01T11:45:00",
            "2025/03/01 11:45:00\0",
            "2025:03:01 11:45:00+10:00",
        ] {
            assert_eq!(moment(text), known, "{text}");
        }
        for text in ["", "0000:00:00 00:00:00", "    :  :     :  :  ", "2025:13:01 11:45:00"] {
            assert_eq!(moment(text), None, "{text}");
        }
    }
}
