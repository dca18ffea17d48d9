//! Progress on a terminal, for work that takes over half a second; silent in a pipe.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);

/// One line that says what is being done.
pub struct Progress {
    line: Option<ProgressBar>,
}

impl Progress {
    /// A line on standard error; none if `quiet`. It hides itself where standard error is not a terminal.
    #[must_use]
    pub fn new(quiet: bool) -> Progress {
        if quiet {
            return Progress { line: None };
        }
        let line = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ({elapsed})") {
            line.set_style(style);
        }
        let ticker = line.clone();
        // The line appears late, so that a quick build leaves the terminal as it was.
        std::thread::spawn(move || {
            std::thread::sleep(PATIENCE);
            if !ticker.is_finished() {
                ticker.set_draw_target(ProgressDrawTarget::stderr());
                ticker.enable_steady_tick(Duration::from_millis(120));
            }
        });
        Progress { line: Some(line) }
    }

    /// Says what is being done now.
    pub fn says(&self, doing: &'static str) {
        if let Some(line) = &self.line {
            line.set_message(doing);
        }
    }

    /// Takes the line away.
    pub fn done(self) {
        if let Some(line) = self.line {
            line.finish_and_clear();
        }
    }
}
