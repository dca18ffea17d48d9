//! Rows on the contour: level, and a fixed distance apart down the slope.

use geo::{Buffer, LineString, MultiPolygon, Simplify};

use crate::{
    plan::{
        clipped::clipped, ends::cut_back, phase::Phase, phase_lines::lines, rows::STRAIGHT, surface::Surface,
    },
    units::Metres,
};

/// Rows are laid out this many spacings beyond the ground and cut at its edge, so that they cross it as if it weren't there.
const BEYOND: f64 = 2.0;

/// What the rows should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// From row to row, along the ground down the slope.
    pub spacing: Metres,
    /// Rows shorter than this are left out.
    pub shortest: Metres,
}

/// The rows over `planted` on `ground`, the highest first; both on the same plane in metres.
///
/// # Method
/// The turns of a phase that is fitted to the ground (the module `phase`), drawn on a net of half the spacing, evened out, cut
/// at the edge of `planted`. Rows begin and end within it where the ground fans out, and an end that hooks
/// off the level or comes too near to another row is cut back.
#[must_use]
pub fn contour_rows(ground: &Surface, planted: &MultiPolygon<f64>, asked: &Asked) -> Vec<LineString<f64>> {
    let Metres(spacing) = asked.spacing;
    let phase = Phase::over(&planted.buffer(BEYOND * spacing), ground, spacing);
    let whole: Vec<LineString<f64>> = lines(&phase).into_iter().map(evened).collect();
    let whole = cut_back(ground, &whole, spacing);
    let mut rows: Vec<(f64, LineString<f64>)> = clipped(&whole, planted)
        .into_iter()
        .map(|line| line.simplify(STRAIGHT))
        .filter(|line| ground.length(line).0 >= asked.shortest.0)
        .map(|line| (mean_height(ground, &line), line))
        .collect();
    rows.sort_by(|one, other| other.0.total_cmp(&one.0));
    rows.into_iter().map(|(_, line)| line).collect()
}

/// `line` with every corner moved towards its neighbours, (1, 2, 1)/4, since the net leaves corners; the ends of an open line stay.
fn evened(line: LineString<f64>) -> LineString<f64> {
    let last = line.0.len().saturating_sub(1);
    let mut corners = line.0.clone();
    for (at, around) in line.0.windows(3).enumerate() {
        corners[at + 1] = (around[0] + around[1] * 2.0 + around[2]) / 4.0;
    }
    if line.is_closed() && last > 2 {
        corners[0] = (line.0[last - 1] + line.0[0] * 2.0 + line.0[1]) / 4.0;
        corners[last] = corners[0];
    }
    LineString(corners)
}

fn mean_height(ground: &Surface, line: &LineString<f64>) -> f64 {
    let heights: Vec<f64> =
        line.0.iter().filter_map(|corner| ground.at(*corner)).map(|lie| lie.height).collect();
    heights.iter().sum::<f64>() / heights.len().max(1) as f64
}
