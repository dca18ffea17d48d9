//! Answers written into a project folder, and taken back: the only files of it that are ever written are the settings and the
//! corrections of cells. What stood in them before is kept in a hidden file beside them, so that taking back gives every byte again.

use std::{fs, io, path::Path};

use serde_json::{Value, json};

use crate::pack::{PackError, single::replace, stage::parent};
use hillfolio_core::source::sha256;

/// The hidden file that remembers what stood there before.
const MEMORY: &str = ".hillfolio-answers.json";

/// What tells the file from others.
const FORMAT: &str = "hillfolio-answers/1";

/// A file of the folder as it was and as it is to be; `None` where there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Its name.
    pub name: &'static str,
    /// Its text before.
    pub before: Option<String>,
    /// Its text with the answers.
    pub after: Option<String>,
}

/// Writes `changes` into `folder`, after it is remembered what stood there.
///
/// # Errors
/// [`PackError::Write`] if the system refuses.
pub fn write_answers(folder: &Path, changes: &[Change]) -> Result<(), PackError> {
    let mut steps = memory(folder)?;
    let file = |change: &Change| json!({ "name": change.name, "before": change.before, "after": change.after.as_ref().map(|text| sha256(text.as_bytes())) });
    steps.push(Value::Array(changes.iter().map(file).collect()));
    remember(folder, &steps)?;
    for change in changes {
        put(folder, change.name, change.after.as_deref())?;
    }
    Ok(())
}

/// Takes the last answers back: `folder` holds again what it held before them, byte for byte. Gives the names of its files that are as
/// they were.
///
/// # Errors
/// [`PackError::NothingToTakeBack`] where no answers were written, [`PackError::ChangedSince`] where somebody has changed a file since,
/// [`PackError::Write`] if the system refuses. Nothing is taken back then.
pub fn take_back(folder: &Path) -> Result<Vec<String>, PackError> {
    let mut steps = memory(folder)?;
    let Some(step) = steps.pop() else { return Err(PackError::NothingToTakeBack(folder.to_owned())) };
    let files: Vec<(String, Option<String>, Option<String>)> =
        step.as_array().into_iter().flatten().filter_map(remembered).collect();
    for (name, before, after) in &files {
        let now = text(&folder.join(name))?;
        let sum = now.as_ref().map(|text| sha256(text.as_bytes()));
        // A run that was broken off has left some files as they were.
        if sum != *after && now != *before {
            return Err(PackError::ChangedSince(folder.join(name)));
        }
    }
    for (name, before, _) in &files {
        put(folder, name, before.as_deref())?;
    }
    remember(folder, &steps)?;
    Ok(files.into_iter().map(|(name, ..)| name).collect())
}

/// A file of a step: its name, its text before, the sum of its text after.
fn remembered(file: &Value) -> Option<(String, Option<String>, Option<String>)> {
    let name = file["name"].as_str()?;
    // What is named there is a file of the folder itself.
    if name.contains(['/', '\\']) || name.starts_with('.') {
        return None;
    }
    let text = |key: &str| file[key].as_str().map(str::to_owned);
    Some((name.to_owned(), text("before"), text("after")))
}

/// Every step that can be taken back, the last at the end.
fn memory(folder: &Path) -> Result<Vec<Value>, PackError> {
    let path = folder.join(MEMORY);
    let Some(text) = text(&path)? else { return Ok(Vec::new()) };
    let known = serde_json::from_str::<Value>(&text).ok().filter(|known| known["format"] == FORMAT);
    match known.as_ref().and_then(|known| known["steps"].as_array()) {
        Some(steps) => Ok(steps.clone()),
        None => Err(PackError::ChangedSince(path)),
    }
}

fn remember(folder: &Path, steps: &[Value]) -> Result<(), PackError> {
    let text = json!({ "format": FORMAT, "steps": steps }).to_string();
    put(folder, MEMORY, (!steps.is_empty()).then_some(&text))
}

/// The text of a file; `None` where there is none.
fn text(path: &Path) -> Result<Option<String>, PackError> {
    match fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(why) => Err(PackError::write(path)(why)),
    }
}

/// Puts `text` into the file called `name`, whole or not at all; takes the file away where there is none.
fn put(folder: &Path, name: &str, text: Option<&str>) -> Result<(), PackError> {
    let path = folder.join(name);
    match text {
        Some(text) => replace(&path, &parent(&path), text.as_bytes()),
        None => match fs::remove_file(&path) {
            Err(why) if why.kind() != io::ErrorKind::NotFound => Err(PackError::write(&path)(why)),
            _ => Ok(()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(name: &'static str, before: Option<&str>, after: &str) -> Change {
        Change { name, before: before.map(str::to_owned), after: Some(after.to_owned()) }
    }

    #[test]
    fn what_was_written_is_taken_back_step_by_step() {
        let dir = tempfile::tempdir().unwrap();
        let read = |name: &str| fs::read_to_string(dir.path().join(name)).ok();
        fs::write(dir.path().join("project.toml"), "a").unwrap();
        write_answers(
            dir.path(),
            &[change("project.toml", Some("a"), "b"), change("corrections.csv", None, "c")],
        )
        .unwrap();
        write_answers(dir.path(), &[change("project.toml", Some("b"), "d")]).unwrap();
        assert_eq!(
            (read("project.toml").as_deref(), read("corrections.csv").as_deref()),
            (Some("d"), Some("c"))
        );
        assert_eq!(take_back(dir.path()).unwrap(), ["project.toml"]);
        assert_eq!(read("project.toml").as_deref(), Some("b"));
        // Somebody has changed it since: it stays.
        fs::write(dir.path().join("project.toml"), "own").unwrap();
        assert!(matches!(take_back(dir.path()), Err(PackError::ChangedSince(_))));
        assert_eq!(read("corrections.csv").as_deref(), Some("c"));
        fs::write(dir.path().join("project.toml"), "b").unwrap();
        take_back(dir.path()).unwrap();
        assert_eq!(
            (read("project.toml").as_deref(), read("corrections.csv"), read(MEMORY)),
            (Some("a"), None, None)
        );
        assert!(matches!(take_back(dir.path()), Err(PackError::NothingToTakeBack(_))));
    }
}
