//! Where on a panel words may stand: clear of every mark, line and word that is drawn already.

use crate::draw::{
    chart::canvas::{At, Canvas, Hold},
    text::{CAP_HEIGHT, Line, POINT_MM},
};

/// Paper kept between words and what is drawn, mm.
const APART: f64 = 0.5;

/// A line is taken as so many short pieces.
const PIECES: u32 = 24;

/// What words belong to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Near {
    /// Right ends that will do, the best first.
    pub(super) rights: Vec<f64>,
    /// Its height on paper.
    pub(super) y: f64,
    /// Whether they stand below it rather than above, where both are free.
    pub(super) rather_below: bool,
    /// Whether they stand on white paper; elsewhere the ground shows through.
    pub(super) on_paper: bool,
}

/// What is drawn, as oblongs: upper left and lower right corner.
#[derive(Debug, Default)]
pub(super) struct Clear {
    taken: Vec<(At, At)>,
}

impl Clear {
    /// Takes an oblong.
    pub(super) fn oblong(&mut self, upper_left: At, lower_right: At) {
        self.taken.push((upper_left, lower_right));
    }

    /// Takes a line through `points`.
    pub(super) fn line(&mut self, points: &[At]) {
        for pair in points.windows(2) {
            let at = |piece: u32| {
                let part = f64::from(piece) / f64::from(PIECES);
                (pair[0].0 + part * (pair[1].0 - pair[0].0), pair[0].1 + part * (pair[1].1 - pair[0].1))
            };
            for piece in 0..PIECES {
                let (one, other) = (at(piece), at(piece + 1));
                let corner = |pick: fn(f64, f64) -> f64| (pick(one.0, other.0), pick(one.1, other.1));
                self.taken.push((corner(f64::min), corner(f64::max)));
            }
        }
    }

    /// Writes `line` as close as may be to what it belongs to, with its right end at one of `near.rights`, between `top` and
    /// `bottom`; where no place is clear, at the first that was tried.
    pub(super) fn write(&mut self, canvas: &Canvas<'_>, line: &Line, near: &Near, (top, bottom): (f64, f64)) {
        let (width, height) = (line.width(), CAP_HEIGHT * line.points * POINT_MM);
        // Baselines at growing distance, on the better side first.
        let baselines = (0..60).flat_map(|step| {
            let away = 1.6 + f64::from(step) * 0.4;
            let (above, below) = (near.y - away, near.y + away + height);
            if near.rather_below { [below, above] } else { [above, below] }
        });
        let within = |baseline: &f64| *baseline - height >= top && *baseline <= bottom;
        let baselines = baselines.filter(within);
        let places: Vec<At> =
            baselines.flat_map(|baseline| near.rights.iter().map(move |&right| (right, baseline))).collect();
        let corner = |(right, baseline): At| (right - width, baseline - height);
        let free = places.iter().find(|&&place| self.is_free(corner(place), place));
        let Some(&place) = free.or(places.first()) else { return };
        let (left, upper) = corner(place);
        if near.on_paper {
            // Rules and dashes give way to words.
            canvas.bar((left - 0.4, upper - 0.4), (place.0 + 0.4, place.1 + 0.5), "#ffffff");
        }
        self.oblong((left, upper), place);
        canvas.words(place, Hold::Right, line);
    }

    fn is_free(&self, upper_left: At, lower_right: At) -> bool {
        self.taken.iter().all(|(from, to)| {
            to.0 + APART < upper_left.0
                || from.0 - APART > lower_right.0
                || to.1 + APART < upper_left.1
                || from.1 - APART > lower_right.1
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanting_line_takes_its_neighbourhood_only() {
        let mut clear = Clear::default();
        clear.line(&[(0.0, 40.0), (40.0, 0.0)]);
        assert!(!clear.is_free((18.0, 19.0), (22.0, 21.0)));
        assert!(clear.is_free((2.0, 2.0), (15.0, 5.0)), "above the line");
        assert!(clear.is_free((25.0, 35.0), (38.0, 38.0)), "below it");
    }
}
