//! Finding the project folders below a folder.

use std::{fs, io, path::Path};

use crate::intake::folder::words;

/// The file that makes a folder a project folder.
const MARK: &str = "project.toml";

/// The folder that documents are written to; no project is looked for in it.
const OUT: &str = "out";

/// Folders within folders.
const DEPTH: usize = 12;

/// Folders that are looked through before the search is given up.
const FOLDERS: usize = 200_000;

/// What lies below a folder.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Projects {
    /// The path of each project folder, with `/` between its parts, in order; `.` for the folder itself.
    pub paths: Vec<String>,
    /// Folders that were not looked into, each with the reason.
    pub skipped: Vec<(String, String)>,
}

/// Finds the project folders at and below `root`: those that hold a `project.toml`.
///
/// A project folder is not searched for others. Hidden folders, folders called `out` and the folder `but` are passed over; links
/// to folders are not followed, so that no search leaves `root` or goes in circles.
///
/// # Errors
/// `root` can't be read, or holds too many folders.
pub fn projects(root: &Path, but: &Path) -> io::Result<Projects> {
    let mut search = Search { but: but.canonicalize().ok(), found: Projects::default(), seen: 0 };
    search.look(&root.canonicalize()?, "", 0)?;
    search.found.paths.sort_unstable();
    search.found.skipped.sort_unstable();
    Ok(search.found)
}

struct Search {
    but: Option<std::path::PathBuf>,
    found: Projects,
    seen: usize,
}

impl Search {
    fn look(&mut self, folder: &Path, path: &str, depth: usize) -> io::Result<()> {
        self.seen += 1;
        if self.seen > FOLDERS {
            return Err(io::Error::other(format!("it holds more than {FOLDERS} folders")));
        }
        if folder.join(MARK).is_file() {
            self.found.paths.push(if path.is_empty() { "." } else { path }.to_owned());
            return Ok(());
        }
        let mut below = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let kind = entry.file_type()?;
            let shown = entry.file_name().to_string_lossy().into_owned();
            if shown.starts_with(['.', '~']) || shown == OUT || self.but.as_ref() == Some(&entry.path()) {
                continue;
            }
            let inside = if path.is_empty() { shown.clone() } else { format!("{path}/{shown}") };
            if kind.is_symlink() && entry.path().is_dir() {
                self.skip(inside, "it is a link to a folder, and links are not followed");
            } else if kind.is_dir() && entry.file_name().to_str().is_none() {
                self.skip(inside, "its name is not text");
            } else if kind.is_dir() && depth >= DEPTH {
                self.skip(inside, "it lies too deep");
            } else if kind.is_dir() {
                below.push((entry.path(), inside));
            }
        }
        for (folder, path) in below {
            if let Err(why) = self.look(&folder, &path, depth + 1) {
                // Too many folders end the search; one that can't be read is passed over.
                if self.seen > FOLDERS {
                    return Err(why);
                }
                self.skip(path, &format!("it can't be read: {}", words(&why)));
            }
        }
        Ok(())
    }

    fn skip(&mut self, path: String, why: &str) {
        self.found.skipped.push((path, why.to_owned()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project(root: &Path, path: &str) {
        fs::create_dir_all(root.join(path)).unwrap();
        fs::write(root.join(path).join(MARK), "").unwrap();
    }

    #[test]
    fn finds_projects_at_any_depth_and_none_where_none_belong() {
        let root = tempfile::tempdir().unwrap();
        for path in ["b", "a/c", "a/deep/er", "b/within", ".hidden/x", "out/x", "elsewhere/x", "a/out/x"] {
            project(root.path(), path);
        }
        let found = projects(root.path(), &root.path().join("elsewhere")).unwrap();
        assert_eq!(found.paths, ["a/c", "a/deep/er", "b"]);
        assert_eq!(found.skipped, []);
        assert_eq!(projects(&root.path().join("b"), Path::new("none")).unwrap().paths, ["."]);
        assert!(projects(&root.path().join("none"), Path::new("none")).is_err());
    }

    #[cfg(unix)]
    #[test]
    fn links_are_not_followed_and_are_named() {
        let (root, beyond) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        project(root.path(), "a");
        project(beyond.path(), "b");
        std::os::unix::fs::symlink(beyond.path(), root.path().join("linked")).unwrap();
        std::os::unix::fs::symlink(".", root.path().join("round")).unwrap();
        let found = projects(root.path(), Path::new("none")).unwrap();
        assert_eq!(found.paths, ["a"]);
        let skipped: Vec<&str> = found.skipped.iter().map(|(path, _)| path.as_str()).collect();
        assert_eq!(skipped, ["linked", "round"]);
    }
}
