//! The ends of rows, where they squeeze in between two others.

use geo::{Coord, LineString};

use crate::plan::{fall_line::Pockets, spread::GRADE_TOLERANCE, surface::Surface};

/// The end of a row that leaves the level by more than this many tolerances is cut back.
const HOOK: f64 = 2.0;

/// An end nearer to another row than this share of the spacing is cut back.
const CROWDED: f64 = 0.6;

/// An end that hooks is cut back by at most this many spacings, one that is crowded by as many again.
const MOST: f64 = 2.0;

/// Every row with its two ends cut back to where it is level and stands clear of the others; none where nothing is left.
pub(crate) fn cut_back(ground: &Surface, rows: &[LineString<f64>], spacing: f64) -> Vec<LineString<f64>> {
    let pockets = Pockets::of(rows, spacing);
    let crowded = |row: usize, end: Coord<f64>| {
        let stretch = ground.at(end).map_or(1.0, |lie| lie.stretch());
        pockets.near(end, CROWDED * spacing / stretch, |piece| piece.0 == row)
    };
    let hooks = |one: Coord<f64>, end: Coord<f64>| {
        let plan = libm::hypot(end.x - one.x, end.y - one.y);
        let rise = ground.at(one).zip(ground.at(end)).map_or(0.0, |(one, end)| end.height - one.height);
        rise.abs() > HOOK * GRADE_TOLERANCE * plan
    };
    let cut = |(row, line): (usize, &LineString<f64>)| {
        if line.is_closed() {
            return Some(line.clone());
        }
        let mut corners = line.0.clone();
        for _ in 0..2 {
            cut_end(&mut corners, MOST * spacing, hooks);
            cut_end(&mut corners, MOST * spacing, |_, end| crowded(row, end));
            corners.reverse();
        }
        (corners.len() > 1).then_some(LineString(corners))
    };
    rows.iter().enumerate().filter_map(cut).collect()
}

/// Takes corners off the end while `wrong` says so of the last piece, `most` metres at most.
fn cut_end(corners: &mut Vec<Coord<f64>>, most: f64, wrong: impl Fn(Coord<f64>, Coord<f64>) -> bool) {
    let mut cut = 0.0;
    while let [.., one, end] = corners[..] {
        cut += libm::hypot(end.x - one.x, end.y - one.y);
        if cut > most || !wrong(one, end) {
            break;
        }
        corners.pop();
    }
}
