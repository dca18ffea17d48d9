//! Single files beside the packs: a record that is there whole or not at all, and a log that grows line by line.

use std::{
    fs,
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use crate::pack::{PackError, stage::parent};

/// Writes `bytes` to `path` in one step: a reader finds the file as it was before or as it is now.
///
/// # Errors
/// The system refuses.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), PackError> {
    replace(path, &folder_of(path)?, bytes)
}

/// Puts a file with these `bytes` at `path`, which lies in `folder`, whole or not at all.
pub(super) fn replace(path: &Path, folder: &Path, bytes: &[u8]) -> Result<(), PackError> {
    let failed = PackError::write;
    let mut builder = tempfile::Builder::new();
    builder.prefix(".hillfolio-");
    readable(&mut builder);
    let mut file = builder.tempfile_in(folder).map_err(failed(path))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(failed(path))?;
    file.persist(path).map(drop).map_err(|kept| failed(path)(kept.error))
}

/// Writes a new key, which only its owner may read where it is `secret`.
///
/// # Errors
/// [`PackError::KeyTaken`] where a file of that name is there, [`PackError::Write`] if the system refuses.
pub fn write_key(path: &Path, bytes: &[u8], secret: bool) -> Result<(), PackError> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".hillfolio-");
    // Temporary files are private, and a secret key stays so.
    if !secret {
        readable(&mut builder);
    }
    let mut file = builder.tempfile_in(folder_of(path)?).map_err(PackError::write(path))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(PackError::write(path))?;
    file.persist_noclobber(path).map(drop).map_err(|kept| match kept.error.kind() {
        io::ErrorKind::AlreadyExists => PackError::KeyTaken(path.to_owned()),
        _ => PackError::write(path)(kept.error),
    })
}

/// A file that is written line by line and can be read meanwhile.
#[derive(Debug)]
pub struct Lines {
    path: PathBuf,
    file: fs::File,
}

impl Lines {
    /// A new file at `path` in place of what was there.
    ///
    /// # Errors
    /// The system refuses.
    pub fn create(path: &Path) -> Result<Lines, PackError> {
        folder_of(path)?;
        let file = fs::File::create(path).map_err(PackError::write(path))?;
        Ok(Lines { path: path.to_owned(), file })
    }

    /// Adds a line in one piece.
    ///
    /// # Errors
    /// The system refuses.
    pub fn add(&mut self, line: &str) -> Result<(), PackError> {
        self.file.write_all(format!("{line}\n").as_bytes()).map_err(PackError::write(&self.path))
    }
}

/// The folder that `path` stands in, made if it is not there.
fn folder_of(path: &Path) -> Result<PathBuf, PackError> {
    let folder = parent(path);
    fs::create_dir_all(&folder).map_err(PackError::write(&folder))?;
    Ok(folder)
}

/// Temporary files are private; the finished file is to be read by whoever may read its neighbours.
#[cfg(unix)]
fn readable(builder: &mut tempfile::Builder<'_, '_>) {
    use std::os::unix::fs::PermissionsExt as _;
    builder.permissions(fs::Permissions::from_mode(0o666));
}

#[cfg(not(unix))]
fn readable(_builder: &mut tempfile::Builder<'_, '_>) {}
