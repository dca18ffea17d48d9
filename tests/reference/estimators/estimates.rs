//! Whole estimates, from the project to the ledger, against worked examples.

use hillfolio_core::{
    ledger::{self, Ledger},
    project::*,
    units::{Hours, Metres, SquareMetres, Stems},
};

use crate::intervals::limits_of;
use crate::support::{area_id, day, money, row, small_project, species_id};

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// The ledger's value and interval under `id`.
fn figure(ledger: &Ledger, id: &str) -> (f64, Option<(f64, f64)>) {
    let figure = ledger.figure(id).unwrap_or_else(|| panic!("no {id}: {:?}", ledger.get(id)));
    (figure.value, figure.interval.map(|interval| (interval.low, interval.high)))
}

/// The small project with its surveys taken out and intervals at 95 %.
fn bare() -> Project {
    let mut project = small_project();
    project.plots.clear();
    project.tallies.clear();
    project.stems.clear();
    project.statistics.confidence = 0.95;
    project
}

fn plot(project: &mut Project, n: u32, area: &str, shape: PlotShape) -> PlotId {
    let id = PlotId(format!("P{n}").into());
    project.plots.push(Plot {
        id: id.clone(),
        area: area_id(area),
        shape,
        position: None,
        measured_on: MeasuredOn::Plan,
        stratum: None,
        planted_stems: None,
        note: None,
        source: row("plots.csv", n),
    });
    id
}

fn tally(project: &mut Project, n: u32, plot: &PlotId, [alive, dead, missing]: [u64; 3]) {
    project.tallies.push(Tally {
        date: day("2026-05-12"),
        plot: plot.clone(),
        species: species_id("Acacia melanoxylon"),
        alive: Stems(alive),
        dead: Some(Stems(dead)),
        missing: Some(Stems(missing)),
        recruits: Some(Stems(0)),
        cohort: Some(2025),
        note: None,
        source: row("tallies.csv", n),
    });
}

/// Ten plots in two areas with 2 000 and 1 000 stems planted, 300 and 160 of them in plots: as many as 6 of 40 and 4 of 25
/// plots, for which R 4.2.2 gives 0.847 917, standard error 0.020 631 71, 5.135 249 degrees of freedom (`ratios.rs`).
/// Limits by `limits.py`.
#[test]
fn survival_of_the_planting_example() {
    let mut project = bare();
    for planting in &mut project.plantings {
        planting.stems = Stems(if planting.area == area_id("North face") { 1000 } else { 500 });
    }
    let table = include_str!("../data/planting-plots-example.csv");
    for (line, n) in table.lines().skip(1).zip(2..) {
        let cells: Vec<&str> = line.split(',').collect();
        let area = if cells[1] == "lower" { "North face" } else { "Gully head" };
        let plot = plot(&mut project, n, area, PlotShape::Area(SquareMetres(100.0)));
        let count = |at: usize| cells[at].parse().unwrap();
        tally(&mut project, n, &plot, [count(4), count(6), count(5)]);
    }
    let ledger = ledger::fill(&project);
    let (value, ends) = figure(&ledger, "survival.all");
    close("survival", value, 0.847_916_666_7, 1e-9);
    let ((low, high), expected) = (ends.unwrap(), limits_of("survival of the planting example"));
    close("low", low, expected.0, 1e-8);
    close("high", high, expected.1, 1e-8);
    // Missing as alive: (270 + 9)/300 in the lower, (119 + 13)/160 in the upper stratum (arithmetic).
    let bound = figure(&ledger, "survival.bound-all-missing-alive.all").0;
    close("bound", bound, 2.0 / 3.0 * 279.0 / 300.0 + 1.0 / 3.0 * 132.0 / 160.0, 1e-9);
}

/// COOE for DEWNR (2013), *Vegetation Survivorship Monitoring*: 22 018 alive and 13 320 dead, printed as 62 %.
#[test]
fn survival_of_a_published_audit_counted_whole() {
    let mut project = bare();
    project.plantings.truncate(1);
    project.plantings[0].stems = Stems(35_338);
    let plot = plot(&mut project, 2, "North face", PlotShape::Area(SquareMetres(10_000.0)));
    tally(&mut project, 2, &plot, [22_018, 13_320, 0]);
    let ledger = ledger::fill(&project);
    let (value, ends) = figure(&ledger, "survival.all");
    close("survival", value, 0.623_068_651_3, 1e-9);
    assert_eq!(ends, None, "every planted stem was counted");
    assert_eq!(ledger.figure("survival.all").unwrap().text(), "62.3\u{a0}%");
}

/// Eight plots of 100 m² with 34 28 41 22 37 30 25 39 stems in an area so large that they are under 5 % of it: mean 3 200
/// to the hectare (R 4.2.2); limits by `limits.py`.
#[test]
fn density_of_eight_plots() {
    let mut project = bare();
    for (alive, n) in [34, 28, 41, 22, 37, 30, 25, 39].into_iter().zip(2..) {
        let plot = plot(&mut project, n, "North face", PlotShape::Area(SquareMetres(100.0)));
        tally(&mut project, n, &plot, [alive, 0, 0]);
    }
    let (value, ends) = figure(&ledger::fill(&project), "density.north-face");
    close("density", value, 3200.0, 1e-6);
    let expected = limits_of("density of eight plots");
    close("low", ends.unwrap().0, expected.0, 1e-4);
    close("high", ends.unwrap().1, expected.1, 1e-4);
}

/// Self-sown stems 0 3 0 0 11 1 0 2 on the same plots: limits by `limits.py`.
#[test]
fn recruits_of_eight_plots() {
    let mut project = bare();
    for (recruits, n) in [0, 3, 0, 0, 11, 1, 0, 2].into_iter().zip(2..) {
        let plot = plot(&mut project, n, "North face", PlotShape::Area(SquareMetres(100.0)));
        tally(&mut project, n, &plot, [30, 0, 0]);
        project.tallies.last_mut().unwrap().recruits = Some(Stems(recruits));
    }
    let (value, ends) = figure(&ledger::fill(&project), "recruits.north-face");
    close("recruits", value, 212.5, 1e-9);
    let expected = limits_of("recruits of eight plots");
    close("low", ends.unwrap().0, expected.0, 1e-4);
    close("high", ends.unwrap().1, expected.1, 1e-4);
}

/// The same stems on plots taped along the slope of 18°: each covers 100 cos 18° = 95.106 m², so there are 3 364.7 to the
/// hectare (trigonometry).
#[test]
fn density_of_plots_taped_along_the_slope() {
    let mut project = bare();
    for (alive, n) in [34, 28, 41, 22, 37, 30, 25, 39].into_iter().zip(2..) {
        let plot = plot(&mut project, n, "North face", PlotShape::Rectangle(Metres(10.0), Metres(10.0)));
        tally(&mut project, n, &plot, [alive, 0, 0]);
    }
    project.plots.iter_mut().for_each(|plot| plot.measured_on = MeasuredOn::Slope);
    let (value, _) = figure(&ledger::fill(&project), "density.north-face");
    close("density", value, 3364.68, 0.01);
}

/// Five step-point transects of 100 points, hits 62 71 55 80 67: 67.0 % (R 4.2.2 `t.test`); limits by `limits.py`.
#[test]
fn cover_of_five_transects() {
    let mut project = bare();
    for (hits, n) in [62, 71, 55, 80, 67].into_iter().zip(2..) {
        let plot = plot(&mut project, n, "North face", PlotShape::Area(SquareMetres(100.0)));
        project.cover.push(CoverReading {
            date: day("2026-05-12"),
            plot,
            layer: Layer::Ground,
            cover: "Native grass".to_owned(),
            measure: CoverMeasure::Hits { hits, points: 100 },
            height: None,
            note: None,
            source: row("cover.csv", n),
        });
    }
    let (value, ends) = figure(&ledger::fill(&project), "cover.ground.native-grass.north-face");
    close("cover", value, 0.67, 1e-9);
    let expected = limits_of("cover of five transects");
    close("low", ends.unwrap().0, expected.0, 1e-7);
    close("high", ends.unwrap().1, expected.1, 1e-7);
}

/// A worked acquittal statement: a grant of 45 000 with 44 500 in the budget, spent 44 350; variances of +11.7, −21.8, 0.0,
/// −6.7 and −0.3 %, 650 unspent (arithmetic, checked by hand).
#[test]
fn the_acquittal_statement() {
    let lines = [
        ("Plants", "21000", "23450", 2450.0, "11.7"),
        ("Site preparation and weed control", "11000", "8600", -2400.0, "−21.8"),
        ("Fencing", "9500", "9500", 0.0, "0.0"),
        ("Monitoring", "3000", "2800", -200.0, "−6.7"),
    ];
    let mut project = bare();
    project.money.received = Some(money("45000"));
    let template = project.spending.remove(0);
    project.budget.clear();
    for (line, budget, spent, _, _) in lines {
        let (cash, in_kind) = (money(budget), money("0"));
        project.budget.push(BudgetLine {
            line: line.to_owned(),
            cash,
            in_kind,
            source: row("project.toml", 9),
        });
        let (amount, tax) = (money(spent), money("0"));
        project.spending.push(Spending { line: line.to_owned(), amount, tax: Some(tax), ..template.clone() });
    }
    let ledger = ledger::fill(&project);
    for (line, _, _, variance, percent) in lines {
        let id = |stem: &str| format!("{stem}.{}", hillfolio_core::project::slug(line));
        assert_eq!(figure(&ledger, &id("spend.variance")).0, variance);
        let share = ledger.figure(&id("spend.variance-share")).unwrap();
        assert_eq!(share.text(), format!("{percent}\u{a0}%"), "{line}");
    }
    assert_eq!(figure(&ledger, "budget.total").0, 44_500.0);
    assert_eq!(figure(&ledger, "spend.total").0, 44_350.0);
    assert_eq!(figure(&ledger, "spend.total-variance").0, -150.0);
    assert_eq!(ledger.figure("spend.total-variance-share").unwrap().text(), "−0.3\u{a0}%");
    assert_eq!(figure(&ledger, "spend.unspent").0, 650.0);
}

/// 312 volunteer hours at 47.38 are 14 782.56 (arithmetic).
#[test]
fn the_value_of_volunteers() {
    let mut project = bare();
    project.works[0].hours = Some(Hours(312.0));
    project.works[0].people = 1;
    let source = Some("a published schedule".to_owned());
    project.money.volunteer_rate = Some(VolunteerRate { per_hour: money("47.38"), source });
    assert_eq!(figure(&ledger::fill(&project), "works.volunteer-value").0, 14_782.56);
}
