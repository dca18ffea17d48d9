//! The sample projects: made again they are what is committed, and both build.

use std::{collections::BTreeSet, fs, path::Path};

#[path = "../../sample-projects/make-samples/mod.rs"]
pub(crate) mod make_samples;

use make_samples::files;

/// What a person writes in a sample, beside the narrative.
const BY_HAND: [&str; 13] = [
    "project.toml",
    "species.csv",
    "slopes.csv",
    "works.csv",
    "spending.csv",
    "photos.csv",
    "commitments.csv",
    "programme.csv",
    "benchmarks.csv",
    "sightings.csv",
    "actions.csv",
    "stock.csv",
    "reasons.csv",
];

fn samples() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects")
}

#[test]
fn the_samples_made_again_are_the_same_byte_for_byte() {
    let mut generated = BTreeSet::new();
    for (path, bytes) in files() {
        let committed = fs::read(samples().join(&path)).unwrap_or_else(|why| panic!("{path}: {why}"));
        assert!(committed == bytes, "{path} differs: run `cargo run --example make-samples`");
        generated.insert(path);
    }
    for sample in ["brindle-spur", "tussock-fold", "ashlar-gap"] {
        for file in listed(&samples().join(sample), sample) {
            let by_hand = file.contains("/narrative/") || BY_HAND.iter().any(|name| file.ends_with(name));
            assert!(by_hand != generated.contains(&file), "{file} is neither written by hand nor generated");
        }
    }
}

/// Every file below `folder`, but not what a build wrote there.
fn listed(folder: &Path, prefix: &str) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let path = format!("{prefix}/{}", entry.file_name().to_string_lossy());
        match entry.file_type().unwrap().is_dir() {
            true if path.ends_with("/out") => {}
            true => found.extend(listed(&entry.path(), &path)),
            false => found.push(path),
        }
    }
    found
}
