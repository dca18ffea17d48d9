//! The pool of worker processes: projects worked off side by side, each when the memory that it may need is free.

use std::{
    collections::VecDeque,
    path::Path,
    sync::{Mutex, PoisonError},
    time::{Duration, Instant},
};

use crate::portfolio::{
    PortfolioError,
    memory::MemoryGate,
    run::Event,
    task::{Done, Ending, Task},
    worker::{Lost, Worker},
};

/// Tasks after which a worker is replaced by a new one: what its libraries hold on to for good goes with it.
const TASKS_OF_A_WORKER: usize = 100;

/// Memory beyond which a worker that has done its task is replaced.
const WORKER_TOO_LARGE: u64 = 1 << 30;

/// A project that is to be built.
pub(crate) struct Due {
    /// Its place in the list.
    pub(crate) at: usize,
    pub(crate) task: Task,
    pub(crate) why: &'static str,
    /// Memory that it may need.
    pub(crate) cost: u64,
}

/// What comes of a project over which a worker took longer than `limit`.
fn overdue(limit: Duration, folder: &Path) -> Done {
    let (number, unit) = match limit.as_secs() {
        seconds if seconds >= 60 && seconds % 60 == 0 => (seconds / 60, "minute"),
        seconds => (seconds, "second"),
    };
    let plural = if number == 1 { "" } else { "s" };
    let why = format!(
        "it was not done after {number} {unit}{plural} and its worker was stopped: `hillfolio build {}` shows how far it comes; \
         --limit allows more time",
        folder.display()
    );
    Done::because(Ending::Failed, why)
}

/// The workers of a run, and what they share.
pub(crate) struct WorkerPool<'a> {
    pub(crate) program: &'a Path,
    /// Threads of each worker.
    pub(crate) threads: usize,
    pub(crate) limit: Option<Duration>,
    pub(crate) gate: MemoryGate,
    pub(crate) tell: &'a (dyn Fn(&Event<'_>) -> Result<(), PortfolioError> + Sync),
}

impl WorkerPool<'_> {
    /// Works off `due` with at most `workers` processes; gives what came of each by its place in the list.
    pub(crate) fn work_off(
        &self,
        due: Vec<Due>,
        workers: usize,
    ) -> Result<Vec<(usize, Done)>, PortfolioError> {
        let workers = workers.min(due.len());
        let queue = Mutex::new(VecDeque::from(due));
        let ended = Mutex::new(Vec::new());
        std::thread::scope(|scope| {
            let hands: Vec<_> = (0..workers).map(|_| scope.spawn(|| self.work(&queue, &ended))).collect();
            let ends = hands.into_iter().map(|hand| hand.join().unwrap_or(Ok(())));
            // Each hand is waited for; the first failure is told.
            ends.fold(Ok(()), Result::and)
        })?;
        Ok(ended.into_inner().unwrap_or_else(PoisonError::into_inner))
    }

    /// One hand: takes the next project, waits for memory, gives it to its worker, until nothing is left.
    fn work(
        &self,
        queue: &Mutex<VecDeque<Due>>,
        ended: &Mutex<Vec<(usize, Done)>>,
    ) -> Result<(), PortfolioError> {
        let (mut worker, mut tasks): (Option<Worker>, usize) = (None, 0);
        loop {
            let next = queue.lock().unwrap_or_else(PoisonError::into_inner).pop_front();
            let Some(due) = next else { return Ok(()) };
            let pass = self.gate.enter(due.cost);
            let start = Instant::now();
            let mut hand = match worker.take() {
                Some(hand) => hand,
                None => {
                    tasks = 0;
                    Worker::start(self.program, self.threads).map_err(PortfolioError::Worker)?
                }
            };
            tasks += 1;
            let done = match hand.ask(&due.task, self.limit) {
                Ok(done) => {
                    if tasks < TASKS_OF_A_WORKER && done.memory < WORKER_TOO_LARGE {
                        worker = Some(hand);
                    }
                    done
                }
                Err(Lost::Worker(last_words)) => Done::because(Ending::Crashed, last_words),
                Err(Lost::Overdue) => overdue(self.limit.unwrap_or_default(), &due.task.folder),
            };
            let seconds = Some(start.elapsed().as_secs_f64());
            drop(pass);
            (self.tell)(&Event::Project {
                project: &due.task.project,
                due: Some(due.why),
                done: &done,
                seconds,
            })?;
            ended.lock().unwrap_or_else(PoisonError::into_inner).push((due.at, done));
        }
    }
}
