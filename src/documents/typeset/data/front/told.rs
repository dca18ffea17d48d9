//! How it went, in plain words made from the figures.

use std::collections::BTreeMap;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        approval,
        front::MOST_LISTED,
        notes::{raised, sentence},
        printed::Printed,
        targets,
    },
};
use hillfolio_core::{
    ledger::{Judged, Ledger, Series, Standing, catalogue},
    project::{Bound, Compliance},
    units::{Unit, number, percent, whole},
};

/// A count in words up to twelve.
pub(super) fn spelled(count: usize) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    WORDS.get(count).map_or_else(|| whole(count as u64), |word| (*word).to_owned())
}

/// `parts` joined by commas.
pub(super) fn joined(parts: &[String]) -> String {
    match parts {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => parts.concat(),
    }
}

/// How it went; figures that are doubtful bear their `daggers`.
pub(super) fn sentences(
    inputs: &ReportInputs<'_>,
    document: Document,
    judged: &[&Judged],
    daggers: &BTreeMap<String, String>,
) -> Vec<String> {
    let mut told = Vec::new();
    if approval::stand_in(inputs, document) {
        told.extend(conditions(inputs));
    }
    told.extend(promises(inputs.ledger, judged, daggers));
    told.extend(alive(inputs, daggers));
    if document == Document::Acquittal {
        told.extend(spent(inputs, daggers));
    }
    told
}

/// How the conditions stand.
fn conditions(inputs: &ReportInputs<'_>) -> Option<String> {
    let statuses = approval::statuses(inputs);
    let words = [
        Compliance::Compliant.words(),
        Compliance::NonCompliant.words(),
        approval::UNDETERMINED,
        Compliance::NotYetDue.words(),
        Compliance::NotApplicable.words(),
    ];
    let count = |word: &&str| statuses.iter().filter(|status| *status == word).count();
    let told = words.iter().filter_map(|word| match count(word) {
        0 => None,
        all if all == statuses.len() && all > 1 => Some(format!("all {} are {word}", spelled(all))),
        1 => Some(format!("one is {word}")),
        several => Some(format!("{} are {word}", spelled(several))),
    });
    let told: Vec<String> = told.collect();
    let of = match statuses.len() {
        0 => return None,
        1 => "The one condition".to_owned(),
        several => format!("Of {} conditions", spelled(several)),
    };
    Some(format!("{of}: {}.", joined(&told)))
}

/// How the targets stand that are due, and which of them are not met.
fn promises(ledger: &Ledger, judged: &[&Judged], daggers: &BTreeMap<String, String>) -> Vec<String> {
    let due: Vec<&&Judged> = judged.iter().filter(|one| one.standing != Standing::NotDue).collect();
    if due.is_empty() {
        let later = (!judged.is_empty()).then(|| "No target is due yet.".to_owned());
        return later.into_iter().collect();
    }
    let count = |standing| due.iter().filter(|one| one.standing == standing).count();
    let told = Standing::ALL.into_iter().filter(|standing| count(*standing) > 0).map(|standing| {
        let is = if count(standing) == 1 { "is" } else { "are" };
        format!("{} {is} {}", spelled(count(standing)), standing.words())
    });
    let told: Vec<String> = told.collect();
    let head = match (due.len(), count(Standing::Met)) {
        (1, 1) => "The one target that is due is met.".to_owned(),
        (all, met) if all == met => format!("All {} targets that are due are met.", spelled(all)),
        (1, _) => format!("The one target that is due: {}.", joined(&told)),
        (all, _) => format!("Of {} targets that are due, {}.", spelled(all), joined(&told)),
    };
    let missed = [Standing::NotMet, Standing::NotShown].into_iter().filter_map(|standing| {
        let those = due.iter().filter(|one| one.standing == standing);
        let those: Vec<String> = those.map(|one| missed_target(ledger, one, daggers)).collect();
        let shown = &those[..those.len().min(MOST_LISTED - 2)];
        let more = match those.len() - shown.len() {
            0 => String::new(),
            more => format!("; and {} more", spelled(more)),
        };
        (!shown.is_empty()).then(|| sentence(&format!("{}: {}{more}", standing.words(), shown.join("; "))))
    });
    std::iter::once(head).chain(missed).collect()
}

/// A target that is not met or not shown, with what there is.
fn missed_target(ledger: &Ledger, judged: &Judged, daggers: &BTreeMap<String, String>) -> String {
    let (Bound::AtLeast(asked) | Bound::AtMost(asked)) = judged.target.bound;
    let figure = ledger.figure(judged.figure.as_str());
    let there_is =
        figure.map_or_else(|| "nothing measured".to_owned(), |figure| targets::short(figure, asked).0);
    let label = || figure.map_or_else(|| judged.target.id.clone(), |figure| figure.label.clone());
    let mark = daggers.get(judged.figure.as_str()).map(String::as_str).unwrap_or_default();
    format!("“{}” ({there_is}{mark})", judged.target.words.clone().unwrap_or_else(label))
}

/// `text` with a small first letter, unless its first word is an acronym or a name.
pub(super) fn lowered(text: &str) -> String {
    let mut letters = text.chars();
    let (first, second) = (letters.next(), letters.next());
    match (first, second) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain([second]).chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

/// How many of the plants live.
fn alive(inputs: &ReportInputs<'_>, daggers: &BTreeMap<String, String>) -> Option<String> {
    let id = catalogue::SURVIVAL.whole();
    let figure = match inputs.ledger.figure(id.as_str()) {
        Some(figure) => figure,
        None => {
            let gap = Printed::find(inputs.ledger, &id)?.gap?;
            return Some(format!("How many of the plants are alive is not known: {gap}."));
        }
    };
    let per_cent = |share: f64| percent(share, 0);
    let between = figure
        .interval
        .filter(|ends| per_cent(ends.low) != per_cent(ends.high))
        .map(|ends| format!("between {} and {}", number(ends.low * 100.0, 0), per_cent(ends.high)));
    let from = figure.sample.map(|sample| match sample.plots {
        1 => "from one plot alone".to_owned(),
        plots => format!("from {} plots", whole(plots as u64)),
    });
    let rests: Vec<String> = between.into_iter().chain(from).collect();
    let rests = if rests.is_empty() { String::new() } else { format!(" ({})", rests.join(", ")) };
    let mark = daggers.get(id.as_str()).map(String::as_str).unwrap_or_default();
    Some(format!("{}{mark} of the stems planted are alive{rests}.", per_cent(figure.value)))
}

/// What was spent of what was agreed: to date of a budget of the whole life, of the year of one by year.
fn spent(inputs: &ReportInputs<'_>, daggers: &BTreeMap<String, String>) -> Option<String> {
    let held = inputs.ledger.held();
    let figure = |series: &Series| inputs.ledger.figure(series.whole().as_str());
    let spent = figure(held.spent)?;
    let Unit::Currency(currency) = &spent.unit else { return None };
    let mark = daggers.get(held.spent.whole().as_str()).map(String::as_str).unwrap_or_default();
    let sum = format!("{currency}\u{a0}{}{mark}", number(spent.value, 0));
    let of = figure(&catalogue::BUDGET).map(|budget| number(budget.value, 0));
    Some(match (held.span, of) {
        ("", Some(budget)) => format!("{sum} of {budget} is spent."),
        ("", None) => format!("{sum} is spent."),
        ("this year", Some(budget)) => {
            let figures = figure(&catalogue::SPENT_TO_DATE).zip(figure(&catalogue::BUDGET_TO_DATE));
            let to_date = figures.map(|(spent, budget)| {
                let mark = daggers
                    .get(catalogue::SPENT_TO_DATE.whole().as_str())
                    .map(String::as_str)
                    .unwrap_or_default();
                format!(", and to date {}{mark} of {}", number(spent.value, 0), number(budget.value, 0))
            });
            format!("This year {sum} of {budget} is spent{}.", to_date.unwrap_or_default())
        }
        (span, Some(budget)) => format!("{} {sum} of {budget} is spent.", raised(span)),
        (span, None) => format!("{} {sum} is spent.", raised(span)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_lists_are_said_in_words() {
        assert_eq!((spelled(0), spelled(7), spelled(1_300)), ("none".into(), "seven".into(), "1,300".into()));
        let parts = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(joined(&parts), "a, b and c");
        assert_eq!(joined(&parts[..1]), "a");
        assert_eq!(lowered("Hours of volunteers"), "hours of volunteers");
        assert_eq!(lowered("GST paid"), "GST paid");
    }
}
