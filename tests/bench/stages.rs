//! How long each stage of a run takes. Reading, typesetting and the whole run are measured on the small sample; estimators
//! and drawings on a project of common size built in memory: six areas, forty plots, twenty-four species. `cargo bench`
//! runs all; `cargo bench -- drawing` runs one stage.
//!
//! A module a stage, in the order of the run. Inputs are made outside the measured part.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a benchmark may stop at once")]

#[path = "../support/mod.rs"]
mod support;

mod ready;
mod rows;

use std::hint::black_box;

use divan::Bencher;
use hillfolio_core::{
    ledger::Filled,
    project::{Area, PlotId, Project},
    units::{Metres, Stems},
};

fn main() {
    divan::main();
}

/// Species planted in the project that is measured.
const SPECIES: usize = 24;

/// The small project of the tests, grown to a common size by repeating its parts under new names.
fn project() -> Project {
    let model = support::small_project();
    let mut project = model.clone();
    project.areas = (0..6).map(|n| area(&model.areas[n % 2], n)).collect();
    project.plantings.clear();
    project.plots.clear();
    project.tallies.clear();
    project.stems.clear();
    for n in 0..SPECIES * 6 {
        let mut planting = model.plantings[n % 4].clone();
        planting.area = project.areas[n % 6].id.clone();
        planting.species = support::species_id(&species(n / 6));
        planting.stems = Stems(100 + 37 * n as u64 % 400);
        planting.source = support::row("plantings.csv", n as u32 + 2);
        project.plantings.push(planting);
    }
    for n in 0..40 {
        let mut plot = model.plots[n % 4].clone();
        plot.id = PlotId(format!("P{n:02}").into());
        plot.area = project.areas[n % 6].id.clone();
        plot.source = support::row("plots.csv", n as u32 + 2);
        for k in 0..10 {
            let row = (n * 10 + k) as u32 + 2;
            let mut tally = model.tallies[k % 8].clone();
            tally.plot = plot.id.clone();
            tally.species = support::species_id(&species((n + k) % SPECIES));
            tally.source = support::row("tallies.csv", row);
            let mut stem = model.stems[k].clone();
            stem.plot = plot.id.clone();
            stem.species = tally.species.clone();
            stem.height = Some(Metres(0.4 + f64::from(row * 29 % 180) / 100.0));
            stem.source = support::row("stems.csv", row);
            project.tallies.push(tally);
            project.stems.push(stem);
        }
        project.plots.push(plot);
    }
    project
}

fn area(model: &Area, n: usize) -> Area {
    let mut area = model.clone();
    area.id = support::area_id(&format!("Area {}", n + 1));
    area.boundary = support::oblong(148.0 + 0.004 * n as f64, -36.0 - 0.002 * (n % 3) as f64, 0.003, 0.0015);
    area
}

fn species(n: usize) -> String {
    format!("Speciosa epitheta{n:02}")
}

/// The small sample, read.
fn sample() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects/brindle-spur")
}

mod reading {
    use super::*;

    #[divan::bench]
    fn folder(bencher: Bencher<'_, '_>) {
        let printable = hillfolio_documents::typeset::printable();
        bencher.bench(|| {
            let folder = hillfolio_core::intake::Folder::open(&sample()).unwrap();
            hillfolio_core::intake::read(&folder, &printable).unwrap()
        });
    }
}

mod estimating {
    use super::*;

    /// Rows of planting and of tallies, with five times as many stems: the time must grow as the rows do.
    #[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 5)]
    fn many_rows(bencher: Bencher<'_, '_>, size: u32) {
        let project = rows::project(size);
        bencher.bench(|| hillfolio_core::ledger::fill(black_box(&project)));
    }

    #[divan::bench]
    fn ledger(bencher: Bencher<'_, '_>) {
        let project = project();
        bencher.bench(|| hillfolio_core::ledger::fill(black_box(&project)));
    }
}

mod drawing {
    use super::*;

    fn drawn() -> (Project, Filled) {
        let project = project();
        let filled = hillfolio_core::ledger::fill_but_plan(&project);
        (project, filled)
    }

    #[divan::bench]
    fn charts(bencher: Bencher<'_, '_>) {
        let (project, filled) = drawn();
        bencher.bench(|| hillfolio_documents::draw::charts(black_box(&project), black_box(&filled.ledger)));
    }

    #[divan::bench]
    fn maps(bencher: Bencher<'_, '_>) {
        let (project, filled) = drawn();
        bencher.bench(|| hillfolio_documents::draw::maps(black_box(&project), black_box(&filled)));
    }

    /// A camera's picture of twelve megapixels, made small for print.
    #[divan::bench(sample_count = 10)]
    fn photo(bencher: Bencher<'_, '_>) {
        let scene = image::RgbImage::from_fn(4000, 3000, |x, y| {
            image::Rgb([(x / 16 + y / 24) as u8, (x * y / 4096) as u8, (y / 12) as u8])
        });
        let mut jpeg = Vec::new();
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut jpeg, 90).encode_image(&scene).unwrap();
        bencher.bench(|| hillfolio_documents::draw::photo::shrink(black_box(&jpeg), 1200, 82));
    }
}

mod typesetting {
    use super::*;

    /// The typesetter alone, setting the same documents as the whole run: everything it needs is made beforehand. Its memory of earlier documents is emptied before each
    /// run, as it is for a program that has just started.
    #[divan::bench(sample_count = 20)]
    fn small_sample(bencher: Bencher<'_, '_>) {
        ready::with_matter(&sample(), |matter, due| {
            bencher.with_inputs(|| comemo::evict(0)).bench_values(|()| {
                hillfolio_documents::typeset::Engine::new(&[]).documents(matter, due).unwrap()
            });
        });
    }
}

mod whole {
    use super::*;

    /// The small sample from its folder to the packed output.
    #[divan::bench(sample_count = 20)]
    fn small_sample(bencher: Bencher<'_, '_>) {
        let out = tempfile::tempdir().unwrap();
        let order = hillfolio::Order {
            folder: sample(),
            out: Some(out.path().join("out")),
            only: vec![],
            templates: None,
            photo_cache: None,
        };
        bencher
            .with_inputs(|| comemo::evict(0))
            .bench_values(|()| hillfolio::build(&order, &|_| {}).unwrap());
    }
}
