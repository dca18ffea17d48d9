//! Species that live in the plots: how many, of which growth form and origin, how evenly.

use std::collections::BTreeSet;

use crate::{
    estimate::{Finding, Gap, diversity::Community},
    ledger::{
        Ledger, Member, Series, catalogue,
        fill::{FillContext, Scope},
    },
    project::{Attribute, Benchmark, Form, SpeciesId},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    for scope in context.areas() {
        let community = Community::of(&context.visits(scope), &context.project.species);
        let richness = community.as_ref().map(Community::richness).map_err(Clone::clone);
        ledger.enter_series(&catalogue::RICHNESS, scope, richness);
        let mut index = |series: &Series, of: &dyn Fn(&Community<'_>) -> Finding<f64>| {
            ledger.enter_series(series, scope, community.as_ref().map_err(Clone::clone).and_then(of));
        };
        let sure = context.confidence;
        index(&catalogue::CHAO1, &|found| found.chao1(sure));
        index(&catalogue::SHANNON, &|found| found.shannon(sure));
        index(&catalogue::SIMPSON, &|found| found.simpson(sure));
        index(&catalogue::EVENNESS, &|found| found.evenness(sure));
        if let Ok(community) = &community {
            origins(ledger, context, scope, community);
            forms(ledger, context, scope, community);
            if scope.area.is_none() {
                curve(ledger, scope, community);
            }
        }
    }
}

/// Native and introduced species; what no list tells of is in neither and said beside both.
fn origins(ledger: &mut Ledger, context: &FillContext<'_>, scope: Scope<'_>, community: &Community<'_>) {
    let native = |id: &SpeciesId| context.project.species.get(id).and_then(|species| species.native);
    let unknown = community.species_with(|id| native(id).is_none()).value.0;
    let nothing_known = unknown > 0 && unknown == community.richness().value.0;
    for (series, is) in [(&catalogue::NATIVE_SPECIES, true), (&catalogue::INTRODUCED_SPECIES, false)] {
        let mut count = community.species_with(|id| native(id) == Some(is));
        if unknown > 0 {
            count = count.note(format!("of {unknown} more no list says whether they are native"));
        }
        let count = if nothing_known { Err(Gap::OriginNotStated) } else { Ok(count) };
        ledger.enter_series(series, scope, count);
    }
}

/// Species by growth form; a form that no plot holds has no figure. An area has them where a benchmark asks for them, since the
/// document prints every figure.
fn forms(ledger: &mut Ledger, context: &FillContext<'_>, scope: Scope<'_>, community: &Community<'_>) {
    let project = context.project;
    let form = |id: &SpeciesId| project.species.get(id).and_then(|species| species.form);
    let asked = |form| {
        let asks = |benchmark: &Benchmark| benchmark.attribute == Attribute::FormRichness(form);
        scope.area.is_none()
            || project
                .benchmarks
                .iter()
                .any(|benchmark| asks(benchmark) && benchmark.area.as_ref() == scope.area)
    };
    let forms: BTreeSet<Form> = community.pooled.keys().filter_map(|id| form(id)).collect();
    for one in forms.into_iter().filter(|&form| asked(form)) {
        let named = catalogue::FORM_SPECIES.named([one.word().into(), scope.into()]);
        ledger.enter_named(named, Ok(community.species_with(|id| form(id) == Some(one))));
    }
}

/// The sample-based rarefaction curve: the sizes at which it is kept draw it smoothly, however many plots there are.
fn curve(ledger: &mut Ledger, scope: Scope<'_>, community: &Community<'_>) {
    let plots = community.plots.len();
    for size in sizes(plots) {
        let plots = if size == 1 { "plot" } else { "plots" };
        let size_in_plots = Member::new(size.to_string(), format!("{size} {plots}"));
        ledger
            .enter_named(catalogue::RAREFIED.named([size_in_plots, scope.into()]), community.rarefied(size));
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
