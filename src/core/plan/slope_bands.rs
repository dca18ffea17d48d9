//! By machine or by hand: how much of the rows lies on ground of which slope.

use crate::{
    plan::rows::{AreaRows, LaidOn, Row},
    terrain::{Grid, height_at},
    units::{Degrees, Metres},
};

/// From this slope on a machine goes only as its own manual allows (common practice, no source).
pub const MANUAL_FROM: Degrees = Degrees(12.0);

/// From this slope on no machine goes: hand work alone, no rip lines, ditches or benches (common practice, no source).
pub const HAND_FROM: Degrees = Degrees(15.0);

/// Rows are looked at in pieces of at most this, m.
const PIECE: f64 = 2.0;

/// Metres of row by the slope of the ground under them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SlopeBands {
    /// Under 12°: by machine or by hand.
    pub machine: Metres,
    /// 12° to under 15°: by hand, or by machine as its manual allows.
    pub manual: Metres,
    /// 15° and steeper: by hand alone.
    pub hand: Metres,
    /// Slope not known: by hand until a clinometer says.
    pub unknown: Metres,
}

impl SlopeBands {
    fn add(&mut self, slope: Option<f64>, length: f64) {
        let band = match slope {
            None => &mut self.unknown,
            Some(slope) if slope >= HAND_FROM.0 => &mut self.hand,
            Some(slope) if slope >= MANUAL_FROM.0 => &mut self.manual,
            Some(_) => &mut self.machine,
        };
        band.0 += length;
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: SlopeBands) -> SlopeBands {
        SlopeBands {
            machine: Metres(self.machine.0 + other.machine.0),
            manual: Metres(self.manual.0 + other.manual.0),
            hand: Metres(self.hand.0 + other.hand.0),
            unknown: Metres(self.unknown.0 + other.unknown.0),
        }
    }

    /// All of it.
    #[must_use]
    pub fn whole(self) -> Metres {
        Metres(self.machine.0 + self.manual.0 + self.hand.0 + self.unknown.0)
    }

    /// What must be done by hand.
    #[must_use]
    pub fn by_hand(self) -> Metres {
        Metres(self.hand.0 + self.unknown.0)
    }
}

/// The bands of every row of `rows`: by the model's slopes, or, along a drawn line, by the one slope that was measured there.
#[must_use]
pub fn slope_bands(rows: &AreaRows, slope: Option<&Grid>, measured: Option<Degrees>) -> Vec<SlopeBands> {
    let placing = slope.and_then(|slope| Some((slope, slope.lattice.placing()?)));
    let at = |place| match rows.laid_on {
        LaidOn::GuideLine(_) => measured.map(|slope| slope.0),
        LaidOn::Contour(_) => {
            let (slope, placing) = placing.as_ref()?;
            height_at(slope, placing.place(rows.plantable.plane.position(place))?)
        }
    };
    let of = |row: &Row| {
        let mut bands = SlopeBands::default();
        for edge in row.line.lines() {
            let way = edge.delta();
            let plan = libm::hypot(way.x, way.y);
            let pieces = (plan / PIECE).ceil().max(1.0);
            for piece in 0..pieces as u32 {
                bands.add(at(edge.start + way * ((f64::from(piece) + 0.5) / pieces)), plan / pieces);
            }
        }
        // Pieces are measured in plan; the row is as long as it is along the ground.
        let stretch = if bands.whole().0 > 0.0 { row.length.0 / bands.whole().0 } else { 1.0 };
        SlopeBands {
            machine: Metres(bands.machine.0 * stretch),
            manual: Metres(bands.manual.0 * stretch),
            hand: Metres(bands.hand.0 * stretch),
            unknown: Metres(bands.unknown.0 * stretch),
        }
    };
    rows.rows.iter().map(of).collect()
}
