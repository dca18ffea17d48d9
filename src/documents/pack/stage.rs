//! Writing all at once or not at all: the new output is made in a folder beside the old one and then takes its place.

use std::{fs, io, io::Write as _, path::Path, path::PathBuf};

use rayon::prelude::*;
use tempfile::TempDir;

use crate::pack::{PackError, Receipt, carry_over::carry_over};

/// What the names of stages begin with.
const STAGE: &str = ".hillfolio-";

/// What the name of an old output begins with while a new one comes in two steps.
const BEFORE: &str = ".hillfolio-before-";

/// A folder in which the new output is made. It goes away with everything in it unless it takes its place.
pub(super) struct Stage {
    folder: TempDir,
    /// Held as long as the stage is in use, so that no other build takes it for one that was left behind.
    _mark: Option<fs::File>,
}

/// The right to look at `out` and to exchange it, which one build at a time has: a lock on the folder in which it lies, given
/// back when this is dropped. Where the system has no such locks, nobody has to wait.
struct Turn(Option<fs::File>);

impl Turn {
    fn take(parent: &Path) -> Turn {
        Turn(fs::File::open(parent).ok().filter(|folder| folder.lock().is_ok()))
    }

    /// Sees to it that what was exchanged stays exchanged when the power fails.
    fn settle(&self) {
        if let Some(folder) = &self.0 {
            drop(folder.sync_all());
        }
    }
}

impl Stage {
    /// A new stage on the same file system as `out`, once `may` allows what stands there. What builds that were killed left
    /// behind is cleared away.
    pub(super) fn beside(
        out: &Path,
        may: impl FnOnce() -> Result<(), PackError>,
    ) -> Result<Stage, PackError> {
        let parent = parent(out);
        fs::create_dir_all(&parent).map_err(PackError::write(&parent))?;
        let turn = Turn::take(&parent);
        if turn.0.is_some() {
            sweep(&parent, out);
        }
        may()?;
        let folder =
            tempfile::Builder::new().prefix(STAGE).tempdir_in(&parent).map_err(PackError::write(&parent))?;
        open_to_readers(folder.path()).map_err(PackError::write(folder.path()))?;
        let mark = fs::File::open(folder.path()).ok().filter(|folder| folder.try_lock().is_ok());
        Ok(Stage { folder, _mark: mark })
    }

    /// Where `path` stands on the stage.
    pub(super) fn path(&self, path: &str) -> PathBuf {
        path.split('/').fold(self.folder.path().to_owned(), |at, part| at.join(part))
    }

    /// A new file on the stage.
    pub(super) fn create(&self, path: &str) -> Result<fs::File, PackError> {
        let at = self.path(path);
        if let Some(folder) = at.parent() {
            fs::create_dir_all(folder).map_err(PackError::write(folder))?;
        }
        fs::File::create_new(&at).map_err(PackError::write(&at))
    }

    /// A new file on the stage with these bytes, settled on disk.
    pub(super) fn write(&self, path: &str, bytes: &[u8]) -> Result<(), PackError> {
        let mut file = self.create(path)?;
        file.write_all(bytes).and_then(|()| file.sync_all()).map_err(PackError::write(&self.path(path)))
    }

    /// A file that stands elsewhere, on the stage too: a second name for it where the system has such, else a copy.
    pub(super) fn link(&self, from: &Path, path: &str) -> Result<(), PackError> {
        let at = self.path(path);
        if let Some(folder) = at.parent() {
            fs::create_dir_all(folder).map_err(PackError::write(folder))?;
        }
        fs::hard_link(from, &at).or_else(|_| fs::copy(from, &at).map(drop)).map_err(PackError::write(&at))
    }

    /// The stage, on which every file is settled, becomes `out`; what stood there before goes away afterwards.
    pub(super) fn take_place(self, out: &Path) -> Result<Receipt, PackError> {
        let files = files_of(self.folder.path()).map_err(PackError::write(out))?;
        let turn = Turn::take(&parent(out));
        let kept = carry_over(out, &self)?;
        let place = exchange(self.folder.path(), out).map_err(PackError::write(out))?;
        turn.settle();
        drop(turn);
        match place {
            // The stage now holds the old output, and dropping it removes that.
            Place::Exchanged => clear(self.folder),
            Place::Moved => drop(self.folder.keep()),
        }
        Ok(Receipt { out: out.to_owned(), files, kept })
    }
}

/// Clears away an old output. Large files take long to let go, so that several threads do it; what can't be cleared away does no
/// harm.
fn clear(folder: TempDir) {
    let files = files_of(folder.path()).unwrap_or_default();
    files.par_iter().for_each(|(path, _)| drop(fs::remove_file(folder.path().join(path))));
    drop(folder);
}

enum Place {
    Moved,
    Exchanged,
}

/// Puts `stage` where `out` is, in one step where the system can.
fn exchange(stage: &Path, out: &Path) -> io::Result<Place> {
    if !out.try_exists()? {
        fs::rename(stage, out)?;
        return Ok(Place::Moved);
    }
    match exchange_in_one_step(stage, out) {
        Err(why) if why.kind() == io::ErrorKind::Unsupported || why.kind() == io::ErrorKind::InvalidInput => {
            exchange_in_two_steps(stage, out)
        }
        done => done.map(|()| Place::Exchanged),
    }
}

#[cfg(any(target_os = "linux", target_os = "macos"))]
fn exchange_in_one_step(stage: &Path, out: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, stage, CWD, out, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn exchange_in_one_step(_stage: &Path, _out: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// For file systems that can't exchange two folders: the old one is set aside, and put back if the new one can't come.
fn exchange_in_two_steps(stage: &Path, out: &Path) -> io::Result<Place> {
    let aside = aside(out);
    if aside.try_exists()? {
        fs::remove_dir_all(&aside)?;
    }
    fs::rename(out, &aside)?;
    if let Err(why) = fs::rename(stage, out) {
        fs::rename(&aside, out)?;
        return Err(why);
    }
    fs::remove_dir_all(&aside)?;
    Ok(Place::Moved)
}

/// Where an old `out` waits while the new one takes its place in two steps.
fn aside(out: &Path) -> PathBuf {
    let name = out.file_name().unwrap_or_default().to_string_lossy();
    parent(out).join(format!("{BEFORE}{name}"))
}

/// Puts back an old output whose new one never came, and clears away the stages of builds that were killed: those that nobody
/// holds. What can't be cleared away does no harm.
fn sweep(parent: &Path, out: &Path) {
    let aside = aside(out);
    if aside.is_dir() {
        let done = if out.exists() { fs::remove_dir_all(&aside) } else { fs::rename(&aside, out) };
        drop(done);
    }
    for entry in fs::read_dir(parent).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let is_stage = name.to_str().is_some_and(|name| name.starts_with(STAGE) && !name.starts_with(BEFORE));
        if is_stage && entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            let held = fs::File::open(entry.path()).map(|stage| stage.try_lock().is_err());
            if held.is_ok_and(|held| !held) {
                drop(fs::remove_dir_all(entry.path()));
            }
        }
    }
}

/// Refuses an `out` that is the project folder or holds it.
pub(super) fn refuse_the_project(project: &Path, out: &Path) -> Result<(), PackError> {
    match (project.canonicalize(), out.canonicalize()) {
        (Ok(project), Ok(out)) if project.starts_with(&out) => Err(PackError::OverTheProject(out)),
        _ => Ok(()),
    }
}

/// Refuses a folder that is there and holds anything.
pub(super) fn refuse_full(folder: &Path) -> Result<(), PackError> {
    match fs::read_dir(folder) {
        Ok(mut entries) => match entries.next() {
            Some(_) => Err(PackError::NotEmpty(folder.to_owned())),
            None => Ok(()),
        },
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(why) => Err(PackError::Write { path: folder.to_owned(), why }),
    }
}

/// Every file below `folder` with its size, in order of path.
pub(super) fn files_of(folder: &Path) -> io::Result<Vec<(String, u64)>> {
    let (mut folders, mut files) = (vec![(folder.to_owned(), String::new())], Vec::new());
    while let Some((at, prefix)) = folders.pop() {
        for entry in fs::read_dir(&at)? {
            let entry = entry?;
            let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
            let kind = entry.metadata()?;
            match kind.is_dir() {
                true => folders.push((entry.path(), path + "/")),
                false => files.push((path, kind.len())),
            }
        }
    }
    files.sort();
    Ok(files)
}

/// Where a link called `out` points, so that what is written comes to stand there; `out` itself where it is no link.
pub(super) fn behind_links(out: &Path) -> PathBuf {
    let points = fs::read_link(out).map(|to| parent(out).join(to));
    points.map_or_else(|_| out.to_owned(), |to| to.canonicalize().unwrap_or(to))
}

/// The folder in which `out` lies.
pub(super) fn parent(out: &Path) -> PathBuf {
    match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Temporary folders are private; the finished output is to be read by whoever may read its neighbours.
#[cfg(unix)]
fn open_to_readers(folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(folder, fs::Permissions::from_mode(0o755))
}

#[cfg(not(unix))]
fn open_to_readers(_folder: &Path) -> io::Result<()> {
    Ok(())
}
