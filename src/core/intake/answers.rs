//! A list of corrections that somebody has answered, as a workbook: which answers stand in it.

use std::{
    io::{self, Read as _},
    path::Path,
};

use crate::{
    intake::{
        folder::{Folder, plain_file, words},
        limits,
        mapping::{Mapping, Sheets},
        nearest::folded,
        table::{Layout, sheets_of},
        whole::SETTINGS,
    },
    problem::{ANSWER, MADE_FOR, MARK, Place, Problem, QUESTIONS, Reading},
};

/// One answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answered {
    /// What tells its question from all others.
    pub mark: String,
    /// The row that it stands in, as a spreadsheet counts.
    pub row: u32,
    /// The answer; empty where nobody has given one.
    pub answer: String,
    /// The folder that the list was made for, as [`called`] has it; nothing where the list does not say.
    pub made_for: String,
}

/// What a folder is called in a list of what is asked about it: its project's name and reference, else its own name.
#[must_use]
pub fn called(folder: &Folder) -> String {
    let text = folder.text(SETTINGS).ok().flatten().unwrap_or_default();
    let settings: toml::Table = text.trim_start_matches('\u{feff}').parse().unwrap_or_default();
    let project = settings.get("project").and_then(toml::Value::as_table);
    let of = |key: &str| project.and_then(|project| project.get(key)?.as_str()).map(str::trim);
    match (of("name"), of("reference")) {
        (Some(name), Some(reference)) => format!("{name} ({reference})"),
        (Some(name), None) => name.to_owned(),
        _ => folder.name(),
    }
}

/// The questions of the workbook at `path`, XLSX or ODS, with their answers.
///
/// # Errors
/// It can't be read, or is no such list.
pub fn answers(path: &Path) -> Result<Vec<Answered>, Problem> {
    let name = path.display().to_string();
    let unreadable = |why: io::Error| {
        Problem::new(Reading::FileUnreadable { why: words(&why) }, Place::file(name.as_str()))
    };
    let mut bytes = Vec::new();
    let read = plain_file(path).and_then(|file| file.take(limits::bytes(&name) + 1).read_to_end(&mut bytes));
    let read = read.map_err(unreadable)? as u64;
    if read > limits::bytes(&name) {
        let kind = Reading::FileTooBig { bytes: read, limit: limits::bytes(&name) };
        return Err(Problem::new(kind, Place::file(name)));
    }
    of(&name, bytes)
}

/// Whether `bytes` are such a list in which nobody has answered.
#[must_use]
pub fn is_unanswered_book(bytes: &[u8]) -> bool {
    of("list.xlsx", bytes.to_vec()).is_ok_and(|answers| answers.iter().all(|one| one.answer.is_empty()))
}

fn of(name: &str, bytes: Vec<u8>) -> Result<Vec<Answered>, Problem> {
    static LIST: std::sync::LazyLock<Layout> = std::sync::LazyLock::new(|| Layout {
        table: QUESTIONS,
        required: vec![ANSWER, MARK],
        optional: vec![MADE_FOR],
    });
    let only = Mapping { sheets: Sheets::One(QUESTIONS.to_owned()), ..Mapping::default() };
    let rows = sheets_of(&LIST, name, bytes, &only)?.into_iter().next().unwrap_or_default();
    let mut rows = rows.into_iter();
    let places = rows.next().and_then(|(_, heads)| {
        let at = |name: &str| heads.iter().position(|head| folded(head) == name);
        Some((at(ANSWER)?, at(MARK)?, at(MADE_FOR)))
    });
    let Some((answer, mark, made_for)) = places else {
        return Err(Problem::new(Reading::NoAnswers, Place::file(name)));
    };
    let cell =
        |cells: &[String], at: usize| cells.get(at).map(|cell| cell.trim().to_owned()).unwrap_or_default();
    let one = |(row, cells): (u32, Vec<String>)| Answered {
        mark: cell(&cells, mark),
        row,
        answer: cell(&cells, answer),
        made_for: made_for.map(|at| cell(&cells, at)).unwrap_or_default(),
    };
    Ok(rows.map(one).filter(|one| !one.mark.is_empty()).collect())
}
