//! A worker process: the same program, which takes tasks on its standard input and answers on its standard output.
//!
//! Processes and not threads: a crash takes one project with it and no other, and memory goes back to the system with the
//! process. Two threads of one process share its allocator and its memory of earlier documents; two processes share neither.
//! `cargo bench --bench portfolio` holds the two beside one another.

use std::{
    io::{self, BufRead as _, BufReader, Read as _, Write as _},
    path::Path,
    process::{Child, ChildStdin, Command, ExitStatus, Stdio},
    sync::{
        Arc, Mutex, PoisonError,
        mpsc::{self, Receiver, RecvTimeoutError},
    },
    thread::{self, JoinHandle},
    time::Duration,
};

use crate::portfolio::task::{Done, Task};

/// Bytes of a worker's last words that are kept.
const LAST_WORDS: usize = 2_000;

/// A step of waiting for something that is about to happen.
const STEP: Duration = Duration::from_millis(10);

/// Steps that a worker's last words are waited for: somebody it started may hold the line.
const PATIENCE: u32 = 20;

/// Steps that a worker's end is waited for once it is killed: one that waits for a disk or a network that is gone may not end at all.
const DYING: u32 = 500;

/// A worker process.
#[derive(Debug)]
pub(crate) struct Worker {
    /// `None` once it was ended.
    child: Option<Child>,
    orders: Option<ChildStdin>,
    answers: Receiver<String>,
    words: Arc<Mutex<Vec<u8>>>,
    listener: JoinHandle<()>,
}

/// Why a task came to no end. The worker is of no more use then.
#[derive(Debug)]
pub(crate) enum Lost {
    /// The worker came to its own end first, or said what nobody understands; its last words.
    Worker(String),
    /// It took too long, and the worker was stopped.
    Overdue,
}

impl Worker {
    /// Starts `program` as a worker with `threads` threads.
    pub(crate) fn start(program: &Path, threads: usize) -> io::Result<Worker> {
        let mut child = Command::new(program)
            .arg("portfolio-worker")
            .env("RAYON_NUM_THREADS", threads.to_string())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let gone = || io::Error::other("the worker has no standard streams");
        let orders = Some(child.stdin.take().ok_or_else(gone)?);
        let lines = BufReader::new(child.stdout.take().ok_or_else(gone)?).lines();
        let mut errors = child.stderr.take().ok_or_else(gone)?;
        let (answer, answers) = mpsc::channel();
        // Read apart, since whoever reads a pipe can't stop waiting.
        thread::spawn(move || lines.map_while(Result::ok).try_for_each(|line| answer.send(line)));
        let words = Arc::new(Mutex::new(Vec::new()));
        let heard = Arc::clone(&words);
        // Read as it comes, so that a worker with much to say is never held up.
        let listener = thread::spawn(move || {
            let mut piece = [0; 1024];
            while let Ok(read @ 1..) = errors.read(&mut piece) {
                let mut kept = heard.lock().unwrap_or_else(PoisonError::into_inner);
                kept.extend_from_slice(&piece[..read]);
                let surplus = kept.len().saturating_sub(LAST_WORDS);
                kept.drain(..surplus);
            }
        });
        Ok(Worker { child: Some(child), orders, answers, words, listener })
    }

    /// Gives a task and waits for what comes of it, no longer than `limit` where there is one.
    pub(crate) fn ask(&mut self, task: &Task, limit: Option<Duration>) -> Result<Done, Lost> {
        let asked = serde_json::to_string(task).map_err(io::Error::other).and_then(|order| {
            let Some(orders) = &mut self.orders else { return Err(io::ErrorKind::BrokenPipe.into()) };
            writeln!(orders, "{order}")?;
            orders.flush()
        });
        if asked.is_err() {
            return Err(Lost::Worker(self.last_words()));
        }
        let answer = match limit {
            Some(limit) => self.answers.recv_timeout(limit),
            None => self.answers.recv().map_err(RecvTimeoutError::from),
        };
        match answer {
            Ok(answer) => serde_json::from_str(&answer).map_err(|_| {
                self.end();
                Lost::Worker("its answer was not understood".to_owned())
            }),
            Err(RecvTimeoutError::Timeout) => {
                self.end();
                Err(Lost::Overdue)
            }
            Err(RecvTimeoutError::Disconnected) => Err(Lost::Worker(self.last_words())),
        }
    }

    /// Kills the worker; how it ended, where it does so soon.
    fn end(&mut self) -> Option<ExitStatus> {
        self.orders = None;
        let mut child = self.child.take()?;
        // One that closed its streams and lives on would hold everything up.
        let _ = child.kill();
        for _ in 0..DYING {
            match child.try_wait() {
                Ok(None) => thread::sleep(STEP),
                ended => return ended.ok().flatten(),
            }
        }
        None
    }

    /// How the worker ended and the last that it said, in one line.
    fn last_words(&mut self) -> String {
        let ended = self.end().map(|status| status.to_string()).unwrap_or_default();
        for _ in 0..PATIENCE {
            if self.listener.is_finished() {
                break;
            }
            thread::sleep(STEP);
        }
        let said = self.words.lock().unwrap_or_else(PoisonError::into_inner);
        let said = String::from_utf8_lossy(&said);
        let line = said.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("note:"));
        let said: Vec<&str> = line.collect();
        let said = said[said.len().saturating_sub(2)..].join(" ");
        if said.is_empty() {
            format!("the worker ended: {ended}")
        } else {
            format!("the worker ended: {ended}; {said}")
        }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        // Without orders a worker ends by itself.
        self.orders = None;
        if let Some(child) = &mut self.child {
            let _ = child.wait();
        }
    }
}
