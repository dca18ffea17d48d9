//! One plot of another size than all others.

use crate::{
    intake::checks::plots::size,
    problem::{Change, Measured, Place, Problem, SecondReading, Surveyed},
    project::{Plot, PlotShape, Project},
    units::number,
};

/// Plots of one size from which another is no design (common practice, no source).
const ALIKE: usize = 4;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for plot in &project.plots {
        let others: Vec<&Plot> = project.plots.iter().filter(|other| other.id != plot.id).collect();
        let Some(usual) = others.first().map(|other| size(other.shape)) else { continue };
        let one_size = others.iter().all(|other| (size(other.shape) - usual).abs() < 1e-6 * usual);
        let own = size(plot.shape);
        // A plot many times as large, or as small, has words of its own.
        let ratio = usual / own;
        if others.len() < ALIKE || !one_size || (ratio - 1.0).abs() < 1e-6 || !(0.1..=10.0).contains(&ratio) {
            continue;
        }
        let column = match plot.shape {
            PlotShape::Circle(_) => "radius_m",
            PlotShape::Rectangle(..) => "length_m",
            PlotShape::Area(_) => "size_m2",
        };
        let kind = Surveyed::PlotOfItsOwnSize {
            plot: plot.id.to_string().into(),
            size: number(own, 1).into(),
            others: others.len(),
            usual: number(usual, 1).into(),
        };
        let change = Change::Times { of: Measured::PlotSide, factor: ratio.sqrt() };
        let other = SecondReading::of(change, [&plot.source]);
        problems.push(Problem::new(kind, Place::row(&plot.source).column(column)).or(other));
    }
}
