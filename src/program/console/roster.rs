//! A portfolio on a terminal: how far it is, what went wrong, what there is.

use std::fmt::Write as _;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::portfolio::{Ending, Event, Report, RolledUp};

/// A bar that fills as projects are done; it hides itself where standard error is not a terminal.
pub struct Bar {
    bar: Option<ProgressBar>,
}

impl Bar {
    /// A bar on standard error; none if `quiet`.
    #[must_use]
    pub fn new(quiet: bool) -> Bar {
        if quiet {
            return Bar { bar: None };
        }
        let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
        let form = "{bar:24} {pos} of {len} projects, {elapsed} gone, about {eta} to go  {msg}";
        if let Ok(style) = ProgressStyle::with_template(form) {
            bar.set_style(style);
        }
        Bar { bar: Some(bar) }
    }

    /// Takes in what happened. What goes wrong is named at once, above the bar.
    pub fn says(&self, event: &Event<'_>) {
        let Some(bar) = &self.bar else { return };
        match event {
            Event::Begun { due, .. } => bar.set_length(*due as u64),
            Event::Project { project, due: Some(_), done, .. } => {
                bar.inc(1);
                match done.ending.is_good() {
                    true => bar.set_message((*project).to_owned()),
                    false => bar.println(format!("{:<8} {project}", done.ending.word())),
                }
            }
            _ => {}
        }
    }

    /// Takes the bar away.
    pub fn done(self) {
        if let Some(bar) = self.bar {
            bar.finish_and_clear();
        }
    }
}

/// What went wrong and how many projects there are of each kind.
#[must_use]
pub fn roster(report: &Report, rolled_up: Option<&RolledUp>) -> String {
    let mut text = String::new();
    for (folder, why) in &report.skipped {
        let _ = writeln!(text, "not looked into  {folder}: {why}");
    }
    for (member, done) in report.projects.iter().filter(|(_, done)| !done.ending.is_good()) {
        let _ = writeln!(text, "{:<8} {}", done.ending.word(), member.path);
        for says in &done.says {
            let _ = writeln!(text, "         {says}");
        }
        let more = done.errors.saturating_sub(done.says.len());
        if done.ending == Ending::Errors && more > 0 {
            let _ = writeln!(text, "         and {more} more; `hillfolio check` lists them");
        }
    }
    let endings =
        [Ending::Built, Ending::Unchanged, Ending::Errors, Ending::Failed, Ending::Crashed, Ending::Missing];
    let words = |ending: Ending| match ending {
        Ending::Errors => "with errors",
        other => other.word(),
    };
    let counts = endings.into_iter().map(|ending| (report.count(ending), words(ending)));
    let counts: Vec<String> =
        counts.filter(|(count, _)| *count > 0).map(|(count, word)| format!("{count} {word}")).collect();
    let projects = report.projects.len();
    let plural = if projects == 1 { "" } else { "s" };
    let _ = writeln!(
        text,
        "{projects} project{plural}: {}",
        if counts.is_empty() { "none in this slice".to_owned() } else { counts.join(", ") }
    );
    if let Some(rolled_up) = rolled_up {
        let again = if rolled_up.unchanged { ", as it was" } else { "" };
        let sites =
            if rolled_up.sites == 1 { "1 site".to_owned() } else { format!("{} sites", rolled_up.sites) };
        let _ = writeln!(text, "roll-up of {sites}{again}");
    }
    text
}
