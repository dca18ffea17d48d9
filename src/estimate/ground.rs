//! What the plot estimators must know of each planting area: its plan hectares and its slope.

use std::collections::BTreeMap;

use crate::{
    estimate::slope,
    geometry,
    project::{AreaId, MeasuredOn, Plot, PlotShape, Project},
    units::{Degrees, Hectares, SquareMetres},
};

/// A planting area as ground to be sampled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Plan hectares.
    pub plan: Hectares,
    /// Its slope, where it was measured.
    pub slope: Option<Degrees>,
}

/// Every area of the project as ground.
pub type Grounds<'a> = BTreeMap<&'a AreaId, Ground>;

/// The ground of every area.
#[must_use]
pub fn grounds(project: &Project) -> Grounds<'_> {
    let ground = |area: &crate::project::Area| Ground {
        plan: geometry::area(&area.boundary).into(),
        slope: slope::mean(&project.slopes, &area.id).ok().map(|mean| mean.value),
    };
    project.areas.iter().map(|area| (&area.id, ground(area))).collect()
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
