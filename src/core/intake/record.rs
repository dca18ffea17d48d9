//! Where the figures of a year stand: in a project folder, in a pack or in a ledger.

use std::{fs::File, io::Read as _, path::Path};

use crate::{
    intake::{
        folder::{Folder, plain_file, words},
        limits,
        packed::Packed,
    },
    problem::{Place, Problem, Reading},
};

/// The ledger in an output folder.
const LEDGER: &str = "data/figures.json";

/// Figures that somebody wants to look at, not yet understood.
pub enum Record {
    /// A project folder, whose figures are to be worked out.
    Project(Folder),
    /// A pack.
    Pack(Packed),
    /// The bytes of a ledger.
    Ledger(Vec<u8>),
}

/// What stands at `path`: a project folder, the output folder of one, a pack or a ledger.
///
/// # Errors
/// It can't be read, or is too big.
pub fn record(path: &Path) -> Result<Record, Problem> {
    if path.is_dir() {
        let folder = Folder::open(path)?;
        let is = |name: &str| folder.files().iter().any(|file| file == name);
        return match !is("project.toml") && is(LEDGER) {
            true => Ok(Record::Ledger(bytes(&path.join(LEDGER))?)),
            false => Ok(Record::Project(folder)),
        };
    }
    match begins_as_zip(path)? {
        true => Ok(Record::Pack(Packed::open(path)?)),
        false => Ok(Record::Ledger(bytes(path)?)),
    }
}

fn begins_as_zip(path: &Path) -> Result<bool, Problem> {
    let mut first = Vec::new();
    open(path)?.take(4).read_to_end(&mut first).map_err(|why| unreadable(path, &why))?;
    Ok(first.starts_with(b"PK"))
}

fn bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    let read = open(path)?.take(limits::LEDGER + 1).read_to_end(&mut bytes);
    let read = read.map_err(|why| unreadable(path, &why))? as u64;
    match read > limits::LEDGER {
        true => {
            let kind = Reading::FileTooBig { bytes: read, limit: limits::LEDGER };
            Err(Problem::new(kind, Place::file(path.display().to_string())))
        }
        false => Ok(bytes),
    }
}

fn open(path: &Path) -> Result<File, Problem> {
    plain_file(path).map_err(|why| unreadable(path, &why))
}

fn unreadable(path: &Path, why: &std::io::Error) -> Problem {
    Problem::new(Reading::FileUnreadable { why: words(why) }, Place::file(path.display().to_string()))
}
