//! A worker process: the same program, which takes tasks on its standard input and answers on its standard output.
//!
//! Processes and not threads: a crash takes one project with it and no other, and memory goes back to the system with the
//! process. Two threads of one process share its allocator and its memory of earlier documents; two processes share neither.
//! `cargo bench --bench portfolio` holds the two beside one another.

use std::{
    io::{self, BufRead as _, BufReader, Read as _, Write as _},
    path::Path,
    process::{Child, ChildStdin, ChildStdout, Command, Stdio},
    sync::{Arc, Mutex, PoisonError},
    thread::JoinHandle,
    time::Duration,
};

use crate::portfolio::task::{Done, Task};

/// Bytes of a worker's last words that are kept.
const LAST_WORDS: usize = 2_000;

/// How long a worker's last words are waited for, in steps of a hundredth of a second: somebody it started may hold the line.
const PATIENCE: u32 = 20;

/// A worker process.
#[derive(Debug)]
pub(crate) struct Worker {
    child: Child,
    orders: Option<ChildStdin>,
    answers: BufReader<ChildStdout>,
    words: Arc<Mutex<Vec<u8>>>,
    listener: JoinHandle<()>,
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
        let answers = BufReader::new(child.stdout.take().ok_or_else(gone)?);
        let mut errors = child.stderr.take().ok_or_else(gone)?;
        let words = Arc::new(Mutex::new(Vec::new()));
        let heard = Arc::clone(&words);
        // Read as it comes, so that a worker with much to say is never held up.
        let listener = std::thread::spawn(move || {
            let mut piece = [0; 1024];
            while let Ok(read @ 1..) = errors.read(&mut piece) {
                let mut kept = heard.lock().unwrap_or_else(PoisonError::into_inner);
                kept.extend_from_slice(&piece[..read]);
                let surplus = kept.len().saturating_sub(LAST_WORDS);
                kept.drain(..surplus);
            }
        });
        Ok(Worker { child, orders, answers, words, listener })
    }

    /// Gives a task and waits for what comes of it. The error is the worker's last words; it is of no more use then.
    pub(crate) fn ask(&mut self, task: &Task) -> Result<Done, String> {
        let asked = serde_json::to_string(task).map_err(io::Error::other).and_then(|order| {
            let Some(orders) = &mut self.orders else { return Err(io::ErrorKind::BrokenPipe.into()) };
            writeln!(orders, "{order}")?;
            orders.flush()
        });
        let mut answer = String::new();
        let read = asked.and_then(|()| self.answers.read_line(&mut answer));
        match read {
            Ok(1..) => serde_json::from_str(&answer).map_err(|_| "its answer was not understood".to_owned()),
            Ok(0) | Err(_) => Err(self.last_words()),
        }
    }

    /// How the worker ended and the last that it said, in one line.
    fn last_words(&mut self) -> String {
        self.orders = None;
        // A worker that closed its streams and lives on would hold everything up.
        let _ = self.child.kill();
        let ended = self.child.wait().map(|status| status.to_string()).unwrap_or_default();
        for _ in 0..PATIENCE {
            if self.listener.is_finished() {
                break;
            }
            std::thread::sleep(Duration::from_millis(10));
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
        let _ = self.child.wait();
    }
}
