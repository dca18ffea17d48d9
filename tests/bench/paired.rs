//! The whole program against its typesetter alone, on each sample: the floor is what setting the same documents takes in a process
//! of its own that has set nothing before, everything they are made from being there. Runs are paired, one of each in turn, so
//! that a machine that is busy meanwhile is busy for all.
//!
//! `ROUNDS=20 cargo bench --bench paired`
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a benchmark prints, and may stop at once"
)]

mod ready;

use std::{
    path::Path,
    process::Command,
    time::{Duration, Instant},
};

use hillfolio_documents::typeset::Engine;

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The samples, every one of them.
const SAMPLES: [&str; 3] = ["ashlar-gap", "brindle-spur", "tussock-fold"];

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let Some(at) = words.iter().position(|word| word == "alone") {
        println!("{}", alone(Path::new(&words[at + 1])).as_micros());
        return;
    }
    let trial = words.iter().any(|word| word == "--test");
    let usual = if trial { 1 } else { 12 };
    let rounds = std::env::var("ROUNDS").map_or(usual, |text| text.parse().unwrap());
    println!(
        "| sample | typesetting alone, ms | the first build, ms | times | each later one, ms | times |\n|---|---|---|---|---|---|"
    );
    for sample in SAMPLES {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects").join(sample);
        let (out, cache) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let round = |_| {
            let first = whole(&folder, out.path(), Photos::MadeSmall);
            [floor(&folder), first, whole(&folder, out.path(), Photos::KeptIn(cache.path()))]
        };
        let mut times: Vec<[f64; 3]> = (0..=rounds).map(round).collect();
        // The first of each reads what the others find in memory, and keeps the photos that these find made small.
        times.remove(0);
        let middle = |of: &dyn Fn(&[f64; 3]) -> f64| median(times.iter().map(of).collect());
        let [alone, first, later] = [0, 1, 2].map(|at| middle(&|times| times[at]));
        let [to_first, to_later] = [1, 2].map(|at| middle(&|times| times[at] / times[0]));
        println!("| {sample} | {alone:.0} | {first:.0} | {to_first:.2} | {later:.0} | {to_later:.2} |");
    }
}

/// Milliseconds of the typesetter alone, in a process of its own.
fn floor(folder: &Path) -> f64 {
    let run = Command::new(std::env::current_exe().unwrap()).arg("alone").arg(folder).output().unwrap();
    let said = String::from_utf8(run.stdout).unwrap();
    said.trim().parse::<f64>().unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)))
        / 1_000.0
}

/// What is done with photos.
enum Photos<'a> {
    /// They are made small, as in the first build of a folder.
    MadeSmall,
    /// They are found made small in this folder, as in every later build.
    KeptIn(&'a Path),
}

/// Milliseconds of the program from its start to its end.
fn whole(folder: &Path, out: &Path, photos: Photos<'_>) -> f64 {
    let mut program = Command::new(env!("CARGO_BIN_EXE_hillfolio"));
    program.arg("build").arg(folder).arg("--out").arg(out.join("out"));
    match photos {
        Photos::MadeSmall => program.arg("--no-cache"),
        Photos::KeptIn(cache) => program.env("XDG_CACHE_HOME", cache),
    };
    let start = Instant::now();
    let run = program.output().unwrap();
    let took = start.elapsed();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    took.as_secs_f64() * 1_000.0
}

/// How long it takes to set the documents of `folder`.
fn alone(folder: &Path) -> Duration {
    ready::with_matter(folder, |matter, due| {
        let start = Instant::now();
        let documents = Engine::new(&[]).documents(matter, due).unwrap();
        let took = start.elapsed();
        assert!(!documents.is_empty());
        took
    })
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
