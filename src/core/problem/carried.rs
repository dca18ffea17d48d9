//! What an earlier reading said of files that are not at hand now: a pack leaves some behind and keeps the words.

use crate::problem::{Grade, Said};

/// A doubt in the words in which it was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Carried {
    /// Its stable name.
    pub code: String,
    /// Its sentence.
    pub sentence: String,
    /// What to do about it.
    pub help: Option<String>,
}

impl Carried {
    pub(super) fn said(&self) -> Said {
        Said {
            grade: Grade::Doubt,
            code: self.code.clone().into(),
            sentence: self.sentence.clone(),
            help: self.help.clone(),
            nearest: None,
        }
    }
}
