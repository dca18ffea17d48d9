//! The catalogue of figures against what the samples say: every figure is of a declared series, and every series is there.

use std::{collections::BTreeSet, path::Path};

use hillfolio_core::ledger::{Series, catalogue};

/// Series of which no sample has a figure: every sighting of theirs has its place, no target of theirs was due before the period's
/// end, no terrain model is finer than the rows need, and where something died no species is set again.
const NOT_IN_A_SAMPLE: [&Series; 6] = [
    &catalogue::MATERIAL,
    &catalogue::DAY_MATERIAL,
    &catalogue::SIGHTINGS_UNPLACED,
    &catalogue::TARGET_AS_AT,
    &catalogue::WORKING_CELL_CHANGE,
    &catalogue::SPECIES_INFILL,
];

/// The ids of a table of figures.
fn ids(table: &Path) -> Vec<String> {
    let mut rows = csv::Reader::from_path(table).unwrap_or_else(|why| panic!("{}: {why}", table.display()));
    rows.records().map(|row| row.unwrap()[0].to_owned()).collect()
}

#[test]
fn every_figure_of_the_samples_is_of_a_series_and_every_series_has_one() {
    let home = tempfile::tempdir().unwrap();
    let all = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects");
    let out = home.path().join("out");
    let mut build = assert_cmd::Command::cargo_bin("hillfolio").unwrap();
    build.args(["--quiet", "portfolio"]).arg(&all).arg("--out").arg(&out).assert().success();
    let mut series: BTreeSet<(&str, usize)> = BTreeSet::new();
    let samples = ["ashlar-gap", "brindle-spur", "tussock-fold"].map(|name| out.join("projects").join(name));
    let place = out.join("projects").join("lantern-rise");
    let agreements = ["catchment", "council", "offset"].map(|id| place.join(id));
    let folders = samples.into_iter().chain([out.join("roll-up"), place]).chain(agreements);
    for folder in folders {
        let table = [folder.join("data/figures.csv"), folder.join("figures.csv")];
        let table = table.iter().find(|table| table.is_file()).unwrap();
        for id in ids(table) {
            let (of, codes) = Series::find(&id).unwrap_or_else(|| panic!("{id} is of no series"));
            assert_eq!(of.id(&codes).as_str(), id);
            series.insert((of.stem, of.dimensions.len()));
        }
    }
    let missing: Vec<&str> = catalogue::ALL
        .iter()
        .filter(|one| !series.contains(&(one.stem, one.dimensions.len())))
        .map(|one| one.stem)
        .filter(|stem| NOT_IN_A_SAMPLE.iter().all(|series| series.stem != *stem))
        .collect();
    assert!(missing.is_empty(), "no sample has a figure of {missing:?}");
}
