//! How often intervals hold the truth, and how often a target is called met that is not: `cargo bench --bench coverage`.
//!
//! Populations are made by simulation, surveyed, and given to the library's own estimators. `REPLICATES=3000` sets how many of each; a word after `--`
//! leaves only the figures whose names hold it.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a benchmark prints, may stop at once, and counts little"
)]

mod cover;
mod density;
mod stems;
mod table;
mod textbook;
mod trees;

fn main() {
    let tried_out = std::env::args().any(|word| word == "--test");
    let asked = std::env::var("REPLICATES").ok().and_then(|replicates| replicates.parse().ok());
    let replicates = if tried_out { 5 } else { asked.unwrap_or(1_000) };
    let only = std::env::args().skip(1).find(|word| !word.starts_with('-'));
    let mut table = table::Table::new(replicates, only);
    stems::survival(&mut table);
    stems::unlike_plots(&mut table);
    stems::change(&mut table);
    stems::joined_sites(&mut table);
    density::rows(&mut table);
    cover::rows(&mut table);
    trees::medians(&mut table);
    trees::tagged(&mut table);
    trees::carbon(&mut table);
}
