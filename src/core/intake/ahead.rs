//! What a folder will be asked once the lines are in that its problems propose: told at once, so that one round of answers is enough.

use std::collections::BTreeSet;

use crate::{
    intake::{
        Folder,
        glyphs::Printable,
        settings::{choose, is_begun, joined, with_answers},
        whole,
        whole::SETTINGS,
    },
    problem::{Answer, Grade, Ground, Kind, Problem, Reading},
};

/// How often lines that rest on other lines are looked for.
const STEPS: usize = 6;

/// What else would be wrong with `folder`, of which `problems` are known, with the first of the lines that each of them proposes. Those
/// lines are taken to see further and decide nothing: every one is still asked for.
#[must_use]
pub fn ahead(folder: &Folder, printable: Printable<'_>, problems: &[Problem]) -> Vec<Problem> {
    let Some(mut text) = settings(folder) else { return Vec::new() };
    let known: BTreeSet<_> = problems.iter().map(about).collect();
    let (mut asked, mut last): (Vec<Problem>, Vec<Problem>) = (Vec::new(), Vec::new());
    let mut proposed: BTreeSet<String> = lines(problems).into_iter().collect();
    let mut new = lines(problems);
    for _ in 0..STEPS {
        let Some(with) = with_answers(&text, new.iter().map(String::as_str)) else { break };
        if with == text {
            break;
        }
        let read = whole::read(&folder.clone().instead(SETTINGS, with.clone()), printable);
        let said = read.map_or_else(|problems| problems, |intake| intake.problems);
        last = said.into_iter().filter(|problem| problem.grade() != Grade::Remark).collect();
        // What asks for lines has led here; of the rest only what is left in the end counts.
        let asks = |problem: &&Problem| first(problem).is_some_and(|lines| proposed.insert(lines));
        asked.extend(last.iter().filter(asks).cloned().collect::<Vec<_>>());
        new = lines(&last);
        text = with;
    }
    // A doubt that asks for nothing can wait for its time.
    last.retain(|problem| {
        problem.grade() == Grade::Error && first(problem).is_none() && !known.contains(&about(problem))
    });
    asked.retain(|problem| !known.contains(&about(problem)));
    asked.extend(last);
    asked.iter_mut().for_each(|problem| problem.ahead = true);
    asked
}

/// The lines that `problems` propose for the settings of `folder`, together and as they are to be written into them: of each the first, what
/// else could be said as a comment beneath, and where nothing is likelier all of it as comments in its section. Nothing where one message says
/// it all.
#[must_use]
pub fn proposed(folder: &Folder, problems: &[Problem]) -> String {
    let text = written(folder).unwrap_or_default();
    let sure = lines_of(problems, |problem| {
        problem.message().answers.into_iter().next().filter(|_| !is_open(problem))
    });
    let mut choices: Vec<Vec<Answer>> = Vec::new();
    for problem in problems.iter().filter(|problem| is_open(problem)) {
        let answers = problem.message().answers;
        // What another problem settles needs no choice.
        let is_settled = answers.iter().any(|answer| sure.contains(&answer.lines));
        if !answers.is_empty() && !is_settled && !choices.contains(&answers) {
            choices.push(answers);
        }
    }
    let begun = |lines: &String| is_begun(&text, lines);
    let is_simple = sure.len() + choices.len() < 2
        && !sure.iter().chain(choices.iter().flatten().map(|answer| &answer.lines)).any(begun);
    if is_simple && joined(&text).is_none() {
        return String::new();
    }
    let (mut said, others) = choose::offered(&text, &sure, choices);
    said.push('\n');
    let mut others: Vec<String> = others.iter().flatten().map(|answer| other(answer, "to choose")).collect();
    for problem in problems.iter().filter(|problem| !is_open(problem)) {
        let alternatives = problem.message().answers.into_iter().skip(1);
        others.extend(alternatives.map(|answer| other(&answer, "or")));
    }
    let mut once = BTreeSet::new();
    said.extend(others.into_iter().filter(|other| once.insert(other.clone())));
    said.trim_start().to_owned()
}

/// An answer on one line, as a comment.
fn other(answer: &Answer, word: &str) -> String {
    let means = if answer.means.is_empty() { String::new() } else { format!(", if {}", answer.means) };
    format!("# {word}{means}: {}\n", answer.lines.replacen('\n', " ", 1).replace('\n', "; "))
}

/// The text of the settings, with everything once.
fn settings(folder: &Folder) -> Option<String> {
    let text = written(folder)?;
    Some(joined(&text).map_or(text, |joined| joined.text))
}

/// The text of the settings.
fn written(folder: &Folder) -> Option<String> {
    String::from_utf8(folder.bytes(SETTINGS).ok()?).ok()
}

/// What a problem is about: the same of the same place is no news, whatever its numbers are now.
fn about(problem: &Problem) -> impl Ord + use<> {
    let place = &problem.place;
    (problem.kind.code().into_owned(), place.path.to_string(), place.row, place.column.clone())
}

/// The first of the lines that each of the problems proposes, once: those that are followed to see further, also where none is likelier.
fn lines(problems: &[Problem]) -> Vec<String> {
    lines_of(problems, |problem| Some(Answer { lines: first(problem)?, means: String::new() }))
}

/// The lines of one answer of each of the problems, once.
fn lines_of(problems: &[Problem], answer: impl Fn(&Problem) -> Option<Answer>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for answer in problems.iter().filter_map(answer) {
        if !lines.contains(&answer.lines) {
            lines.push(answer.lines);
        }
    }
    lines
}

/// The first of the lines that the problem proposes. A file beside one that is read already may be an older copy of it: that it is read
/// too is not taken for granted, and what is left blank to write can't be followed.
fn first(problem: &Problem) -> Option<String> {
    if is_beside(problem) || leads_astray(&problem.kind) {
        return None;
    }
    let answer = problem.message().answers.into_iter().next()?;
    Some(answer.lines).filter(|lines| !lines.contains('…'))
}

/// Whether what is found once the first of the open answers is taken would only be true of that one.
fn leads_astray(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Reading(
            Reading::CellEmpty { .. }
                | Reading::NumberAmbiguous { .. }
                | Reading::SheetUnclear { fitting: 0, .. }
                | Reading::FileUnclear { .. }
                | Reading::FileMissing { table: None, .. }
        ) | Kind::Ground(Ground::TrackOpen { .. } | Ground::TrackClosed { .. })
    )
}

/// Whether none of the lines that the problem proposes is to be taken before somebody has chosen it.
fn is_open(problem: &Problem) -> bool {
    is_beside(problem) || problem.message().open
}

/// Whether the problem is of a file that lies beside one that is read as the same table.
fn is_beside(problem: &Problem) -> bool {
    matches!(&problem.kind, Kind::Reading(Reading::FileNotTaken { with: Some(_), .. }))
}
