//! Slopes read with a clinometer, where there is no terrain model.

use crate::{
    estimate::{Estimate, Finding, Gap, Method, listed},
    project::{AreaId, MeasuredSlope},
    source::Sources,
    units::{Degrees, Hectares},
};

/// Mean slope of `area`: weighted by the lengths read along where every reading has one, else plain.
///
/// # Errors
/// No slope was measured there.
pub fn mean(slopes: &[MeasuredSlope], area: &AreaId) -> Finding<Degrees> {
    let here: Vec<&MeasuredSlope> = slopes.iter().filter(|slope| &slope.area == area).collect();
    let lengths: Option<Vec<f64>> =
        here.iter().map(|slope| slope.length.map(|length| length.0).filter(|&m| m > 0.0)).collect();
    let weights = lengths.unwrap_or_else(|| vec![1.0; here.len()]);
    let sum: f64 = here.iter().zip(&weights).map(|(slope, weight)| slope.slope.0 * weight).sum();
    let total: f64 = weights.iter().sum();
    if here.is_empty() {
        return Err(Gap::NoSlope);
    }
    let sources = here.iter().map(|slope| &slope.source).collect();
    Ok(Estimate::counted(Degrees(sum / total), Method::SLOPE_READINGS, sources))
}

/// Steepest slope read in `area`.
///
/// # Errors
/// No slope was measured there.
pub fn steepest(slopes: &[MeasuredSlope], area: &AreaId) -> Finding<Degrees> {
    let here: Vec<&MeasuredSlope> = slopes.iter().filter(|slope| &slope.area == area).collect();
    let steepest = here.iter().map(|slope| slope.slope.0).reduce(f64::max).ok_or(Gap::NoSlope)?;
    let sources = here.iter().map(|slope| &slope.source).collect();
    Ok(Estimate::counted(Degrees(steepest), Method::SLOPE_STEEPEST, sources))
}

/// Mean over areas, weighted by plan hectares; an area without a slope is left out.
///
/// # Errors
/// No area has a slope.
pub fn joint_mean(areas: &[(&AreaId, Hectares, Finding<Degrees>)]) -> Finding<Degrees> {
    let (mut sum, mut hectares, mut sources) = (0.0, 0.0, Sources::default());
    let mut without = Vec::new();
    for (area, plan, slope) in areas {
        match slope {
            Ok(slope) => {
                sum += plan.0 * slope.value.0;
                hectares += plan.0;
                sources.join(&slope.sources);
            }
            Err(_) => without.push(area.to_string()),
        }
    }
    if hectares <= 0.0 {
        return Err(Gap::NoSlope);
    }
    let mean = Estimate::counted(Degrees(sum / hectares), Method::SLOPE_READINGS, sources);
    Ok(if without.is_empty() {
        mean
    } else {
        mean.note(format!("left out, because no slope was measured: {}", listed(&without)))
    })
}
