//! A single file that somebody asked for by name.

use std::{fs, io, io::Read as _, io::Write as _, path::Path};

use crate::pack::{Failure, stage::parent};

/// Bytes of a file that is looked at before it gives way to another.
const LOOKED_AT: u64 = 64 << 20;

/// Writes `bytes` to `path`, whole or not at all. A file that stands there gives way only if `may_go` says so of its bytes.
///
/// # Errors
/// [`Failure::Taken`] if what stands there is to stay, [`Failure::Write`] if the system refuses.
pub fn write_list(path: &Path, bytes: &[u8], may_go: &dyn Fn(&[u8]) -> bool) -> Result<(), Failure> {
    match fs::File::open(path) {
        Ok(file) => {
            let mut old = Vec::new();
            let read = file.take(LOOKED_AT).read_to_end(&mut old);
            if read.is_err() || !may_go(&old) {
                return Err(Failure::Taken(path.to_owned()));
            }
        }
        Err(why) if why.kind() == io::ErrorKind::NotFound => {}
        Err(why) => return Err(Failure::Write { path: path.to_owned(), why }),
    }
    let refused = Failure::write;
    let made = tempfile::Builder::new()
        .prefix(".hillfolio-list-")
        .make_in(parent(path), |at| fs::File::create_new(at));
    let mut file = made.map_err(refused(path))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(refused(path))?;
    file.persist(path).map(drop).map_err(|kept| refused(path)(kept.error))
}
