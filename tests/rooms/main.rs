//! Tests of the rooms that never touch a file, on a small project built in memory.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at once")]

mod maps;
mod sites;
#[path = "../support/mod.rs"]
mod support;

mod carbon;
mod charts;
mod condition;
mod exports;
mod ground;
mod hillside;
mod ledger;
mod on_a_hill;
mod pack;
mod photo;
mod plan;
mod properties;
mod relief;
mod row_maps;
mod series;
mod typeset;

#[test]
fn the_small_project_refers_only_to_what_it_holds() {
    let project = support::small_project();
    for planting in &project.plantings {
        assert!(project.area(&planting.area).is_some(), "{}", planting.area);
        assert!(project.species.get(&planting.species).is_some(), "{}", planting.species);
    }
    for tally in &project.tallies {
        assert!(project.plot(&tally.plot).is_some(), "{}", tally.plot);
    }
}
