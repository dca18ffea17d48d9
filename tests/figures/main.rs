//! Tests of everything up to the ledger that never touches a file, on a small project built in memory.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

#[path = "../support/mod.rs"]
mod support;

mod carbon;
mod condition;
mod few_stems;
mod fine_ground;
mod ground;
mod hillside;
mod ledger;
mod plan;
mod properties;
mod rounds;
mod series;
mod shares;
mod work_orders;

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
