//! The shapes of a shapefile: `.shp`. Heights and measures are passed over.
//!
//! Read here and not by the crate that writes the exports, because the counts in a file that somebody sends may lie: each is
//! held against the bytes that are there before anything is made of it.
//!
//! # Reference
//! ESRI (1998), *ESRI Shapefile Technical Description*.

use geo::LineString;

use crate::problem::Ground;

/// Length of the header, in bytes.
const HEADER: usize = 100;

/// The number that every `.shp` begins with.
const FILE_CODE: i32 = 9994;

/// A shape as its record has it, in the layer's own coordinates.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Raw {
    /// No shape.
    Null,
    /// One or more points.
    Points(Vec<(f64, f64)>),
    /// One or more lines.
    Lines(Vec<LineString<f64>>),
    /// The rings of one or more polygons.
    Rings(Vec<LineString<f64>>),
}

/// The shapes in `bytes`, in their order.
///
/// # Errors
/// Why it is no `.shp`, or where it breaks off.
pub(super) fn shapes(bytes: &[u8], corners: usize) -> Result<Vec<Result<Raw, Ground>>, String> {
    if bytes.len() < HEADER || big(bytes, 0) != Some(FILE_CODE) {
        return Err("the .shp does not begin as one".to_owned());
    }
    let (mut shapes, mut at) = (Vec::new(), HEADER);
    while at < bytes.len() {
        let number = shapes.len() + 1;
        let cut = || format!("the .shp breaks off in shape {number}");
        let words = big(bytes, at + 4).and_then(|words| usize::try_from(words).ok()).ok_or_else(cut)?;
        let start = at + 8;
        let end = words.checked_mul(2).and_then(|length| start.checked_add(length)).ok_or_else(cut)?;
        shapes.push(shape(bytes.get(start..end).ok_or_else(cut)?, corners).ok_or_else(cut)?);
        at = end;
    }
    Ok(shapes)
}

/// What one record holds; `None` where it says more than it has.
fn shape(record: &[u8], corners: usize) -> Option<Result<Raw, Ground>> {
    let kind = little(record, 0)?;
    Some(Ok(match kind {
        0 => Raw::Null,
        1 | 11 | 21 => Raw::Points(vec![(number(record, 4)?, number(record, 12)?)]),
        8 | 18 | 28 => {
            let count = count(record, 36)?;
            if count > corners {
                return Some(Err(Ground::TooManyCorners { corners: count, limit: corners }));
            }
            Raw::Points(positions(record, 40, count)?)
        }
        3 | 13 | 23 | 5 | 15 | 25 => {
            let (parts, count) = (count(record, 36)?, count(record, 40)?);
            if count > corners {
                return Some(Err(Ground::TooManyCorners { corners: count, limit: corners }));
            }
            let lines = lines(record, parts, count)?;
            if matches!(kind, 3 | 13 | 23) { Raw::Lines(lines) } else { Raw::Rings(lines) }
        }
        _ => {
            let found = if kind == 31 { "multipatch".to_owned() } else { format!("shape of type {kind}") };
            return Some(Err(Ground::WrongShape { found, wanted: "a shape of points, lines or polygons" }));
        }
    }))
}

/// The parts of a line or polygon: where each begins stands before the positions of all.
fn lines(record: &[u8], parts: usize, count: usize) -> Option<Vec<LineString<f64>>> {
    let first = 44usize.checked_add(parts.checked_mul(4)?)?;
    let positions = positions(record, first, count)?;
    let begins: Vec<usize> =
        (0..parts).map(|part| usize::try_from(little(record, 44 + 4 * part)?).ok()).collect::<Option<_>>()?;
    let ends = begins.iter().copied().skip(1).chain([count]);
    begins.iter().zip(ends).map(|(&begin, end)| Some(positions.get(begin..end)?.to_vec().into())).collect()
}

fn positions(record: &[u8], first: usize, count: usize) -> Option<Vec<(f64, f64)>> {
    let bytes = record.get(first..first.checked_add(count.checked_mul(16)?)?)?;
    bytes.chunks_exact(16).map(|pair| Some((number(pair, 0)?, number(pair, 8)?))).collect()
}

fn count(record: &[u8], at: usize) -> Option<usize> {
    usize::try_from(little(record, at)?).ok()
}

fn big(bytes: &[u8], at: usize) -> Option<i32> {
    Some(i32::from_be_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

fn little(bytes: &[u8], at: usize) -> Option<i32> {
    Some(i32::from_le_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

fn number(bytes: &[u8], at: usize) -> Option<f64> {
    Some(f64::from_le_bytes(bytes.get(at..at.checked_add(8)?)?.try_into().ok()?))
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    /// A file as the crate that writes the exports writes it.
    fn written() -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        let mut writer = shapefile::ShapeWriter::new(&mut bytes);
        let corner = |x: f64, y: f64| shapefile::PointZ::new(x, y, 800.0, 0.0);
        let ring =
            |at: f64| vec![corner(at, at), corner(at, at + 1.0), corner(at + 1.0, at + 1.0), corner(at, at)];
        let two = vec![shapefile::PolygonRing::Outer(ring(0.0)), shapefile::PolygonRing::Outer(ring(5.0))];
        writer.write_shape(&shapefile::PolygonZ::with_rings(two)).unwrap();
        writer.write_shape(&shapefile::PolygonZ::new(shapefile::PolygonRing::Outer(ring(9.0)))).unwrap();
        drop(writer);
        bytes.into_inner()
    }

    #[test]
    fn shapes_with_heights_and_parts_are_read() {
        let shapes = shapes(&written(), 100).unwrap();
        let Ok(Raw::Rings(rings)) = &shapes[0] else { panic!("{shapes:?}") };
        assert_eq!((shapes.len(), rings.len(), rings[1].0.len()), (2, 2, 4));
        assert_eq!(rings[1].0[0], geo::coord! { x: 5.0, y: 5.0 });
    }

    #[test]
    fn lies_are_found_out() {
        let sound = written();
        let why = |change: &dyn Fn(&mut Vec<u8>)| {
            let mut bytes = sound.clone();
            change(&mut bytes);
            shapes(&bytes, 100).unwrap_err()
        };
        assert_eq!(why(&|bytes| bytes.truncate(60)), "the .shp does not begin as one");
        assert_eq!(why(&|bytes| bytes.truncate(300)), "the .shp breaks off in shape 1");
        // The number of positions of the first shape: more than there are.
        assert_eq!(why(&|bytes| bytes[148] = 90), "the .shp breaks off in shape 1");
        // A part that begins before the first position.
        assert_eq!(why(&|bytes| bytes[155] = 0xFF), "the .shp breaks off in shape 1");
        assert!(matches!(
            shapes(&sound, 4).unwrap()[0],
            Err(Ground::TooManyCorners { corners: 8, limit: 4 })
        ));
    }

    proptest::proptest! {
        #[test]
        fn spoilt_bytes_are_read_or_refused(
            spoilt in proptest::collection::vec((0usize..400, proptest::prelude::any::<u8>()), 1..8),
            length in 0usize..500,
        ) {
            let mut bytes = written();
            for (at, byte) in spoilt {
                let at = at % bytes.len();
                bytes[at] = byte;
            }
            bytes.truncate(length.max(40));
            let _ = shapes(&bytes, 1_000);
        }
    }
}
