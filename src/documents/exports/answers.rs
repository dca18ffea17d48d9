//! The funder's own form answered, a row a question: plain text, ready to paste.

use crate::exports::ExportError;
use hillfolio_core::{
    ledger::{Ledger, answers},
    project::{AnswerLimit, Project, Question},
};

/// `data/answers.csv`; `None` where the agreement asks nothing.
pub(super) fn file(project: &Project, ledger: &Ledger) -> Result<Option<(String, Vec<u8>)>, ExportError> {
    let (answers, _) = answers(ledger, project);
    if answers.is_empty() {
        return Ok(None);
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut heads: Vec<String> =
        ["id", "question", "answer", "words", "characters", "limit"].map(str::to_owned).into();
    heads.extend(Question::LENGTHS.map(|words| format!("answer_{words}")));
    writer.write_record(&heads)?;
    for answer in answers {
        let limit = match answer.limit {
            Some(AnswerLimit::Words(most)) => format!("{most} words"),
            Some(AnswerLimit::Characters(most)) => format!("{most} characters"),
            None => String::new(),
        };
        let (words, characters) = (answer.words().to_string(), answer.characters().to_string());
        let mut row: Vec<&str> =
            vec![&answer.id, &answer.question, &answer.text, &words, &characters, &limit];
        for length in Question::LENGTHS {
            let version = answer.versions.iter().find(|(words, _)| *words == length);
            row.push(version.map_or("", |(_, text)| text));
        }
        writer.write_record(row)?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(Some(("data/answers.csv".to_owned(), bytes)))
}
