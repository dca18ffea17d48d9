//! A place to lay out what a pack holds while it is looked at. It goes away with everything on it.

use std::{fs, path::Path, path::PathBuf};

use tempfile::TempDir;

use crate::pack::Failure;

/// An empty folder among the system's temporary files.
#[derive(Debug)]
pub struct Desk {
    folder: TempDir,
}

impl Desk {
    /// A new desk with these folders on it.
    ///
    /// # Errors
    /// [`Failure::Desk`] if the system refuses.
    pub fn with(folders: &[&str]) -> Result<Desk, Failure> {
        let home = || PathBuf::from("the folder for temporary files");
        let folder = tempfile::Builder::new().prefix("hillfolio-").tempdir();
        let desk = Desk { folder: folder.map_err(|why| Failure::Desk { path: home(), why })? };
        for folder in folders {
            let at = desk.path(folder);
            fs::create_dir_all(&at).map_err(|why| Failure::Desk { path: at.clone(), why })?;
        }
        Ok(desk)
    }

    /// Where `path`, with `/` between its parts, lies.
    #[must_use]
    pub fn path(&self, path: &str) -> PathBuf {
        path.split('/').fold(self.folder.path().to_owned(), |at, part| at.join(part))
    }

    /// A new file at `path`, which must be plain: the callers of this are the readers of packs, who see to that.
    ///
    /// # Errors
    /// [`Failure::Desk`] if the system refuses, or has a file of that name in another case.
    pub fn create(&self, path: &str) -> Result<fs::File, Failure> {
        let at = self.path(path);
        let folder = at.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(folder).map_err(|why| Failure::Desk { path: folder.to_owned(), why })?;
        fs::File::create_new(&at).map_err(|why| Failure::Desk { path: at.clone(), why })
    }
}
