//! The whole program against its typesetter alone, on each sample: the floor is what setting the same documents takes in a process
//! of its own that has set nothing before, everything they are made from being there. Runs are paired, one of each in turn, so
//! that a machine that is busy meanwhile is busy for both.
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

use hillfolio::typeset::Engine;

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
    println!("| sample | typesetting alone, ms | the whole program, ms | times |\n|---|---|---|---|");
    for sample in SAMPLES {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects").join(sample);
        let out = tempfile::tempdir().unwrap();
        let mut pairs: Vec<(f64, f64)> =
            (0..=rounds).map(|_| (floor(&folder), whole(&folder, out.path()))).collect();
        // The first of each reads what the others find in memory.
        pairs.remove(0);
        let middle = |of: &dyn Fn(&(f64, f64)) -> f64| median(pairs.iter().map(of).collect());
        let (alone, all, times) =
            (middle(&|pair| pair.0), middle(&|pair| pair.1), middle(&|pair| pair.1 / pair.0));
        println!("| {sample} | {alone:.0} | {all:.0} | {times:.2} |");
    }
}

/// Milliseconds of the typesetter alone, in a process of its own.
fn floor(folder: &Path) -> f64 {
    let run = Command::new(std::env::current_exe().unwrap()).arg("alone").arg(folder).output().unwrap();
    let said = String::from_utf8(run.stdout).unwrap();
    said.trim().parse::<f64>().unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)))
        / 1_000.0
}

/// Milliseconds of the program from its start to its end.
fn whole(folder: &Path, out: &Path) -> f64 {
    let mut program = Command::new(env!("CARGO_BIN_EXE_hillfolio"));
    // Photos are made small in every run, as in the first one.
    program.arg("build").arg(folder).args(["--no-cache", "--out"]).arg(out.join("out"));
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
