//! What one build keeps for later ones, in a folder of the user's own: it may go at any time, and nothing of it is promised.

use std::{fs, io, io::Write as _, path::Path};

/// What the names of files begin with while they are written.
const UNFINISHED: &str = ".hillfolio-";

/// Keeps `bytes` as the file `name` in `folder`, whole or not at all, in place of what was kept there before. The user alone may
/// read it.
///
/// # Errors
/// The system refuses.
pub fn keep(folder: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let mut file = tempfile::Builder::new().prefix(UNFINISHED).tempfile_in(folder)?;
    // Not forced to the disk: what a power failure leaves behind is known by its sum.
    file.write_all(bytes)?;
    file.persist(folder.join(name))?;
    Ok(())
}

/// Removes the oldest files in `folder` until those that `is_kept` knows by name have no more than `most` bytes together. Files
/// that a killed build left unfinished count among them; all others stay.
///
/// By age and not by last use: to note each use, every build would write, and what is removed too early is only made again.
///
/// # Errors
/// The folder can't be listed. A file that can't be removed stays.
pub fn trim(folder: &Path, most: u64, is_kept: &dyn Fn(&str) -> bool) -> io::Result<()> {
    let (mut files, mut all) = (Vec::new(), 0_u64);
    for entry in fs::read_dir(folder)?.flatten() {
        let name = entry.file_name();
        let is_ours = name.to_str().is_some_and(|name| is_kept(name) || name.starts_with(UNFINISHED));
        // Another build may have removed it meanwhile.
        if let Some(found) = entry.metadata().ok().filter(|found| is_ours && found.is_file()) {
            all = all.saturating_add(found.len());
            files.push((found.modified()?, name, found.len()));
        }
    }
    files.sort_unstable();
    for (_, name, bytes) in files {
        if all <= most {
            break;
        }
        if fs::remove_file(folder.join(name)).is_ok() {
            all -= bytes;
        }
    }
    Ok(())
}
