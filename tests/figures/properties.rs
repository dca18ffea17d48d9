//! What must hold of every ledger, tried on projects drawn at random.

use hillfolio_core::{
    ledger::{self, Ledger},
    project::*,
    units::{SquareMetres, Stems},
};
use proptest::prelude::*;

use crate::support::small_project;

/// Alive, dead and missing stems and recruits of every tally row, and stems of every planting row.
type Draw = (Vec<(u64, u64, u64, u64)>, Vec<u64>);

fn draw() -> impl Strategy<Value = Draw> {
    let tally = (0..40_u64, 0..10_u64, 0..4_u64, 0..6_u64);
    (prop::collection::vec(tally, 8), prop::collection::vec(1..3000_u64, 4))
}

fn project((tallies, plantings): &Draw) -> Project {
    let mut project = small_project();
    for (tally, &(alive, dead, missing, recruits)) in project.tallies.iter_mut().zip(tallies) {
        tally.alive = Stems(alive);
        tally.dead = Some(Stems(dead));
        tally.missing = Some(Stems(missing));
        tally.recruits = Some(Stems(recruits));
    }
    for (planting, &stems) in project.plantings.iter_mut().zip(plantings) {
        planting.stems = Stems(stems);
    }
    project
}

fn value(ledger: &Ledger, id: &str) -> Option<f64> {
    ledger.figure(id).map(|figure| figure.value)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

    #[test]
    fn an_interval_holds_its_estimate_and_shares_stay_between_nothing_and_all(draw in draw()) {
        let ledger = ledger::fill(&project(&draw));
        for (id, entry) in ledger.iter() {
            let ledger::Entry::Figure(figure) = entry else { continue };
            prop_assert!(figure.value.is_finite(), "{}", id);
            if let Some(ends) = figure.interval {
                prop_assert!(ends.low <= figure.value && figure.value <= ends.high, "{} {:?}", id, figure);
            }
            if id.as_str().starts_with("survival") {
                let ends = figure.interval.map_or((figure.value, figure.value), |ends| (ends.low, ends.high));
                prop_assert!(0.0 <= ends.0 && ends.1 <= 1.0, "{} {:?}", id, figure);
            }
        }
        let (worst, best) = (value(&ledger, "survival.all"), value(&ledger, "survival.bound-all-missing-alive.all"));
        prop_assert!(worst.unwrap_or(0.0) <= best.unwrap_or(1.0) + 1e-12);
    }

    #[test]
    fn the_order_of_rows_does_not_matter(draw in draw(), turn in 0..8_usize) {
        let usual = project(&draw);
        let mut turned = usual.clone();
        turned.tallies.rotate_left(turn);
        turned.plots.rotate_left(turn % 4);
        turned.plantings.reverse();
        turned.stems.reverse();
        prop_assert_eq!(ledger::csv(&ledger::fill(&usual)).unwrap(), ledger::csv(&ledger::fill(&turned)).unwrap());
    }

    #[test]
    fn a_log_ten_times_as_long_leaves_survival_where_it_is(draw in draw()) {
        // With at least as many stems planted as set in plots, so that the log alone weights the strata.
        let mut few = project(&draw);
        few.plantings.iter_mut().for_each(|planting| planting.stems.0 += 300);
        let mut many = few.clone();
        many.plantings.iter_mut().for_each(|planting| planting.stems.0 *= 10);
        let (few, many) = (ledger::fill(&few), ledger::fill(&many));
        match (value(&few, "survival.all"), value(&many, "survival.all")) {
            (Some(few), Some(many)) => prop_assert!((few - many).abs() < 1e-12),
            (few, many) => prop_assert_eq!(few, many),
        }
    }

    #[test]
    fn plots_twice_as_large_halve_the_density(draw in draw()) {
        let small = project(&draw);
        let mut large = small.clone();
        large.plots.iter_mut().for_each(|plot| plot.shape = PlotShape::Area(SquareMetres(200.0)));
        let (small, large) = (ledger::fill(&small), ledger::fill(&large));
        for id in ["density.all", "density.north-face", "recruits.all"] {
            let (one, other) = (value(&small, id).unwrap(), value(&large, id).unwrap());
            prop_assert!((one - 2.0 * other).abs() < 1e-6, "{}: {} {}", id, one, other);
        }
    }

    #[test]
    fn stems_by_species_and_by_area_add_up_to_all(draw in draw()) {
        let ledger = ledger::fill(&project(&draw));
        let sum = |stem: &str, but: &str| -> f64 {
            let under = ledger.iter().filter(|(id, _)| id.as_str().starts_with(stem) && id.as_str() != but);
            under.filter_map(|(id, _)| value(&ledger, id.as_str())).sum()
        };
        let all = value(&ledger, "plantings.stems.all").unwrap();
        prop_assert_eq!(sum("plantings.species-stems.", ""), all);
        prop_assert_eq!(sum("plantings.stems.", "plantings.stems.all"), all);
        prop_assert_eq!(sum("plantings.cohort-stems.", ""), all);
    }
}
