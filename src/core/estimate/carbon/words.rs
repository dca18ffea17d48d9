//! What a reader must know of how plants were taken and where the spread comes from.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        carbon::{
            plot_mass::{PlotMass, Taken, taken},
            uncertainty::{DRAWS, Parts},
            wood::Level,
        },
        listed,
    },
    project::{CarbonRules, RootRule},
    units::{number, percent, whole},
};

/// How many plots a figure rests on.
pub(crate) fn plots(plots: usize) -> String {
    format!("from {}", counted(plots as u64, "plot", "plots"))
}

/// How the plants of `plots` were taken.
pub(crate) fn of_plots(masses: &[&PlotMass<'_>], rules: &CarbonRules) -> Vec<String> {
    let taken = taken(masses);
    let mut notes = vec![format!(
        "{} with {}",
        plots(masses.len()),
        counted(taken.weighed, "plant weighed by its diameter", "plants weighed by their diameters")
    )];
    let mut say = |number: u64, one: &str, many: &str| {
        if number > 0 {
            notes.push(counted(number, one, many));
        }
    };
    say(
        taken.counted,
        "living stem beyond those measured is taken for the mean of its species",
        "living stems beyond those measured are taken for the mean of their species",
    );
    say(
        taken.seedlings,
        "living plant carries no carbon here, being a seedling or without wood",
        "living plants carry no carbon here, being seedlings or without wood",
    );
    say(
        taken.wanting,
        "plant is left out because its diameter or another measure is wanting",
        "plants are left out because their diameter or another measure is wanting",
    );
    say(
        taken.unmeasured,
        "counted stem is left out because no plant of its species was measured",
        "counted stems are left out because no plant of their species was measured",
    );
    say(
        taken.converted,
        "diameter was converted from another height on the stem",
        "diameters were converted from another height on the stem",
    );
    if taken.outside > 0 {
        let above: f64 = masses.iter().map(|plot| plot.above).sum();
        let share = if above > 0.0 { taken.outside_mass / above } else { 0.0 };
        let plants = counted(
            taken.outside,
            "plant lies beyond the sizes that its equation was fitted to",
            "plants lie beyond the sizes that their equations were fitted to",
        );
        notes.push(format!("{plants}, with {} of the mass", percent(share.min(1.0), 0)));
    }
    notes.push(equations(&taken));
    notes.extend(wood(&taken));
    if !taken.misnamed.is_empty() {
        let species: Vec<String> = taken.misnamed.iter().map(ToString::to_string).collect();
        notes.push(format!(
            "the species table asks for an equation that is not known, so the usual one was taken for {}",
            listed(&species)
        ));
    }
    notes.push(roots(&rules.roots));
    notes
}

fn equations(taken: &Taken<'_>) -> String {
    let of = |holds: fn(&str) -> Option<&'static str>| -> Vec<String> {
        taken.equations.iter().filter_map(|&id| holds(id).map(str::to_owned)).collect()
    };
    let rest = taken.equations.iter().filter(|id| paul(id).or(refitted(id)).is_none());
    let rest: Vec<String> = rest.map(|&id| id.to_owned()).collect();
    let parts = [
        ("of Paul et al. (2016) for ", of(paul)),
        ("refitted to harvested plants for ", of(refitted)),
        ("as the species table asks: ", rest),
    ];
    let said: Vec<String> = parts
        .iter()
        .filter(|(_, kinds)| !kinds.is_empty())
        .map(|(source, kinds)| format!("{source}{}", listed(kinds)))
        .collect();
    if said.is_empty() {
        "no equation was needed".to_owned()
    } else {
        format!("equations {}", said.join("; "))
    }
}

/// The plants that an equation of Paul et al. (2016) is for.
fn paul(id: &str) -> Option<&'static str> {
    Some(match id {
        "shrub_d10" => "shrubs",
        "multi_d10" => "wattles and trees of many stems",
        "euc_d130" => "eucalypts",
        "other_high_d130" => "other trees with dense wood",
        "other_low_d130" => "other trees with light wood",
        _ => return None,
    })
}

/// The plants that a refitted equation is for.
fn refitted(id: &str) -> Option<&'static str> {
    Some(match id {
        "euc_d10_refit" => "eucalypt saplings",
        "other_high_d10_refit" => "saplings of other trees",
        "universal_d10_refit" | "universal_d130_refit" => "plants of no known group",
        "euc_height_refit" => "eucalypts of which only the height is known",
        _ => return None,
    })
}

fn wood(taken: &Taken<'_>) -> Option<String> {
    let mut levels: BTreeMap<Level, Vec<String>> = BTreeMap::new();
    for (level, species) in &taken.wood {
        levels.entry(*level).or_default().push(species.to_string());
    }
    let levels: Vec<String> =
        levels.iter().map(|(level, species)| format!("{} for {}", level.words(), listed(species))).collect();
    match (levels.is_empty(), taken.equations.is_empty()) {
        (false, _) => Some(format!("wood density by {}", levels.join("; "))),
        // A reader who looks for it must find that it was not forgotten.
        (true, false) => Some("wood density takes no part in these equations".to_owned()),
        (true, true) => None,
    }
}

fn roots(rule: &RootRule) -> String {
    match rule {
        RootRule::EachPlant => "roots plant by plant".to_owned(),
        RootRule::Ratio(ratio) => {
            format!("roots {} of what stands above the ground, as the folder says", number(*ratio, 2))
        }
        RootRule::Zone(zone) => format!("roots by the ratio for {zone}"),
        RootRule::Cairns => "roots by the stand equation of Cairns et al. (1997)".to_owned(),
        RootRule::Mokany => "roots by the stand equation of Mokany et al. (2006)".to_owned(),
    }
}

/// What the spread comes from, by closed form, beside which the draws can be held.
pub(crate) fn spread(parts: &Parts) -> Option<String> {
    if parts.error.is_nan() || parts.mean == 0.0 {
        return None;
    }
    let named = [
        ("sampling", parts.sampling()),
        ("equations", parts.model),
        ("roots", parts.roots),
        ("carbon fraction", parts.fraction),
        ("boundary", parts.area),
    ];
    let named: Vec<String> =
        named.iter().map(|(name, part)| format!("{name} {}", percent(*part, 0))).collect();
    Some(format!(
        "standard error {} in closed form, from {}; the limits are by {} draws with a fixed seed",
        percent(parts.closed_form(), 0),
        named.join(", "),
        whole(DRAWS.into())
    ))
}

fn counted(number: u64, one: &str, many: &str) -> String {
    format!("{} {}", whole(number), if number == 1 { one } else { many })
}
