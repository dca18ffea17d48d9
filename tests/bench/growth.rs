//! How time and memory grow with a project: rows a hundred times as many, ground a hundred times as large. Prints a table.
//! `cargo bench --bench growth` runs all; `cargo bench --bench growth -- keep FOLDER` leaves the largest folder there.
//!
//! Each build is a process of its own, which says at its end how much memory it held at the most.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a benchmark prints, may stop at once, and counts little"
)]

mod folder;

use std::{
    path::{Path, PathBuf},
    process::Command,
    time::Instant,
};

use folder::Size;

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The largest project that is to be carried: five hundred areas, a million measured stems.
const WHOLE: Size = Size {
    areas: 500,
    plantings: 200_000,
    plots: 5_000,
    tallies: 100_000,
    stems: 1_000_000,
    photos: 2_000,
    terrain: 1_380,
};

/// The same in a hundredth, for the ground's growth.
const SMALL: Size =
    Size { areas: 5, plantings: 2_000, plots: 50, tallies: 1_000, stems: 10_000, photos: 20, terrain: 180 };

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let at = |word: &str| words.iter().position(|one| one == word).and_then(|at| words.get(at + 1));
    if let Some(folder) = at("build") {
        return build(Path::new(folder));
    }
    if let Some(folder) = at("keep") {
        std::fs::create_dir_all(folder).unwrap();
        return folder::write(Path::new(folder), WHOLE);
    }
    let tried_out = words.iter().any(|word| word == "--test");
    println!("| what grows | by | size | s | MB at the most |\n|---|---|---|---|---|");
    for (times, part) in
        [("1 ×", 100), ("10 ×", 10), ("100 ×", 1)].into_iter().take(if tried_out { 1 } else { 3 })
    {
        let size = Size {
            areas: WHOLE.areas / part,
            plantings: WHOLE.plantings / part,
            plots: WHOLE.plots / part,
            tallies: WHOLE.tallies / part,
            stems: WHOLE.stems / part,
            photos: WHOLE.photos / part,
            terrain: [180, 480, 1_380][if part == 1 {
                2
            } else if part == 10 {
                1
            } else {
                0
            }],
        };
        measure("rows", times, &format!("{} stems in {} areas", size.stems, size.areas), size);
    }
    for (times, side) in
        [("1 ×", 400), ("10 ×", 1_265), ("100 ×", 4_000)].into_iter().take(if tried_out { 1 } else { 3 })
    {
        measure("ground", times, &format!("{side} × {side} cells"), Size { terrain: side, ..SMALL });
    }
}

/// Builds a folder of this size once and prints its line.
fn measure(what: &str, times: &str, words: &str, size: Size) {
    let folder = tempfile::tempdir().unwrap();
    folder::write(folder.path(), size);
    let start = Instant::now();
    let run =
        Command::new(std::env::current_exe().unwrap()).arg("build").arg(folder.path()).output().unwrap();
    let seconds = start.elapsed().as_secs_f64();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let most = String::from_utf8(run.stdout).unwrap();
    println!("| {what} | {times} | {words} | {seconds:.1} | {} |", most.trim());
}

fn build(folder: &Path) {
    let order = hillfolio::Order {
        folder: PathBuf::from(folder),
        out: None,
        only: vec![],
        templates: None,
        photo_cache: None,
    };
    let began = Instant::now();
    let says = |what: &'static str| {
        let (held, most) = (memory("VmRSS:"), memory("VmHWM:"));
        eprintln!(
            "{:6.3} s  {held:>5} MB held, {most:>5} at the most so far; {what}",
            began.elapsed().as_secs_f64()
        );
    };
    if let Err(failure) = hillfolio::build(&order, &says) {
        let words = format!("{failure:?}");
        panic!("{failure}: {}", words.get(..2_000).unwrap_or(&words));
    }
    println!("{}", memory("VmHWM:"));
}

/// One line of the system's account of this process, in MB; a dash where it keeps none.
fn memory(line: &str) -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kilobytes = status
        .lines()
        .find_map(|one| one.strip_prefix(line)?.trim().strip_suffix(" kB")?.parse::<u64>().ok());
    kilobytes.map_or_else(|| "–".to_owned(), |kilobytes| (kilobytes / 1_000).to_string())
}
