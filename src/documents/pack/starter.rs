//! The starter files of a new folder: each explained, and the whole of them a folder that builds as it is.

macro_rules! starter {
    ($($path:literal),* $(,)?) => { &[$(($path, include_bytes!(concat!("starter/", $path)))),*] };
}

/// Path inside the new folder and content.
const FILES: &[(&str, &[u8])] = starter![
    "README.txt",
    "project.toml",
    "areas.geojson",
    "features.geojson",
    "plantings.csv",
    "plots.csv",
    "tallies.csv",
    "stems.csv",
    "works.csv",
    "spending.csv",
    "slopes.csv",
    "narrative/1-what-was-planned.md",
    "narrative/2-what-went-well.md",
    "narrative/3-problems.md",
    "narrative/4-lessons.md",
];

/// Every starter file: path inside the new folder, content.
#[must_use]
pub fn starter() -> &'static [(&'static str, &'static [u8])] {
    FILES
}
