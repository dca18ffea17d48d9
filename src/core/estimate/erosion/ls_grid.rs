//! L × S on a grid of heights.

use crate::{
    estimate::{
        Gap, Method,
        erosion::{Factor, Rill, Steepness, clamped, exponent, ls_slope},
    },
    source::Sources,
    terrain::{Coverage, Raster},
    units::{Degrees, Metres, SquareMetres, percent},
};

/// Error of ln LS to 12°, to 20°, to 28.8°, and where much of the ground is steeper still: the spread of the published
/// relations, and length (judgement).
pub(crate) const SIGMAS: [f64; 4] = [0.20, 0.30, 0.40, 0.60];

/// Share of clamped ground beyond which it is a doubt, and beyond which no figure is given (judgement).
const CLAMPED: (f64, f64) = (0.10, 0.50);

/// How slope length and steepness are counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlopeLength {
    /// The relation between slope and loss.
    pub steepness: Steepness,
    /// How much of the loss is by rills.
    pub rill: Rill,
    /// Longest slope before water gathers in channels.
    pub longest: Metres,
    /// Inflow from which a cell is a channel, where the equation does not hold.
    pub channel: SquareMetres,
}

impl Default for SlopeLength {
    fn default() -> Self {
        SlopeLength {
            steepness: Steepness::default(),
            rill: Rill::default(),
            longest: Metres(ls_slope::LONGEST),
            channel: SquareMetres(10_000.0),
        }
    }
}

/// L × S of one cell of side `cell` metres that `inflow` square metres drain into; `aspect` in degrees, `None` on level ground.
///
/// # Equation
/// L = ((A + D²)^(m+1) − A^(m+1)) / (D^(m+2) x^m 22.13^m), x = |sin α| + |cos α|: the plot's L shared out along the slope, so that
/// the mean over a line of cells is that of a plot of their length.
///
/// # Reference
/// Desmet and Govers (1996), *A GIS procedure for automatically calculating the USLE LS factor on topographically complex
/// landscape units*, Journal of Soil and Water Conservation 51:427-433.
#[must_use]
pub fn cell_ls(
    slope: Degrees,
    aspect: Option<Degrees>,
    inflow: f64,
    cell: f64,
    rill: Rill,
    steepness: Steepness,
) -> f64 {
    let m = exponent(slope, rill);
    let across = aspect.map_or(1.0, |aspect| aspect.sin().abs() + aspect.cos().abs());
    let raised = |area: f64| libm::pow(area, m + 1.0);
    let length = (raised(inflow + cell * cell) - raised(inflow))
        / (libm::pow(cell, m + 2.0) * libm::pow(across * ls_slope::UNIT_PLOT_METRES, m));
    length * steepness.factor(slope)
}

/// L × S of every cell, by row and column, that is `wanted`; NaN elsewhere, where the slope is not known or the cell is a channel.
///
/// Inflow is held to a slope of `rules.longest`; slopes steeper than 55 % count as 55 %.
#[must_use]
pub fn ls_layer(
    slope: &Raster<f32>,
    aspect: &Raster<f32>,
    inflow: &Raster<f32>,
    rules: SlopeLength,
    wanted: impl Fn(usize, usize) -> bool + Sync,
) -> Raster<f32> {
    let lattice = &slope.lattice;
    let longest = rules.longest.0;
    Raster::by_rows(lattice, |row, cells| {
        let side = lattice.cell_area(row).0.sqrt();
        let most = (longest * side - side * side).max(0.0);
        let layers = slope.row(row).iter().zip(aspect.row(row)).zip(inflow.row(row));
        for (column, (cell, ((&slope, &aspect), &inflow))) in cells.iter_mut().zip(layers).enumerate() {
            let (slope, inflow) = (f64::from(slope), f64::from(inflow));
            let known = !slope.is_nan() && inflow <= rules.channel.0 && wanted(row, column);
            let aspect = (!aspect.is_nan()).then(|| Degrees(f64::from(aspect)));
            let held = clamped(Degrees(slope));
            *cell = match known {
                true => single(cell_ls(held, aspect, inflow.min(most), side, rules.rill, rules.steepness)),
                false => f32::NAN,
            };
        }
    })
}

/// L × S of an area: the mean over its cells, each by its own part of the area.
///
/// # Errors
/// No cell of the area has a value, or more than half of the area is too steep for the equation.
pub fn ls_area(
    ls: &Raster<f32>,
    slope: &Raster<f32>,
    covered: &Coverage,
    rules: SlopeLength,
    sources: Sources,
) -> Result<Factor<f64>, Gap> {
    let (mut sum, mut slopes, mut weight) = (0.0, 0.0, 0.0);
    let (mut steep, mut with_slope) = (0.0, 0.0);
    for (row, column, share) in covered.cells() {
        let Some(degrees) = slope.at(row, column).filter(|degrees| !degrees.is_nan()).map(f64::from) else {
            continue;
        };
        let share = share * slope.lattice.cell_area(row).0;
        with_slope += share;
        if clamped(Degrees(degrees)).0 < degrees {
            steep += share;
        }
        let Some(value) = ls.at(row, column).filter(|value| !value.is_nan()).map(f64::from) else { continue };
        sum += share * value;
        slopes += share * degrees;
        weight += share;
    }
    if weight <= 0.0 {
        return Err(Gap::NoSlope);
    }
    let (mean, clamped) = (slopes / weight, steep / with_slope);
    if clamped > CLAMPED.1 {
        return Err(Gap::TooSteep);
    }
    let mut factor = Factor::new(sum / weight, sigma(mean, clamped), Method::SLOPE_FACTOR_GRID, sources);
    let channels = 1.0 - weight / with_slope;
    if channels > 0.005 {
        let share = percent(channels, 1);
        factor =
            factor.note(format!("{share} of the ground takes in more than a hectare: channels, left out"));
    }
    factor.notes.extend(steep_notes(mean, clamped, rules.steepness));
    Ok(factor)
}

/// What must be said where water may reach an area from beyond the terrain: inflow, and so L, may be too small.
///
/// Cells whose inflow is already that of the longest slope are not touched by it. `fed` is
/// [`crate::terrain::fed_from_beyond`].
#[must_use]
pub fn beyond_note(
    fed: &[bool],
    inflow: &Raster<f32>,
    covered: &Coverage,
    rules: SlopeLength,
) -> Option<String> {
    let lattice = &inflow.lattice;
    let (mut short, mut held) = (0.0, 0.0);
    for (row, column, share) in covered.cells() {
        let area = lattice.cell_area(row).0;
        let side = area.sqrt();
        let whole =
            inflow.at(row, column).is_none_or(|inflow| f64::from(inflow) >= rules.longest.0 * side - area);
        held += share;
        if !whole && fed.get(row * lattice.columns + column) == Some(&true) {
            short += share;
        }
    }
    let part = if held > 0.0 { short / held } else { 0.0 };
    (part > 0.005).then(|| {
        let part = percent(part, 1);
        format!(
            "the terrain does not reach uphill of {part} of the area, where slopes may be longer than counted"
        )
    })
}

/// Error of ln LS at a mean slope, `clamped` of the ground being steeper than the equation goes.
pub(crate) fn sigma(mean: f64, clamped: f64) -> f64 {
    match mean {
        _ if clamped > CLAMPED.0 => SIGMAS[3],
        _ if mean <= 12.0 => SIGMAS[0],
        _ if mean <= 20.0 => SIGMAS[1],
        _ => SIGMAS[2],
    }
}

/// What must be said of steep ground.
pub(crate) fn steep_notes(mean: f64, clamped: f64, steepness: Steepness) -> Vec<String> {
    let mut notes = Vec::new();
    if steepness == Steepness::Nearing && mean > 12.0 {
        let above = if mean > 20.0 { "16 to 27 %" } else { "up to 16 %" };
        notes.push(format!(
            "steeper than 12°, the relation of Nearing (1997) gives {above} more than that of AH-703"
        ));
    }
    if clamped > 0.0 {
        let share = percent(clamped, 1);
        notes.push(format!(
            "{share} of the ground is steeper than 55 %, where nothing was measured, and counts as 55 %"
        ));
    }
    if clamped > CLAMPED.0 {
        notes.push("so much steep ground makes the figure doubtful".to_owned());
    }
    notes
}

#[allow(clippy::cast_possible_truncation, reason = "a factor needs seven digits at most")]
fn single(value: f64) -> f32 {
    value as f32
}
