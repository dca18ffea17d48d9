//! Keys and seals: small files of text beside a pack, and the pack itself as bytes.

use std::{
    fs::File,
    io::{self, Read as _},
    path::Path,
};

use crate::{
    intake::{
        folder::{plain_file, words},
        limits,
    },
    problem::{Place, Problem, Reading},
};

/// The text of the key or the seal at `path`; `None` where there is no file.
///
/// # Errors
/// The file can't be read, or is longer than any key.
pub fn key_text(path: &Path) -> Result<Option<String>, Problem> {
    let shown = path.display().to_string();
    let unreadable = |why: io::Error| {
        Problem::new(Reading::FileUnreadable { why: words(&why) }, Place::file(shown.as_str()))
    };
    let file = match plain_file(path) {
        Ok(file) => file,
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(unreadable(why)),
    };
    let mut text = Vec::new();
    file.take(limits::KEY + 1).read_to_end(&mut text).map_err(unreadable)?;
    if text.len() as u64 > limits::KEY {
        let kind = Reading::FileTooBig { bytes: text.len() as u64, limit: limits::KEY };
        return Err(Problem::new(kind, Place::file(shown.as_str())));
    }
    Ok(Some(String::from_utf8_lossy(&text).into_owned()))
}

/// The bytes of the pack at `path`.
///
/// # Errors
/// The file can't be read.
pub fn pack_file(path: &Path) -> Result<File, Problem> {
    let place = || Place::file(path.display().to_string());
    plain_file(path).map_err(|why| Problem::new(Reading::FileUnreadable { why: words(&why) }, place()))
}
