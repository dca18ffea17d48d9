//! Files as they are read: each is remembered with the digest of its bytes.

use std::{
    collections::BTreeMap,
    fs::File,
    io::{self, Seek as _},
    path::Path,
    sync::{Mutex, PoisonError},
};

use encoding_rs::Encoding;

use crate::{
    intake::{
        folder::{Folder, digest, words},
        text,
    },
    problem::{Grade, Place, Problem, Reading},
    source::{Input, sha256_of},
};

/// A folder that is being read, also by several threads at once.
#[derive(Debug)]
pub(crate) struct Reader<'f> {
    folder: &'f Folder,
    inputs: Mutex<BTreeMap<String, Input>>,
}

impl<'f> Reader<'f> {
    /// Nothing read yet.
    pub(crate) fn of(folder: &'f Folder) -> Reader<'f> {
        Reader { folder, inputs: Mutex::default() }
    }

    /// The bytes of a file.
    pub(crate) fn bytes(&self, path: &str) -> Result<Vec<u8>, Problem> {
        let bytes = self.folder.bytes(path)?;
        let input = digest(path, &bytes);
        // A workbook is read once for each of its tables.
        let mut inputs = self.inputs.lock().unwrap_or_else(PoisonError::into_inner);
        inputs.entry(path.to_owned()).or_insert(input);
        Ok(bytes)
    }

    /// A file opened, to be read in parts; all of it has been read once, for its digest.
    pub(crate) fn opened(&self, path: &str) -> Result<File, Problem> {
        let (mut file, _) = self.folder.file(path)?;
        let unreadable =
            |why: io::Error| Problem::new(Reading::FileUnreadable { why: words(&why) }, Place::file(path));
        let (sha256, bytes) = sha256_of(&mut file).map_err(unreadable)?;
        file.rewind().map_err(unreadable)?;
        let input = Input { path: path.into(), sha256, bytes, rows: None };
        self.inputs.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned(), input);
        Ok(file)
    }

    /// The text of a file; `None` where it can't be read, which has then been said.
    pub(crate) fn text(&self, path: &str, problems: &mut Vec<Problem>) -> Option<String> {
        self.text_in(path, None, problems)
    }

    /// The text of a file that is stated to be in an encoding.
    pub(crate) fn text_in(
        &self,
        path: &str,
        stated: Option<&'static Encoding>,
        problems: &mut Vec<Problem>,
    ) -> Option<String> {
        match self.bytes(path) {
            Ok(bytes) => text::decoded_as(path, &bytes, stated, problems),
            Err(problem) => {
                problems.push(problem);
                None
            }
        }
    }

    /// Remembers how many rows or shapes were found in a file that was read; those of a workbook's tables add up.
    pub(crate) fn rows(&self, path: &str, rows: usize) {
        if let Some(input) = self.inputs.lock().unwrap_or_else(PoisonError::into_inner).get_mut(path) {
            let before = input.rows.unwrap_or(0);
            input.rows = u32::try_from(rows).ok().map(|rows| before.saturating_add(rows));
        }
    }

    /// Remembers that a file leaves the folder as another than it was read: its digest is that of the `copy`.
    pub(crate) fn leaves_as(&self, path: &str, copy: &[u8]) {
        if let Some(input) = self.inputs.lock().unwrap_or_else(PoisonError::into_inner).get_mut(path) {
            *input = Input { rows: input.rows, ..digest(path, copy) };
        }
    }

    /// Everything that was read, in order of path.
    pub(crate) fn inputs(self) -> Vec<Input> {
        self.inputs.into_inner().unwrap_or_else(PoisonError::into_inner).into_values().collect()
    }
}

/// The texts of all `.typ` files under `dir`, each with its path there.
pub fn templates(dir: &Path) -> Result<Vec<(String, String)>, Problem> {
    let folder = Folder::open(dir)?;
    if let Some(refused) = folder.refused().first() {
        return Err(refused.clone());
    }
    let mut templates = Vec::new();
    for path in folder.files().iter().filter(|path| path.ends_with(".typ")) {
        let mut problems = Vec::new();
        let text = text::decoded(path, &folder.bytes(path)?, &mut problems);
        if let Some(error) = problems.into_iter().find(|problem| problem.grade() == Grade::Error) {
            return Err(error);
        }
        templates.push((path.clone(), text.unwrap_or_default()));
    }
    Ok(templates)
}
