//! Slopes, slope classes and the ground's area, from a terrain model.

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{Ground, SlopeClasses},
    source::Sources,
    terrain::{
        ClassShares, Coverage, Grid, Placing, Raster, Summary, class_shares, coverage, share_from, slope,
        summary, surface_ratio,
    },
    units::{Degrees, GroundHectares, Hectares, PercentSlope, Share, percent},
};

/// Breaks between slope classes, in degrees: common practice, without a source.
const PRACTICE_DEGREES: [f64; 7] = [3.0, 6.0, 9.0, 12.0, 15.0, 20.0, 25.0];

/// Breaks of the Australian Soil and Land Survey Field Handbook, 3rd ed., table 2, in per cent: level, very gently, gently,
/// moderately inclined, steep, very steep, precipitous, cliffed.
const HANDBOOK_PERCENT: [f64; 7] = [1.0, 3.0, 10.0, 32.0, 56.0, 100.0, 300.0];

/// Less of an area than this without a slope is not worth a note.
const UNKNOWN_WORTH_SAYING: f64 = 0.0005;

/// The breaks that the settings ask for, gentlest first.
#[must_use]
pub fn breaks(classes: &SlopeClasses) -> Vec<Degrees> {
    match classes {
        SlopeClasses::Practice => PRACTICE_DEGREES.map(Degrees).to_vec(),
        SlopeClasses::FieldHandbook => HANDBOOK_PERCENT.map(|percent| PercentSlope(percent).into()).to_vec(),
        SlopeClasses::Breaks(breaks) => breaks.clone(),
    }
}

/// The layers from which the figures of every area come, worked out once.
#[derive(Debug, Clone, PartialEq)]
pub struct Layers {
    /// Slope in degrees.
    pub slope: Raster<f32>,
    /// Area along the ground over plan area.
    pub surface: Raster<f32>,
    /// The file that they come from.
    pub sources: Sources,
}

impl Layers {
    /// The layers of a grid of heights.
    #[must_use]
    pub fn of(grid: &Grid, sources: Sources) -> Layers {
        Layers { slope: slope(grid), surface: surface_ratio(grid), sources }
    }
}

/// The project's terrain, its layers worked out once.
#[derive(Debug, Clone)]
pub struct Hills {
    layers: Layers,
    placing: Placing,
}

impl Hills {
    /// The hills of `ground`; `None` where its coordinates are not known.
    #[must_use]
    pub fn of(ground: &Ground) -> Option<Hills> {
        let placing = ground.heights.lattice.placing()?;
        Some(Hills { layers: Layers::of(&ground.heights, ground.sources()), placing })
    }

    /// Slope of every cell, in degrees.
    #[must_use]
    pub fn into_slope(self) -> Raster<f32> {
        self.layers.slope
    }

    /// Mean slope of the cells within a boundary in degrees of longitude and latitude, as of [`AreaGround::mean`]; `None`
    /// where none of them has a slope.
    #[must_use]
    pub fn mean(&self, boundary: &geo::MultiPolygon<f64>) -> Option<Degrees> {
        summary(&self.layers.slope, &self.placing.area(boundary)?).map(|summary| Degrees(summary.mean))
    }

    /// An area, or several together, whose boundary is given in degrees of longitude and latitude.
    #[must_use]
    pub fn area(
        &self,
        boundary: &geo::MultiPolygon<f64>,
        plan: Hectares,
        breaks: &[Degrees],
    ) -> Option<AreaGround<'_>> {
        Some(AreaGround::new(&self.layers, &self.placing.area(boundary)?, plan, breaks))
    }

    /// Slope of the cell in which a position lies.
    #[must_use]
    pub fn slope_at(&self, position: geo::Point<f64>) -> Option<Degrees> {
        let lattice = &self.layers.slope.lattice;
        let place = lattice.in_cells(self.placing.place(position)?);
        let (row, column) = (cell(place.y)?, cell(place.x)?);
        let slope = self.layers.slope.at(row, column).filter(|slope| !slope.is_nan())?;
        Some(Degrees(f64::from(slope)))
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held above nothing and below 2^53"
)]
fn cell(place: f64) -> Option<usize> {
    (0.0..9e15).contains(&place).then(|| place.floor() as usize)
}

/// One area on the terrain, or several together.
#[derive(Debug, Clone, PartialEq)]
pub struct AreaGround<'a> {
    layers: &'a Layers,
    plan: Hectares,
    covered: Coverage,
    summary: Option<Summary>,
    classes: ClassShares,
}

impl<'a> AreaGround<'a> {
    /// The area whose boundary is `boundary` in the unit of the terrain's coordinates, of `plan` hectares on the ellipsoid.
    #[must_use]
    pub fn new(
        layers: &'a Layers,
        boundary: &geo::MultiPolygon<f64>,
        plan: Hectares,
        breaks: &[Degrees],
    ) -> AreaGround<'a> {
        let covered = coverage(&layers.slope.lattice, boundary);
        let classes = class_shares(&layers.slope, &covered, breaks);
        AreaGround { layers, plan, summary: summary(&layers.slope, boundary), classes, covered }
    }

    /// How much of each cell the area covers.
    #[must_use]
    pub fn covered(&self) -> &Coverage {
        &self.covered
    }

    /// Share of the area whose slope is not known.
    #[must_use]
    pub fn unknown(&self) -> f64 {
        self.classes.unknown
    }

    /// How many slope classes there are.
    #[must_use]
    pub fn classes(&self) -> usize {
        self.classes.shares.len()
    }

    fn figure<Q>(&self, value: Q, method: Method) -> Estimate<Q> {
        let estimate = Estimate::counted(value, method, self.layers.sources.clone());
        match self.classes.unknown {
            unknown if unknown > UNKNOWN_WORTH_SAYING => {
                estimate.note(format!("the slope is not known on {} of the area", percent(unknown, 1)))
            }
            _ => estimate,
        }
    }

    fn of_summary(&self, value: fn(&Summary) -> f64, method: Method) -> Finding<Degrees> {
        let summary = self.summary.as_ref().ok_or(Gap::NoTerrain)?;
        Ok(self.figure(Degrees(value(summary)), method))
    }

    /// Mean slope.
    ///
    /// # Errors
    /// No cell of the area has a slope.
    pub fn mean(&self) -> Finding<Degrees> {
        self.of_summary(|summary| summary.mean, Method::TERRAIN_MEAN)
    }

    /// Slope that nine cells in ten lie below.
    ///
    /// # Errors
    /// No cell of the area has a slope.
    pub fn p90(&self) -> Finding<Degrees> {
        self.of_summary(|summary| summary.p90, Method::TERRAIN_P90)
    }

    /// Steepest cell.
    ///
    /// # Errors
    /// No cell of the area has a slope.
    pub fn max(&self) -> Finding<Degrees> {
        self.of_summary(|summary| summary.max, Method::TERRAIN_MAX)
    }

    /// Plan hectares of class `class`, counted from 1; the classes add up to the hectares whose slope is known.
    ///
    /// # Errors
    /// There is no such class, or no slope is known.
    pub fn class(&self, class: usize) -> Finding<Hectares> {
        let share = class.checked_sub(1).and_then(|at| self.classes.shares.get(at)).ok_or(Gap::NoTerrain)?;
        if self.classes.known() <= 0.0 {
            return Err(Gap::NoTerrain);
        }
        Ok(self.figure(Hectares(self.plan.0 * share), Method::TERRAIN_CLASS))
    }

    /// Share of the plan as steep as `limit` or steeper.
    ///
    /// # Errors
    /// No slope is known.
    pub fn steeper(&self, limit: Degrees) -> Finding<Share> {
        let share = share_from(&self.layers.slope, &self.covered, limit).ok_or(Gap::NoTerrain)?;
        Ok(self.figure(Share::nearest(share), Method::TERRAIN_STEEPER))
    }

    /// Area along the ground; ground that the terrain leaves out counts as the rest does.
    ///
    /// # Errors
    /// The ground is known nowhere in the area.
    pub fn surface(&self) -> Finding<GroundHectares> {
        let (mut sum, mut weight) = (0.0, 0.0);
        for (row, column, share) in self.covered.cells() {
            let ratio = self.layers.surface.at(row, column).filter(|ratio| !ratio.is_nan());
            let share = share * self.layers.surface.lattice.cell_area(row).0;
            if let Some(ratio) = ratio {
                sum += share * f64::from(ratio);
                weight += share;
            }
        }
        if weight <= 0.0 {
            return Err(Gap::NoTerrain);
        }
        Ok(self.figure(GroundHectares(self.plan.0 * sum / weight), Method::SURFACE_AREA))
    }
}
