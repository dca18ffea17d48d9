//! The commands, each a story from what was typed to what is printed.
//!
//! A file holds what the command does, for whoever calls the library, and beneath it what it says of that on a terminal.

mod agreements;
mod answers;
mod build;
mod check;
mod compare;
mod data;
mod explain;
mod forms;
mod new;
mod outputs;
mod portfolio;
mod private_words;
mod seal;
mod sheets;
mod starter_rows;
mod verify;

use std::{error::Error, io};

use crate::{
    audit::SealError,
    cli::{Cli, Command},
    console::{Listing, Progress},
};
use hillfolio_core::{
    intake::{self, Folder, Intake},
    ledger,
    problem::{Kind, Place, Problem, Reading},
};
use hillfolio_documents::{exports, pack, typeset};

pub use answers::{AnswerError, Written, answer};
pub use build::{Built, Order, build};
pub use check::{check, write_corrections};
pub use compare::{Comparison, compare};
pub use explain::explain;
pub use outputs::pictures;
pub use portfolio::build_member;
pub use sheets::sheets;
pub use verify::{How, verify};

/// The folder has errors, or a pack does not say what its inputs give, or two ledgers are not the same.
const DIFFERS: u8 = 1;
/// The command, or what it names, was not understood.
const USAGE: u8 = 2;
/// Something could not be read or written.
pub const NOT_WRITTEN: u8 = 3;

/// What a command came to: what it prints, and the exit code.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Outcome {
    /// What was asked for, to standard output.
    pub out: String,
    /// What went wrong, to standard error.
    pub err: String,
    /// The exit code; 0 is done, or the same.
    pub code: u8,
}

/// Reads a project folder, checks it, and works out what its doubts would change in the figures.
///
/// # Errors
/// Every problem, if one of them is an error.
fn read(folder: &Folder) -> Result<Intake, Vec<Problem>> {
    let mut intake = intake::read(folder, &typeset::printable())?;
    starter_rows::doubt(folder, &intake.project, &mut intake.problems);
    ledger::finish_doubts(&intake.project, &mut intake.problems);
    Ok(intake)
}

/// Does what was typed.
///
/// # Errors
/// The system refuses to say where this program lies, or what a worker is asked can't be read.
pub fn run(Cli { command, quiet }: Cli) -> io::Result<Outcome> {
    Ok(match command {
        Command::New { folder, templates: false } => new::run(&folder, quiet),
        Command::New { folder, templates: true } => new::templates(&folder, quiet),
        Command::Check(asked) => check::run(&asked, quiet),
        Command::Build(asked) => build::run(asked, quiet),
        Command::Portfolio(asked) => return portfolio::run(asked, quiet),
        Command::PortfolioWorker => return portfolio::work(),
        Command::Sheets { folder, out } => sheets::run(&folder, out.as_deref(), quiet),
        Command::Data { folder, document, agreement } => {
            data::run(&folder, document.into(), agreement.as_deref())
        }
        Command::Explain { folder, id } => explain::run(&folder, &id),
        Command::Verify { pack, sums_only, by, run_templates, json } => {
            let how = verify::How { sums_only, run_templates, by: by.as_deref() };
            verify::run(&pack, how, json, quiet)
        }
        Command::Seal { pack, key, new_key } => {
            seal::run(pack.as_deref(), key.as_deref(), new_key.as_deref(), quiet)
        }
        Command::Compare { then, now, json } => compare::run(&then, &now, json),
    })
}

/// Why a command did not come to its end.
#[derive(Debug, thiserror::Error)]
pub enum CommandError {
    /// The folder has errors: all of them, with the doubts, in listing order.
    #[error("the folder has errors")]
    Folder(Vec<Problem>),
    /// A template failed.
    #[error(transparent)]
    Typeset(#[from] typeset::TypesettingError),
    /// The ledger could not be written.
    #[error(transparent)]
    Ledger(#[from] ledger::WriteError),
    /// What a template finds can't be told as JSON.
    #[error("what the template finds can't be told as JSON")]
    Found(#[from] serde_json::Error),
    /// A layer or a table could not be made.
    #[error(transparent)]
    Export(#[from] exports::ExportError),
    /// The site map could not be made into a picture.
    #[error("layers/site-map.kmz could not be made: {0}")]
    Raster(#[from] typeset::RasterError),
    /// Something could not be packed or written.
    #[error(transparent)]
    Pack(#[from] pack::PackError),
    /// A pack could not be sealed, or its seal not be held against a key.
    #[error("{}: {why}", .key.display())]
    Seal {
        /// The key.
        key: std::path::PathBuf,
        /// Why.
        why: SealError,
    },
}

impl From<Problem> for CommandError {
    fn from(problem: Problem) -> CommandError {
        CommandError::Folder(vec![problem])
    }
}

impl From<Vec<Problem>> for CommandError {
    fn from(problems: Vec<Problem>) -> CommandError {
        CommandError::Folder(problems)
    }
}

impl CommandError {
    /// The same as problems of the folder, for a command that tells of nothing else.
    fn problems(self) -> Vec<Problem> {
        match self {
            CommandError::Folder(problems) => problems,
            failure => {
                let why = causes(&failure).fold(failure.to_string(), |told, why| format!("{told}: {why}"));
                vec![Problem::new(Reading::PartNotLaidOut { why }, Place::file(intake::SETTINGS))]
            }
        }
    }

    /// What to do about it, where the reason tells and its words don't.
    #[must_use]
    pub fn help(&self) -> Option<&'static str> {
        if let CommandError::Pack(failure) = self { failure.help() } else { None }
    }

    /// Why nothing was written.
    fn not_written(&self) -> Outcome {
        Outcome::not_written(self, self.help())
    }

    /// Why a pack, a folder or a ledger could not be read.
    fn not_read(&self) -> Outcome {
        let CommandError::Folder(problems) = self else { return self.not_written() };
        let refused = |problem: &Problem| {
            matches!(
                problem.kind,
                Kind::Reading(Reading::FileUnreadable { .. } | Reading::FolderUnreadable { .. })
            )
        };
        let code = if problems.iter().any(refused) { NOT_WRITTEN } else { USAGE };
        Outcome { err: listed(problems), code, ..Outcome::default() }
    }
}

impl Outcome {
    /// A command that is done and prints `out`.
    fn done(out: String) -> Outcome {
        Outcome { out, ..Outcome::default() }
    }

    /// Why nothing was written, with every cause beneath it, and what to do.
    fn not_written(failure: &dyn Error, help: Option<&str>) -> Outcome {
        let mut err = format!("nothing was written: {failure}\n");
        for why in causes(failure) {
            err += &format!("  because: {why}\n");
        }
        if let Some(help) = help {
            err += &format!("  help: {help}\n");
        }
        Outcome { err, code: NOT_WRITTEN, ..Outcome::default() }
    }
}

/// Every cause behind a failure, the nearest first.
fn causes(failure: &dyn Error) -> impl Iterator<Item = &(dyn Error + 'static)> {
    std::iter::successors(failure.source(), |&why| why.source())
}

/// Every problem in words, remarks among them.
fn listed(problems: &[Problem]) -> String {
    Listing { problems, remarks: true, placed: &|_| None }.to_string()
}

/// Does something long while a line tells how far it is.
fn with_progress<T>(quiet: bool, does: impl FnOnce(&dyn Fn(&'static str)) -> T) -> T {
    let progress = Progress::new(quiet);
    let done = does(&|doing| progress.says(doing));
    progress.done();
    done
}
