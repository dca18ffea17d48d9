//! `works`: hours and quantities of work.

use crate::{
    intake::{
        cell::{as_clock, is_clock},
        records::Known,
        table::{Record, Table},
    },
    problem::{Place, Plausibility, Problem, Slips},
    project::{Basis, Work},
    source::Row,
    units::{Hours, number},
};

/// Everything that was done.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Work> {
    table.doubt_repeats(problems);
    let (mut silent, mut alone): (Vec<Row>, Vec<Row>) = (Vec::new(), Vec::new());
    let mut says_people = false;
    let works = table.each(problems, |row| {
        let area = row.area_or_site("area", known);
        let (date, claims) = (row.day("date"), row.claims(known));
        let hours = row.number("hours", (0.0, 10_000.0), "each person's hours, from 0 to 10,000").map(Hours);
        let people = row.whole("people", (1, 10_000), "how many people worked, from 1 to 10,000");
        says_people |= row.raw("people").is_some();
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
    doubt_clock(table, &works, problems);
    match says_people {
        true => doubt_people(&works, &alone, problems),
        false => doubt_no_people(&works, &alone, table.position("people").is_some(), problems),
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
        work: "work",
        others: format!(
            "and others have several; taken as one person, or as the hours of all together, {} person hours; had {usual} worked, {}",
            number(hours, 1),
            number(hours * f64::from(usual), 1)
        ),
        answer: "blank = { people = 1 }",
    };
    let places = alone.iter().map(|row| Place::row(row).column("people"));
    problems.extend(places.map(|place| Problem::new(kind.clone(), place)));
}

/// Says which rows of volunteers give hours and neither of how many people nor of whom, where no row says of how many.
fn doubt_no_people(works: &[Work], alone: &[Row], has_column: bool, problems: &mut Vec<Problem>) {
    let is_volunteers = |work: &&Work| work.basis == Basis::Volunteer && work.hours.is_some();
    let volunteers = || works.iter().filter(is_volunteers);
    let is_alone = |work: &&Work| work.person.is_none() && alone.binary_search(&work.source).is_ok();
    let taken: Vec<&Work> = volunteers().filter(is_alone).collect();
    let hours: f64 = taken.iter().map(|work| work.person_hours().0).sum();
    let kind = Plausibility::PeopleEmpty {
        rows: taken.len(),
        of: volunteers().count(),
        work: "volunteers' work",
        others: format!(
            "and no other row of the table says it; each is taken as one person, or as the hours of all together, {} person hours",
            number(hours, 1)
        ),
        answer: if has_column { "blank = { people = 1 }" } else { "set = { people = \"1\" }" },
    };
    let places = taken.iter().map(|work| Place::row(&work.source).column("people"));
    problems.extend(places.map(|place| Problem::new(kind.clone(), place)));
}

/// Says which hours have a point where others are written as a clock has them, and what they would be as hours and minutes. Where one has a
/// decimal that no clock has, all are decimals.
fn doubt_clock(table: &Table, works: &[Work], problems: &mut Vec<Problem>) {
    let Some((at, _)) = table.position("hours") else { return };
    let cells = || table.rows().iter().map(move |row| (row, row.cell(at)));
    let mut clocks = cells().filter(|(_, cell)| is_clock(cell)).peekable();
    let Some(clock) = clocks.peek().map(|(_, cell)| (*cell).to_owned()) else { return };
    let has_point = |cell: &str| cell.contains(['.', ',']);
    let pointed: Vec<_> = cells().filter(|(_, cell)| has_point(cell)).collect();
    let all: Option<Vec<f64>> = pointed.iter().map(|(_, cell)| as_clock(cell)).collect();
    let (Some((first, example)), Some(all)) = (pointed.first(), all) else { return };
    let of = |row: &Record| {
        works.iter().find(|work| work.source.row == row.row && work.source.file == *table.path_of(row))
    };
    let (mut read, mut meant) = (0.0, 0.0);
    for ((row, _), hours) in pointed.iter().zip(all) {
        let Some(work) = of(row) else { continue };
        read += work.person_hours().0;
        meant += hours * f64::from(work.people);
    }
    if read == meant {
        return;
    }
    let kind = Slips::HoursAsClock {
        cells: pointed.len(),
        example: (*example).to_owned(),
        clocks: clocks.count(),
        clock,
        read: number(read, 2),
        as_clock: number(meant, 2),
    };
    problems.push(Problem::new(kind, table.place(first, at)));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        intake::{
            ids::Ids,
            mapping::Mapping,
            records::{LAYOUTS, species::built_in},
            species_names::SpeciesNames,
        },
        problem::{Kind, Reading},
        project::TableRow as _,
    };

    /// The hours, and what is said beside.
    fn works(text: &str) -> (Vec<f64>, Vec<String>) {
        let known = Known {
            areas: Ids::new("area", ["A"], true),
            plots: Ids::new("plot", [], true),
            species: SpeciesNames::of(&built_in(), true),
            grid: None,
            currency: "AUD".to_owned(),
            targets: Vec::new(),
            agreements: Vec::new(),
        };
        let layout = LAYOUTS.iter().find(|layout| layout.table == Work::TABLE).unwrap();
        let mut problems = Vec::new();
        let table = Table::open(layout, "works.csv", text, &Mapping::default(), &mut problems).unwrap();
        let found = read(&table, &known, &mut problems);
        let hours = found.iter().filter_map(|work| work.hours).map(|hours| hours.0).collect();
        (hours, problems.iter().map(|problem| problem.kind.to_string()).collect())
    }

    #[test]
    fn volunteers_that_nobody_counted_are_told() {
        let no_column = "date,task,hours,basis\n2025-08-01,Planting,5,volunteer\n2025-08-02,Planting,3:30,volunteer\n2025-08-03,Fencing,4,paid\n";
        let said = "of 2 rows of volunteers' work, 2 rows without how many people worked, and no other row of the table says it; each is \
            taken as one person, or as the hours of all together, 8.5 person hours";
        assert_eq!(works(no_column), (vec![5.0, 3.5, 4.0], vec![said.to_owned(); 2]));
        let empty =
            "date,task,hours,people,basis\n2025-08-01,Planting,5,,volunteer\n2025-08-03,Fencing,4,,paid\n";
        assert_eq!(works(empty).1.len(), 1);
        for fine in [
            "date,task,hours,basis,person\n2025-08-01,Planting,5,volunteer,A. Planter\n",
            "date,task,hours,basis\n2025-08-01,Planting,5,paid\n",
            "date,task,hours,people,basis\n2025-08-01,Planting,5,1,volunteer\n",
        ] {
            assert_eq!(works(fine).1, [""; 0], "{fine}");
        }
    }

    #[test]
    fn days_are_offered_as_no_hours() {
        let (hours, said) = works(
            "date,task,hours,basis\n2025-08-01,Planting,30m,paid\n2025-08-02,Planting,2 days,paid\n2025-08-03,Planting,1.5 d,paid\n",
        );
        assert_eq!((hours, said.len()), (vec![0.5], 2));
        let mut problems = Vec::new();
        let layout = LAYOUTS.iter().find(|layout| layout.table == Work::TABLE).unwrap();
        let text = "date,task,hours,basis\n2025-08-02,Planting,2 days,paid\n2025-08-03,Planting,3O,paid\n";
        let table = Table::open(layout, "works.csv", text, &Mapping::default(), &mut problems).unwrap();
        let _ = table.each(&mut problems, |row| row.number("hours", (0.0, 100.0), "hours"));
        let offered: Vec<_> = problems
            .iter()
            .map(|problem| match &problem.kind {
                Kind::Reading(Reading::NumberUnreadable { nearest, .. }) => nearest.as_deref(),
                other => panic!("{other}"),
            })
            .collect();
        assert_eq!(offered, [None, Some("30")]);
    }
}
