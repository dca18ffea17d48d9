//! Tests of maps, charts, documents, layers and packs, on a small project built in memory.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stop at once"
)]

mod maps;
mod sites;
#[path = "../support/mod.rs"]
mod support;

mod charts;
mod exports;
mod lettering;
mod pack;
mod photo;
mod relief;
mod row_maps;
mod typeset;
