//! What is said between the run and its workers: a line of JSON each way for each project.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

/// A project to be built.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Task {
    /// Its path inside the portfolio's folder.
    pub project: String,
    /// Its folder.
    pub folder: PathBuf,
    /// Where its documents go.
    pub out: PathBuf,
    /// Where its record goes.
    pub record: PathBuf,
    /// A folder of the user's own templates.
    pub templates: Option<PathBuf>,
    /// The sum over them; empty where there are none.
    pub templates_sum: String,
    /// A folder in which photos made small are kept between builds.
    pub photo_cache: Option<PathBuf>,
}

/// How a task came to its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Its documents were there already, made from the same files by the same program.
    Unchanged,
    /// Its documents were made.
    Built,
    /// Its folder has errors.
    Errors,
    /// Its documents could not be made or written or took too long, or its files changed meanwhile.
    Failed,
    /// The worker came to its own end over it.
    Crashed,
    /// Its documents are not there and were not asked for now.
    Missing,
    /// Work on it has begun; seen only in the record of a task that was cut short.
    Begun,
}

impl Ending {
    /// The ending as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Ending::Unchanged => "unchanged",
            Ending::Built => "built",
            Ending::Errors => "errors",
            Ending::Failed => "failed",
            Ending::Crashed => "crashed",
            Ending::Missing => "missing",
            Ending::Begun => "begun",
        }
    }

    /// Whether the documents are there.
    #[must_use]
    pub fn is_good(self) -> bool {
        matches!(self, Ending::Unchanged | Ending::Built)
    }
}

/// What came of a task.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Done {
    /// How it ended.
    pub ending: Ending,
    /// Errors found in the folder.
    pub errors: usize,
    /// Doubts found.
    pub doubts: usize,
    /// The first of what went wrong, in words.
    pub says: Vec<String>,
    /// Files written.
    pub files: usize,
    /// Memory that the worker holds afterwards, in bytes; 0 where the system does not tell.
    pub memory: u64,
}

impl Done {
    /// An ending about which there is nothing more to say.
    #[must_use]
    pub fn bare(ending: Ending) -> Done {
        Done { ending, errors: 0, doubts: 0, says: Vec::new(), files: 0, memory: 0 }
    }

    /// An ending for one reason.
    #[must_use]
    pub fn because(ending: Ending, why: impl Into<String>) -> Done {
        Done { says: vec![why.into()], ..Done::bare(ending) }
    }
}
