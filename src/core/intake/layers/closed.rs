//! A walk round a block made into its boundary: tracks and drawn lines that come back to where they began.

use geo::{LineString, MultiLineString, MultiPolygon, Polygon};

use crate::{geometry, problem::Ground};

/// A gap that nobody sees on a map, in metres: closed without a word (judgement).
const UNSEEN: f64 = 1.0;

/// A gap that stopping the recording early leaves, in metres: closed, and doubted (judgement).
const EARLY: f64 = 50.0;

/// A gap is no part of the walk that may be guessed beyond this share of it (judgement).
const SHARE: f64 = 0.1;

/// The boundary along `lines`, which are pieces of one walk in their order, or each a boundary by itself; and the doubt that
/// a gap was closed.
///
/// # Errors
/// The walk does not come back.
pub(super) fn closed(
    lines: &MultiLineString<f64>,
    id: &str,
) -> Result<(MultiPolygon<f64>, Option<Ground>), Ground> {
    let whole = |line: &LineString<f64>| line.0.len() > 3 && gap(line) <= UNSEEN;
    if lines.0.len() > 1 && lines.iter().all(whole) {
        return Ok((
            MultiPolygon(lines.iter().map(|line| Polygon::new(line.clone(), vec![])).collect()),
            None,
        ));
    }
    let mut walk = LineString(lines.iter().flat_map(|line| line.0.iter().copied()).collect());
    walk.0.dedup();
    // There and back again encloses nothing.
    let corners = walk.0.len() - usize::from(walk.0.len() > 1 && walk.0.first() == walk.0.last());
    if corners < 3 {
        return Err(Ground::TooFewCorners { corners });
    }
    let metres = gap(&walk);
    let length = geometry::length(&MultiLineString(vec![walk.clone()])).0;
    if metres > EARLY || metres > SHARE * length {
        return Err(Ground::TrackOpen { id: id.to_owned(), metres });
    }
    let doubt = (metres > UNSEEN).then(|| Ground::TrackClosed { id: id.to_owned(), metres });
    Ok((MultiPolygon(vec![Polygon::new(walk, vec![])]), doubt))
}

/// Metres from the end of a line to its beginning.
fn gap(line: &LineString<f64>) -> f64 {
    match (line.0.first(), line.0.last()) {
        (Some(first), Some(last)) => geometry::distance((*first).into(), (*last).into()).0,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of 0.01°, left open by `short` degrees at its end, in pieces.
    fn walk(short: f64, pieces: usize) -> MultiLineString<f64> {
        let corners =
            [(148.0, -36.0), (148.01, -36.0), (148.01, -35.99), (148.0, -35.99), (148.0, -36.0 + short)];
        MultiLineString(
            corners.chunks(corners.len().div_ceil(pieces)).map(|part| part.to_vec().into()).collect(),
        )
    }

    #[test]
    fn a_walk_that_comes_back_is_a_boundary() {
        assert!(matches!(closed(&walk(0.0, 1), "A"), Ok((_, None))));
        assert!(
            matches!(closed(&walk(0.000_2, 1), "A"), Ok((_, Some(Ground::TrackClosed { metres, .. }))) if (metres - 22.2).abs() < 0.1)
        );
        assert!(matches!(closed(&walk(0.005, 1), "A"), Err(Ground::TrackOpen { .. })));
        let (paused, _) = closed(&walk(0.0, 2), "A").unwrap();
        assert_eq!(paused, closed(&walk(0.0, 1), "A").unwrap().0, "a pause changes nothing");
        let two = MultiLineString([walk(0.0, 1).0, walk(0.0, 1).0].concat());
        assert_eq!(closed(&two, "A").unwrap().0.0.len(), 2, "two boundaries stay two");
    }

    #[test]
    fn what_encloses_nothing_is_refused() {
        let line = |corners: Vec<(f64, f64)>| closed(&MultiLineString(vec![corners.into()]), "A");
        assert!(matches!(
            line(vec![(148.0, -36.0), (148.0, -36.1), (148.0, -36.0)]),
            Err(Ground::TooFewCorners { corners: 2 })
        ));
        assert!(line(vec![]).is_err());
    }
}
