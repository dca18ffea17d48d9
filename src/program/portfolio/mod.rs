//! Many projects: found, built by worker processes within the machine's memory, remembered, rolled up into one report.
//!
//! Each project is one task with a declared input, its folder, and a declared output, its place under the portfolio's output
//! folder, and knows nothing of the others. So any machine may build any part of the list at any time; what was built is told
//! by the records, one for each project.
//!
//! ```text
//! OUT/projects/PLACE/…            a project's documents, exactly as `build` writes them
//! OUT/records/PLACE/record.json   what they were built from, and their sums
//! OUT/runs/….jsonl                what each run did, a line a project
//! OUT/roll-up/…                   all sites together: the report, its figures, every figure of every site
//! ```

mod elsewhere;
mod members;
mod memory;
mod record;
mod rollup;
mod run;
mod serve;
mod standing;
mod task;
mod worker;
mod worker_pool;

use std::{
    io,
    path::{Path, PathBuf},
};

use hillfolio_core::{intake, ledger, problem::Problem, source::sha256};
use hillfolio_documents::{pack, typeset};

pub use elsewhere::Elsewhere;
pub use members::{Chosen, Member, Slice};
pub use rollup::{RolledUp, roll_up};
pub use run::{Build, Event, Order, Report, run};
pub use serve::{Made, serve};
pub use task::{Done, Ending, Task};

/// Why a portfolio could not be gone through.
#[derive(Debug, thiserror::Error)]
pub enum PortfolioError {
    /// The folder can't be searched.
    #[error("{folder} can't be searched for projects")]
    Search {
        /// The folder.
        folder: PathBuf,
        /// The system's reason.
        #[source]
        why: io::Error,
    },
    /// The list can't be read.
    #[error("the list {list} can't be read")]
    List {
        /// The list.
        list: PathBuf,
        /// The system's reason.
        #[source]
        why: io::Error,
    },
    /// A line of the list is no path inside the folder.
    #[error("line {line} of {list} is no folder inside the portfolio: {says}")]
    Listed {
        /// The list.
        list: PathBuf,
        /// Its line, counted from 1.
        line: usize,
        /// What it says.
        says: String,
    },
    /// There is no project.
    #[error("{}", match list {
        Some(list) => format!("the list {} names no project", list.display()),
        None => format!("no project was found in {}", folder.display()),
    })]
    NoProject {
        /// The folder.
        folder: PathBuf,
        /// The list, where there is one.
        list: Option<PathBuf>,
        /// Folders that were not looked into, each with the reason.
        skipped: Vec<(String, String)>,
    },
    /// Templates of the user's own can't be read.
    #[error("the templates can't be read: {}", .0.kind)]
    Templates(Box<Problem>),
    /// Something could not be written.
    #[error(transparent)]
    Pack(#[from] pack::PackError),
    /// The report of all sites could not be set.
    #[error(transparent)]
    Typeset(#[from] typeset::TypesettingError),
    /// The ledger of all sites could not be written.
    #[error(transparent)]
    Ledger(#[from] ledger::WriteError),
    /// The table of all figures could not be made.
    #[error("roll-up/sites.parquet could not be made: {0}")]
    Table(#[from] parquet::errors::ParquetError),
    /// The table of all figures for spreadsheets could not be made.
    #[error("roll-up/sites.csv could not be made: {0}")]
    Csv(#[from] csv::Error),
    /// The run log could not be written.
    #[error("the run log could not be written: {0}")]
    Log(#[from] serde_json::Error),
    /// No worker process could be started.
    #[error("no worker could be started")]
    Worker(#[source] io::Error),
}

impl PortfolioError {
    /// What to do about it, where the reason tells.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        match self {
            PortfolioError::NoProject { list: Some(_), folder, .. } => {
                Some(format!("write a project's path inside {} on each line", folder.display()))
            }
            PortfolioError::NoProject { list: None, skipped, .. } => {
                let mut help = "a project is a folder that holds a `project.toml`; it may be this folder itself or lie in it at any \
                                depth. Not looked into are hidden folders, links, and folders called `out`"
                    .to_owned();
                for (folder, why) in skipped.iter().take(SKIPPED_TOLD) {
                    help += &format!("\n  not looked into: {folder}: {why}");
                }
                match skipped.len().saturating_sub(SKIPPED_TOLD) {
                    0 => {}
                    more => help += &format!("\n  and {more} more"),
                }
                Some(help)
            }
            PortfolioError::Pack(failure) => failure.help().map(str::to_owned),
            _ => None,
        }
    }
}

/// How many folders that were not looked into are named where no project was found.
const SKIPPED_TOLD: usize = 5;

/// What the program is made of, its templates and faces among it: two programs with the same sum write the same bytes.
pub(crate) const PROGRAM: &str = concat!(env!("CARGO_PKG_VERSION"), "/", env!("HILLFOLIO_SOURCES"));

/// The templates of the user's own, path and text, and a sum over them; nothing where there is no `folder`.
fn own_templates(folder: Option<&Path>) -> Result<(Vec<(String, String)>, String), PortfolioError> {
    let Some(folder) = folder else { return Ok(Default::default()) };
    let templates =
        intake::templates(folder).map_err(|problem| PortfolioError::Templates(Box::new(problem)))?;
    let all: String = templates.iter().map(|(path, text)| format!("{path}\0{text}\0")).collect();
    Ok((templates, sha256(all.as_bytes())))
}
