//! Carbon of the small project, with diameters put in, against sums done by hand.

use hillfolio_core::{
    ledger::{self, Ledger},
    project::*,
    units::{Metres, Stems},
};

use crate::support::{day, row, small_project};

const DIOXIDE: f64 = 0.47 * 44.0 / 12.0;

/// kg of a blackwood by the many-stemmed group of Paul et al. (2016), and of its roots by Paul et al. (2019), D at 10 cm.
fn blackwood(cm: f64) -> (f64, f64) {
    (1.079 * (-2.757 + 2.474 * cm.ln()).exp(), 1.160 * (-3.553 + 2.185 * cm.ln()).exp())
}

/// The small project with a diameter at the base on every stem, of as many millimetres as the row's number times `growth`.
fn measured(growth: f64) -> Project {
    let mut project = small_project();
    for stem in &mut project.stems {
        stem.diameter_mm = Some(10.0 + f64::from(stem.source.row) * growth);
        stem.diameter_at = Some(DiameterAt::Base);
    }
    project
}

fn value(ledger: &Ledger, id: &str) -> f64 {
    ledger.figure(id).unwrap_or_else(|| panic!("no {id}: {:?}", ledger.get(id))).value
}

#[test]
fn a_plot_stands_for_its_area_and_counted_stems_for_those_not_measured() {
    let mut project = measured(4.0);
    project.stems.retain(|stem| {
        &*stem.species.0 == "Acacia melanoxylon" && &*stem.plot.0 != "G1" && &*stem.plot.0 != "G2"
    });
    project.tallies.retain(|tally| &*tally.species.0 == "Acacia melanoxylon");
    let ledger = ledger::fill(&project);
    // Each plot of 100 m² has two measured blackwoods, which stand for 12 and for 10 alive.
    let plot = |rows: [f64; 2], alive: f64| {
        let trees = rows.map(|row| blackwood((10.0 + 4.0 * row) / 10.0));
        let mean = |of: fn(&(f64, f64)) -> f64| trees.iter().map(of).sum::<f64>() / 2.0;
        (mean(|tree| tree.0) * alive / 10.0, mean(|tree| tree.1) * alive / 10.0)
    };
    let (n1, n2) = (plot([2.0, 6.0], 12.0), plot([3.0, 7.0], 10.0));
    let (above, below) = ((n1.0 + n2.0) / 2.0, (n1.1 + n2.1) / 2.0);
    assert!((value(&ledger, "carbon.above-ground.north-face") - above * 0.47).abs() < 1e-9);
    assert!((value(&ledger, "carbon.below-ground.north-face") - below * 0.47).abs() < 1e-9);
    let hectares = value(&ledger, "site.area.north-face");
    let stock = (above + below) * DIOXIDE * hectares;
    assert!((value(&ledger, "carbon.stock.north-face") - stock).abs() < 1e-6);
    let figure = ledger.figure("carbon.stock.all").unwrap();
    assert!((figure.value - stock).abs() < 1e-6, "an area without a measured plot is left out");
    let notes = figure.notes.join("; ");
    assert!(notes.contains("18 living stems beyond those measured"), "{notes}");
    assert!(notes.contains("no stem was measured in it: G1, G2"), "{notes}");
    assert!(notes.contains("no plot tells of it: Gully head"), "{notes}");
    let interval = figure.interval.unwrap();
    assert!(interval.low < stock && stock < interval.high && interval.low >= 0.0);
    assert!(value(&ledger, "carbon.stock-cautious.all") <= stock);
}

#[test]
fn heights_alone_claim_nothing_and_say_so() {
    let mut project = small_project();
    assert!(ledger::fill(&project).get("carbon.stock.all").is_none(), "nobody measured and nobody asked");
    project.targets[0].measure = Measure::CarbonStock;
    let ledger = ledger::fill(&project);
    assert_eq!(ledger.targets[0].because, "no stem diameter was measured there by the end of the period");
    project = measured(4.0);
    project.stems[0].diameter_mm = None;
    project.stems[1].diameter_mm = Some(8.0);
    let notes = ledger::fill(&project).figure("carbon.stock.all").unwrap().notes.join("; ");
    assert!(notes.contains("2 living plants carry no carbon here"), "{notes}");
}

#[test]
fn stems_of_one_tag_are_one_plant() {
    let mut project = measured(0.0);
    project.tallies.clear();
    project.plots.truncate(2);
    project.stems.truncate(2);
    for (stem, mm) in project.stems.iter_mut().zip([30.0, 40.0]) {
        (stem.tag, stem.diameter_mm, stem.plot) = (Some("T1".into()), Some(mm), PlotId("N1".into()));
    }
    let one = value(&ledger::fill(&project), "carbon.above-ground.north-face");
    assert!((one - blackwood(5.0).0 * 0.47 / 10.0).abs() < 1e-9, "√(3² + 4²) = 5");
    project.stems[0].tag = None;
    project.stems[1].tag = None;
    project.stems[1].stem = Some(2);
    assert!((value(&ledger::fill(&project), "carbon.above-ground.north-face") - one).abs() < 1e-12);
    project.stems[1].stem = None;
    assert!(
        value(&ledger::fill(&project), "carbon.above-ground.north-face") < one,
        "two plants weigh less than one"
    );
}

#[test]
fn roots_follow_the_rule_of_the_folder() {
    let mut project = measured(4.0);
    let above = value(&ledger::fill(&project), "carbon.above-ground.all");
    project.carbon.roots = RootRule::Ratio(0.25);
    assert!((value(&ledger::fill(&project), "carbon.below-ground.all") - 0.25 * above).abs() < 1e-9);
    project.carbon.roots = RootRule::Zone("subtropical humid");
    assert!((value(&ledger::fill(&project), "carbon.below-ground.all") - 0.20 * above).abs() < 1e-9);
    project.carbon.roots = RootRule::Cairns;
    assert!(value(&ledger::fill(&project), "carbon.below-ground.all") > 0.0);
}

#[test]
fn two_surveys_give_a_gain_and_a_curve_carries_it_forward() {
    let mut project = measured(4.0);
    let earlier = measured(1.0).stems.into_iter().map(|stem| Stem { date: day("2025-11-20"), ..stem });
    project.stems.extend(earlier);
    let tallies: Vec<Tally> =
        project.tallies.iter().map(|tally| Tally { date: day("2025-11-20"), ..tally.clone() }).collect();
    project.tallies.extend(tallies);
    let ledger = ledger::fill(&project);
    let (then, now) =
        (value(&ledger, "carbon.stock.at.2025-11-20.all"), value(&ledger, "carbon.stock.at.2026-05-13.all"));
    assert!((now - value(&ledger, "carbon.stock.all")).abs() < 1e-9);
    let gain = ledger.figure("carbon.stock-change.all").unwrap();
    assert!((gain.value - (now - then)).abs() < 1e-6, "the same plots stood in both surveys");
    let interval = gain.interval.unwrap();
    assert!(interval.low < gain.value && gain.value < interval.high);
    assert!(ledger.get("carbon.projection.2036.all").is_none(), "no age of fastest growth was given");
    project.carbon.fastest_growth = Some([10.0, 5.0, 15.0]);
    let young = ledger::fill(&project);
    let entry = format!("{:?}", young.get("carbon.projection.2036.all"));
    assert!(entry.contains("wants 3 or more"), "{entry}");
    for planting in &mut project.plantings {
        planting.date = day("2020-05-13");
    }
    project.carbon.most = Some(10_000.0);
    let ledger = ledger::fill(&project);
    let projected = ledger.figure("carbon.projection.2036.all").unwrap();
    // Six years old at the survey, 16.13 at the end of June 2036; k = 18.75.
    let (now_age, then_age) = (2191.0 / 365.25, (2191.0 + 3701.0) / 365.25);
    let expected = now * (18.75_f64 / now_age - 18.75 / then_age).exp();
    assert!((projected.value / expected - 1.0).abs() < 2e-3, "{} {expected}", projected.value);
    assert!(projected.notes[0].contains("not a measurement"));
    project.carbon.most = Some(0.001);
    let capped = value(&ledger::fill(&project), "carbon.projection.2036.all");
    assert!((capped - now).abs() < 1e-6, "a stock above the most stays as it is");
}

#[test]
fn a_named_equation_wants_its_height_and_wood() {
    let mut project = measured(60.0);
    let mut tall = project.species.get(&project.stems[0].species).unwrap().clone();
    tall.allometry = Some("chave2014_eq4".to_owned());
    project.species.put(tall.clone());
    project
        .stems
        .iter_mut()
        .for_each(|stem| (stem.diameter_at, stem.height) = (Some(DiameterAt::Breast), Some(Metres(9.0))));
    let ledger = ledger::fill(&project);
    let notes = ledger.figure("carbon.stock.all").unwrap().notes.join("; ");
    assert!(notes.contains("chave2014_eq4"), "{notes}");
    assert!(notes.contains("a middling value for Acacia melanoxylon"), "{notes}");
    project.stems[0].height = None;
    let notes = ledger::fill(&project).figure("carbon.stock.all").unwrap().notes.join("; ");
    assert!(notes.contains("1 plant is left out"), "{notes}");
    tall.allometry = Some("my own".to_owned());
    project.species.put(tall);
    let notes = ledger::fill(&project).figure("carbon.stock.all").unwrap().notes.join("; ");
    assert!(notes.contains("an equation that is not known"), "{notes}");
}

#[test]
fn one_plot_has_no_interval_and_an_empty_one_counts() {
    let mut project = measured(4.0);
    project.plots.truncate(1);
    project.stems.retain(|stem| &*stem.plot.0 == "N1");
    project.tallies.retain(|tally| &*tally.plot.0 == "N1");
    let ledger = ledger::fill(&project);
    assert_eq!(ledger.figure("carbon.stock.north-face").unwrap().interval, None);
    assert!(ledger.figure("carbon.stock-cautious.north-face").is_none());
    let alone = value(&ledger, "carbon.above-ground.north-face");
    project.plots.push(Plot {
        id: PlotId("N9".into()),
        source: row("plots.csv", 9),
        ..project.plots[0].clone()
    });
    let dead = Tally {
        plot: PlotId("N9".into()),
        alive: Stems(0),
        dead: Some(Stems(9)),
        ..project.tallies[0].clone()
    };
    project.tallies.push(dead);
    let halved = value(&ledger::fill(&project), "carbon.above-ground.north-face");
    assert!((halved - alone / 2.0).abs() < 1e-12, "a plot where all died is a plot with nothing on it");
}
