//! A single file that somebody asked for by name.

use std::{fs, io, io::Read as _, path::Path};

use crate::pack::{PackError, single::replace, stage::parent};

/// Bytes of a file that is looked at before it gives way to another.
const LOOKED_AT: u64 = 64 << 20;

/// Writes `bytes` to `path`, whole or not at all. A file that stands there gives way only if `may_go` says so of its bytes.
///
/// # Errors
/// [`PackError::Taken`] if what stands there is to stay, [`PackError::Write`] if the system refuses.
pub fn write_list(path: &Path, bytes: &[u8], may_go: &dyn Fn(&[u8]) -> bool) -> Result<(), PackError> {
    match fs::File::open(path) {
        Ok(file) => {
            let mut old = Vec::new();
            let read = file.take(LOOKED_AT).read_to_end(&mut old);
            if read.is_err() || !may_go(&old) {
                return Err(PackError::Taken(path.to_owned()));
            }
        }
        Err(why) if why.kind() == io::ErrorKind::NotFound => {}
        Err(why) => return Err(PackError::write(path)(why)),
    }
    replace(path, &parent(path), bytes)
}
