//! Rival accounts: what another table, or fewer of the stems counted, make of the figure that a target asks about.

use crate::{
    ledger::{FigureId, Ledger, Standing, catalogue, print::value_text},
    project::{Bound, Measure, Target},
};

/// What another account makes of a figure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rival {
    /// Whose account it is, such as `the works log`.
    pub(super) of: &'static str,
    /// The number, in the figure's unit.
    pub(super) value: f64,
}

fn reached(bound: Bound, value: f64) -> bool {
    match bound {
        Bound::AtLeast(asked) => value >= asked,
        Bound::AtMost(asked) => value <= asked,
    }
}

/// What to say of a figure whose rival lies on the other side of what was asked.
pub(super) fn turned(ledger: &Ledger, id: &str, bound: Bound) -> Option<String> {
    let (figure, rival) = (ledger.figure(id)?, ledger.rivals.get(id)?);
    let met = reached(bound, rival.value);
    (met != reached(bound, figure.value)).then(|| {
        let word = if met { Standing::Met } else { Standing::NotMet }.words();
        format!("by {} it is {}, and {word}", rival.of, value_text(rival.value, &figure.unit))
    })
}

/// Words of a promise that its measure does not test, with what is known of them.
pub(super) fn untested(ledger: &Ledger, target: &Target) -> Vec<String> {
    let words = target.words.as_deref().unwrap_or_default().to_lowercase();
    let says = |word: &str| words.split(|letter: char| !letter.is_alphanumeric()).any(|one| one == word);
    let mut untested = Vec::new();
    if target.measure == Measure::Area && says("steep") {
        let area = target.area.as_ref();
        let steep = ledger.figure(catalogue::STEEPER_THAN_15.of(area).as_str());
        let plan = ledger.figure(catalogue::AREA.of(area).as_str());
        untested.push(match steep.zip(plan) {
            Some((steep, plan)) => {
                let hectares = value_text(steep.value * plan.value, &plan.unit);
                format!("how steep it is does not count here: {hectares} are of 15° or more")
            }
            None => "how steep it is does not count here".to_owned(),
        });
    }
    let counts = [Measure::SpeciesCount, Measure::Stems, Measure::StemsInPeriod, Measure::Richness];
    if counts.contains(&target.measure) && says("local") {
        untested.push("whether they are local does not count here: see their provenance".to_owned());
    }
    untested
}

/// What to say of a density that stands as it does, `standing`, by stems that sowed themselves; `alone` is how that of the planted
/// stems stands.
pub(super) fn self_sown(
    ledger: &Ledger,
    target: &Target,
    standing: Standing,
    alone: impl FnOnce(&Ledger, FigureId) -> Standing,
) -> Option<String> {
    if target.measure != Measure::Density {
        return None;
    }
    let id = catalogue::PLANTED_ALIVE_DENSITY.of(target.area.as_ref());
    let figure = ledger.figure(id.as_str())?;
    let words = value_text(figure.value, &figure.unit);
    let alone = alone(ledger, id);
    (alone != standing).then(|| format!("planted stems alone are {words}, {}", alone.words()))
}
