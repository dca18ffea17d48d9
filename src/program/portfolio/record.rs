//! The record of a project: what its documents were built from, and what they are.

use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::portfolio::{
    PROGRAM,
    task::{Done, Ending, Task},
};
use hillfolio_core::{
    intake::{
        Folder,
        stamp::{self, Stamp},
    },
    problem::Problem,
};
use hillfolio_documents::pack;

/// The form of the record.
const FORMAT: &str = "hillfolio-record/1";

/// A file with its stamp and its sum.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Summed {
    pub(crate) path: String,
    #[serde(flatten)]
    pub(crate) stamp: Stamp,
    pub(crate) sha256: String,
}

/// What a task was made from and what came of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Record {
    pub(crate) format: String,
    pub(crate) project: String,
    pub(crate) program: String,
    /// The sum over the user's own templates.
    pub(crate) templates: String,
    /// When the work began, by the clock of the file system: a file touched about then or later is not known by its stamp.
    pub(crate) begun: i64,
    /// Every file of the folder, read or not.
    pub(crate) inputs: Vec<Summed>,
    /// What lies in the folder and is not read at all.
    pub(crate) refused: Vec<String>,
    /// Every file of the output folder.
    pub(crate) outputs: Vec<Summed>,
    pub(crate) done: Done,
}

impl Record {
    /// The record of a task that is about to begin, written, so that whatever stood there says nothing any more.
    pub(crate) fn begin(task: &Task) -> Result<Record, pack::PackError> {
        let mut record = Record {
            format: FORMAT.to_owned(),
            project: task.project.clone(),
            program: PROGRAM.to_owned(),
            templates: task.templates_sum.clone(),
            begun: 0,
            inputs: Vec::new(),
            refused: Vec::new(),
            outputs: Vec::new(),
            done: Done::bare(Ending::Begun),
        };
        record.write(&task.record)?;
        record.begun = Stamp::of(&task.record).map(|stamp| stamp.touched()).unwrap_or_default();
        Ok(record)
    }

    /// The bytes of the folder's files, by path.
    pub(crate) fn sizes(&self) -> Vec<(String, u64)> {
        self.inputs.iter().map(|input| (input.path.clone(), input.stamp.bytes)).collect()
    }

    /// The record at `path`; `None` where there is none of this form.
    pub(crate) fn read(path: &Path) -> Option<Record> {
        let record: Record = serde_json::from_str(&stamp::text(path).ok()?).ok()?;
        (record.format == FORMAT).then_some(record)
    }

    /// Writes it in one step.
    pub(crate) fn write(&self, path: &Path) -> Result<(), pack::PackError> {
        let text = serde_json::to_vec(self);
        let text = text.map_err(|why| pack::PackError::Write { path: path.to_owned(), why: why.into() })?;
        pack::write_file(path, &text)
    }
}

/// Every file of `folder` with its stamp.
pub(crate) fn stamped(folder: &Folder) -> std::io::Result<Vec<(String, Stamp)>> {
    let stamp = |path: &String| Stamp::of(&folder.root().join(path)).map(|stamp| (path.clone(), stamp));
    folder.files().iter().map(stamp).collect()
}

/// What lies in `folder` and is not read, by name.
pub(crate) fn refused(folder: &Folder) -> Vec<String> {
    let name = |problem: &Problem| problem.place.path.to_string();
    folder.refused().iter().map(name).collect()
}

/// `files` below `root` with their sums.
pub(crate) fn summed(root: &Path, files: Vec<(String, Stamp)>) -> std::io::Result<Vec<Summed>> {
    let sum = |(path, stamp): (String, Stamp)| {
        stamp::sum(&root.join(&path)).map(|sha256| Summed { path, stamp, sha256 })
    };
    files.into_iter().map(sum).collect()
}
