//! Estimators against published values and other programs; each check names its source.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

#[path = "../../support/mod.rs"]
mod support;
#[path = "../terrain_cases.rs"]
mod terrain_cases;

mod carbon;
mod cover;
mod cover_factor;
mod diversity;
mod erodibility;
mod erosion_checks;
mod erosivity;
mod estimates;
mod funders;
mod intervals;
mod joined;
mod lifetime;
mod ls;
mod rain;
mod ratios;
mod soil_loss;
