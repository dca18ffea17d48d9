//! The starter files of a new folder: each explained, and the whole of them a folder that builds as it is.

use std::sync::LazyLock;

use crate::pack::starter_tables;

macro_rules! starter {
    ($($path:literal),* $(,)?) => { &[$(($path, include_bytes!(concat!("starter/", $path)))),*] };
}

/// Path inside the new folder and content, as they stand here.
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

/// The file that tells how to fill the folder, and where the tables are told of in it.
const README: &str = "README.txt";
const TABLES: &str = "{TABLES}";

/// Every starter file: path inside the new folder, content.
#[must_use]
pub fn starter() -> &'static [(&'static str, &'static [u8])] {
    static TOLD: LazyLock<String> = LazyLock::new(|| {
        let readme = FILES.iter().find(|(path, _)| *path == README).map(|(_, bytes)| *bytes);
        String::from_utf8_lossy(readme.unwrap_or_default()).replace(TABLES, &starter_tables::told())
    });
    static WHOLE: LazyLock<Vec<(&str, &[u8])>> = LazyLock::new(|| {
        let told = |&(path, bytes): &(&'static str, &'static [u8])| {
            (path, if path == README { TOLD.as_bytes() } else { bytes })
        };
        FILES.iter().map(told).collect()
    });
    &WHOLE
}
