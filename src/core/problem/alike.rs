//! Problems that are alike, gathered so that two hundred of one kind are told as one.

use std::{borrow::Cow, collections::BTreeMap, sync::Arc};

use crate::{
    problem::{Grade, Message, Problem},
    source::{Row, Sources},
};

/// How many different sentences of problems that are alike are told; the rest is counted.
pub const TOLD: usize = 5;

/// Problems of one grade and code in one column of one file; those about whole files are gathered by their folder.
#[derive(Debug, Clone)]
pub struct Alike<'a> {
    /// How much they matter.
    pub grade: Grade,
    /// Their stable name.
    pub code: Cow<'static, str>,
    /// Whether they show only once the lines are in that other problems propose.
    pub ahead: bool,
    /// What is said, each sentence once, in the order of the problems.
    pub told: Vec<Told<'a>>,
}

/// A sentence and every problem that gives it.
#[derive(Debug, Clone)]
pub struct Told<'a> {
    /// The words.
    pub message: Message,
    /// The problems, in listing order.
    pub problems: Vec<&'a Problem>,
}

/// `problems` gathered by what is alike, in the order of the first of each.
pub fn alike<'a>(problems: impl IntoIterator<Item = &'a Problem>) -> Vec<Alike<'a>> {
    let mut gathered: Vec<Alike<'a>> = Vec::new();
    let (mut groups, mut sentences) = (BTreeMap::new(), BTreeMap::new());
    for problem in problems {
        let message = problem.message();
        let place = &problem.place;
        let whole = place.row.is_none() && place.column.is_none();
        let file = if whole { folder(&place.path) } else { &place.path };
        let key = (problem.ahead, message.grade, message.code.clone(), file, place.column.as_deref(), whole);
        let group = *groups.entry(key).or_insert_with(|| {
            let (grade, code, ahead) = (message.grade, message.code.clone(), problem.ahead);
            gathered.push(Alike { grade, code, ahead, told: Vec::new() });
            gathered.len() - 1
        });
        let told = &mut gathered[group].told;
        let sentence = (group, message.sentence.clone(), message.help.clone());
        let at = *sentences.entry(sentence).or_insert_with(|| {
            told.push(Told { message, problems: Vec::new() });
            told.len() - 1
        });
        told[at].problems.push(problem);
    }
    gathered
}

impl<'a> Alike<'a> {
    /// Every one of them, in the order in which they are told.
    pub fn problems(&self) -> impl Iterator<Item = &'a Problem> {
        self.told.iter().flat_map(|told| told.problems.iter().copied())
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.told.iter().map(|told| told.problems.len()).sum()
    }
}

/// The rows of `problems` in one file as ranges, such as `2-97, 99`; `None` where none has a row.
pub fn rows<'a>(problems: impl Iterator<Item = &'a Problem>) -> Option<String> {
    let rows: Vec<Row> = problems
        .filter_map(|problem| Some(Row { file: Arc::clone(&problem.place.path), row: problem.place.row? }))
        .collect();
    rows.iter().collect::<Sources>().printed().next().map(|(_, rows)| rows)
}

/// The folder of the file at `path`, nothing for one at the top.
fn folder(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Evidence, Place, Reading};

    fn unknown(row: u32, found: &str, column: &str) -> Problem {
        let known = vec!["paid".to_owned()];
        let kind = Reading::WordUnknown { found: found.to_owned(), known, nearest: None };
        Problem::new(kind, Place { row: Some(row), ..Place::file("works.csv") }.column(column))
    }

    #[test]
    fn columns_that_alternate_make_two_groups_and_a_sentence_is_told_once() {
        let problems: Vec<Problem> = (2..=201)
            .flat_map(|row| [unknown(row, "pd", "basis"), unknown(row, &format!("x{row}"), "task")])
            .collect();
        let gathered = alike(&problems);
        assert_eq!(gathered.len(), 2);
        assert_eq!((gathered[0].count(), gathered[0].told.len()), (200, 1));
        assert_eq!((gathered[1].count(), gathered[1].told.len()), (200, 200));
        assert_eq!(rows(gathered[0].problems()).as_deref(), Some("2-201"));
    }

    #[test]
    fn whole_files_are_gathered_by_folder() {
        let picture = |path: &str| {
            Problem::new(Evidence::PictureFormat { ending: "HEIC".to_owned() }, Place::file(path))
        };
        let problems =
            [picture("photos/P1/a.heic"), picture("photos/P1/b.heic"), picture("photos/P2/a.heic")];
        let gathered = alike(&problems);
        assert_eq!(gathered.iter().map(Alike::count).collect::<Vec<_>>(), [2, 1]);
        assert_eq!(rows(gathered[0].problems()), None);
    }
}
