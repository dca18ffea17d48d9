//! A temporary folder in which a pack is unpacked while it is looked at. It goes away with everything in it.

use std::{fs, path::Path, path::PathBuf};

use tempfile::TempDir;

use crate::pack::PackError;

/// An empty folder among the system's temporary files.
#[derive(Debug)]
pub struct UnpackDir {
    folder: TempDir,
}

impl UnpackDir {
    /// A new folder with these folders in it.
    ///
    /// # Errors
    /// [`PackError::Unpack`] if the system refuses.
    pub fn with(folders: &[&str]) -> Result<UnpackDir, PackError> {
        let home = || PathBuf::from("the folder for temporary files");
        let folder = tempfile::Builder::new().prefix("hillfolio-").tempdir();
        let dir = UnpackDir { folder: folder.map_err(|why| PackError::Unpack { path: home(), why })? };
        for folder in folders {
            let at = dir.path(folder);
            fs::create_dir_all(&at).map_err(|why| PackError::Unpack { path: at.clone(), why })?;
        }
        Ok(dir)
    }

    /// Where `path`, with `/` between its parts, lies.
    #[must_use]
    pub fn path(&self, path: &str) -> PathBuf {
        path.split('/').fold(self.folder.path().to_owned(), |at, part| at.join(part))
    }

    /// A new file at `path`, which must be plain: the callers of this are the readers of packs, who see to that.
    ///
    /// # Errors
    /// [`PackError::Unpack`] if the system refuses, or has a file of that name in another case.
    pub fn create(&self, path: &str) -> Result<fs::File, PackError> {
        let at = self.path(path);
        let folder = at.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(folder).map_err(|why| PackError::Unpack { path: folder.to_owned(), why })?;
        fs::File::create_new(&at).map_err(|why| PackError::Unpack { path: at.clone(), why })
    }
}
