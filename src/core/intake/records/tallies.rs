//! `tallies`: what was counted in the plots.

use std::collections::BTreeSet;

use crate::{
    intake::{
        cell::{Cells, number},
        choice::is_in_field_book,
        nearest::{folded, same},
        records::{Known, status},
        settings::FIELD_BOOK,
        table::{Record, Table},
    },
    problem::{Problem, Reading, Records},
    project::Tally,
    units::{Stems, percent},
};

/// Every tally.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Tally> {
    let plants = table.mapping.plants;
    if !plants && ticks(table, problems) {
        return Vec::new();
    }
    if !plants {
        table.doubt_repeats(problems);
        ask(table, problems);
    }
    let asked = plants && status::ask(table, problems);
    table.each(problems, |row| {
        let (date, plot) = (row.day("date"), row.plot("plot", known));
        let species = row.species("species", known);
        let count = if plants { plant(row, asked) } else { Some(counted(row)) };
        let cohort = row.year("cohort");
        let Count { alive, dead, missing, recruits } = count?;
        Some(Tally {
            date: date?,
            plot: plot?,
            species: species?,
            alive: alive?,
            dead,
            missing,
            recruits,
            cohort,
            note: row.text("note"),
            source: row.source(),
        })
    })
}

/// What people tick a plant with.
const MARKS: [&str; 12] = ["✓", "✔", "☑", "√", "x", "×", "✗", "y", "yes", "t", "|", "•"];

/// Columns in which a row has one of the counts.
const COUNTS: [&str; 4] = ["alive", "dead", "missing", "recruits"];

/// Whether marks stand where counts are needed, which is then said of all columns at once: no cell of them could be read.
fn ticks(table: &Table, problems: &mut Vec<Problem>) -> bool {
    let marks = |column: &'static str| {
        let filled: Vec<String> = table.column(column).map(folded).collect();
        let ticked = !filled.is_empty() && filled.iter().all(|cell| MARKS.contains(&cell.as_str()));
        ticked.then_some((column, filled))
    };
    let found: Vec<(&'static str, Vec<String>)> = COUNTS.into_iter().filter_map(marks).collect();
    let is_mark = |row: &&Record| {
        found.iter().any(|(column, _)| table.position(column).is_some_and(|(at, _)| !row.cell(at).is_empty()))
    };
    let Some((row, (column, _))) = table.rows().iter().find(is_mark).zip(found.first()) else { return false };
    let at = table.position(column).map_or(0, |(at, _)| at);
    let kind = Records::TicksForCounts {
        marks: found.iter().map(|(_, marks)| marks.len()).sum(),
        mark: found[0].1[0].clone(),
        columns: found
            .iter()
            .map(|(column, marks)| {
                let each: BTreeSet<String> = marks.iter().cloned().collect();
                (*column, each.into_iter().collect())
            })
            .collect(),
    };
    problems.push(Problem::new(kind, table.place(row, at)));
    true
}

/// What a row counts.
#[derive(Default)]
struct Count {
    alive: Option<Stems>,
    dead: Option<Stems>,
    missing: Option<Stems>,
    recruits: Option<Stems>,
}

/// The numbers of a row; what is left of the stems that were set is dead, and missing where the dead were counted.
fn counted(row: &mut Cells<'_>) -> Count {
    let (alive, recruits) = (row.stems("alive"), row.stems("recruits"));
    let (mut dead, mut missing) = (row.stems("dead"), row.stems("missing"));
    if let Some((planted, alive)) = row.stems("planted").zip(alive) {
        let told = alive.0 + dead.map_or(0, |stems| stems.0) + missing.map_or(0, |stems| stems.0);
        match planted.0.checked_sub(told) {
            None => {
                let (found, wanted) = (told.to_string(), format!("at most the {} planted", planted.0));
                row.say("planted", Reading::OutOfRange { found, wanted });
            }
            Some(rest) => match (dead, missing) {
                (None, _) => dead = Some(Stems(rest)),
                (Some(_), None) => missing = Some(Stems(rest)),
                _ => {}
            },
        }
        missing = missing.or(Some(Stems(0)));
    }
    Count { alive, dead, missing, recruits }
}

/// How a plant was found.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Found {
    Alive,
    Dead,
    Missing,
    Recruit,
}

const STATUS: [(Found, &str); 4] = [
    (Found::Alive, "alive"),
    (Found::Dead, "dead"),
    (Found::Missing, "missing"),
    (Found::Recruit, "recruit"),
];

/// One plant, by its status; of empty cells it may have been `asked` already.
fn plant(row: &mut Cells<'_>, asked: bool) -> Option<Count> {
    if row.raw("status").is_none() && !asked {
        row.say("status", Reading::CellEmpty { table: "", column: "status".to_owned(), above: None });
    }
    let found = row.named("status", &STATUS)?;
    let one = |of: Found| Some(Stems(u64::from(of == found)));
    Some(Count {
        alive: one(Found::Alive),
        dead: one(Found::Dead),
        missing: one(Found::Missing),
        recruits: one(Found::Recruit),
    })
}

/// Asks what the empty cells of the columns of counts mean in which other rows have numbers: none, or not recorded. Shows what comes
/// of each.
fn ask(table: &Table, problems: &mut Vec<Problem>) {
    let cell = |row: &Record, column: &str| {
        let (at, _) = table.position(column)?;
        number::plain(row.cell(at), table.mark(row))?.parse::<f64>().ok()
    };
    let answered = |column: &str| table.mapping.blank.keys().any(|name| same(name, column));
    let rows: Vec<&Record> = table.rows().iter().filter(|row| cell(row, "planted").is_none()).collect();
    let mixed = |column: &&str| {
        let filled = rows.iter().filter(|row| cell(row, column).is_some()).count();
        filled > 0 && filled < rows.len() && !answered(column)
    };
    let columns: Vec<&'static str> = ["dead", "missing"].into_iter().filter(mixed).collect();
    let (filled, empty): (Vec<&Record>, Vec<&Record>) =
        rows.iter().partition(|row| columns.iter().all(|column| cell(row, column).is_some()));
    let (Some(first), Some(column)) = (empty.first(), columns.first()) else { return };
    // What stands there in words of the user's own is told first: of marks no share can be worked out.
    let in_words = |column: &str| {
        let at = table.position(column).map(|(at, _)| at);
        rows.iter().any(|row| at.is_some_and(|at| !row.cell(at).is_empty()) && cell(row, column).is_none())
    };
    if ["alive", "dead", "missing"].into_iter().any(in_words) {
        return;
    }
    let alive = |rows: &[&Record]| {
        let sum = |column: &str| rows.iter().filter_map(|row| cell(row, column)).sum::<f64>();
        let alive = sum("alive");
        percent(alive / (alive + sum("dead") + sum("missing")), 1)
    };
    let (if_none, if_unrecorded) = (alive(&rows), alive(&filled));
    let at = table.position(column).map_or(0, |(at, _)| at);
    let place = table.place(first, at);
    let section = if is_in_field_book(&table.path) { FIELD_BOOK } else { "tables.tallies" };
    let (empty, rows) = (empty.len(), rows.len());
    let kind = Records::BlankOrNone { section, columns, empty, rows, if_none, if_unrecorded };
    problems.push(Problem::new(kind, place));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        intake::{
            ids::Ids,
            mapping::{Blank, Mapping},
            records::{LAYOUTS, species::built_in},
            species_names::SpeciesNames,
        },
        project::TableRow as _,
    };

    /// Alive, dead and missing.
    type Counts = (u64, Option<u64>, Option<u64>);

    fn tallies(text: &str, mapping: &Mapping) -> (Vec<Counts>, Vec<String>) {
        let known = Known {
            areas: Ids::new("area", [], true),
            plots: Ids::new("plot", ["A", "B"], true),
            species: SpeciesNames::of(&built_in(), true),
            grid: None,
            currency: "AUD".to_owned(),
            targets: Vec::new(),
            agreements: Vec::new(),
        };
        let layout = LAYOUTS.iter().find(|layout| layout.table == Tally::TABLE).unwrap();
        let mut problems = Vec::new();
        let table = Table::open(layout, "tallies.csv", text, mapping, &mut problems).unwrap();
        let found = read(&table, &known, &mut problems);
        let stems = |stems: Option<Stems>| stems.map(|stems| stems.0);
        let counts = found.iter().map(|tally| (tally.alive.0, stems(tally.dead), stems(tally.missing)));
        (counts.collect(), problems.iter().map(|problem| problem.kind.to_string()).collect())
    }

    #[test]
    fn the_rest_of_what_was_planted_is_dead() {
        let text = "date,plot,species,planted,alive\n2025-03-01,A,Acacia melanoxylon,25,20\n\
                    2025-03-01,B,Acacia melanoxylon,25,26\n";
        let (counts, said) = tallies(text, &Mapping::default());
        assert_eq!(counts[0], (20, Some(5), Some(0)));
        assert_eq!(said, ["`26` is not at most the 25 planted"]);
    }

    #[test]
    fn a_row_a_plant_is_counted_by_its_status() {
        let text = "date,plot,species,status\n2025-03-01,A,Acacia melanoxylon,alive\n\
                    2025-03-01,A,Acacia melanoxylon,alive\n2025-03-01,A,Acacia melanoxylon,Dead\n";
        let (counts, said) = tallies(text, &Mapping { plants: true, ..Mapping::default() });
        assert_eq!(counts, [(1, Some(0), Some(0)), (1, Some(0), Some(0)), (0, Some(1), Some(0))]);
        assert_eq!(said, [""; 0]);
        assert_eq!(tallies(text, &Mapping::default()).1[0], "tallies needs a column `alive`");
    }

    #[test]
    fn empty_cells_beside_numbers_are_asked_about() {
        let text = "date,plot,species,alive,dead,missing\n2025-03-01,A,Acacia melanoxylon,50,,0\n\
                    2025-03-01,B,Acacia melanoxylon,20,10,0\n";
        let said = "`dead` is empty in 1 of 2 rows: if that means none, 87.5\u{a0}% of the stems are alive; if it was not recorded, \
                    66.7\u{a0}% of those in the other rows";
        assert_eq!(tallies(text, &Mapping::default()).1, [said]);
        let blank = [("dead".to_owned(), Blank::Text("0".to_owned()))].into();
        let (counts, said) = tallies(text, &Mapping { blank, ..Mapping::default() });
        assert_eq!((counts[0], said.len()), ((50, Some(0), Some(0)), 0));
    }
}
