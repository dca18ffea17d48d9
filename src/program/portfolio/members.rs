//! Which projects a run is about: found in the folder or read from a list, all of them or one slice.

use std::{
    fmt,
    path::{Component, Path, PathBuf},
};

use crate::portfolio::PortfolioError;
use hillfolio_core::{
    intake::{self, Projects, stamp},
    project::slug,
};

/// A project of the portfolio.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Member {
    /// Its path inside the portfolio's folder, with `/` between the parts; `.` for the folder itself.
    pub path: String,
    /// Its folder.
    pub folder: PathBuf,
    /// Its place under `projects/` and `records/`.
    pub place: String,
}

impl Member {
    fn of(root: &Path, path: &str) -> Member {
        if path != "." {
            return Member { path: path.to_owned(), folder: root.join(path), place: path.to_owned() };
        }
        let real = root.canonicalize().unwrap_or_else(|_| root.to_owned());
        let name = real.file_name().map(|name| slug(&name.to_string_lossy())).unwrap_or_default();
        let place = if name.is_empty() { "project".to_owned() } else { name };
        Member { path: path.to_owned(), folder: root.to_owned(), place }
    }

    /// Where its documents go.
    #[must_use]
    pub fn out(&self, out: &Path) -> PathBuf {
        out.join("projects").join(&self.place)
    }

    /// Where its record stands.
    #[must_use]
    pub fn record(&self, out: &Path) -> PathBuf {
        out.join("records").join(&self.place).join("record.json")
    }
}

/// One of several slices of the list: slice 2 of 8 takes the second project, the tenth, the eighteenth …
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slice {
    /// Which slice, counted from 1.
    pub number: usize,
    /// How many slices there are.
    pub of: usize,
}

impl Slice {
    /// The only slice there is.
    pub const WHOLE: Slice = Slice { number: 1, of: 1 };

    fn take<T>(self, all: Vec<T>) -> Vec<T> {
        let mine = |at: usize| at % self.of == self.number - 1;
        all.into_iter().enumerate().filter(|(at, _)| mine(*at)).map(|(_, one)| one).collect()
    }
}

impl fmt::Display for Slice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

/// The projects of a portfolio, and the folders that were not looked into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// The projects, in order of path.
    pub members: Vec<Member>,
    /// Folders that were passed over, each with the reason.
    pub skipped: Vec<(String, String)>,
}

impl Chosen {
    /// The projects at and below `root` or, where there is a `list`, those that it names; of them those of `slice`.
    ///
    /// # Errors
    /// The folder or the list can't be read, a line of it leads out of the folder, or there is no project at all. A slice without
    /// one is none: there may be more slices than projects.
    pub fn of(root: &Path, out: &Path, list: Option<&Path>, slice: Slice) -> Result<Chosen, PortfolioError> {
        let Projects { paths, skipped } = match list {
            None => intake::projects(root, out)
                .map_err(|why| PortfolioError::Search { folder: root.to_owned(), why })?,
            Some(list) => Projects { paths: listed(list)?, skipped: Vec::new() },
        };
        if paths.is_empty() {
            let (folder, list) = (root.to_owned(), list.map(Path::to_owned));
            return Err(PortfolioError::NoProject { folder, list, skipped });
        }
        let members = paths.iter().map(|path| Member::of(root, path)).collect();
        Ok(Chosen { members: slice.take(members), skipped })
    }
}

/// The paths that the list names, a line each, in order and each once; empty lines and those that begin with `#` say nothing.
fn listed(list: &Path) -> Result<Vec<String>, PortfolioError> {
    let text = stamp::text(list).map_err(|why| PortfolioError::List { list: list.to_owned(), why })?;
    let mut paths = Vec::new();
    for (line, says) in (1..).zip(text.lines()) {
        let path = says.trim().trim_end_matches('/');
        if path.is_empty() || path.starts_with('#') {
            continue;
        }
        let within = Path::new(path).components().all(|part| matches!(part, Component::Normal(_)));
        if path != "." && (!within || path.contains(['\\', '\0'])) {
            let says = says.chars().take(200).collect();
            return Err(PortfolioError::Listed { list: list.to_owned(), line, says });
        }
        paths.push(path.to_owned());
    }
    paths.sort_unstable();
    paths.dedup();
    Ok(paths)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hillfolio_documents::pack;

    #[test]
    fn slices_part_the_list_without_loss_or_overlap() {
        let all: Vec<usize> = (0..23).collect();
        let mut parts: Vec<usize> =
            (1..=5).flat_map(|number| Slice { number, of: 5 }.take(all.clone())).collect();
        parts.sort_unstable();
        assert_eq!(parts, all);
    }

    #[test]
    fn a_list_names_folders_inside_and_nothing_else() {
        let dir = tempfile::tempdir().unwrap();
        let list = dir.path().join("list.txt");
        pack::write_file(&list, b"# all of the north\nnorth/b\n\nnorth/a/\r\nnorth/b\n").unwrap();
        let chosen = Chosen::of(dir.path(), &dir.path().join("out"), Some(&list), Slice::WHOLE).unwrap();
        let paths: Vec<&str> = chosen.members.iter().map(|member| member.path.as_str()).collect();
        assert_eq!(paths, ["north/a", "north/b"]);
        for wrong in ["../x", "/etc", "a/../../b", "a\\..\\b"] {
            pack::write_file(&list, format!("a\n{wrong}\n").as_bytes()).unwrap();
            let refused = Chosen::of(dir.path(), Path::new("out"), Some(&list), Slice::WHOLE).unwrap_err();
            assert!(matches!(refused, PortfolioError::Listed { line: 2, .. }), "{wrong}: {refused}");
        }
    }
}
