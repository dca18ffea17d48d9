//! What is wrong with a folder as corrections: what stands where, what is wrong with it and what to do, for whoever keeps the
//! book.

use crate::problem::{Grade, Problem, Told, alike, rows};

/// One correction: what stands where, what is wrong with it and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// How much it matters.
    pub grade: Grade,
    /// The file.
    pub file: String,
    /// Its rows, such as `2-97, 99`; nothing where the whole file is meant.
    pub rows: String,
    /// The column's heading or the setting's name, nothing where there is none.
    pub column: String,
    /// What was read there, nothing where it is not to be shown.
    pub read: String,
    /// What is wrong with it.
    pub wrong: String,
    /// What was most likely meant, where that is known.
    pub likely: String,
    /// What to do about it.
    pub to_do: String,
}

/// The corrections that `problems` ask for, errors first. The same thing in several rows is one; remarks ask for none.
#[must_use]
pub fn corrections(problems: &[Problem]) -> Vec<Correction> {
    let asked = alike(problems).into_iter().filter(|alike| alike.grade != Grade::Remark);
    asked.flat_map(|alike| alike.told).flat_map(|told| each(&told)).collect()
}

/// One correction for every file and reading that the sentence is about.
fn each(told: &Told<'_>) -> Vec<Correction> {
    let mut parts: Vec<Vec<&Problem>> = Vec::new();
    for problem in &told.problems {
        let place = &problem.place;
        let same = |part: &&mut Vec<&Problem>| {
            let first = &part[0].place;
            place.row.is_some() && first.path == place.path && first.read() == place.read()
        };
        match parts.iter_mut().find(same) {
            Some(part) => part.push(problem),
            None => parts.push(vec![problem]),
        }
    }
    let correction = |part: Vec<&Problem>| {
        let place = &part[0].place;
        let owned = |text: Option<&str>| plain(text.unwrap_or_default());
        Correction {
            grade: told.message.grade,
            file: plain(&place.path),
            rows: rows(part.iter().copied()).unwrap_or_default(),
            column: owned(place.column.as_deref()),
            read: owned(place.read()),
            wrong: plain(&told.message.sentence),
            likely: owned(told.message.nearest.as_deref()),
            to_do: owned(told.message.help.as_deref()),
        }
    };
    parts.into_iter().map(correction).collect()
}

/// One line without control characters.
fn plain(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
