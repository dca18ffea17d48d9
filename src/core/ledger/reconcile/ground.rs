//! Hectares of the approval against the map, and slopes of the terrain model against the clinometer.

use crate::{
    estimate::slope,
    ledger::{
        Ledger, catalogue,
        reconcile::{Difference, apart, apart_text},
        rival::Rival,
    },
    problem::{Agreement, Place},
    project::{Area, Project},
    units::{Degrees, number},
};

/// The part by which approved and drawn hectares may differ (common practice, no source).
const APPROVED: f64 = 0.05;

/// How many times steeper or gentler a model may be than a few sightings of the same ground (common practice, no source: both are
/// means over different lines).
const STEEPER: f64 = 1.6;

/// Slopes below this, in degrees, are read too roughly to compare.
const GENTLE: f64 = 2.0;

/// What a wrong unit of height makes of a slope: how many times as steep, and what the heights would then be.
const UNITS: [(f64, &str); 5] = [
    (3.280_84, "heights in feet taken for metres would make that of it"),
    (10.0, "heights in decimetres taken for metres would make that of it"),
    (100.0, "heights in centimetres taken for metres would make that of it"),
    (0.304_8, "heights in metres taken for feet would make that of it"),
    (0.1, "heights in tens of metres would make that of it"),
];

/// How far off the factor of a unit may be for it to be named.
const NEAR: f64 = 0.25;

pub(super) fn compare(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    approved(ledger, project, found);
    slopes(ledger, project, found);
}

fn approved(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    let id = catalogue::AREA.whole();
    let stated = project.approval.as_ref().and_then(|approval| approval.hectares);
    let (Some(stated), Some(mapped)) = (stated, ledger.figure(id.as_str())) else { return };
    let (stated, mapped) = (stated.0, mapped.value);
    if apart(stated, mapped) > APPROVED {
        let kind = Agreement::ApprovedHectaresDiffer {
            approved: number(stated, 2),
            mapped: number(mapped, 2),
            apart: apart_text(stated, mapped),
        };
        let place = Place::file("project.toml").column("approval.hectares");
        let rivals = vec![(id.clone(), Rival { of: "the approval", value: stated })];
        found.push(Difference { doubt: Some((kind, place)), figures: vec![id], rivals });
    }
}

fn slopes(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    // Without a model the figure is the clinometer's own.
    let Some(ground) = &project.ground else { return };
    let pairs: Vec<(&Area, Degrees, Degrees)> = project
        .areas
        .iter()
        .filter_map(|area| {
            let modelled = ledger.figure(catalogue::SLOPE_MEAN.of(Some(&area.id)).as_str())?;
            let read = slope::mean(&project.slopes, &area.id).ok()?;
            (modelled.sources != read.sources).then_some((area, Degrees(modelled.value), read.value))
        })
        .collect();
    let ratio = |modelled: Degrees, read: Degrees| tangent(modelled) / tangent(read);
    // A wrong unit makes all of the ground as much too steep.
    let unit = UNITS.iter().find(|(factor, _)| {
        pairs.iter().all(|(_, modelled, read)| apart(ratio(*modelled, *read), *factor) <= NEAR)
    });
    for (area, modelled, read) in &pairs {
        let times = ratio(*modelled, *read);
        let alike = (1.0 / STEEPER..=STEEPER).contains(&times) || modelled.0.max(read.0) < GENTLE;
        let first = project.slopes.iter().find(|slope| slope.area == area.id);
        let Some(first) = first.filter(|_| !alike) else { continue };
        let kind = Agreement::SlopesDiffer {
            area: area.id.to_string(),
            modelled: format!("{}° ({})", number(modelled.0, 1), ground.file),
            read: format!("{}°", number(read.0, 1)),
            explained: match unit {
                Some((_, words)) => format!(", {} times as steep: {words}", number(times, 1)),
                None => String::new(),
            },
        };
        let figures =
            vec![catalogue::SLOPE_MEAN.of(Some(&area.id)), catalogue::SURFACE_AREA.of(Some(&area.id))];
        let place = Place::row(&first.source).column("slope_deg");
        found.push(Difference { doubt: Some((kind, place)), figures, rivals: Vec::new() });
    }
}

fn tangent(slope: Degrees) -> f64 {
    slope.sin() / slope.cos()
}
