//! What an earlier reading said of files that are not at hand now: a pack leaves some behind and keeps the words.

use crate::problem::{Grade, Help};

/// A doubt in the words in which it was said.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct Carried {
    /// Its stable name.
    pub code: String,
    /// Its sentence.
    pub sentence: String,
    /// What to do about it.
    pub help: Option<String>,
}

impl Carried {
    pub(super) fn code(&self) -> String {
        self.code.clone()
    }

    pub(super) fn grade(&self) -> Grade {
        Grade::Doubt
    }

    pub(super) fn help(&self) -> Option<Help> {
        self.help.clone().map(Help::from)
    }
}
