//! What an earlier build kept for later ones, in a folder of the user's own that is no part of any project.

use std::{
    fs::{self, File},
    io::Read as _,
    path::Path,
};

/// The bytes of the file called `name` in `folder`; `None` where there is no such file, where it has more than `most` bytes, or
/// where the system refuses. Whoever asks can do without.
#[must_use]
pub fn kept(folder: &Path, name: &str, most: u64) -> Option<Vec<u8>> {
    let path = folder.join(name);
    // Of what is no plain file, some would be waited for without end.
    fs::symlink_metadata(&path).ok().filter(|found| found.is_file() && found.len() <= most)?;
    let mut bytes = Vec::new();
    let read = File::open(path).ok()?.take(most + 1).read_to_end(&mut bytes).ok()?;
    (read as u64 <= most).then_some(bytes)
}
