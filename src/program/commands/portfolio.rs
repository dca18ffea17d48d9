//! `portfolio`: every project below a folder built, and all of them rolled up into one report.

use std::{env, error::Error, io, io::Write as _, path, time::Duration};

use crate::{
    cli::{self, Print},
    commands::{CommandError, DIFFERS, Order, Outcome, build, build::photo_cache, causes},
    console::{self, Bar},
    portfolio::{self, Build, Chosen, Elsewhere, Made, PortfolioError, Slice, Task},
};

pub(super) fn run(asked: cli::Portfolio, quiet: bool) -> io::Result<Outcome> {
    if let Some(what) = asked.print {
        return print(&asked, what);
    }
    let order = portfolio::Order {
        out: asked.out.clone().unwrap_or_else(|| asked.folder.join("out")),
        root: asked.folder.clone(),
        list: asked.list.clone(),
        slice: asked.slice.map_or(Slice::WHOLE, |slice| Slice { number: slice.number, of: slice.of }),
        build: match (asked.force, asked.merge) {
            (true, _) => Build::All,
            (_, true) => Build::None,
            _ => Build::Due,
        },
        by_stamp: !asked.reread,
        workers: asked.workers,
        memory: asked.memory.map(|megabytes| megabytes.get().saturating_mul(1_000_000)),
        limit: (asked.limit > 0).then(|| Duration::from_secs(60 * u64::from(asked.limit))),
        templates: asked.templates.clone(),
        photo_cache: photo_cache(asked.no_cache),
        program: env::current_exe()?,
    };
    match built(&order, &asked, quiet) {
        Ok(outcome) => Ok(outcome),
        Err(failure) => Ok(not_gone_through(&failure)),
    }
}

/// Goes through the portfolio, then rolls it up.
fn built(order: &portfolio::Order, asked: &cli::Portfolio, quiet: bool) -> Result<Outcome, PortfolioError> {
    let bar = Bar::new(quiet || asked.json);
    let ran = portfolio::run(order, &|event| match asked.json {
        // Whoever reads it may be gone; the run log holds the same.
        true => drop(event.line().map(|line| writeln!(anstream::stdout(), "{line}"))),
        false => bar.says(event),
    });
    bar.done();
    let report = ran?;
    // A slice knows nothing of the others; whoever merges them rolls up.
    let rolled_up = match order.slice {
        Slice::WHOLE => {
            portfolio::roll_up(&report, &order.out, asked.name.as_deref(), order.templates.as_deref())?
        }
        _ => None,
    };
    let (code, roster) = (report.code(), console::roster(&report, rolled_up.as_ref()));
    Ok(match (asked.json, quiet) {
        (true, _) => Outcome { code, ..Outcome::default() },
        (_, true) if code == 0 => Outcome::default(),
        (_, true) => Outcome { err: roster, code, ..Outcome::default() },
        _ => Outcome { out: format!("{roster}in {}\n", order.out.display()), code, ..Outcome::default() },
    })
}

/// Why a portfolio was not gone through.
fn not_gone_through(failure: &PortfolioError) -> Outcome {
    let outcome = Outcome::not_written(failure, failure.help().as_deref());
    match failure {
        PortfolioError::NoProject { .. } => Outcome { code: DIFFERS, ..outcome },
        _ => outcome,
    }
}

/// Builds the projects that are named on standard input, a line each.
pub(super) fn work() -> io::Result<Outcome> {
    portfolio::serve(io::stdin().lock(), io::stdout().lock(), &build_member)?;
    Ok(Outcome::default())
}

/// Prints the list of a portfolio, or what a scheduler needs.
fn print(asked: &cli::Portfolio, what: Print) -> io::Result<Outcome> {
    let root = path::absolute(&asked.folder)?;
    let out = path::absolute(asked.out.clone().unwrap_or_else(|| asked.folder.join("out")))?;
    let text = match what {
        Print::List => match Chosen::of(&root, &out, asked.list.as_deref(), Slice::WHOLE) {
            Ok(chosen) => chosen.members.iter().map(|member| format!("{}\n", member.path)).collect(),
            Err(failure) => return Ok(not_gone_through(&failure)),
        },
        Print::Slurm | Print::Kubernetes => {
            let elsewhere = Elsewhere {
                program: env::current_exe()?,
                root,
                out,
                list: asked.list.as_deref().map(path::absolute).transpose()?,
                templates: asked.templates.as_deref().map(path::absolute).transpose()?,
                options: format!(
                    "--limit {}{}",
                    asked.limit,
                    if asked.no_cache { " --no-cache" } else { "" }
                ),
                tasks: asked.tasks.get(),
            };
            if what == Print::Slurm { elsewhere.slurm() } else { elsewhere.kubernetes() }
        }
    };
    Ok(Outcome::done(text))
}

/// Builds one project of a portfolio.
#[must_use]
pub fn build_member(task: &Task) -> Made {
    let order = Order {
        folder: task.folder.clone(),
        out: Some(task.out.clone()),
        only: Vec::new(),
        templates: task.templates.clone(),
        photo_cache: task.photo_cache.clone(),
    };
    match build(&order, &|_| {}) {
        Ok(built) => Made::Documents(built.problems),
        Err(CommandError::Folder(problems)) => Made::Errors(problems),
        Err(failure) => Made::Not(with_causes(&failure)),
    }
}

/// A failure in one line, with every cause behind it that it does not tell itself.
fn with_causes(failure: &dyn Error) -> String {
    causes(failure).map(ToString::to_string).fold(failure.to_string(), |words, says| {
        match words.contains(&says) {
            true => words,
            false => format!("{words}: {says}"),
        }
    })
}
