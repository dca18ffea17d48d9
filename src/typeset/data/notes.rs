//! Data notes: every doubt about the folder, by file.

use serde::Serialize;

use crate::{problem::doubts, typeset::Matter};

/// The doubts about one file.
#[derive(Serialize)]
pub(crate) struct FileNotes {
    file: String,
    notes: Vec<Note>,
}

/// One doubt.
#[derive(Serialize)]
struct Note {
    row: String,
    column: String,
    says: String,
    help: Option<String>,
}

/// Every doubt, files in order of name.
pub(crate) fn by_file(matter: &Matter<'_>) -> Vec<FileNotes> {
    let mut files: Vec<FileNotes> = Vec::new();
    for doubt in doubts(matter.problems) {
        let file = doubt.place.path.to_string();
        if files.last().is_none_or(|last| last.file != file) {
            files.push(FileNotes { file, notes: Vec::new() });
        }
        let said = doubt.kind.said();
        let note = Note {
            row: doubt.place.row.map(|row| row.to_string()).unwrap_or_default(),
            column: doubt.place.column.clone().unwrap_or_default(),
            says: sentence(&said.sentence),
            help: said.help.map(|help| sentence(&help)),
        };
        if let Some(last) = files.last_mut() {
            last.notes.push(note);
        }
    }
    files
}

/// The words as a sentence: a capital in front where they begin with a letter, a full stop behind.
pub(crate) fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut letters = words.chars();
    // The name of a setting or a file stays as it is written.
    let is_name = words.split(' ').next().is_some_and(|first| first.contains(['_', '.']));
    let mut set = if is_name {
        letters.next().into_iter().collect::<String>()
    } else {
        letters.next().into_iter().flat_map(char::to_uppercase).collect()
    };
    set.push_str(letters.as_str());
    if !set.is_empty() && !set.ends_with(['.', '?', '!']) {
        set.push('.');
    }
    set
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_become_sentences() {
        assert_eq!(sentence("46 alive of 40 planted"), "46 alive of 40 planted.");
        assert_eq!(sentence("did you mean `N1`?"), "Did you mean `N1`?");
        assert_eq!(sentence("volunteer_rate is set"), "volunteer_rate is set.");
        assert_eq!(sentence(""), "");
    }
}
