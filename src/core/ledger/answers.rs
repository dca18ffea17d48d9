//! The funder's own form answered: figures put in the place of their ids, words and characters counted against the limit.

use crate::{
    ledger::{Entry, Ledger, Series},
    problem::{Funding, Place, Problem},
    project::{AnswerLimit, Block, Project, Question, Span},
};

/// A question with its answer as it is pasted into the form: plain text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The question's id in the form.
    pub id: String,
    /// Its words.
    pub question: String,
    /// The answer; nothing where nobody has written one.
    pub text: String,
    /// How long it may be.
    pub limit: Option<AnswerLimit>,
    /// The answers of other lengths that the folder has: for how many words each is made, and its text.
    pub versions: Vec<(u32, String)>,
}

impl Answer {
    /// Words of the answer: what white space parts.
    #[must_use]
    pub fn words(&self) -> usize {
        self.text.split_whitespace().count()
    }

    /// Characters of the answer, spaces among them.
    #[must_use]
    pub fn characters(&self) -> usize {
        self.text.chars().count()
    }

    /// By how many words or characters it is over its limit.
    #[must_use]
    pub fn over(&self) -> usize {
        match self.limit {
            Some(AnswerLimit::Words(most)) => self.words().saturating_sub(most as usize),
            Some(AnswerLimit::Characters(most)) => self.characters().saturating_sub(most as usize),
            None => 0,
        }
    }
}

/// The answers to the questions of the only agreement of `project`, and what is wrong with them.
#[must_use]
pub fn answers(ledger: &Ledger, project: &Project) -> (Vec<Answer>, Vec<Problem>) {
    let mut problems = Vec::new();
    let questions =
        project.only_agreement().map(|agreement| agreement.questions.as_slice()).unwrap_or_default();
    let answers = questions.iter().map(|question| answer(ledger, project, question, &mut problems)).collect();
    (answers, problems)
}

fn answer(ledger: &Ledger, project: &Project, question: &Question, problems: &mut Vec<Problem>) -> Answer {
    let mut says = |kind: Funding, key: &str| {
        let problem = Problem::new(kind, Place::row(&question.source).column(format!("question.{key}")));
        // Versions of one answer name the same figures.
        if !problems.contains(&problem) {
            problems.push(problem);
        }
    };
    let mut unknown: Vec<(String, Option<String>)> = Vec::new();
    let mut fill = |text: &str| {
        filled(text, |id, interval| {
            let (words, why) = match ledger.get(id) {
                Some(Entry::Figure(figure)) if interval => {
                    (figure.interval_text(), Some(NO_INTERVAL.to_owned()))
                }
                Some(Entry::Figure(figure)) => (Some(figure.text()), None),
                Some(Entry::Missing(missing)) => (None, Some(missing.reason.clone())),
                None => (None, not_of_period(id)),
            };
            // What is pasted into a form never holds braces.
            words.unwrap_or_else(|| {
                unknown.push((id.to_owned(), why));
                NOT_RECORDED.to_owned()
            })
        })
    };
    let written = question.answer.clone().or_else(|| of_file(project, question.file.as_deref()?));
    let written = written.as_deref().map(&mut fill);
    let versions: Vec<(u32, String)> =
        question.versions.iter().map(|(words, text)| (*words, fill(text))).collect();
    for (found, why) in unknown {
        let kind = match why {
            Some(why) => Funding::AnswerFigureMissing { found, why },
            None => {
                let nearest = crate::ledger::nearest(ledger, &found).into_iter().next();
                Funding::AnswerWithoutFigure { found, nearest }
            }
        };
        says(kind, "answer");
    }
    let texts = written.iter().chain(versions.iter().map(|(_, text)| text));
    let answer = |text: String| Answer {
        id: question.id.clone(),
        question: question.words.clone(),
        text,
        limit: question.limit,
        versions: versions.clone(),
    };
    // The longest that fits; where none does, the shortest shows by how much.
    let answers: Vec<Answer> = texts.map(|text| answer(text.clone())).collect();
    let fits = answers.iter().filter(|one| one.over() == 0).max_by_key(|one| one.characters());
    let chosen = fits.or_else(|| answers.iter().min_by_key(|one| one.over())).cloned();
    let Some(answer) = chosen else {
        says(Funding::AnswerMissing { id: question.id.clone() }, "answer");
        return answer(String::new());
    };
    if answer.over() > 0 {
        let (count, limit) = match answer.limit {
            Some(AnswerLimit::Words(limit)) => (format!("{} words", answer.words()), limit),
            Some(AnswerLimit::Characters(limit)) => (format!("{} characters", answer.characters()), limit),
            None => (String::new(), 0),
        };
        says(Funding::AnswerTooLong { id: answer.id.clone(), count, over: answer.over(), limit }, "answer");
    }
    for (limit, text) in &answer.versions {
        let words = text.split_whitespace().count();
        let over = words.saturating_sub(*limit as usize);
        if over > 0 {
            let id = format!("{} in {limit} words", answer.id);
            let kind = Funding::AnswerTooLong { id, count: format!("{words} words"), over, limit: *limit };
            says(kind, &format!("answer_{limit}"));
        }
    }
    answer
}

/// What stands where a figure can't be given.
pub const NOT_RECORDED: &str = "not recorded";

const NO_INTERVAL: &str = "the figure has no interval: it is a count or a sum";

/// Why there is no figure called `id`, where one may well be called so: of another period, or of another folder.
#[must_use]
pub fn not_of_period(id: &str) -> Option<String> {
    let (_, codes) = Series::find(id)?;
    let of_all = codes.iter().all(|code| *code == "all");
    of_all.then(|| {
        "the records up to the end of the period have nothing that it could be worked out of".to_owned()
    })
}

/// `text` with what stands between double braces put in by `figure`, which is told whether its interval is meant.
fn filled(text: &str, mut figure: impl FnMut(&str, bool) -> String) -> String {
    let (mut out, mut rest) = (String::with_capacity(text.len()), text);
    while let Some((before, after)) = rest.split_once("{{") {
        let Some((inside, behind)) = after.split_once("}}") else { break };
        let (id, interval) = match inside.split_once('|') {
            Some((id, word)) if word.trim() == "interval" => (id.trim(), true),
            _ => (inside.trim(), false),
        };
        out.push_str(before);
        // A form takes plain text: a space that holds a unit is a space.
        out.push_str(&figure(id, interval).replace('\u{a0}', " "));
        rest = behind;
    }
    out.push_str(rest);
    out
}

/// The words of a file of the narrative, without its heading, a paragraph a line.
fn of_file(project: &Project, file: &str) -> Option<String> {
    let chapter = project.narrative.iter().find(|chapter| *chapter.path == *file)?;
    let plain = |spans: &[Span]| spans.iter().map(|span| span.text.as_str()).collect::<String>();
    let lines = chapter.blocks.iter().flat_map(|block| match block {
        Block::Heading(_, spans) | Block::Paragraph(spans) | Block::Quote(spans) => vec![plain(spans)],
        Block::Picture(_) => Vec::new(),
        Block::List { items, .. } => items.iter().map(|item| plain(item)).collect(),
        Block::Table(table) => {
            let row =
                |cells: &Vec<Vec<Span>>| cells.iter().map(|cell| plain(cell)).collect::<Vec<_>>().join(", ");
            std::iter::once(&table.head).chain(&table.rows).map(row).collect()
        }
    });
    Some(lines.collect::<Vec<_>>().join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_take_the_place_of_their_ids_and_nothing_else_changes() {
        let known = |id: &str, interval: bool| match (id, interval) {
            ("survival.all", false) => "87.1\u{a0}%".to_owned(),
            ("survival.all", true) => "80 to 92\u{a0}%".to_owned(),
            _ => NOT_RECORDED.to_owned(),
        };
        let text = "Alive: {{ survival.all }} ({{survival.all | interval}}), {{no.such}}, {{open";
        assert_eq!(filled(text, known), "Alive: 87.1 % (80 to 92 %), not recorded, {{open");
        assert!(not_of_period("survival.all").is_some() && not_of_period("survival.al").is_none());
    }

    #[test]
    fn words_and_characters_are_counted_as_a_form_counts_them() {
        let text = "Ōtāne: 3,000 stems.".to_owned();
        let limit = Some(AnswerLimit::Words(2));
        let answer =
            Answer { id: "q".to_owned(), question: String::new(), text, limit, versions: Vec::new() };
        assert_eq!((answer.words(), answer.characters(), answer.over()), (3, 19, 1));
    }
}
