//! How many projects are built in a minute: by one worker process, by two, by two threads of one process; how long a run takes
//! when nothing changed, and how much memory a worker holds at the beginning and at the end.
//!
//! `PROJECTS=500 ROUNDS=3 cargo bench --bench portfolio`: each round runs all of them one after the other, so that a machine that
//! is busy meanwhile is busy for all.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark prints, and may stop at once"
)]

#[path = "../support/many.rs"]
mod many;

use std::{
    env,
    num::NonZero,
    path::{Path, PathBuf},
    sync::{
        Mutex,
        atomic::{AtomicUsize, Ordering},
    },
    time::Instant,
};

use hillfolio::portfolio::{Build, Ending, Event, Order, Report, Slice, roll_up, run};

fn main() {
    let trial = env::args().any(|arg| arg == "--test");
    let number = |name: &str, usual: usize| env::var(name).map_or(usual, |text| text.parse().unwrap());
    let projects = if trial { 2 } else { number("PROJECTS", 60) };
    let rounds = if trial { 1 } else { number("ROUNDS", 1) };
    let home = tempfile::tempdir().unwrap();
    let root = home.path().join("projects");
    many::portfolio(&root, projects);
    println!("{projects} projects, {rounds} rounds; projects in a minute");
    for round in 1..=rounds {
        let one = by_workers(&root, home.path(), 1, Build::All);
        let two = by_workers(&root, home.path(), 2, Build::All);
        let threads = by_threads(&root, home.path(), projects);
        let again = by_workers(&root, home.path(), 2, Build::Due);
        let rate = |seconds: f64| 60.0 * projects as f64 / seconds;
        println!(
            "round {round}: one worker {:.0}, two workers {:.0} ({:.2} times), two threads of one process {:.0}",
            rate(one.seconds),
            rate(two.seconds),
            one.seconds / two.seconds,
            rate(threads)
        );
        println!(
            "  nothing changed: {:.2} s; memory of a worker: {} MB after the first tenth, {} MB at most, {} MB after the last",
            again.seconds, two.memory[0], two.memory[1], two.memory[2]
        );
    }
}

struct Measured {
    seconds: f64,
    /// Megabytes after the first tenth of the projects, at most, after the last.
    memory: [u64; 3],
}

fn by_workers(root: &Path, home: &Path, workers: usize, build: Build) -> Measured {
    let order = Order {
        root: root.to_owned(),
        out: home.join("out"),
        list: None,
        slice: Slice::WHOLE,
        build,
        by_stamp: true,
        workers: NonZero::new(workers),
        memory: None,
        limit: None,
        templates: None,
        photo_cache: None,
        program: PathBuf::from(env!("CARGO_BIN_EXE_hillfolio")),
    };
    let memory = Mutex::new(Vec::new());
    let start = Instant::now();
    let report: Report = run(&order, &|event| {
        if let Event::Project { due: Some(_), done, .. } = event {
            memory.lock().unwrap().push(done.memory / 1_000_000);
        }
    })
    .unwrap();
    let rolled_up = roll_up(&report, &order.out, None, None).unwrap();
    let seconds = start.elapsed().as_secs_f64();
    assert!(report.projects.iter().all(|(_, done)| done.ending.is_good()));
    assert!(build != Build::Due || report.count(Ending::Built) == 0);
    assert_eq!(rolled_up.unwrap().sites, report.projects.len());
    let memory = memory.into_inner().unwrap();
    let at = |part: usize| memory.get(memory.len() * part / 10).copied().unwrap_or_default();
    let most = memory.iter().copied().max().unwrap_or_default();
    Measured { seconds, memory: [at(1), most, memory.last().copied().unwrap_or_default()] }
}

/// The same projects by two threads that call the library; the typesetter's memory is emptied after each, as workers do.
fn by_threads(root: &Path, home: &Path, projects: usize) -> f64 {
    let found = hillfolio_core::intake::projects(root, home).unwrap().paths;
    assert_eq!(found.len(), projects);
    let next = AtomicUsize::new(0);
    let start = Instant::now();
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some(path) = found.get(next.fetch_add(1, Ordering::SeqCst)) {
                    let order = hillfolio::Order {
                        folder: root.join(path),
                        out: Some(home.join("threads").join(path)),
                        only: vec![],
                        templates: None,
                        photo_cache: None,
                    };
                    hillfolio::build(&order, &|_| ()).unwrap();
                    hillfolio_documents::typeset::forget();
                }
            });
        }
    });
    start.elapsed().as_secs_f64()
}
