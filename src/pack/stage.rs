//! Writing all at once or not at all: the new output is made in a folder beside the old one and then takes its place.

use std::{collections::BTreeSet, fs, io, io::Write as _, path::Path, path::PathBuf};

use tempfile::TempDir;

use crate::pack::{Failure, Receipt, SUMS};

/// Files that desktops leave in every folder they show.
const LITTER: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// A folder in which the new output is made. It goes away with everything in it unless it takes its place.
pub(super) struct Stage {
    folder: TempDir,
}

impl Stage {
    /// A new stage on the same file system as `out`.
    pub(super) fn beside(out: &Path) -> Result<Stage, Failure> {
        let parent = parent(out);
        fs::create_dir_all(&parent).map_err(Failure::write(&parent))?;
        let folder = tempfile::Builder::new()
            .prefix(".hillfolio-")
            .tempdir_in(&parent)
            .map_err(Failure::write(&parent))?;
        open_to_readers(folder.path()).map_err(Failure::write(folder.path()))?;
        Ok(Stage { folder })
    }

    /// Where `path` stands on the stage.
    pub(super) fn path(&self, path: &str) -> PathBuf {
        path.split('/').fold(self.folder.path().to_owned(), |at, part| at.join(part))
    }

    /// A new file on the stage.
    pub(super) fn create(&self, path: &str) -> Result<fs::File, Failure> {
        let at = self.path(path);
        if let Some(folder) = at.parent() {
            fs::create_dir_all(folder).map_err(Failure::write(folder))?;
        }
        fs::File::create_new(&at).map_err(Failure::write(&at))
    }

    /// A new file on the stage with these bytes.
    pub(super) fn write(&self, path: &str, bytes: &[u8]) -> Result<(), Failure> {
        self.create(path)?.write_all(bytes).map_err(Failure::write(&self.path(path)))
    }

    /// The stage becomes `out`; what stood there before goes away afterwards.
    pub(super) fn take_place(self, out: &Path) -> Result<Receipt, Failure> {
        let files = files_of(self.folder.path()).map_err(Failure::write(out))?;
        for (path, _) in &files {
            let at = self.path(path);
            fs::File::open(&at).and_then(|file| file.sync_all()).map_err(Failure::write(&at))?;
        }
        match exchange(self.folder.path(), out) {
            // The stage now holds the old output, and dropping it removes that.
            Ok(Place::Exchanged) => drop(self.folder),
            Ok(Place::Moved) => drop(self.folder.keep()),
            Err(why) => return Err(Failure::Write { path: out.to_owned(), why }),
        }
        Ok(Receipt { out: out.to_owned(), files })
    }
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
    let aside = stage.with_extension("before");
    fs::rename(out, &aside)?;
    if let Err(why) = fs::rename(stage, out) {
        fs::rename(&aside, out)?;
        return Err(why);
    }
    fs::remove_dir_all(&aside)?;
    Ok(Place::Moved)
}

/// Refuses an `out` in which anything would be lost: it must be absent, empty, or exactly what was written before.
pub(super) fn refuse_strangers(project: &Path, out: &Path) -> Result<(), Failure> {
    if let (Ok(project), Ok(out)) = (project.canonicalize(), out.canonicalize())
        && project.starts_with(&out)
    {
        return Err(Failure::OverTheProject(out));
    }
    let found = match files_of(out) {
        Ok(found) => found,
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(why) => return Err(Failure::Write { path: out.to_owned(), why }),
    };
    let sums = fs::read_to_string(out.join(SUMS)).unwrap_or_default();
    let ours: BTreeSet<&str> = sums.lines().filter_map(|line| line.get(66..)).chain([SUMS]).collect();
    let stranger = found.into_iter().map(|(path, _)| path).find(|path| {
        let name = path.rsplit('/').next().unwrap_or(path);
        let pack = !sums.is_empty() && !path.contains('/') && path.ends_with(".zip");
        !ours.contains(path.as_str()) && !pack && !LITTER.contains(&name)
    });
    match stranger {
        Some(stranger) => Err(Failure::Stranger { out: out.to_owned(), stranger }),
        None => Ok(()),
    }
}

/// Refuses a folder that is there and holds anything.
pub(super) fn refuse_full(folder: &Path) -> Result<(), Failure> {
    match fs::read_dir(folder) {
        Ok(mut entries) => match entries.next() {
            Some(_) => Err(Failure::NotEmpty(folder.to_owned())),
            None => Ok(()),
        },
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(why) => Err(Failure::Write { path: folder.to_owned(), why }),
    }
}

/// Every file below `folder` with its size, in order of path.
fn files_of(folder: &Path) -> io::Result<Vec<(String, u64)>> {
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

fn parent(out: &Path) -> PathBuf {
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
