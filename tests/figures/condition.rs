//! Benchmarks held against what the small project's surveys found.

use hillfolio_core::{
    ledger::{self, Ledger},
    project::*,
    units::Stems,
};

use crate::support::{area_id, day, row, small_project, species_id};

fn value(ledger: &Ledger, id: &str) -> f64 {
    ledger.figure(id).unwrap_or_else(|| panic!("no {id}: {:?}", ledger.get(id))).value
}

fn benchmark(attribute: Attribute, value: f64, scoring: Option<Scoring>) -> Benchmark {
    Benchmark {
        attribute,
        area: None,
        value,
        reference: "three plots in the remnant above the spur, 2025".to_owned(),
        scoring,
        note: None,
        source: row("benchmarks.csv", 2),
    }
}

fn cover(cover: &str, layer: Layer) -> Attribute {
    Attribute::Cover { layer, cover: cover.to_owned() }
}

fn read(project: &mut Project, plot: &str, layer: Layer, cover: &str, percent: f64) {
    project.cover.push(CoverReading {
        date: day("2026-05-12"),
        plot: PlotId(plot.into()),
        layer,
        cover: cover.to_owned(),
        measure: CoverMeasure::Percent(percent),
        height: None,
        note: None,
        source: row("cover.csv", 2),
    });
}

#[test]
fn each_benchmark_is_held_against_its_figure() {
    let mut project = small_project();
    let acacia = species_id("Acacia melanoxylon");
    project.benchmarks = vec![
        benchmark(Attribute::Richness, 20.0, None),
        benchmark(Attribute::NativeRichness, 8.0, None),
        benchmark(Attribute::FormRichness(Form::Tree), 5.0, Some(Scoring::LifeFormRichness)),
        benchmark(Attribute::Density, 4000.0, None),
        benchmark(Attribute::Height(acacia), 18.0, Some(Scoring::CanopyHeight)),
        Benchmark { area: Some(area_id("North face")), ..benchmark(Attribute::Recruits, 500.0, None) },
        benchmark(cover("native", Layer::Canopy), 60.0, Some(Scoring::CanopyCover)),
    ];
    let ledger = ledger::fill(&project);
    assert_eq!(value(&ledger, "condition.richness.all"), 2.0 / 20.0);
    assert_eq!(value(&ledger, "condition.native-richness.all"), 2.0 / 8.0);
    assert_eq!(value(&ledger, "condition.recruits.north-face"), 250.0 / 500.0);
    let density = ledger.figure("density.all").unwrap();
    let level = ledger.figure("condition.density.all").unwrap();
    assert_eq!(level.value, density.value / 4000.0);
    assert_eq!(level.interval.unwrap().low, density.interval.unwrap().low / 4000.0);
    assert!(level.notes.last().unwrap().contains("the remnant above the spur"), "{:?}", level.notes);
    // 2 of 5 trees is over a quarter of the benchmark, 0.845 m of 18 m is under.
    assert_eq!(value(&ledger, "condition.points.richness-of.tree.all"), 2.5);
    assert_eq!(value(&ledger, "condition.points.height.acacia-melanoxylon.all"), 0.0);
    assert_eq!(value(&ledger, "condition.score.biocondition.all"), 2.5 / 10.0);
    let unread = format!("{:?}", ledger.get("condition.cover.canopy.native.all"));
    assert!(unread.contains("nothing was observed"), "{unread}");
}

#[test]
fn cover_is_compared_in_per_cent_and_weeds_are_scored_by_the_ground_they_hold() {
    let mut project = small_project();
    for (plot, canopy, weeds) in [("N1", 30.0, 12.0), ("N2", 34.0, 8.0)] {
        read(&mut project, plot, Layer::Canopy, "native", canopy);
        read(&mut project, plot, Layer::Ground, "weed", weeds);
    }
    project.benchmarks = vec![
        benchmark(cover("native", Layer::Canopy), 64.0, Some(Scoring::GrowthForm)),
        benchmark(cover("weed", Layer::Ground), 0.0, Some(Scoring::NonNative)),
    ];
    let ledger = ledger::fill(&project);
    assert!((value(&ledger, "condition.cover.canopy.native.all") - 0.5).abs() < 1e-12);
    assert!((value(&ledger, "condition.points.cover.canopy.native.all") - 71.20).abs() < 0.005);
    assert_eq!(value(&ledger, "condition.points.cover.ground.weed.all"), 5.0);
    assert_eq!(value(&ledger, "condition.score.biocondition.all"), 0.5);
    assert!(
        ledger.figure("condition.cover.ground.weed.all").is_none(),
        "nothing can be divided by a benchmark of nothing"
    );
}

#[test]
fn a_benchmark_of_one_area_needs_a_figure_of_that_area() {
    let mut project = small_project();
    let height = benchmark(Attribute::Height(species_id("Acacia melanoxylon")), 18.0, None);
    project.benchmarks = vec![Benchmark { area: Some(area_id("North face")), ..height }];
    assert!(ledger::fill(&project).figure("condition.height.acacia-melanoxylon.north-face").is_none());
}

fn no_young_brush_box(project: &mut Project) {
    let brush_box = species_id("Lophostemon confertus");
    let its = project.tallies.iter_mut().filter(|tally| tally.species == brush_box);
    its.for_each(|tally| tally.recruits = Some(Stems(0)));
}

/// Counted by hand: one native tree species of the two has self-sown young; weeds and exotic grass of a plot are added up, and a plot
/// whose ground was read without a weed written down has none of them.
#[test]
fn an_approval_alone_lists_what_government_methods_read() {
    let mut project = small_project();
    no_young_brush_box(&mut project);
    assert!(ledger::fill(&project).get("attribute.stem-classes.all").is_none(), "no approval, no benchmarks");
    project.approval = Some(Approval::default());
    for (plot, cover, percent) in
        [("N1", "weed", 10.0), ("N1", "exotic grass", 20.0), ("N1", "litter", 30.0), ("N2", "litter", 50.0)]
    {
        read(&mut project, plot, Layer::Ground, cover, percent);
    }
    let ledger = ledger::fill(&project);
    assert!((value(&ledger, "attribute.exotic-cover.all") - 0.15).abs() < 1e-12);
    assert!(ledger.get("attribute.litter.all").is_none(), "the folder's own cover of litter tells it");
    assert!((value(&ledger, "cover.ground.litter.all") - 0.40).abs() < 1e-12);
    assert_eq!(value(&ledger, "attribute.native-species.tree.all"), 2.0);
    assert_eq!(value(&ledger, "attribute.recruiting-trees.all"), 0.5);
    assert!(ledger.figure("attribute.canopy-height.all").unwrap().value > 0.0);
    for (id, words) in [
        ("attribute.fallen-logs.all", "no table of the folder holds fallen logs"),
        ("attribute.large-trees.all", "the benchmark"),
        // Nobody looked for ferns: that is not the same as none.
        ("attribute.native-species.fern.all", "nothing of the kind was planted, and no tally names one"),
        ("attribute.native-canopy.all", "no cover was read"),
    ] {
        assert!(format!("{:?}", ledger.get(id)).contains(words), "{id}: {:?}", ledger.get(id));
    }
}

#[test]
fn a_benchmark_can_be_of_the_set() {
    let mut project = small_project();
    no_young_brush_box(&mut project);
    for (plot, weeds) in [("N1", 12.0), ("N2", 8.0)] {
        read(&mut project, plot, Layer::Ground, "weed", weeds);
    }
    project.benchmarks = vec![
        benchmark(Attribute::OfSet(SetAttribute::Cover(CoverKind::Exotic)), 20.0, None),
        benchmark(Attribute::OfSet(SetAttribute::NativeSpecies(FormGroup::Tree)), 8.0, None),
        benchmark(Attribute::OfSet(SetAttribute::RecruitingTrees), 100.0, None),
    ];
    let ledger = ledger::fill(&project);
    assert!((value(&ledger, "condition.exotic-cover.all") - 0.5).abs() < 1e-12);
    assert_eq!(value(&ledger, "condition.native-species.tree.all"), 0.25);
    assert_eq!(value(&ledger, "condition.recruiting-trees.all"), 0.5);
}
