//! The day of one person under two agreements.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::{
        checks::funding::{
            claimed_twice::{agreements, people::People},
            payers, place,
        },
        nearest::folded,
    },
    problem::{Funding, Place, Problem},
    project::{Project, Work},
    sharing::{RowShares, Shares},
    units::{day, number},
};

/// Hours of one person's day from which it is asked about, whoever pays and whatever the tasks (judgement: so long a day is rare).
const DAY: f64 = 12.0;

/// Hours of one task beyond which a day under two agreements is asked about (common practice, no source: a shift with its breaks).
const SHIFT: f64 = 10.0;

/// A row with those who bear it.
type Borne<'a> = (&'a Work, &'a RowShares);

type Rows<'a> = Vec<Borne<'a>>;

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    let people = People::of(project);
    let mut days: BTreeMap<_, Rows<'_>> = BTreeMap::new();
    for (row, of) in project.works.iter().zip(&shares.works) {
        let worked = row.hours.is_some_and(|hours| hours.0 > 0.0);
        let person = row.person.as_deref().map(|person| people.who(person));
        if let Some(person) = person.filter(|person| worked && !person.is_empty()) {
            days.entry((row.date, person)).or_default().push((row, of));
        }
    }
    for ((_, person), rows) in days {
        if of_two(&rows).is_none() {
            continue;
        }
        let person = written(&person, &rows);
        let all = rows.clone();
        let said = problems.len();
        let mut tasks: BTreeMap<String, Rows<'_>> = BTreeMap::new();
        for (row, of) in rows {
            tasks.entry(folded(&row.task)).or_default().push((row, of));
        }
        for (task, rows) in tasks {
            let repeated = of_two(&rows).is_some_and(|(first, last)| repeats(first.0, last.0));
            if hours(&rows) > SHIFT || repeated {
                problems.extend(told(&rows, |hours, on, by| Funding::DayClaimedTwice {
                    person: person.clone(),
                    hours,
                    task: task.clone(),
                    day: on,
                    by,
                }));
            }
        }
        // One cause, one message: of one task alone it has been said.
        if hours(&all) >= DAY && problems.len() == said {
            problems.extend(told(&all, |hours, on, by| Funding::DayClaimedBeyondHours {
                person: person.clone(),
                hours,
                day: on,
                payers: by,
            }));
        }
    }
}

/// A person with the other writings of the name in `rows`.
fn written(person: &str, rows: &Rows<'_>) -> String {
    let names = rows.iter().filter_map(|(row, _)| row.person.as_deref().map(folded));
    let others: BTreeSet<String> = names.filter(|name| name != person).collect();
    if others.is_empty() {
        return person.to_owned();
    }
    format!("{person} (also written {})", others.into_iter().collect::<Vec<_>>().join(", "))
}

fn hours(rows: &Rows<'_>) -> f64 {
    rows.iter().filter_map(|(row, _)| row.hours).map(|hours| hours.0).sum()
}

/// The first two rows that are borne by different agreements.
fn of_two<'a>(rows: &Rows<'a>) -> Option<(Borne<'a>, Borne<'a>)> {
    rows.iter().enumerate().find_map(|(at, later)| {
        let differs = |earlier: &&(&Work, &RowShares)| {
            let (one, other) = (agreements(earlier.1), agreements(later.1));
            !one.is_empty() && !other.is_empty() && one != other
        };
        Some((*rows[..at].iter().find(differs)?, *later))
    })
}

/// Whether the later row is likely the hours of the earlier one again: as many, and nothing says that they were worked elsewhere. Rows that
/// are alike in all else too have had their word.
fn repeats(one: &Work, other: &Work) -> bool {
    let elsewhere = one.area.is_some() && other.area.is_some() && one.area != other.area;
    let alike = one.area == other.area && one.people == other.people;
    one.hours == other.hours && !elsewhere && !alike
}

fn told(rows: &Rows<'_>, kind: impl FnOnce(String, String, String) -> Funding) -> Option<Problem> {
    let ((first, earlier), (last, later)) = of_two(rows)?;
    let by = format!(
        "by {} here and by {} in {}",
        payers(later.of.iter().map(|(payer, _)| payer)),
        payers(earlier.of.iter().map(|(payer, _)| payer)),
        place(&first.source)
    );
    let kind = kind(number(hours(rows), 1), day(first.date), by);
    Some(Problem::new(kind, Place::row(&last.source).column("hours")))
}
