//! What a file system says of a file: enough to tell at a glance that it was not touched.

use std::{
    fs::{self, File, Metadata},
    io,
    path::Path,
};

use serde::{Deserialize, Serialize};

use crate::source::sha256_of;

/// Size, times and number of a file. A file that keeps them holds what it held, but for a change within one tick of the file
/// system's clock, and but for programs that set clocks or write to the disk beneath the file system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// Size in bytes.
    pub bytes: u64,
    /// When its content was last changed, in nanoseconds since 1970 by the file system's clock.
    pub modified: i64,
    /// When anything about it was last changed, likewise; it can't be set back. 0 where the system does not tell.
    pub changed: i64,
    /// Its number in the file system; 0 where the system does not tell.
    pub node: u64,
}

impl Stamp {
    /// The stamp of the file at `path`, links followed.
    ///
    /// # Errors
    /// The system refuses.
    pub fn of(path: &Path) -> io::Result<Stamp> {
        fs::metadata(path).map(|found| Stamp::from(&found))
    }

    /// When the file was last touched in any way, in nanoseconds since 1970.
    #[must_use]
    pub fn touched(&self) -> i64 {
        self.modified.max(self.changed)
    }
}

#[cfg(unix)]
impl From<&Metadata> for Stamp {
    fn from(found: &Metadata) -> Stamp {
        use std::os::unix::fs::MetadataExt as _;
        let nanoseconds =
            |seconds: i64, rest: i64| seconds.saturating_mul(1_000_000_000).saturating_add(rest);
        Stamp {
            bytes: found.len(),
            modified: nanoseconds(found.mtime(), found.mtime_nsec()),
            changed: nanoseconds(found.ctime(), found.ctime_nsec()),
            node: found.ino(),
        }
    }
}

#[cfg(not(unix))]
impl From<&Metadata> for Stamp {
    fn from(found: &Metadata) -> Stamp {
        let since = found.modified().ok().and_then(|at| at.duration_since(std::time::UNIX_EPOCH).ok());
        let modified = since.and_then(|since| i64::try_from(since.as_nanos()).ok()).unwrap_or_default();
        Stamp { bytes: found.len(), modified, changed: 0, node: 0 }
    }
}

/// SHA-256 of the file at `path`, in lower-case hexadecimal.
///
/// # Errors
/// The system refuses.
pub fn sum(path: &Path) -> io::Result<String> {
    sha256_of(&mut File::open(path)?).map(|(sum, _)| sum)
}

/// Every file below `folder` with its path there, in order of path.
///
/// # Errors
/// The system refuses.
pub fn stamps_below(folder: &Path) -> io::Result<Vec<(String, Stamp)>> {
    let (mut folders, mut files) = (vec![(folder.to_owned(), String::new())], Vec::new());
    while let Some((at, prefix)) = folders.pop() {
        for entry in fs::read_dir(&at)? {
            let entry = entry?;
            let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
            let found = entry.metadata()?;
            match found.is_dir() {
                true => folders.push((entry.path(), path + "/")),
                false => files.push((path, Stamp::from(&found))),
            }
        }
    }
    files.sort_by(|one, other| one.0.cmp(&other.0));
    Ok(files)
}

/// The text of the file at `path`: a list or a record of the program's own, not a part of a project.
///
/// # Errors
/// The system refuses, or the file is not text.
pub fn text(path: &Path) -> io::Result<String> {
    fs::read_to_string(path)
}
