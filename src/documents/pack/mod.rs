//! The only writer: names and bytes become `out/` and one zip, all at once or not at all.

mod answered;
mod archive;
mod carry_over;
mod kept;
mod list;
mod manifest;
mod name;
mod packing;
mod single;
mod stage;
mod starter;
mod starter_tables;
mod unpack_dir;

use std::{io, path::Path, path::PathBuf, sync::Arc};

use bytes::Bytes;

use hillfolio_core::problem::Problem;

pub use answered::{Change, take_back, write_answers};
pub use carry_over::CarriedOver;
pub use kept::{keep, trim};
pub use list::write_list;
pub use manifest::SUMS;
pub use name::pack_name;
pub use packing::{Packing, write_folder};
pub use single::{Lines, write_file, write_key};
pub use starter::starter;
pub use unpack_dir::UnpackDir;

/// One file to be written, by its path inside `out/` with `/` between its parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// The path: made of the program's own words and slugs, never of raw input.
    pub path: String,
    /// The bytes.
    pub bytes: Bytes,
}

/// The inputs that go into the zip: their paths and sums, and the reader that gives their bytes.
pub struct Inputs<'a> {
    /// Path inside the project folder and SHA-256 of each, in order of path.
    pub listed: Vec<(Arc<str>, String)>,
    /// Reads one of them.
    pub read: &'a (dyn Fn(&str) -> Result<Vec<u8>, Problem> + Sync),
}

/// What was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// The output folder.
    pub out: PathBuf,
    /// Every file that was written, with its size in bytes, in order of path.
    pub files: Vec<(String, u64)>,
    /// What stayed of an earlier output, in order of path.
    pub kept: Vec<CarriedOver>,
}

/// Why nothing was written. What stood in the output folder before still stands there.
#[derive(Debug, thiserror::Error)]
pub enum PackError {
    /// The system refused.
    #[error("{} could not be written", path.display())]
    Write {
        /// The path.
        path: PathBuf,
        /// The system's reason.
        #[source]
        why: io::Error,
    },
    /// A pack could not be laid out to be looked at.
    #[error("{} could not be written, where the pack was to be laid out", path.display())]
    Unpack {
        /// The path.
        path: PathBuf,
        /// The system's reason.
        #[source]
        why: io::Error,
    },
    /// The output folder holds something that this program did not write.
    #[error(
        "{out} holds {stranger}, which hillfolio did not write; move it, or choose another folder with --out"
    )]
    Stranger {
        /// The output folder.
        out: PathBuf,
        /// What stands in it.
        stranger: String,
    },
    /// The output folder is the project folder or holds it.
    #[error("{0} holds the project itself; choose another folder with --out")]
    OverTheProject(PathBuf),
    /// An input could not be read again for the zip.
    #[error("an input could not be read again for the zip")]
    Input(Box<Problem>),
    /// An input changed while the documents were made.
    #[error("{0} changed while the documents were made; run the build again")]
    InputChanged(String),
    /// A file stands where a list was to be written.
    #[error("{} is already there, and no list that nobody has answered; name another file", .0.display())]
    Taken(PathBuf),
    /// A file stands where a key was to be written.
    #[error("{} is already there, and a key is never written over; name another file", .0.display())]
    KeyTaken(PathBuf),
    /// No answers were written into a folder.
    #[error("no answers were written into {} that could be taken back", .0.display())]
    NothingToTakeBack(PathBuf),
    /// A file was changed after answers were written into it.
    #[error("{} was changed after the answers were written into it: take them out by hand", .0.display())]
    ChangedSince(PathBuf),
    /// A folder for `new` is already there and not empty.
    #[error("{0} is already there and not empty; choose another folder")]
    NotEmpty(PathBuf),
}

impl PackError {
    /// What to do about it, where the reason tells.
    #[must_use]
    pub fn help(&self) -> Option<&'static str> {
        let why = match self {
            PackError::Write { why, .. } => why,
            PackError::Unpack { .. } => {
                return Some("make room there, or name another folder for temporary files (TMPDIR)");
            }
            _ => return None,
        };
        match why.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                Some("the disk is full: make room on it, or choose a folder on another with --out")
            }
            io::ErrorKind::FileTooLarge => {
                Some("no file may grow that large there: choose a folder on another disk with --out")
            }
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Some("you may not write there: choose another folder with --out")
            }
            io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
                Some("a file stands where a folder has to be: choose another with --out")
            }
            io::ErrorKind::NotFound => Some("the folder went away meanwhile: run it again"),
            _ => None,
        }
    }

    fn write(path: &Path) -> impl FnOnce(io::Error) -> PackError + use<> {
        let path = path.to_owned();
        move |why| PackError::Write { path, why }
    }
}

/// Writes `files` into the new folder `folder`.
///
/// # Errors
/// [`PackError`] if the folder is there and not empty, or the system refuses.
pub fn write_new(folder: &Path, files: &[(&str, &[u8])]) -> Result<(), PackError> {
    let stage = stage::Stage::beside(folder, || stage::refuse_full(folder))?;
    for (path, bytes) in files {
        stage.write(path, bytes)?;
    }
    stage.take_place(folder).map(|_| ())
}
