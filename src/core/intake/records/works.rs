//! `works`: hours and quantities of work.

use crate::{
    intake::{records::Known, table::Table},
    problem::{Place, Plausibility, Problem},
    project::{Basis, Work},
    source::Row,
    units::{Hours, number},
};

/// Everything that was done.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Work> {
    table.doubt_repeats(problems);
    let (mut silent, mut alone): (Vec<Row>, Vec<Row>) = (Vec::new(), Vec::new());
    let works = table.each(problems, |row| {
        let area = row.area_or_site("area", known);
        let (date, claims) = (row.day("date"), row.claims(known));
        let hours = row.number("hours", (0.0, 10_000.0), "each person's hours, from 0 to 10,000").map(Hours);
        let people = row.whole("people", (1, 10_000), "how many people worked, from 1 to 10,000");
        let basis = row.word("basis", &Basis::ALL, Basis::words);
        if row.raw("basis").is_none() && hours.is_some_and(|hours| hours.0 > 0.0) {
            silent.push(row.source());
        }
        if row.raw("people").is_none() && hours.is_some_and(|hours| hours.0 > 0.0) {
            alone.push(row.source());
        }
        let quantity = row.number("quantity", (0.0, 1e9), "a quantity, 0 or more");
        Some(Work {
            date: date?,
            task: row.text("task")?,
            area,
            hours,
            people: people.unwrap_or(1),
            basis: basis.unwrap_or_default(),
            person: row.text("person"),
            quantity,
            unit: row.text("unit"),
            note: row.text("note"),
            claims,
            source: row.source(),
        })
    });
    doubt_basis(&works, &silent, problems);
    if table.position("people").is_some() {
        doubt_people(&works, &alone, problems);
    }
    works
}

/// Says which rows give hours and not of how many people, where others say it of several.
fn doubt_people(works: &[Work], alone: &[Row], problems: &mut Vec<Problem>) {
    let is_alone = |work: &&Work| alone.binary_search(&work.source).is_ok();
    let mut others: Vec<u32> = works.iter().filter(|work| !is_alone(work)).map(|work| work.people).collect();
    others.sort_unstable();
    let Some(&usual) = others.get(others.len() / 2).filter(|_| others.iter().any(|people| *people > 1))
    else {
        return;
    };
    let usual = usual.max(2);
    let hours: f64 = works.iter().filter(is_alone).map(|work| work.person_hours().0).sum();
    let kind = Plausibility::PeopleEmpty {
        rows: alone.len(),
        of: works.len(),
        hours: number(hours, 1),
        people: usual,
        then: number(hours * f64::from(usual), 1),
    };
    let places = alone.iter().map(|row| Place::row(row).column("people"));
    problems.extend(places.map(|place| Problem::new(kind.clone(), place)));
}

/// Says which rows give hours and not who gave them, and what the others say.
fn doubt_basis(works: &[Work], silent: &[Row], problems: &mut Vec<Problem>) {
    let is_silent = |work: &&Work| silent.binary_search(&work.source).is_ok();
    let hours: f64 = works.iter().filter(is_silent).map(|work| work.person_hours().0).sum();
    let said = |basis: Basis| {
        let rows = works.iter().filter(|work| work.basis == basis && !is_silent(work));
        let hours: f64 = rows.map(|work| work.person_hours().0).sum();
        (hours > 0.0).then(|| format!("{} {}", number(hours, 1), basis.words()))
    };
    let others: Vec<String> = Basis::ALL.into_iter().filter_map(said).collect();
    let kind = Plausibility::BasisEmpty {
        rows: silent.len(),
        of: works.len(),
        hours: number(hours, 1),
        others: match others.is_empty() {
            true => String::new(),
            false => format!(", beside {} in all other rows of the table", others.join(", ")),
        },
    };
    let places = silent.iter().map(|row| Place::row(row).column("basis"));
    problems.extend(places.map(|place| Problem::new(kind.clone(), place)));
}
