//! The same mistakes where the tables come in another way: under headings and words of one's own, and as workbooks of several sheets.

use std::{fs, path::Path};

use rust_xlsxwriter::Workbook;

use super::{Case, Edit, cases::CASES, laid_out, problems};

/// A way in, by its name: what is done to a folder so that it is read in that way.
type Way = (&'static str, fn(&Path));

/// Tables that are laid out otherwise; the rest of the folder stays.
const TABLES: [&str; 9] =
    ["plantings", "plots", "tallies", "stems", "cover", "works", "spending", "sightings", "rain"];

/// Whether the mistake is one of cells alone: a heading or a setting that it is about would be lost in another layout.
fn is_of_cells(case: &Case) -> bool {
    case.edits.iter().all(|edit| match edit {
        Edit::Put(file, ..) | Edit::Add(file, _) | Edit::Write(file, _) => {
            *file != "project.toml" && !file.ends_with(".toml")
        }
        Edit::Each(..) | Edit::Grid(_) => true,
        Edit::Head(..) => false,
    })
}

/// The rows of a table, if the folder has it.
fn rows(folder: &Path, table: &str) -> Option<Vec<Vec<String>>> {
    let text = fs::read_to_string(folder.join(format!("{table}.csv"))).ok()?;
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    Some(reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect())
}

fn set(folder: &Path, lines: &str) {
    let path = folder.join("project.toml");
    let settings = fs::read_to_string(&path).unwrap();
    fs::write(path, format!("{settings}\n{lines}")).unwrap();
}

/// Every heading in words of one's own, mapped.
fn mapped(folder: &Path) {
    for table in TABLES {
        let Some(mut rows) = rows(folder, table) else { continue };
        let own: Vec<(String, String)> = rows[0]
            .iter()
            .map(|column| (format!("Our {}", column.replace('_', " ")), column.clone()))
            .collect();
        rows[0] = own.iter().map(|(theirs, _)| theirs.clone()).collect();
        let mut writer = csv::WriterBuilder::new().flexible(true).delimiter(b';').from_writer(Vec::new());
        rows.iter().for_each(|row| writer.write_record(row).unwrap());
        fs::remove_file(folder.join(format!("{table}.csv"))).unwrap();
        fs::write(folder.join(format!("our {table}.csv")), writer.into_inner().unwrap()).unwrap();
        let pairs: Vec<String> =
            own.iter().map(|(theirs, ours)| format!("\"{theirs}\" = \"{ours}\"")).collect();
        set(
            folder,
            &format!("[tables.{table}]\nfile = \"our {table}.csv\"\ncolumns = {{ {} }}\n", pairs.join(", ")),
        );
    }
}

/// Each table a workbook of two sheets, the rows shared out between them.
fn in_sheets(folder: &Path) {
    for table in TABLES {
        let Some(rows) = rows(folder, table).filter(|rows| rows.len() > 2) else { continue };
        let half = rows.len() / 2;
        let mut book = Workbook::new();
        for (name, part) in [("one", &rows[1..=half]), ("two", &rows[half + 1..])] {
            let sheet = book.add_worksheet();
            sheet.set_name(name).unwrap();
            for (at, row) in (0..).zip([&rows[0]].into_iter().chain(part)) {
                for (column, cell) in (0..).zip(row) {
                    let number = cell.parse::<f64>().ok().filter(|number| at > 0 && number.is_finite());
                    match number {
                        Some(number) => sheet.write_number(at, column, number).unwrap(),
                        None => sheet.write_string(at, column, cell).unwrap(),
                    };
                }
            }
        }
        fs::remove_file(folder.join(format!("{table}.csv"))).unwrap();
        book.save(folder.join(format!("{table}.xlsx"))).unwrap();
        set(folder, &format!("[tables.{table}]\nsheets = \"*\"\n"));
    }
}

#[test]
fn no_way_in_lets_a_mistake_through() {
    let ways: [Way; 2] = [("mapped", mapped), ("in sheets", in_sheets)];
    let (mut silent, mut tried) = (Vec::new(), 0);
    for (way, lay_out) in ways {
        let clean = laid_out(&[]);
        lay_out(clean.path());
        let said: Vec<String> =
            problems(clean.path()).iter().map(|problem| problem.kind.to_string()).collect();
        assert!(said.is_empty(), "{way}: {said:?}");
        for case in CASES.iter().filter(|case| is_of_cells(case)) {
            let folder = laid_out(case.edits);
            lay_out(folder.path());
            let found = problems(folder.path());
            tried += 1;
            if found.iter().all(|problem| problem.kind.code() != case.code) {
                let codes: Vec<String> =
                    found.iter().map(|problem| problem.kind.code().into_owned()).collect();
                silent.push(format!("{way}: {}: no {}, but {codes:?}", case.name, case.code));
            }
        }
    }
    assert!(silent.is_empty(), "{} of {tried}:\n{}", silent.len(), silent.join("\n"));
    assert!(tried > 80, "{tried}");
}
