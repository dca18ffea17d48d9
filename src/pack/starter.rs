//! The starter files of a new folder: each explained, and the whole of them a folder that builds as it is.

macro_rules! starter {
    ($($path:literal),* $(,)?) => { &[$(($path, include_bytes!(concat!("starter/", $path)))),*] };
}

/// Path inside the new folder and content.
const FILES: &[(&str, &[u8])] = starter![
    "project.toml",
    "areas.geojson",
    "plantings.csv",
    "plots.csv",
    "tallies.csv",
    "stems.csv",
    "works.csv",
    "spending.csv",
    "narrative/lessons.md",
    "narrative/what-went-well.md",
];

/// Every starter file: path inside the new folder, content.
#[must_use]
pub fn starter() -> &'static [(&'static str, &'static [u8])] {
    FILES
}
