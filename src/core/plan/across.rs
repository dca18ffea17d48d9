//! Across the rows: the straight way up and down the slope from a place on a row, and the rows that it meets.

use geo::{Coord, LineString};

use crate::{
    plan::{
        fall_line::SegmentIndex,
        rows::{AreaRows, LaidOn},
    },
    units::{Degrees, Metres},
};

/// Ground flatter than this, rise over run, has no fall line that anybody could follow: the way across is then square to the row.
const FLAT: f64 = 0.02;

/// The rows of an area as straight ways across them meet them.
pub(crate) struct Across<'a> {
    rows: &'a AreaRows,
    index: SegmentIndex<'a>,
    /// On which side of a row those of higher numbers lie, where no ground tells which way is down: right 1, left −1.
    side: f64,
}

impl<'a> Across<'a> {
    /// Of `rows`, whose courses are `lines`, `spacing` apart.
    pub(crate) fn of(rows: &'a AreaRows, lines: &'a [LineString<f64>], spacing: Metres) -> Across<'a> {
        let mut across = Across { rows, index: SegmentIndex::of(lines, spacing.0), side: 1.0 };
        if matches!(rows.laid_on, LaidOn::GuideLine(_)) {
            let votes = lines.iter().enumerate().map(|(row, line)| {
                let middle = line.0.len() / 2;
                let Some(pair) = line.0.get(middle.saturating_sub(1)..=middle) else { return 0.0 };
                let place = (pair[0] + pair[1]) / 2.0;
                let right = square_to(pair[1] - pair[0]);
                let met = across.index.met(place, place + right * (1.5 * spacing.0));
                let next = met.into_iter().find(|(_, other)| *other != row);
                next.map_or(0.0, |(_, other)| if other > row { 1.0 } else { -1.0 })
            });
            across.side = if votes.sum::<f64>() < 0.0 { -1.0 } else { 1.0 };
        }
        across
    }

    /// The way down at `place` of a row that runs `along`: along the fall line where the ground has one, else square to the row.
    pub(crate) fn down(&self, place: Coord<f64>, along: Coord<f64>) -> Coord<f64> {
        let square = square_to(along) * self.side;
        let LaidOn::Contour(ground) = &self.rows.laid_on else { return square };
        let Some(lie) = ground.at(place) else { return square };
        match lie.down() {
            Some(down) if lie.steepness() > FLAT => down,
            // Of the two ways square to the row the one that goes down, if only a little.
            Some(down) if down.x * square.x + down.y * square.y < 0.0 => square * -1.0,
            _ => square,
        }
    }

    /// The rows met from `from` over `reach` metres of plan along `way`, nearest first, each once: its index and the place.
    pub(crate) fn met(&self, from: Coord<f64>, way: Coord<f64>, reach: f64) -> Vec<(usize, Coord<f64>)> {
        let mut rows: Vec<(usize, Coord<f64>)> = Vec::new();
        for (share, row) in self.index.met(from, from + way * reach) {
            if rows.iter().all(|(known, _)| *known != row) {
                rows.push((row, from + way * (reach * share)));
            }
        }
        rows
    }

    /// Metres along the ground of the straight way from one place to another across the rows.
    pub(crate) fn tape(&self, from: Coord<f64>, to: Coord<f64>) -> Metres {
        match &self.rows.laid_on {
            LaidOn::Contour(ground) => ground.length(&LineString(vec![from, to])),
            LaidOn::GuideLine(slope) => Metres(libm::hypot(to.x - from.x, to.y - from.y) / slope.cos()),
        }
    }

    /// How steep the ground is at a place; `None` where nobody has measured it.
    pub(crate) fn slope(&self, place: Coord<f64>) -> Option<Degrees> {
        match &self.rows.laid_on {
            LaidOn::Contour(ground) => {
                ground.at(place).map(|lie| Degrees(libm::atan(lie.steepness()).to_degrees()))
            }
            LaidOn::GuideLine(slope) => (slope.0 > 0.0).then_some(*slope),
        }
    }
}

/// The way square to `along` and to its right, of length one.
pub(crate) fn square_to(along: Coord<f64>) -> Coord<f64> {
    let length = libm::hypot(along.x, along.y).max(f64::MIN_POSITIVE);
    Coord { x: along.y / length, y: -along.x / length }
}
