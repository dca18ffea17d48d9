//! Factors of soil loss that were given and lie far from where they are found.

use crate::{
    intake::whole::SETTINGS,
    problem::{Place, Problem, Surveyed},
    project::{Project, Soil},
    units::{as_written, number},
};

/// Erodibility in the customary units of the United States, as a part of the same in t.ha.h/(ha.MJ.mm): Foster et al. (1981),
/// *Conversion of the universal soil loss equation to SI metric units* (from memory).
const CUSTOMARY: f64 = 0.1317;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let erosivity = project.soil.erosivity.filter(|r| *r > 0.0 && !Soil::EROSIVITIES.contains(r));
    if let Some(given) = erosivity {
        let (low, high) = (*Soil::EROSIVITIES.start(), *Soil::EROSIVITIES.end());
        let (factor, then) = match given < low {
            true if given * 10.0 >= low => (10.0, "ten times as much"),
            true => (100.0, "a hundred times as much"),
            false if given / 10.0 <= high => (0.1, "a tenth"),
            false => (0.01, "a hundredth"),
        };
        let beside = format!("outside {} to {}, where values are found", number(low, 0), number(high, 0));
        tell("an erosivity", "erosivity", given, beside, factor, then, problems);
    }
    let erodibility = project.soil.k.filter(|k| *k > *Soil::ERODIBILITIES.end());
    if let Some(given) = erodibility {
        let beside = format!("beyond {}, the most that soils have", as_written(*Soil::ERODIBILITIES.end()));
        let (factor, then) = match given * CUSTOMARY <= *Soil::ERODIBILITIES.end() {
            true => (CUSTOMARY, "the same if it is in the customary units of the United States"),
            false => (0.1, "a tenth"),
        };
        tell("an erodibility", "k", given, beside, factor, then, problems);
    }
}

fn tell(
    what: &'static str,
    column: &str,
    given: f64,
    beside: String,
    factor: f64,
    then: &'static str,
    problems: &mut Vec<Problem>,
) {
    let meant = given * factor;
    let kind = Surveyed::ErosionFactorUnusual {
        factor: what,
        given: as_written(given).into(),
        beside: beside.into(),
        meant: if meant < 1.0 { number(meant, 4) } else { number(meant, 0) }.into(),
        then,
        change: format!("{} times", number(factor, if factor < 1.0 { 2 } else { 0 })).into(),
    };
    problems.push(Problem::new(kind, Place::file(SETTINGS).column(column)));
}
