//! The generated files of the sample projects, as names and bytes.

mod album;
mod ashlar_gap;
mod brindle_spur;
mod brush;
pub(crate) mod dice;
mod exif;
mod heights;
mod hill;
mod layer;
mod scene;
mod sheet;
mod stand;
mod tussock_fold;
mod weather;

/// Every generated file: its path under `sample-projects/`, and its bytes.
pub(crate) fn files() -> Vec<(String, Vec<u8>)> {
    [brindle_spur::files(), tussock_fold::files(), ashlar_gap::files()].concat()
}
