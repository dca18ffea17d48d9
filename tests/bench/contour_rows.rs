//! How long a plan takes: rows on 40 ha of real ground, their readings and their stems. `cargo bench --bench contour_rows`.
#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "a benchmark may stop at once")]

use std::{collections::BTreeMap, path::Path, sync::LazyLock};

use divan::Bencher;
use geo::{Coord, LineString, MultiPolygon, Polygon};
use hillfolio_core::{
    intake::terrain::{read_ascii, read_prj},
    plan::{Modelled, Plantable, area_rows, plantable, stems},
    project::{Area, AreaId, PlantingDesign},
    source::Row,
    terrain::{Grid, slope},
    units::{Degrees, Metres},
};

fn main() {
    divan::main();
}

/// The volcano of the reference terrains.
static HEIGHTS: LazyLock<Grid> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/data/terrain");
    let prj = std::fs::read_to_string(folder.join("dem_volcano_10m.prj")).unwrap();
    let heights = std::fs::read(folder.join("dem_volcano_10m.asc")).unwrap();
    read_ascii(&heights, &read_prj(&prj).unwrap()).unwrap()
});

/// An oblong of 40 ha over crater, rim and spurs; a tenth of it where benchmarks are only tried out.
static AREA: LazyLock<Area> = LazyLock::new(|| {
    let part = if std::env::args().any(|word| word == "--test") { 0.316 } else { 1.0 };
    let lattice = &HEIGHTS.lattice;
    let corner = |(east, north): (f64, f64)| {
        let place = Coord { x: lattice.west + 35.0 + east * part, y: lattice.north - 45.0 - north * part };
        lattice.placing().unwrap().position(place).unwrap().0
    };
    let ring = [(0.0, 0.0), (0.0, 510.0), (785.0, 510.0), (785.0, 0.0), (0.0, 0.0)].map(corner);
    Area {
        id: AreaId("Volcano".into()),
        boundary: MultiPolygon(vec![Polygon::new(LineString(ring.to_vec()), vec![])]),
        stated_hectares: None,
        stated_as: None,
        frosty: false,
        dry: false,
        waterlogged: false,
        note: None,
        source: Row { file: "areas.geojson".into(), row: 1 },
    }
});

fn design() -> PlantingDesign {
    PlantingDesign {
        areas: None,
        spacing: Metres(4.0),
        stem_spacing: Metres(2.0),
        strip: Some(Metres(2.5)),
        machine_rate: None,
        hand_rate: None,
        setback: BTreeMap::new(),
        pattern: vec!["pioneer".to_owned(), "late".to_owned()],
        steepest: Some(Degrees(35.0)),
        exposed: None,
        stagger: true,
    }
}

fn ground() -> Plantable {
    plantable(&AREA, &[], &design(), Some(Modelled { heights: &HEIGHTS, slope: &slope(&HEIGHTS) }))
}

#[divan::bench(sample_count = 5)]
fn plantable_ground(bencher: Bencher<'_, '_>) {
    bencher.bench_local(ground);
}

#[divan::bench(sample_count = 5)]
fn rows(bencher: Bencher<'_, '_>) {
    let ground = ground();
    bencher
        .bench_local(|| area_rows(ground.clone(), &design(), &[], Some((&HEIGHTS, &HEIGHTS)), None).unwrap());
}

#[divan::bench(sample_count = 5)]
fn stems_along_rows(bencher: Bencher<'_, '_>) {
    let rows = area_rows(ground(), &design(), &[], Some((&HEIGHTS, &HEIGHTS)), None).unwrap();
    bencher.bench_local(|| stems(&rows, &design(), None));
}
