//! Hours that the plan asks for: planting by the crew's own pace, slashing by the project's rates.

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method, interval,
        ratio::Pair,
        stratified::{Stratum, separate_ratio},
    },
    plan::SlopeBands,
    project::{PlantingDesign, Project, Work},
    source::Sources,
    units::{Hours, Metres, Stems, number},
};

/// Hours to slash the strips beside `bands` once.
///
/// # Equations and sources
/// [`Method::SLASHING_HOURS`].
///
/// # Errors
/// A rate that it takes is not set.
pub fn slashing_hours(bands: SlopeBands, design: &PlantingDesign, sources: &Sources) -> Finding<Hours> {
    let hand_metres = Metres(bands.manual.0 + bands.by_hand().0);
    let over = |metres: Metres, rate: Option<Metres>, name: &'static str| match rate {
        _ if metres.0 <= 0.0 => Ok(0.0),
        Some(rate) => Ok(metres.0 / rate.0),
        None => Err(Gap::NotSet(name)),
    };
    let machine = |metres: Metres| over(metres, design.machine_rate, "machine_m_per_h under [rows]");
    let hand = |metres: Metres| over(metres, design.hand_rate, "hand_m_per_h under [rows]");
    let cautious = machine(bands.machine)? + hand(hand_metres)?;
    let estimate = Estimate::counted(Hours(cautious), Method::SLASHING_HOURS, sources.clone());
    if bands.manual.0 <= 0.0 || design.machine_rate.is_none() {
        return Ok(estimate);
    }
    let at_best = machine(Metres(bands.machine.0 + bands.manual.0))? + hand(bands.by_hand())?;
    Ok(estimate.note(format!(
        "{} h if the machine's manual allows 12° to under 15°",
        number(at_best.min(cautious), 1)
    )))
}

/// Person hours to plant `stems`, by the planting days of the works log.
///
/// # Equations and sources
/// [`Method::PLANTING_HOURS`].
///
/// # Errors
/// The works log has no day of planting with hours and stems.
pub fn planting_hours(project: &Project, stems: Stems) -> Finding<Hours> {
    let days: Vec<(&Work, Pair)> = project
        .works
        .iter()
        .filter(|work| work.date <= project.period.to && work.task.trim().eq_ignore_ascii_case("planting"))
        .filter(|work| work.unit.as_deref().is_some_and(|unit| unit.trim().eq_ignore_ascii_case("stems")))
        .filter_map(|work| {
            let (whole, part) =
                (work.quantity.filter(|stems| *stems > 0.0)?, work.hours.map(|_| work.person_hours().0)?);
            Some((work, Pair { part, whole }))
        })
        .collect();
    let plots = days.iter().map(|(_, pair)| *pair).collect();
    let joint = separate_ratio(&[Stratum { weight: 1.0, sampled: 0.0, plots }]);
    let joint = joint.ok_or(Gap::TableMissing("works, with hours and stems of planting days"))?;
    let confidence = project.statistics.confidence;
    let to_plant = stems.0 as f64;
    let ends = joint.spread.filter(|spread| spread.variance > 0.0).map(|spread| {
        let (low, high) = interval::symmetric_t(joint.value, spread.variance, spread.df, confidence);
        Interval { low: Hours(low.max(0.0) * to_plant), high: Hours(high * to_plant), confidence }
    });
    let sources = days.iter().map(|(work, _)| &work.source).collect();
    Ok(Estimate {
        value: Hours(joint.value * to_plant),
        interval: ends,
        sample: None,
        cautious: None,
        method: Method::PLANTING_HOURS,
        sources,
        notes: vec![format!(
            "{} stems in a person's hour, over {} entries of the works log",
            number(1.0 / joint.value, 0),
            days.len()
        )],
    })
}
