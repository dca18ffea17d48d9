//! Makes the generated part of the sample projects again: boundaries, tables, photos and receipts.
//!
//! `cargo run --example make-samples` writes beside this file, `cargo run --example make-samples -- DIR` into DIR.
//! What a person writes stays as it is: `project.toml`, `narrative/` and the planting lists of `species.csv`.
#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "a maker of samples may stop at once")]

use std::{env, fs, path::PathBuf};

#[path = "make-samples/mod.rs"]
mod make_samples;

fn main() {
    let beside = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("sample-projects");
    let folder = env::args().nth(1).map_or(beside, PathBuf::from);
    for (path, bytes) in make_samples::files() {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
}
