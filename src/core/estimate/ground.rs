//! What the plot estimators must know of each planting area: its plan hectares and its slope.

use std::collections::BTreeMap;

use crate::{
    estimate::{slope, terrain::Hills},
    geometry,
    project::{Area, AreaId, MeasuredOn, Plot, PlotId, PlotShape, Project},
    units::{Degrees, Hectares, SquareMetres},
};

/// A planting area as ground to be sampled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Plan hectares.
    pub plan: Hectares,
    /// Its slope, where it is known.
    pub slope: Option<Degrees>,
}

/// The areas of the project as ground to be sampled, and the slopes of its plots.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grounds<'a> {
    areas: BTreeMap<&'a AreaId, Extent>,
    plots: BTreeMap<&'a PlotId, Degrees>,
}

impl<'a> Grounds<'a> {
    /// The areas of `project`; slopes come from the terrain where there is one, else from readings.
    #[must_use]
    pub fn of(project: &'a Project, hills: Option<&Hills>) -> Grounds<'a> {
        let modelled = |area: &Area| hills?.mean(&area.boundary);
        let read = |area: &AreaId| slope::mean(&project.slopes, area).ok().map(|mean| mean.value);
        let extent = |area: &Area| Extent {
            plan: geometry::area(&area.boundary).into(),
            slope: modelled(area).or_else(|| read(&area.id)),
        };
        let plots =
            project.plots.iter().filter_map(|plot| Some((&plot.id, hills?.slope_at(plot.position?)?)));
        Grounds {
            areas: project.areas.iter().map(|area| (&area.id, extent(area))).collect(),
            plots: plots.collect(),
        }
    }

    /// The ground of an area.
    #[must_use]
    pub fn get(&self, area: &AreaId) -> Option<&Extent> {
        self.areas.get(area)
    }

    /// Every area with its ground, in order of id.
    pub fn iter(&self) -> impl Iterator<Item = (&'a AreaId, &Extent)> {
        self.areas.iter().map(|(area, extent)| (*area, extent))
    }

    /// The slope at a plot: of the terrain there, else of its area.
    #[must_use]
    pub fn slope_of(&self, plot: &Plot) -> Option<Degrees> {
        let here = self.plots.get(&plot.id).copied();
        here.or_else(|| self.areas.get(&plot.area).and_then(|extent| extent.slope))
    }
}

/// Plan area of a plot; one that was taped along the ground is reduced by the cosine of `slope`.
///
/// A rectangle's tape leaves the level only up and down the slope, and a circle taped on the ground is an ellipse on
/// the plan; both lose the same factor.
#[must_use]
pub fn plan_area(plot: &Plot, slope: Option<Degrees>) -> SquareMetres {
    let taped = match plot.shape {
        PlotShape::Area(area) => area.0,
        PlotShape::Circle(radius) => std::f64::consts::PI * radius.0 * radius.0,
        PlotShape::Rectangle(length, width) => length.0 * width.0,
    };
    let factor = match (plot.measured_on, slope) {
        (MeasuredOn::Slope, Some(slope)) => slope.cos(),
        _ => 1.0,
    };
    SquareMetres(taped * factor)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{project::PlotId, source::Row, units::Metres};

    /// A 20 × 20 m plot taped on a 20° slope covers 375.9 m² on the plan (trigonometry: 400 cos 20°).
    #[test]
    fn a_taped_plot_shrinks_on_the_plan() {
        let mut plot = Plot {
            id: PlotId("P".into()),
            area: AreaId("A".into()),
            shape: PlotShape::Rectangle(Metres(20.0), Metres(20.0)),
            position: None,
            measured_on: MeasuredOn::Slope,
            stratum: None,
            planted_stems: None,
            note: None,
            source: Row { file: "plots.csv".into(), row: 2 },
        };
        assert!((plan_area(&plot, Some(Degrees(20.0))).0 - 375.877).abs() < 1e-3);
        assert_eq!(plan_area(&plot, None), SquareMetres(400.0));
        plot.measured_on = MeasuredOn::Plan;
        assert_eq!(plan_area(&plot, Some(Degrees(20.0))), SquareMetres(400.0));
    }
}
