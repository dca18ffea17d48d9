//! Species that live in the plots: how many, of which growth form and origin, how evenly.

use std::collections::BTreeSet;

use crate::{
    estimate::{Estimate, Finding, diversity::Community, visit::Visit},
    ledger::{
        Ledger,
        fill::{Scope, Sorted},
    },
    project::{Form, Species, SpeciesId},
    units::{Count, Unit},
};

/// What the species table can say of where a species belongs.
const ORIGINS: [(&str, &str, Option<bool>); 3] = [
    ("diversity.native-species", "Native species alive in plots", Some(true)),
    ("diversity.introduced-species", "Introduced species alive in plots", Some(false)),
    (
        "diversity.origin-not-stated",
        "Species alive in plots of which no list says whether they are native",
        None,
    ),
];

pub(crate) fn enter(ledger: &mut Ledger, sorted: &Sorted<'_>) {
    for scope in sorted.areas() {
        let visits: Vec<&Visit<'_>> =
            sorted.visits.iter().filter(|visit| scope.holds(&visit.plot.area)).collect();
        let community = Community::of(&visits);
        let richness = community.as_ref().map(Community::richness).map_err(Clone::clone);
        let what = "Species found alive in plots";
        ledger.enter_scope("diversity.richness", what, scope, Unit::Species, richness);
        let mut index = |stem: &str, what: &str, unit, of: &dyn Fn(&Community<'_>) -> Finding<f64>| {
            ledger.enter_scope(
                stem,
                what,
                scope,
                unit,
                community.as_ref().map_err(Clone::clone).and_then(of),
            );
        };
        let sure = sorted.confidence;
        index("diversity.chao1", "Species expected at the least", Unit::Species, &|found| found.chao1(sure));
        index("diversity.shannon", "Shannon's index", Unit::Number, &|found| found.shannon(sure));
        index("diversity.simpson", "Simpson's index", Unit::Number, &|found| found.simpson(sure));
        index("diversity.evenness", "Evenness", Unit::Number, &|found| found.evenness(sure));
        if let Ok(community) = &community {
            kinds(ledger, sorted, scope, community);
            if scope.area.is_none() {
                curve(ledger, scope, community);
            }
        }
    }
}

/// Species by growth form and by origin; a form that no plot holds has no figure.
fn kinds(ledger: &mut Ledger, sorted: &Sorted<'_>, scope: Scope<'_>, community: &Community<'_>) {
    let list = &sorted.project.species;
    let known = |id: &SpeciesId, holds: &dyn Fn(Option<&Species>) -> bool| holds(list.get(id));
    let mut enter = |stem: &str, what: &str, count: Estimate<Count>| {
        ledger.enter_scope(stem, what, scope, Unit::Species, Ok(count));
    };
    for (stem, what, native) in ORIGINS {
        let holds = |species: Option<&Species>| species.and_then(|species| species.native) == native;
        enter(stem, what, community.species_with(|id| known(id, &holds)));
    }
    let forms: BTreeSet<Form> = community.pooled.keys().filter_map(|id| list.get(id)?.form).collect();
    for form in forms {
        let holds = |species: Option<&Species>| species.and_then(|species| species.form) == Some(form);
        let what = format!("Species alive in plots, growth form {}", form.word());
        enter(
            &format!("diversity.form.{}", form.word()),
            &what,
            community.species_with(|id| known(id, &holds)),
        );
    }
}

/// The sample-based rarefaction curve: the sizes at which it is kept draw it smoothly, however many plots there are.
fn curve(ledger: &mut Ledger, scope: Scope<'_>, community: &Community<'_>) {
    let plots = community.plots.len();
    for size in sizes(plots) {
        let id = scope.id(&format!("diversity.rarefied.{size}"));
        let plots = if size == 1 { "plot" } else { "plots" };
        let label = scope.label(&format!("Species expected in {size} {plots}"));
        ledger.enter(id, label, Unit::Number, community.rarefied(size));
    }
}

/// Each number of plots to ten, then some, and all; none where there is but one plot.
fn sizes(plots: usize) -> Vec<usize> {
    const STEPS: [usize; 7] = [12, 15, 20, 30, 40, 60, 80];
    let hundreds = (1..).map(|hundred| 100 * hundred).take_while(|&size| size < 1_000);
    let sizes = (1..=10).chain(STEPS).chain(hundreds).filter(|&size| size < plots);
    if plots < 2 { Vec::new() } else { sizes.chain([plots]).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_ends_at_its_plots_and_stays_short() {
        assert_eq!(sizes(1), Vec::<usize>::new());
        assert_eq!(sizes(3), [1, 2, 3]);
        assert_eq!(sizes(12).last(), Some(&12));
        assert!(sizes(50_000).len() < 30 && sizes(50_000).is_sorted());
    }
}
