//! The project folder: what lies in it, and the one door through which its bytes are read.

use std::{
    collections::BTreeMap,
    fs::{self, File},
    io::{self, Read as _},
    path::{Component, Path, PathBuf},
};

use crate::{
    intake::limits,
    problem::{Place, Problem, Reading},
    source::{Input, sha256},
};

/// The folder that the documents are written to; it is never read.
const OUT: &str = "out";

/// An open project folder. Nothing in it is ever changed.
#[derive(Debug, Clone)]
pub struct Folder {
    root: PathBuf,
    files: Vec<String>,
    refused: Vec<Problem>,
    /// Files that lie elsewhere, as somebody else read them.
    elsewhere: Vec<Input>,
    /// Files as they would be: their text in the place of what stands on the disk.
    instead: BTreeMap<String, String>,
}

impl Folder {
    /// Lists the folder at `path`: everything but hidden files, hidden folders and `out/`.
    pub fn open(path: &Path) -> Result<Folder, Problem> {
        let unreadable = |why: &io::Error| {
            let kind = Reading::FolderUnreadable { why: words(why) };
            Problem::new(kind, Place::file(path.display().to_string()))
        };
        let root = path.canonicalize().map_err(|why| unreadable(&why))?;
        let mut folder = Folder {
            root,
            files: Vec::new(),
            refused: Vec::new(),
            elsewhere: Vec::new(),
            instead: BTreeMap::new(),
        };
        let top = folder.root.clone();
        folder.list(&top, "", 0).map_err(|why| unreadable(&why))?;
        folder.files.sort_unstable();
        Ok(folder)
    }

    /// Every file, as its path inside the folder with `/` between the parts; sorted.
    #[must_use]
    pub fn files(&self) -> &[String] {
        &self.files
    }

    /// What the folder itself is called.
    #[must_use]
    pub fn name(&self) -> String {
        self.root.file_name().unwrap_or_default().to_string_lossy().into_owned()
    }

    /// The folder's own real path.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The same folder with files that lie elsewhere among its own: they are there by name and digest, and can't be read.
    #[must_use]
    pub fn with(mut self, elsewhere: Vec<Input>) -> Folder {
        self.files.extend(elsewhere.iter().map(|input| input.path.to_string()));
        self.files.sort_unstable();
        self.files.dedup();
        self.elsewhere = elsewhere;
        self
    }

    /// The same folder as it would be with `text` in the file called `name`.
    #[must_use]
    pub fn instead(mut self, name: &str, text: String) -> Folder {
        if let Err(at) = self.files.binary_search_by(|file| file.as_str().cmp(name)) {
            self.files.insert(at, name.to_owned());
        }
        self.instead.insert(name.to_owned(), text);
        self
    }

    /// The text of the file called `name`, as its bytes are; `None` where the folder has no such file.
    ///
    /// # Errors
    /// It can't be read, or is not UTF-8.
    pub fn text(&self, name: &str) -> Result<Option<String>, Problem> {
        if !self.files.iter().any(|file| file == name) {
            return Ok(None);
        }
        let why = "it is not UTF-8";
        let other = |_| Problem::new(Reading::NotText { why }, Place::file(name));
        String::from_utf8(self.bytes(name)?).map(Some).map_err(other)
    }

    /// The digest of the file called `name`, which goes no further than that.
    pub(crate) fn digest(&self, name: &str) -> Result<Input, Problem> {
        if let Some(input) = self.elsewhere.iter().find(|input| &*input.path == name) {
            return Ok(input.clone());
        }
        self.bytes(name).map(|bytes| digest(name, &bytes))
    }

    /// What lies in the folder and is not read at all: links that lead out, names that are no text.
    #[must_use]
    pub fn refused(&self) -> &[Problem] {
        &self.refused
    }

    /// The file called `name` inside the folder, opened, if it is no larger than a file of its kind may be.
    pub(crate) fn file(&self, name: &str) -> Result<(File, u64), Problem> {
        let at = |kind: Reading| Problem::new(kind, Place::file(name));
        let path = inside(&self.root, name).map_err(at)?;
        let unreadable = |why: io::Error| at(Reading::FileUnreadable { why: words(&why) });
        let file = plain_file(&path).map_err(unreadable)?;
        let (size, limit) = (file.metadata().map_err(unreadable)?.len(), limits::bytes(name));
        if size > limit {
            return Err(at(Reading::FileTooBig { bytes: size, limit }));
        }
        Ok((file, size))
    }

    /// The bytes of the file called `name` inside the folder, if it is no larger than a file of its kind may be.
    pub fn bytes(&self, name: &str) -> Result<Vec<u8>, Problem> {
        if let Some(text) = self.instead.get(name) {
            return Ok(text.clone().into_bytes());
        }
        let at = |kind: Reading| Problem::new(kind, Place::file(name));
        let unreadable = |why: io::Error| at(Reading::FileUnreadable { why: words(&why) });
        let ((file, size), limit) = (self.file(name)?, limits::bytes(name));
        let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
        // A file may grow while it is read; the limit holds all the same.
        let read = file.take(limit + 1).read_to_end(&mut bytes).map_err(unreadable)?;
        match read as u64 > limit {
            true => Err(at(Reading::FileTooBig { bytes: read as u64, limit })),
            false => Ok(bytes),
        }
    }

    fn list(&mut self, dir: &Path, prefix: &str, depth: usize) -> io::Result<()> {
        for entry in fs::read_dir(dir)? {
            let entry = entry?;
            let Ok(name) = entry.file_name().into_string() else {
                let shown = format!("{prefix}{}", entry.file_name().to_string_lossy());
                self.refused.push(Problem::new(Reading::NameUnreadable, Place::file(shown)));
                continue;
            };
            // `~$` begins the lock file of an open workbook.
            if name.starts_with(['.', '~']) || prefix.is_empty() && name == OUT {
                continue;
            }
            let path = format!("{prefix}{name}");
            if let Err(kind) = led(&self.root, &entry.path(), &path) {
                self.refused.push(Problem::new(kind, Place::file(path)));
                continue;
            }
            let (kind, link) = (fs::metadata(entry.path())?, entry.file_type()?.is_symlink());
            // A linked folder could hold itself.
            if kind.is_dir() && !link && depth >= limits::DEPTH {
                let kind = Reading::FolderTooDeep { limit: limits::DEPTH };
                self.refused.push(Problem::new(kind, Place::file(path)));
            } else if kind.is_dir() && !link {
                self.list(&entry.path(), &format!("{path}/"), depth + 1)?;
            } else if kind.is_file() {
                self.files.push(path);
            } else if !kind.is_dir() {
                self.refused.push(Problem::new(Reading::NoPlainFile, Place::file(path)));
            }
            if self.files.len() > limits::FILES {
                return Err(io::Error::other(format!("it holds more than {} files", limits::FILES)));
            }
        }
        Ok(())
    }
}

/// What the program remembers of the file at `path` that held `bytes`.
#[must_use]
pub fn digest(path: &str, bytes: &[u8]) -> Input {
    Input { path: path.into(), sha256: sha256(bytes), bytes: bytes.len() as u64, rows: None }
}

/// Where the file called `name` is. The only way from a name in the data to a path on the disk.
fn inside(root: &Path, name: &str) -> Result<PathBuf, Reading> {
    let leaves = |how| Reading::PathLeavesFolder { path: name.chars().take(120).collect(), how };
    if let Some(how) = stray(name) {
        return Err(leaves(how));
    }
    led(root, &root.join(name), name)
}

/// How a path strays from being a plain one that begins and stays in its folder; `None` if it does not.
pub(crate) fn stray(name: &str) -> Option<&'static str> {
    if name.contains('\0') {
        return Some("holds a NUL character");
    }
    if name.is_empty()
        || name.len() > limits::PATH
        || name.contains('\\')
        || name.chars().any(char::is_control)
    {
        return Some("is not a plain path inside the folder");
    }
    if name.contains(':') || Path::new(name).has_root() {
        return Some("does not begin in the project folder");
    }
    let plain = Path::new(name).components().all(|part| matches!(part, Component::Normal(_)));
    (!plain).then_some("leaves the project folder")
}

/// The real place of `path`, links followed, if that is still inside the folder.
fn led(root: &Path, path: &Path, name: &str) -> Result<PathBuf, Reading> {
    let real = path.canonicalize().map_err(|why| Reading::FileUnreadable { why: words(&why) })?;
    match real.starts_with(root) {
        true => Ok(real),
        false => {
            let how = "is a link that leads out of the project folder";
            Err(Reading::PathLeavesFolder { path: name.to_owned(), how })
        }
    }
}

/// The file at `path`, opened: a pipe, of which the opening would not end before somebody fills it, is refused.
pub(crate) fn plain_file(path: &Path) -> io::Result<File> {
    let kind = fs::metadata(path)?;
    if !kind.is_file() && !kind.is_dir() {
        return Err(io::Error::other("it is neither a file nor a folder"));
    }
    File::open(path)
}

/// The system's reason without its error number.
pub(crate) fn words(why: &io::Error) -> String {
    match why.kind() {
        io::ErrorKind::NotFound => "it is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        io::ErrorKind::NotADirectory => "it is a file, not a folder".to_owned(),
        _ => why.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder() -> (tempfile::TempDir, Folder) {
        let dir = tempfile::tempdir().unwrap();
        for file in
            ["b.csv", "a.csv", ".hidden", "~$a.xlsx", "photos/P1/2025-03-01.jpg", "out/old.pdf", ".git/x"]
        {
            let path = dir.path().join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, file).unwrap();
        }
        let folder = Folder::open(dir.path()).unwrap();
        (dir, folder)
    }

    #[test]
    fn lists_files_in_order_and_leaves_out_what_is_hidden_and_what_it_wrote() {
        let (_dir, folder) = folder();
        assert_eq!(folder.files(), ["a.csv", "b.csv", "photos/P1/2025-03-01.jpg"]);
        assert_eq!(folder.bytes("photos/P1/2025-03-01.jpg").unwrap(), b"photos/P1/2025-03-01.jpg");
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let (_dir, folder) = folder();
        for name in [
            "",
            "..",
            "../a.csv",
            "photos/../../a",
            "/etc/passwd",
            "a\\..\\b",
            "C:a.csv",
            "a\0.csv",
            "./a.csv",
        ] {
            let code = folder.bytes(name).unwrap_err().kind.code();
            assert_eq!(code, "path-leaves-folder", "{name}");
        }
        assert_eq!(folder.bytes("none.csv").unwrap_err().kind.code(), "file-unreadable");
        assert_eq!(folder.bytes("photos").unwrap_err().kind.code(), "file-unreadable");
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_is_named_and_never_waited_for() {
        use rustix::fs::{CWD, FileType, Mode, mknodat};
        let (dir, folder) = folder();
        let pipe = dir.path().join("pipe.csv");
        mknodat(CWD, &pipe, FileType::Fifo, Mode::RUSR | Mode::WUSR, 0).unwrap();
        // It came after the folder was listed.
        assert_eq!(folder.bytes("pipe.csv").unwrap_err().kind.code(), "file-unreadable");
        let folder = Folder::open(dir.path()).unwrap();
        assert!(!folder.files().contains(&"pipe.csv".to_owned()));
        assert_eq!(folder.refused()[0].kind.code(), "no-plain-file");
        assert_eq!(&*folder.refused()[0].place.path, "pipe.csv");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_out_is_refused_and_a_link_within_is_followed() {
        let (dir, _) = folder();
        std::os::unix::fs::symlink("/etc/hostname", dir.path().join("c.csv")).unwrap();
        std::os::unix::fs::symlink("a.csv", dir.path().join("d.csv")).unwrap();
        std::os::unix::fs::symlink(".", dir.path().join("again")).unwrap();
        let folder = Folder::open(dir.path()).unwrap();
        assert_eq!(folder.files(), ["a.csv", "b.csv", "d.csv", "photos/P1/2025-03-01.jpg"]);
        assert_eq!(folder.refused()[0].kind.code(), "path-leaves-folder");
        assert_eq!(folder.bytes("c.csv").unwrap_err().kind.code(), "path-leaves-folder");
        assert_eq!(folder.bytes("d.csv").unwrap(), b"a.csv");
    }

    #[test]
    fn a_digest_is_the_published_one() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let input = digest("abc.csv", b"abc");
        assert_eq!(input.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(input.bytes, 3);
    }
}
