//! Data notes: every doubt about the folder, by file.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::ReportInputs;
use hillfolio_core::problem::{self, Problem, TOLD, Told, doubts};

/// The doubts about one file.
#[derive(Serialize, JsonSchema)]
pub(crate) struct FileNotes {
    file: String,
    notes: Vec<Note>,
}

/// A doubt, or several that are alike.
#[derive(Serialize, JsonSchema)]
struct Note {
    row: String,
    column: String,
    says: String,
    help: Option<String>,
}

/// Every doubt, files in order of name. Doubts that are alike are one note; of many sentences the first are printed and the
/// rest counted.
pub(crate) fn by_file(inputs: &ReportInputs<'_>) -> Vec<FileNotes> {
    let doubts = doubts(inputs.problems);
    let mut files: Vec<FileNotes> = Vec::new();
    for doubts in doubts.chunk_by(|one, other| one.place.path == other.place.path) {
        let mut notes = Vec::new();
        for alike in problem::alike(doubts.iter().copied()) {
            notes.extend(alike.told.iter().take(TOLD).map(note));
            let rest: Vec<&Problem> =
                alike.told.iter().skip(TOLD).flat_map(|told| told.problems.clone()).collect();
            if let Some(first) = rest.first() {
                notes.push(Note {
                    row: problem::rows(rest.iter().copied()).unwrap_or_default(),
                    column: first.place.column.clone().unwrap_or_default(),
                    says: format!("{} more like the one before.", rest.len()),
                    help: None,
                });
            }
        }
        let file = doubts.first().map(|doubt| doubt.place.path.to_string()).unwrap_or_default();
        files.push(FileNotes { file, notes });
    }
    files
}

/// What a sentence says, with every row that it is about.
fn note(told: &Told<'_>) -> Note {
    let column = told.problems.first().and_then(|doubt| doubt.place.column.clone());
    Note {
        row: problem::rows(told.problems.iter().copied()).unwrap_or_default(),
        column: column.unwrap_or_default(),
        says: sentence(&told.message.sentence),
        help: told.message.help.as_ref().map(|help| sentence(help)),
    }
}

/// `text` with a large first letter.
pub(crate) fn raised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Names of columns and settings as a printed page has them: a terminal marks them by backticks, a page by quotes.
fn without_ticks(words: &str) -> String {
    let mut opens = true;
    let put = |letter: char| match letter {
        '`' => {
            opens = !opens;
            if opens { '”' } else { '“' }
        }
        letter => letter,
    };
    words.chars().map(put).collect()
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
    let mut set = without_ticks(&set);
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
        assert_eq!(sentence("did you mean `N1`?"), "Did you mean “N1”?");
        assert_eq!(sentence("volunteer_rate is set"), "volunteer_rate is set.");
        assert_eq!(sentence(""), "");
    }
}
