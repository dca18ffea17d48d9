//! A JPEG with the few EXIF fields that a camera writes and a report reads.

use image::{ExtendedColorType, RgbImage, codecs::jpeg::JpegEncoder, imageops};

/// What the camera knew.
pub(crate) struct Shot<'a> {
    /// `2025-07-22 09:14:00`.
    pub(crate) taken: &'a str,
    /// Longitude and latitude, degrees.
    pub(crate) position: Option<(f64, f64)>,
    /// Whether the camera was held upright and stored the picture lying down (orientation 6).
    pub(crate) on_its_side: bool,
}

/// The picture as a JPEG file.
pub(crate) fn jpeg(picture: &RgbImage, shot: &Shot) -> Vec<u8> {
    let stored = if shot.on_its_side { imageops::rotate270(picture) } else { picture.clone() };
    let mut plain = Vec::new();
    let (width, height) = stored.dimensions();
    JpegEncoder::new_with_quality(&mut plain, 70)
        .encode(stored.as_raw(), width, height, ExtendedColorType::Rgb8)
        .unwrap();
    let tiff = tiff(shot);
    let mut file = plain[..2].to_vec();
    file.extend([0xff, 0xe1]);
    file.extend((tiff.len() as u16 + 8).to_be_bytes());
    file.extend(b"Exif\0\0");
    file.extend(tiff);
    file.extend(&plain[2..]);
    file
}

const SHORT: u16 = 3;
const LONG: u16 = 4;
const ASCII: u16 = 2;
const BYTE: u16 = 1;
const RATIONAL: u16 = 5;

struct Field {
    tag: u16,
    kind: u16,
    count: u32,
    value: Vec<u8>,
}

fn field(tag: u16, kind: u16, count: usize, value: Vec<u8>) -> Field {
    Field { tag, kind, count: count as u32, value }
}

/// The TIFF block of EXIF 2.32 (little-endian): orientation, day and time, position.
fn tiff(shot: &Shot) -> Vec<u8> {
    let orientation: u16 = if shot.on_its_side { 6 } else { 1 };
    let pointer = |tag, to: usize| field(tag, LONG, 1, (to as u32).to_le_bytes().to_vec());
    let first = |exif: usize, gps: usize| {
        let mut fields =
            vec![field(0x0112, SHORT, 1, orientation.to_le_bytes().to_vec()), pointer(0x8769, exif)];
        fields.extend(shot.position.map(|_| pointer(0x8825, gps)));
        fields
    };
    let taken = format!("{}\0", shot.taken.replace('-', ":"));
    let exif = vec![field(0x9003, ASCII, taken.len(), taken.into_bytes())];
    let gps = shot.position.map(place).unwrap_or_default();
    let exif_at = 8 + directory(&first(0, 0), 0).len();
    let gps_at = exif_at + directory(&exif, 0).len();
    let mut block = b"II\x2a\0\x08\0\0\0".to_vec();
    block.extend(directory(&first(exif_at, gps_at), 8));
    block.extend(directory(&exif, exif_at));
    if shot.position.is_some() {
        block.extend(directory(&gps, gps_at));
    }
    block
}

fn place((longitude, latitude): (f64, f64)) -> Vec<Field> {
    let letter = |positive: bool, letters: [u8; 2]| vec![letters[usize::from(!positive)], 0];
    vec![
        field(0, BYTE, 4, vec![2, 3, 0, 0]),
        field(1, ASCII, 2, letter(latitude >= 0.0, *b"NS")),
        field(2, RATIONAL, 3, sexagesimal(latitude)),
        field(3, ASCII, 2, letter(longitude >= 0.0, *b"EW")),
        field(4, RATIONAL, 3, sexagesimal(longitude)),
    ]
}

/// Degrees, minutes and hundredths of a second, each over its denominator.
fn sexagesimal(degrees: f64) -> Vec<u8> {
    let hundredths = (degrees.abs() * 360_000.0).round() as u32;
    let parts = [hundredths / 360_000, 1, hundredths / 6_000 % 60, 1, hundredths % 6_000, 100];
    parts.iter().flat_map(|part| part.to_le_bytes()).collect()
}

/// One directory of fields that begins at `start`; values over four bytes stand behind it.
fn directory(fields: &[Field], start: usize) -> Vec<u8> {
    let mut head = (fields.len() as u16).to_le_bytes().to_vec();
    let mut behind: Vec<u8> = Vec::new();
    let behind_at = start + 2 + 12 * fields.len() + 4;
    for Field { tag, kind, count, value } in fields {
        head.extend(tag.to_le_bytes());
        head.extend(kind.to_le_bytes());
        head.extend(count.to_le_bytes());
        if value.len() <= 4 {
            let mut padded = value.clone();
            padded.resize(4, 0);
            head.extend(padded);
        } else {
            head.extend(((behind_at + behind.len()) as u32).to_le_bytes());
            behind.extend(value);
            if behind.len() % 2 == 1 {
                behind.push(0);
            }
        }
    }
    head.extend([0; 4]);
    head.extend(behind);
    head
}
