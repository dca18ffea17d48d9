//! A figure is of one round: its days together, and nothing of an older one.

use hillfolio_core::{
    ledger::{self, Figure, Ledger, Standing},
    project::*,
    units::Stems,
};

use crate::support::{area_id, day, row, small_project};

fn figure<'a>(ledger: &'a Ledger, id: &str) -> &'a Figure {
    ledger.figure(id).unwrap_or_else(|| panic!("no {id}: {:?}", ledger.get(id)))
}

/// The tallies of the small project held a year earlier too, when all stems lived.
fn year_before(project: &Project) -> Vec<Tally> {
    let earlier = project.tallies.iter().map(|tally| Tally {
        date: day("2025-11-20"),
        alive: Stems(tally.set()),
        dead: Some(Stems(0)),
        missing: Some(Stems(0)),
        source: row("tallies.csv", tally.source.row + 20),
        ..tally.clone()
    });
    earlier.collect()
}

#[test]
fn a_plot_that_the_round_missed_is_not_filled_from_an_older_one() {
    let mut project = small_project();
    let earlier = year_before(&project);
    project.tallies.retain(|tally| &*tally.plot.0 != "N2");
    let only = ledger::fill(&project);
    project.tallies.extend(earlier);
    let ledger = ledger::fill(&project);
    for id in ["survival.all", "survival.north-face", "density.all", "recruits.north-face"] {
        let (one, other) = (figure(&ledger, id), figure(&only, id));
        assert_eq!((one.value, one.interval), (other.value, other.interval), "{id}");
        assert!(one.notes.join("; ").contains("not visited in it: N2"), "{id}: {:?}", one.notes);
    }
}

#[test]
fn an_area_that_the_round_missed_has_its_own_round_with_its_day_and_is_left_out_of_all() {
    let mut project = small_project();
    let earlier = year_before(&project);
    project.tallies.retain(|tally| tally.plot.0.starts_with('N'));
    project.tallies.extend(earlier);
    let ledger = ledger::fill(&project);
    let gully = figure(&ledger, "survival.gully-head");
    assert_eq!(gully.value, 1.0);
    assert_eq!(gully.label, "Planted stems alive, Gully head, survey to 20 November 2025");
    let all = figure(&ledger, "survival.all");
    assert_eq!(all.value, figure(&ledger, "survival.north-face").value);
    // 2,000 of 3,500 stems stand on the North face.
    assert_eq!(
        all.label.replace('\u{a0}', " "),
        "Planted stems alive, 1 of 2 areas, 57 % of the stems planted"
    );
    assert_eq!(all.sample.unwrap().plots, 2);
    assert_eq!(ledger.targets[0].standing, Standing::NotShown);
    assert!(ledger.targets[0].because.contains("asked for"), "{}", ledger.targets[0].because);
}

#[test]
fn a_visit_over_two_days_is_one_and_what_was_counted_twice_counts_as_it_was_last() {
    let mut project = small_project();
    let whole = ledger::fill(&project);
    // One species of each plot a day later.
    for tally in project.tallies.iter_mut().filter(|tally| tally.species.0.starts_with("Acacia")) {
        tally.date = tally.date.succ_opt().unwrap();
    }
    for stem in project.stems.iter_mut().filter(|stem| stem.species.0.starts_with("Acacia")) {
        stem.date = stem.date.succ_opt().unwrap();
    }
    let apart = ledger::fill(&project);
    for (id, _) in whole.iter() {
        let value =
            |ledger: &Ledger| ledger.figure(id.as_str()).map(|figure| (figure.value, figure.interval));
        assert_eq!(value(&whole), value(&apart), "{id}");
    }
    // The same stems once more the day before, when none had been found dead.
    let before: Vec<Tally> =
        year_before(&project).into_iter().map(|tally| Tally { date: day("2026-05-11"), ..tally }).collect();
    project.tallies.extend(before);
    let twice = ledger::fill(&project);
    assert_eq!(figure(&twice, "survival.all").value, figure(&whole, "survival.all").value);
}

/// A field book leaves the year of planting blank; its rows are later counts of the same stems.
#[test]
fn a_later_count_without_its_year_of_planting_takes_the_place_of_the_earlier() {
    let mut project = small_project();
    project.tallies.iter_mut().for_each(|tally| tally.cohort = Some(2025));
    let later: Vec<Tally> = project
        .tallies
        .iter()
        .map(|tally| Tally {
            date: tally.date + chrono::Days::new(20),
            cohort: None,
            source: row("field.xlsx", tally.source.row),
            ..tally.clone()
        })
        .collect();
    let before = ledger::fill(&project);
    project.tallies.extend(later);
    project.period.to = day("2026-06-30");
    let after = ledger::fill(&project);
    for id in ["survival.all", "density.all"] {
        assert_eq!(figure(&before, id).value, figure(&after, id).value, "{id}");
    }
}

#[test]
fn a_target_is_judged_as_at_its_own_day() {
    let mut project = small_project();
    let earlier = year_before(&project);
    project.tallies.extend(earlier);
    project.targets[0].by = Some(day("2025-12-31"));
    project.targets[0].bound = Bound::AtLeast(0.5);
    let ledger = ledger::fill(&project);
    let judged = &ledger.targets[0];
    let was = figure(&ledger, "target.as-at.survival-y1");
    assert_eq!((judged.figure.as_str(), judged.standing), ("target.as-at.survival-y1", Standing::Met));
    assert_eq!(
        (was.value, was.label.as_str()),
        (1.0, "Planted stems alive, all areas, as at 31 December 2025")
    );
    assert!(figure(&ledger, "survival.all").value < 0.9, "the later figure stands beside it");
    // What was not there by its day can't settle it, and what was there long before does not.
    project.tallies.retain(|tally| tally.date > day("2026-01-01"));
    assert_eq!(ledger::fill(&project).targets[0].standing, Standing::NotMeasured);
    project.targets[0].by = None;
    project.tallies.iter_mut().for_each(|tally| tally.date = day("2025-11-20"));
    let long = ledger::fill(&project);
    assert_eq!(long.targets[0].standing, Standing::ProbablyMet);
    assert!(long.targets[0].because.contains("long before its day"), "{}", long.targets[0].because);
}

#[test]
fn stems_set_and_not_accounted_for_are_missing_and_recruits_do_not_make_survival() {
    let mut project = small_project();
    project.tallies.truncate(4);
    let sets: u64 = project.tallies[..2].iter().map(Tally::set).sum();
    let alive: u64 = project.tallies[..2].iter().map(|tally| tally.alive.0).sum();
    let gone = sets - alive;
    project.tallies.truncate(2);
    project.areas.truncate(1);
    project.plantings.retain(|planting| planting.area == area_id("North face"));
    // Five more were set than the sheet accounts for.
    project.plots[0].planted_stems = Some(Stems(sets + 5));
    let share = |project: &Project| figure(&ledger::fill(project), "survival.north-face").value;
    let all = |part: u64, whole: u64| part as f64 / whole as f64;
    assert!((share(&project) - all(alive, sets + 5)).abs() < 1e-12);
    // Three fewer were set than stand there alive or dead: three have sown themselves.
    project.plots[0].planted_stems = Some(Stems(sets - 3));
    assert!((share(&project) - all(sets - 3 - gone, sets - 3)).abs() < 1e-12);
}

#[test]
fn plots_larger_than_their_area_are_no_census() {
    let mut project = small_project();
    project.plots.iter_mut().for_each(|plot| {
        plot.shape = PlotShape::Area(hillfolio_core::units::SquareMetres(900_000.0));
    });
    let density = figure(&ledger::fill(&project), "density.gully-head").clone();
    assert!(density.interval.is_some() && density.sample.is_some(), "{density:?}");
}

#[test]
fn covers_and_recruits_written_only_where_seen_are_nought_elsewhere() {
    let mut project = small_project();
    let read = |plot: &str, cover: &str, percent: f64, n: u32| CoverReading {
        date: day("2026-05-12"),
        plot: PlotId(plot.into()),
        layer: Layer::Ground,
        cover: cover.to_owned(),
        measure: CoverMeasure::Percent(percent),
        height: None,
        note: None,
        source: row("cover.csv", n),
    };
    project.cover =
        vec![read("N1", "grass", 50.0, 2), read("N2", "grass", 60.0, 3), read("N1", "weed", 10.0, 4)];
    let weed = figure(&ledger::fill(&project), "cover.ground.weed.north-face").clone();
    assert!((weed.value - 0.05).abs() < 1e-12, "{weed:?}");
    // Where noughts are written, an empty place was not read.
    project.cover.push(read("N1", "moss", 0.0, 5));
    let weed = figure(&ledger::fill(&project), "cover.ground.weed.north-face").clone();
    assert!((weed.value - 0.10).abs() < 1e-12 && weed.sample.unwrap().part < 0.6, "{weed:?}");
    for tally in &mut project.tallies {
        tally.recruits = (&*tally.plot.0 == "N1").then_some(Stems(2));
    }
    let of_two = figure(&ledger::fill(&project), "recruits.north-face").value;
    assert!((of_two - 200.0).abs() < 1e-9, "{of_two}");
}

/// A survey tells of the stems that stood on its day: what is planted after it shifts no weight between areas.
#[test]
fn what_is_planted_after_a_survey_weighs_nothing_in_it() {
    let before = small_project();
    let mut project = before.clone();
    let last = project.tallies.iter().map(|tally| tally.date).max().unwrap();
    let mut later = project.plantings[0].clone();
    later.date = last.succ_opt().unwrap();
    (later.stems, later.source) = (Stems(50_000), row("plantings.csv", 90));
    assert!(later.date <= project.period.to);
    let area = later.area.to_string();
    project.plantings.push(later);
    let (then, now) = (ledger::fill(&before), ledger::fill(&project));
    for id in ["survival.all", "survival.north-face", "survival.gully-head"] {
        let (one, other) = (figure(&then, id), figure(&now, id));
        assert_eq!((one.value, one.interval), (other.value, other.interval), "{id}");
        let told = other.notes.iter().any(|note| note.contains("50,000 stems were planted after the survey"));
        assert_eq!(told, id == "survival.all" || id.ends_with(&slug(&area)), "{id}: {:?}", other.notes);
    }
}
