//! One run over the portfolio: what is current is passed over, the rest is worked off by a pool of workers.

use std::{
    num::NonZero,
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
    time::{Duration, Instant},
};

use rayon::prelude::*;
use serde::Serialize;

use crate::portfolio::{
    PROGRAM, PortfolioError,
    members::{Chosen, Member, Slice},
    memory::{self, MemoryGate},
    own_templates,
    record::Record,
    standing::{Asked, Standing, standing},
    task::{Done, Ending, Task},
    worker_pool::{Due, WorkerPool},
};
use hillfolio_documents::{pack::Lines, thumbnails::Thumbnails};

/// Which projects a run builds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// Those whose documents are not current.
    Due,
    /// All of them.
    All,
    /// None: what there is counts.
    None,
}

/// What a run is to do.
#[derive(Debug, Clone)]
pub struct Order {
    /// The folder of the portfolio.
    pub root: PathBuf,
    /// Where everything is written.
    pub out: PathBuf,
    /// A list of project folders; `None` searches for them.
    pub list: Option<PathBuf>,
    /// Which slice of the list.
    pub slice: Slice,
    /// What is built.
    pub build: Build,
    /// Whether a file may be known by its stamp; else every file is read.
    pub by_stamp: bool,
    /// Worker processes; `None` is one for each processor.
    pub workers: Option<NonZero<usize>>,
    /// Memory for all of them, in bytes; `None` is most of what is free.
    pub memory: Option<u64>,
    /// How long a worker may take over one project; `None` waits for as long as it takes.
    pub limit: Option<Duration>,
    /// A folder of the user's own templates.
    pub templates: Option<PathBuf>,
    /// A folder of the user's own in which photos made small are kept between builds; `None` keeps none.
    pub photo_cache: Option<PathBuf>,
    /// The program that workers run: this one.
    pub program: PathBuf,
}

/// Something happened in a run, in the form of the run log.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "event", rename_all = "kebab-case")]
pub enum Event<'a> {
    /// The projects are known, and which of them are to be built.
    Begun {
        /// The program's version.
        program: &'a str,
        /// The slice, such as `1/1`.
        slice: String,
        /// Projects in it.
        projects: usize,
        /// Those that are to be built.
        due: usize,
        /// Worker processes at most.
        workers: usize,
        /// Memory for all of them, in bytes.
        memory: u64,
    },
    /// A folder was not looked into.
    Skipped {
        /// Its path.
        folder: &'a str,
        /// Why.
        because: &'a str,
    },
    /// A project is done with.
    Project {
        /// Its path.
        project: &'a str,
        /// Why it had to be built; absent where it did not.
        #[serde(skip_serializing_if = "Option::is_none")]
        due: Option<&'a str>,
        /// What came of it.
        #[serde(flatten)]
        done: &'a Done,
        /// Seconds from order to answer.
        #[serde(skip_serializing_if = "Option::is_none")]
        seconds: Option<f64>,
    },
    /// The run is over.
    Ended {
        /// Projects built.
        built: usize,
        /// Projects that were current.
        unchanged: usize,
        /// Projects whose folder has errors.
        errors: usize,
        /// Projects that could not be made or written.
        failed: usize,
        /// Projects over which a worker came to its end.
        crashed: usize,
        /// Projects that are not there and were not built.
        missing: usize,
        /// Seconds in all.
        seconds: f64,
    },
}

impl Event<'_> {
    /// The line of the run log.
    ///
    /// # Errors
    /// Something in the event can't be written as JSON.
    pub fn line(&self) -> serde_json::Result<String> {
        serde_json::to_string(self)
    }
}

/// What came of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Every project with what came of it, in order of path.
    pub projects: Vec<(Member, Done)>,
    /// Folders that were not looked into, each with the reason.
    pub skipped: Vec<(String, String)>,
    /// The run log.
    pub log: PathBuf,
}

impl Report {
    /// How many projects ended so.
    #[must_use]
    pub fn count(&self, ending: Ending) -> usize {
        self.projects.iter().filter(|(_, done)| done.ending == ending).count()
    }

    /// The exit code that tells of it: 0 where every project has its documents, 1 where a folder has errors or documents are missing,
    /// 3 where documents could not be made or written.
    #[must_use]
    pub fn code(&self) -> u8 {
        let ended = |endings: &[Ending]| self.projects.iter().any(|(_, done)| endings.contains(&done.ending));
        match () {
            () if ended(&[Ending::Failed, Ending::Crashed, Ending::Begun]) => 3,
            () if ended(&[Ending::Errors, Ending::Missing]) => 1,
            () => 0,
        }
    }
}

/// Builds what is due. `says` is told everything that goes into the run log.
///
/// A folder with errors, a template that fails, a worker that crashes and one that comes to no end each cost their own project and no other.
///
/// # Errors
/// The folder or the list can't be read, there is no project, the run log can't be written, or no worker can be started.
pub fn run(order: &Order, says: &(dyn Fn(&Event<'_>) + Sync)) -> Result<Report, PortfolioError> {
    let start = Instant::now();
    // Each project looks for itself that nothing is kept in its own folders; those of all of them are known only here.
    let kept = order.photo_cache.as_deref().map(|cache| Thumbnails::kept_in(cache, &[&order.out]));
    let photo_cache = kept.unwrap_or_default().folder().map(Path::to_owned);
    let order = &Order { photo_cache, ..order.clone() };
    let (_, templates) = own_templates(order.templates.as_deref())?;
    let Chosen { members, skipped } =
        Chosen::of(&order.root, &order.out, order.list.as_deref(), order.slice)?;
    let log_path = order.out.join("runs").join(log_name(order));
    let log = Mutex::new(Lines::create(&log_path)?);
    let tell = |event: &Event<'_>| -> Result<(), PortfolioError> {
        log.lock().unwrap_or_else(PoisonError::into_inner).add(&event.line()?)?;
        says(event);
        Ok(())
    };

    let asked = Asked { out: &order.out, templates: &templates, by_stamp: order.by_stamp };
    let standings: Vec<Standing> = members.par_iter().map(|member| standing(member, asked)).collect();
    let workers = order.workers.map_or_else(processors, NonZero::get);
    let memory = order.memory.unwrap_or_else(memory::budget);
    let threads = (processors() / workers).max(1);
    let mut done: Vec<Option<Done>> = vec![None; members.len()];
    let mut due = Vec::new();
    for (at, (member, standing)) in members.iter().zip(standings).enumerate() {
        let (why, files) = match standing {
            Standing::Current(record) if order.build != Build::All => {
                done[at] = Some(Done { ending: Ending::Unchanged, ..record.done });
                continue;
            }
            Standing::Due(why, _) if order.build == Build::None => {
                done[at] = Some(missing(order, member, why));
                continue;
            }
            Standing::Current(record) => ("it was asked for", record.sizes()),
            Standing::Due(why, files) => (why, files),
        };
        let task = task(order, &templates, member);
        due.push(Due { at, task, why, cost: memory::cost(&files, threads) });
    }
    tell(&Event::Begun {
        program: PROGRAM,
        slice: order.slice.to_string(),
        projects: members.len(),
        due: due.len(),
        workers: workers.min(due.len()),
        memory,
    })?;
    for (folder, because) in &skipped {
        tell(&Event::Skipped { folder, because })?;
    }
    for (member, done) in members.iter().zip(&done) {
        let Some(done) = done else { continue };
        tell(&Event::Project { project: &member.path, due: None, done, seconds: None })?;
    }

    // The dearest first, so that none of them is left to the end, when the others have nothing to do.
    due.sort_by_key(|due| std::cmp::Reverse(due.cost));
    let (program, limit) = (&order.program, order.limit);
    let pool = WorkerPool { program, threads, limit, gate: MemoryGate::of(memory), tell: &tell };
    for (at, ended) in pool.work_off(due, workers)? {
        done[at] = Some(ended);
    }

    let never = || Done::because(Ending::Failed, "no worker was left to build it");
    let projects = members.into_iter().zip(done).map(|(member, done)| (member, done.unwrap_or_else(never)));
    let report = Report { projects: projects.collect(), skipped, log: log_path };
    tell(&Event::Ended {
        built: report.count(Ending::Built),
        unchanged: report.count(Ending::Unchanged),
        errors: report.count(Ending::Errors),
        failed: report.count(Ending::Failed),
        crashed: report.count(Ending::Crashed),
        missing: report.count(Ending::Missing),
        seconds: start.elapsed().as_secs_f64(),
    })?;
    Ok(report)
}

/// The name of the run log: one for the whole, one for each slice, one for what is only put together.
fn log_name(order: &Order) -> String {
    match order.slice {
        _ if order.build == Build::None => "merge.jsonl".to_owned(),
        Slice::WHOLE => "run.jsonl".to_owned(),
        Slice { number, of } => format!("slice-{number}-of-{of}.jsonl"),
    }
}

/// What is known of a project whose documents are not there: how its last build ended, where that is told.
fn missing(order: &Order, member: &Member, why: &str) -> Done {
    let told = Record::read(&member.record(&order.out)).map(|record| record.done);
    told.filter(|done| matches!(done.ending, Ending::Errors | Ending::Failed))
        .unwrap_or_else(|| Done::because(Ending::Missing, why))
}

fn processors() -> usize {
    std::thread::available_parallelism().map_or(1, NonZero::get)
}

fn task(order: &Order, templates: &str, member: &Member) -> Task {
    Task {
        project: member.path.clone(),
        folder: member.folder.clone(),
        out: member.out(&order.out),
        record: member.record(&order.out),
        templates: order.templates.clone(),
        templates_sum: templates.to_owned(),
        photo_cache: order.photo_cache.clone(),
    }
}
