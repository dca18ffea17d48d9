//! The ledger of the small project: every figure, how it is written, explained and judged.

use hillfolio_core::{
    estimate::Method,
    ledger::{self, Entry, LedgerRecord, Standing},
    project::*,
    units::{Metres, SquareMetres, Stems},
};

use crate::support::{area_id, day, money, row, small_project, species_id};

/// The whole ledger as a table.
fn table(project: &Project) -> String {
    String::from_utf8(ledger::csv(&ledger::fill(project)).unwrap()).unwrap()
}

/// Before the snapshot was first kept, its numbers were worked out again outside the program in Python: survival, densities,
/// recruits, medians and their intervals from the equations with scipy's t, gamma and binomial quantiles; areas, perimeters
/// and lengths with geographiclib 2.1; all agreed to 1e-8. Counts, sums and money were added up by hand.
#[test]
fn every_figure_of_the_small_project() {
    insta::assert_snapshot!(table(&small_project()));
}

#[test]
fn the_file_of_figures_is_stable_and_whole() {
    let project = small_project();
    let record = || LedgerRecord::of(&ledger::fill(&project), &project, &[], "0.1.0");
    let text = record().json().unwrap();
    assert_eq!(text, record().json().unwrap());
    let file: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file["format"], "hillfolio-figures/1");
    assert_eq!(file["period"]["to"], "2026-06-30");
    assert_eq!(file["inputs"][0]["path"], "plantings.csv");
    let (figures, gaps) = (file["figures"].as_array().unwrap(), file["gaps"].as_array().unwrap());
    assert_eq!(figures.len() + gaps.len(), ledger::fill(&project).iter().count());
    for figure in figures {
        let value = figure["value"].as_f64().unwrap();
        if let Some(low) = figure.get("low") {
            assert!(low.as_f64().unwrap() <= value && value <= figure["high"].as_f64().unwrap(), "{figure}");
            assert_eq!(figure["confidence"], 0.9, "{figure}");
        }
    }
    let target = &file["targets"][0];
    assert_eq!(target["required"]["at_least"], 0.8);
    assert_eq!((&target["area"], &target["figure"]), (&"all".into(), &"survival.all".into()));
    assert_eq!(target["standing"], "probably met");
}

/// Every method as the appendix prints it: coefficients come from where they are used, and what is printed of them stays.
#[test]
fn every_method_in_words() {
    let words = |method: Method| {
        let (equation, assumptions) = (method.equation(), method.assumptions());
        [method.id(), method.title(), &equation, &assumptions, method.reference()].join("\n")
    };
    insta::assert_snapshot!(Method::all().map(words).collect::<Vec<_>>().join("\n\n"));
}

/// Read and written again, the file is the same, but for the last digit of numbers: readers of JSON may miss it.
#[test]
fn the_file_of_figures_is_read_back_and_written_again() {
    let project = small_project();
    let text = LedgerRecord::of(&ledger::fill(&project), &project, &[], "0.1.0").json().unwrap();
    let again = LedgerRecord::read(text.as_bytes()).unwrap().json().unwrap();
    assert_eq!(again.lines().count(), text.lines().count());
    for (line, line_again) in text.lines().zip(again.lines()) {
        let number = |line: &str| line.rsplit_once(": ")?.1.trim_end_matches(',').parse::<f64>().ok();
        match (number(line), number(line_again)) {
            (Some(one), Some(other)) => {
                assert!((one - other).abs() <= 2.0 * f64::EPSILON * one.abs(), "{line} {line_again}");
            }
            _ => assert_eq!(line, line_again),
        }
    }
}

#[test]
fn a_figure_is_laid_open_and_a_slip_finds_its_neighbours() {
    let project = small_project();
    let ledger = ledger::fill(&project);
    let explained = ledger::explain(&ledger, &project, "plantings.stems.all").unwrap();
    assert_eq!(explained.value, "3,500\u{a0}stems");
    assert_eq!(explained.sources[0].rows, "2-5");
    assert!(explained.sources[0].sha256.is_some());
    let gap = ledger::explain(&ledger, &project, "terrain.slope.mean.gully-head").unwrap();
    assert_eq!(gap.value, "not given: no slope was measured there");
    assert_eq!(ledger::explain(&ledger, &project, "survivl.all"), None);
    assert_eq!(ledger::nearest(&ledger, "survivl.all")[0], "survival.all");
    assert_eq!(ledger::nearest(&ledger, "recruits")[0].split('.').next(), Some("recruits"));
}

/// The standings and reasons of the small project with one more target of each measure.
#[test]
fn every_measure_finds_its_figure_or_says_why_not() {
    let mut project = small_project();
    let grass = || "native grass".to_owned();
    let measures = [
        (Measure::Density, Standing::NotShown),
        (Measure::Recruits, Standing::NotMet),
        (Measure::SpeciesCount, Standing::NotMet),
        (Measure::Stems, Standing::Met),
        (Measure::StemsInPeriod, Standing::Met),
        (Measure::Richness, Standing::NotMet),
        (Measure::Area, Standing::NotMet),
        (
            Measure::Length { kind: FeatureKind::Fence, standing: hillfolio_core::project::Standing::New },
            Standing::NotMet,
        ),
        (
            Measure::Length { kind: FeatureKind::Track, standing: hillfolio_core::project::Standing::New },
            Standing::NotMeasured,
        ),
        (Measure::Hours { basis: Basis::Volunteer }, Standing::NotMet),
        (Measure::Quantity { task: "planting".to_owned() }, Standing::Met),
        (Measure::Quantity { task: "Mulching".to_owned() }, Standing::NotMeasured),
        (Measure::Spend { line: None }, Standing::Met),
        (Measure::Spend { line: Some("plants and guards".to_owned()) }, Standing::Met),
        (Measure::Height { species: species_id("Acacia melanoxylon") }, Standing::NotMet),
        (Measure::PhotoPairs, Standing::NotMet),
        (Measure::Cover { layer: Layer::Ground, cover: grass() }, Standing::NotMeasured),
        (Measure::CarbonStock, Standing::NotMeasured),
        (Measure::ErosionRatio, Standing::NotMeasured),
    ];
    let template = project.targets[0].clone();
    let target = |(measure, _): &(Measure, Standing)| Target {
        measure: measure.clone(),
        bound: Bound::AtLeast(2000.0),
        ..template.clone()
    };
    project.targets = measures.iter().map(target).collect();
    let ledger = ledger::fill(&project);
    for ((measure, standing), judged) in measures.iter().zip(&ledger.targets) {
        assert_eq!(judged.standing, *standing, "{measure:?}: {}", judged.because);
        assert!(!judged.because.is_empty(), "{measure:?}");
    }
    project.targets.truncate(1);
    project.targets[0].by = Some(day("2026-07-01"));
    assert_eq!(ledger::fill(&project).targets[0].standing, Standing::NotDue);
}

#[test]
fn hours_of_one_area_are_not_passed_off_as_those_of_all() {
    let mut project = small_project();
    project.targets[0].measure = Measure::Hours { basis: Basis::Volunteer };
    project.targets[0].area = Some(area_id("North face"));
    let judged = &ledger::fill(&project).targets[0];
    assert_eq!(judged.standing, Standing::NotMeasured);
    assert_eq!(judged.because, "hours are kept for the whole site, not by area");
}

fn notes(project: &Project, id: &str) -> String {
    ledger::fill(project).figure(id).unwrap_or_else(|| panic!("no {id}")).notes.join("; ")
}

#[test]
fn only_the_latest_visit_up_to_the_periods_end_counts() {
    let mut project = small_project();
    let headlines = |project: &Project| {
        let csv = table(project);
        // Earlier rounds have figures of their own, under their day.
        csv.lines().filter(|line| !line.contains(".at.2")).map(str::to_owned).collect::<Vec<_>>()
    };
    let expected = headlines(&project);
    let mut earlier = project.tallies[0].clone();
    earlier.date = day("2025-12-01");
    earlier.alive = Stems(1);
    let later = Tally { date: day("2026-07-01"), ..earlier.clone() };
    project.tallies.extend([earlier, later]);
    assert_eq!(headlines(&project), expected);
}

#[test]
fn one_plot_is_never_more_than_likely() {
    let mut project = small_project();
    project.plots.truncate(1);
    project.tallies.retain(|tally| &*tally.plot.0 == "N1");
    project
        .tallies
        .iter_mut()
        .for_each(|tally| (tally.dead, tally.missing) = (Some(Stems(0)), Some(Stems(0))));
    project.targets[0].bound = Bound::AtLeast(0.5);
    let ledger = ledger::fill(&project);
    let survival = ledger.figure("survival.all").unwrap();
    assert_eq!(survival.method.id(), "survival/one-plot");
    // 20 of 20 of the stems that the log has of the area, worth 20 / (1 − f) / (1 + 19 · 0.2) drawn singly (Clopper–Pearson in closed form
    // for p = 1).
    let planted: u64 =
        project.plantings.iter().filter(|row| row.area == project.plots[0].area).map(|row| row.stems.0).sum();
    let worth = 20.0 / (1.0 - 20.0 / planted as f64) / 4.8;
    assert!((survival.interval.unwrap().low - 0.05_f64.powf(1.0 / worth)).abs() < 1e-9);
    assert!(notes(&project, "survival.all").contains("left out, because no plot tells of it: Gully head"));
    assert_eq!(ledger.targets[0].standing, Standing::ProbablyMet);
    let density = ledger.figure("density.all").unwrap();
    assert_eq!(density.interval, None);
}

#[test]
fn plots_that_all_agree_are_not_taken_for_certain() {
    let mut project = small_project();
    project
        .tallies
        .iter_mut()
        .for_each(|tally| (tally.dead, tally.missing) = (Some(Stems(0)), Some(Stems(0))));
    let ledger = ledger::fill(&project);
    let survival = ledger.figure("survival.all").unwrap();
    assert_eq!((survival.value, survival.method.id()), (1.0, "survival/stratified-ratio"));
    // Lower than of 78 stems drawn singly, 0.05^(1/78), and than the eighth of the ground that no plot may have met.
    let low = survival.interval.unwrap().low;
    assert!(low < 0.05_f64.powf(1.0 / 78.0) && low <= 0.9 && low > 0.6, "{low}");
}

#[test]
fn stems_set_stand_in_for_dead_and_missing_ones() {
    let mut project = small_project();
    for tally in &mut project.tallies {
        (tally.dead, tally.missing) = (None, None);
    }
    let untold = ledger::fill(&project);
    let Some(Entry::Missing(missing)) = untold.get("survival.all") else { panic!("a figure from nothing") };
    assert!(missing.reason.starts_with("neither dead and missing stems"), "{}", missing.reason);
    for (plot, set) in project.plots.iter_mut().zip([23, 21, 23, 22]) {
        plot.planted_stems = Some(Stems(set));
    }
    let told = ledger::fill(&project).figure("survival.all").unwrap().clone();
    let usual = ledger::fill(&small_project()).figure("survival.all").unwrap().clone();
    assert_eq!((told.value, told.interval), (usual.value, usual.interval));
}

/// Nine tenths of the stems of North face stand on the ridge; as many plots lie in the gully.
#[test]
fn a_stratum_weighs_by_its_size_and_not_by_its_plots() {
    let mut project = small_project();
    let named = |name: &str, stems| Some(Stratum { name: name.to_owned(), stems, hectares: None });
    project.plots[0].stratum = named("ridge", Some(Stems(1800)));
    project.plots[1].stratum = named("gully", Some(Stems(200)));
    let found = ledger::fill(&project).figure("survival.north-face").unwrap().clone();
    let alone = |plot: usize| {
        let mut one = small_project();
        one.plots = vec![one.plots[plot].clone()];
        one.tallies.retain(|tally| tally.plot == one.plots[0].id);
        ledger::fill(&one).figure("survival.north-face").unwrap().value
    };
    assert!((found.value - 0.9 * alone(0) - 0.1 * alone(1)).abs() < 1e-12, "{found:?}");
    // Without sizes the plots are one stratum, and that is said.
    project.plots[0].stratum = named("ridge", None);
    project.plots[1].stratum = named("gully", None);
    let pooled = ledger::fill(&project).figure("survival.north-face").unwrap().clone();
    assert_eq!(pooled.value, ledger::fill(&small_project()).figure("survival.north-face").unwrap().value);
    assert!(pooled.notes.iter().any(|note| note.contains("sizes are not stated")), "{:?}", pooled.notes);
}

#[test]
fn taped_plots_infill_and_mixed_units_are_said() {
    let mut project = small_project();
    project.plots[0].measured_on = MeasuredOn::Slope;
    project.plots[0].shape = PlotShape::Circle(Metres(5.64));
    project.plots[2].measured_on = MeasuredOn::Slope;
    project.plots[2].shape = PlotShape::Area(SquareMetres(90.0));
    project.plantings[1].replaces = Some("B2".to_owned());
    let mut other = project.works[0].clone();
    other.unit = Some("trays".to_owned());
    project.works.push(other);
    assert!(notes(&project, "density.north-face").contains("1 plot taped along the slope, reduced"));
    assert!(notes(&project, "density.gully-head").contains("so the figure may be low"));
    assert!(notes(&project, "plantings.stems.all").contains("800 of them replace"));
    let ledger = ledger::fill(&project);
    assert_eq!(ledger.figure("plantings.infill-stems.all").unwrap().value, 800.0);
    let Some(Entry::Missing(missing)) = ledger.get("works.quantity.planting") else {
        panic!("stems + trays")
    };
    assert_eq!(missing.reason, "its rows bear different units: stems, trays");
}

#[test]
fn money_outside_the_budget_and_in_kind_stands_apart() {
    let mut project = small_project();
    project.money.acquit = TaxBasis::Included;
    project.money.explain_beyond = Some(0.10);
    let mut payment = project.spending[0].clone();
    payment.line = "Catering".to_owned();
    payment.source = row("spending.csv", 3);
    let gift = Spending { in_kind: true, amount: money("100.10"), tax: Some(money("0")), ..payment.clone() };
    project.spending.extend([payment, gift]);
    let ledger = ledger::fill(&project);
    let value = |id: &str| ledger.figure(id).unwrap_or_else(|| panic!("no {id}")).value;
    assert_eq!(value("spend.total"), 18_700.0);
    assert_eq!(value("spend.in-kind"), 100.1);
    assert_eq!(value("spend.variance.catering"), 9350.0);
    assert!(ledger.figure("spend.variance-share.catering").is_none(), "nothing was approved");
    assert!(notes(&project, "spend.variance-share.fencing").contains("asks for a reason"));
}
