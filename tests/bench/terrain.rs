//! How long each stage of the terrain takes on 4 000 × 4 000 cells. `cargo bench --bench terrain` runs all;
//! `cargo bench --bench terrain -- slope` runs one stage.
#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "a benchmark may stop at once")]

use std::{
    fs,
    io::{Cursor, Read, Seek},
    path::PathBuf,
    process::Command,
    sync::LazyLock,
};

use divan::Bencher;
use geo::{LineString, MultiPolygon, Polygon};
use hillfolio_core::{
    estimate::erosion::{SlopeLength, ls_layer},
    intake::terrain::GeoTiff,
    terrain::{
        Coordinates, FlowDirections, Grid, Lattice, Light, Raster, aspect, class_shares, contours, coverage,
        fill_depressions, flow_accumulation, hillshade, levels, refined, slope, surface_ratio,
    },
    units::Degrees,
};
use tempfile::TempDir;
use tiff::{
    encoder::{TiffEncoder, colortype::Gray32Float},
    tags::Tag,
};

fn main() {
    divan::main();
}

/// Cells along a side; few where benchmarks are only tried out.
static SIDE: LazyLock<usize> =
    LazyLock::new(|| if std::env::args().any(|word| word == "--test") { 100 } else { 4000 });

/// Hills of three sizes with a little roughness: many small hollows, as measured ground has.
static GROUND: LazyLock<Grid> = LazyLock::new(|| {
    let side = *SIDE;
    let lattice = Lattice {
        west: 500_000.0,
        north: 6_000_000.0,
        cell_x: 1.0,
        cell_y: 1.0,
        rows: side,
        columns: side,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: hillfolio_core::geometry::Crs::of_epsg(32755),
    };
    let height = |row: usize, column: usize| {
        let (x, y) = (column as f64, row as f64);
        let rough = ((row * 7919 + column * 104_729) % 1013) as f64 / 1013.0;
        let hills = 120.0 * (x / 900.0).sin() * (y / 700.0).cos() + 30.0 * (x / 130.0 + y / 170.0).sin();
        (400.0 + hills + 4.0 * (x / 23.0).cos() * (y / 19.0).sin() + 0.05 * rough) as f32
    };
    let values = (0..side * side).map(|cell| height(cell / side, cell % side)).collect();
    Raster { lattice, values }
});

static DRAINAGE: LazyLock<FlowDirections> = LazyLock::new(|| fill_depressions(&GROUND));

static SLOPE: LazyLock<Raster<f32>> = LazyLock::new(|| slope(&GROUND));

fn site() -> MultiPolygon<f64> {
    let ring = (0..500).map(|step| {
        let angle = f64::from(step) * std::f64::consts::TAU / 500.0;
        let side = *SIDE as f64;
        let reach = side * (0.3 + 0.08 * (5.0 * angle).sin());
        (500_000.0 + side / 2.0 + reach * angle.cos(), 6_000_000.0 - side / 2.0 + reach * angle.sin())
    });
    MultiPolygon(vec![Polygon::new(LineString::from_iter(ring), vec![])])
}

/// The ground as a GeoTIFF, uncompressed.
fn geotiff(values: &[f32]) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let mut file = TiffEncoder::new(&mut bytes).unwrap();
    let mut image = file.new_image::<Gray32Float>(*SIDE as u32, *SIDE as u32).unwrap();
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, &[1.0, 1.0, 0.0][..]).unwrap();
    let tie = [0.0, 0.0, 0.0, 500_000.0, 6_000_000.0, 0.0];
    tags.write_tag(Tag::ModelTiepointTag, &tie[..]).unwrap();
    let keys: [u16; 16] = [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 32755];
    tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..]).unwrap();
    image.write_data(values).unwrap();
    bytes.into_inner()
}

/// The same on the disk.
static FILE: LazyLock<(TempDir, PathBuf)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("ground.tif");
    fs::write(&path, geotiff(&GROUND.values)).unwrap();
    (folder, path)
});

fn read(reader: impl Read + Seek) -> Grid {
    let mut file = GeoTiff::open(reader, None).unwrap();
    let whole = file.lattice().whole();
    file.read(&whole).unwrap()
}

#[divan::bench]
fn read_geotiff(bencher: Bencher<'_, '_>) {
    let bytes = geotiff(&GROUND.values);
    bencher.bench_local(|| read(Cursor::new(&bytes)));
}

/// From file to file, as `gdaldem slope` does it.
#[divan::bench(sample_count = 7)]
fn slope_file_to_file(bencher: Bencher<'_, '_>) {
    let out = FILE.0.path().join("slope.tif");
    bencher.bench_local(|| {
        let layer = slope(&read(fs::File::open(&FILE.1).unwrap()));
        fs::write(&out, geotiff(&layer.values)).unwrap();
    });
}

/// The yardstick: GDAL's own program on the same file, where this machine has it.
#[divan::bench(sample_count = 7)]
fn gdaldem_slope_file_to_file(bencher: Bencher<'_, '_>) {
    let out = FILE.0.path().join("slope-gdal.tif");
    let run =
        || Command::new("gdaldem").arg("slope").args([&FILE.1, &out]).args(["-alg", "Horn", "-q"]).status();
    if run().is_ok_and(|status| status.success()) {
        bencher.bench_local(|| assert!(run().unwrap().success()));
    }
}

/// What the program does to a terrain of this size, one after the other: slope, shade, flow.
#[divan::bench(sample_count = 3)]
fn slope_shade_and_flow(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(|ground| {
        (
            slope(ground),
            hillshade(ground, Light::default()),
            flow_accumulation(&fill_depressions(ground), None),
        )
    });
}

#[divan::bench(name = "slope")]
fn slope_layer(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(slope);
}

#[divan::bench(name = "aspect")]
fn aspect_layer(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(aspect);
}

#[divan::bench(name = "hillshade")]
fn hillshade_layer(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(|ground| hillshade(ground, Light::default()));
}

#[divan::bench(name = "surface_ratio")]
fn surface_layer(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(surface_ratio);
}

#[divan::bench(sample_count = 5)]
fn filling(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*GROUND).bench_values(fill_depressions);
}

#[divan::bench(sample_count = 5)]
fn accumulation(bencher: Bencher<'_, '_>) {
    bencher.with_inputs(|| &*DRAINAGE).bench_values(|directions| flow_accumulation(directions, None));
}

#[divan::bench(sample_count = 5)]
fn slope_factor(bencher: Bencher<'_, '_>) {
    let (aspect, inflow) = (aspect(&GROUND), flow_accumulation(&DRAINAGE, None));
    bencher.bench_local(|| ls_layer(&SLOPE, &aspect, &inflow, SlopeLength::default(), |_, _| true));
}

#[divan::bench(sample_count = 5)]
fn contour_lines(bencher: Bencher<'_, '_>) {
    let levels = levels((200.0, 600.0), 10.0);
    bencher.bench_local(|| contours(&GROUND, &levels));
}

#[divan::bench(sample_count = 5)]
fn smoothing(bencher: Bencher<'_, '_>) {
    let part = *SIDE / 4..*SIDE / 2;
    let window = hillfolio_core::terrain::Window { rows: part.clone(), columns: part };
    bencher.bench_local(|| refined(&GROUND, &window, 3));
}

#[divan::bench]
fn classes_of_a_site(bencher: Bencher<'_, '_>) {
    let (site, breaks) = (site(), [3.0, 6.0, 9.0, 12.0, 15.0, 20.0, 25.0].map(Degrees));
    LazyLock::force(&SLOPE);
    bencher.bench_local(|| class_shares(&SLOPE, &coverage(&GROUND.lattice, &site), &breaks));
}
