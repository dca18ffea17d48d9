//! The field book: made of a folder, filled in as a spreadsheet does, and read back to the same figures.

use std::{collections::BTreeMap, fs, io::Read as _, path::Path};

use hillfolio_core::ledger;

use crate::{
    broken::laid_out,
    commands::hillfolio,
    layers::zipped,
    workbooks::{ods_called, ods_row},
};

fn base() -> tempfile::TempDir {
    laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"))
}

/// Every figure of the folder by its id.
fn figures(dir: &Path) -> BTreeMap<String, f64> {
    let project = hillfolio::check(dir).unwrap_or_else(|problems| panic!("{problems:#?}")).project;
    let ledger = ledger::fill(&project);
    let figure = |(id, entry): (&hillfolio_core::ledger::FigureId, &ledger::Entry)| match entry {
        ledger::Entry::Figure(figure) => Some((id.as_str().to_owned(), figure.value)),
        ledger::Entry::Missing(_) => None,
    };
    ledger.iter().filter_map(figure).collect()
}

/// The parts of a zip, by their names.
fn parts(zip: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(zip)).unwrap();
    (0..archive.len())
        .map(|at| {
            let mut file = archive.by_index(at).unwrap();
            let mut bytes = Vec::new();
            file.read_to_end(&mut bytes).unwrap();
            (file.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

/// The workbook with cells filled in behind those that it gives: by sheet and row, from column D.
fn filled(book: &[u8], cells: &[(usize, u32, &[&str])]) -> Vec<u8> {
    let mut parts = parts(book);
    for &(sheet, row, values) in cells {
        let name = format!("xl/worksheets/sheet{sheet}.xml");
        let (_, bytes) = parts.iter_mut().find(|(part, _)| *part == name).unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        let (before, after) = text.split_once(&format!("<row r=\"{row}\"")).unwrap();
        let (own, after) = after.split_once("</row>").unwrap();
        // What stands there already is kept, but for empty cells of a format.
        let own = own.split("<c r=\"D").next().unwrap();
        let new: String = ('D'..)
            .zip(values)
            .filter(|(_, value)| !value.is_empty())
            .map(|(column, value)| match value.parse::<f64>() {
                Ok(_) => format!("<c r=\"{column}{row}\"><v>{value}</v></c>"),
                Err(_) => format!("<c r=\"{column}{row}\" t=\"inlineStr\"><is><t>{value}</t></is></c>"),
            })
            .collect();
        *bytes = format!("{before}<row r=\"{row}\"{own}{new}</row>{after}").into_bytes();
    }
    let parts: Vec<(&str, &[u8])> =
        parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    zipped(&parts)
}

/// Makes the field book of the folder and gives its workbook.
fn made(dir: &Path, home: &Path) -> Vec<u8> {
    let out = home.join("sheets");
    hillfolio().arg("sheets").arg(dir).arg("--out").arg(&out).assert().success();
    assert!(fs::read(out.join("field-book.pdf")).unwrap().starts_with(b"%PDF"));
    // It never gives way to another.
    hillfolio().arg("sheets").arg(dir).arg("--out").arg(&out).assert().code(3);
    fs::read(out.join("field-book.xlsx")).unwrap()
}

#[test]
fn a_filled_field_book_gives_the_figures_of_the_tables_that_it_came_from() {
    let (dir, home) = (base(), tempfile::tempdir().unwrap());
    let expected = figures(dir.path());
    let book = made(dir.path(), home.path());

    // As it was made nothing in it counts, and nothing is said of it.
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    assert_eq!(figures(dir.path()), expected);
    hillfolio().arg("check").arg(dir.path()).assert().stdout("0 errors, 0 doubts, 0 remarks\n");

    // Filled in with what the tables say, it stands for them. A day is written once.
    fs::remove_file(dir.path().join("tallies.csv")).unwrap();
    fs::remove_file(dir.path().join("plantings.csv")).unwrap();
    let day = |text: &str| text.to_owned();
    let (counted, first, second) = (day("2026-05-01"), day("2025-08-01"), day("2025-08-02"));
    let book = filled(
        &book,
        &[
            (1, 2, &[&counted, "8", "2", "0", "0"]),
            (1, 3, &["", "9", "1", "0", "0"]),
            (4, 2, &[&first, "300", "tubestock"]),
            (4, 3, &[&second, "200", "tubestock"]),
        ],
    );
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    assert_eq!(figures(dir.path()), expected);

    // The same as ODS.
    fs::remove_file(dir.path().join("field-book.xlsx")).unwrap();
    fs::copy(base().path().join("plantings.csv"), dir.path().join("plantings.csv")).unwrap();
    let rows = [
        ods_row("", &["plot", "species", "last time", "date", "alive", "dead", "missing", "recruits"]),
        ods_row("", &["N1", "Acacia melanoxylon", "8 alive", "2026-05-01", "8", "2", "0", "0"]),
        ods_row("", &["S1", "Acacia melanoxylon", "9 alive", "", "9", "1", "0", "0"]),
    ];
    fs::write(dir.path().join("Field book May.ods"), ods_called("tallies", &rows.concat())).unwrap();
    assert_eq!(figures(dir.path()), expected);
}

#[test]
fn a_field_book_adds_to_the_tables_that_are_there() {
    let (dir, home) = (base(), tempfile::tempdir().unwrap());
    let book = made(dir.path(), home.path());
    let counted = "2026-06-15";
    let book =
        filled(&book, &[(1, 2, &[counted, "7", "3", "0", "0"]), (1, 3, &[counted, "9", "1", "0", "0"])]);
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    let project = hillfolio::check(dir.path()).unwrap().project;
    let rows: Vec<(String, u64)> = project
        .tallies
        .iter()
        .map(|tally| (format!("{}:{}", tally.source.file, tally.source.row), tally.alive.0))
        .collect();
    let row = |at: &str, alive| (at.to_owned(), alive);
    assert_eq!(
        rows,
        [
            row("tallies.csv:2", 8),
            row("tallies.csv:3", 9),
            row("field-book.xlsx[tallies]:2", 7),
            row("field-book.xlsx[tallies]:3", 9)
        ]
    );
    // What is wrong in it is said with its sheet and row.
    let book = filled(&book, &[(1, 2, &[counted, "many"])]);
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    let problems = hillfolio::check(dir.path()).unwrap_err();
    assert!(
        problems.iter().any(|problem| problem.place.to_string() == "field-book.xlsx[tallies]:2 (alive)"),
        "{problems:#?}"
    );
}

/// Tallies and plantings under headings of one's own, a plant a row, with words of one's own: the field book keeps its own headings, in
/// which an empty cell is not recorded, whatever it means in the book.
#[test]
fn a_field_book_beside_a_mapped_table_keeps_its_own_headings() {
    let (dir, home) = (base(), tempfile::tempdir().unwrap());
    let book = made(dir.path(), home.path());
    let tallies = "Year,Month,Day,Quadrat,Sp.,State\n2026,5,1,N1,Acacia melanoxylon,y\n2026,5,1,N1,Acacia melanoxylon,n\n\
        2026,5,1,S1,Acacia melanoxylon,y\n";
    fs::write(dir.path().join("tallies.csv"), tallies).unwrap();
    let plantings =
        "Paddock,Tree,2025-08-01,2025-08-02\nNorth,Acacia melanoxylon,300,\nSouth,Acacia melanoxylon,,200\n";
    fs::write(dir.path().join("plantings.csv"), plantings).unwrap();
    let mapping = "\n[tables.tallies]\nrows = \"plants\"\ncolumns = { Quadrat = \"plot\", \"Sp.\" = \"species\", State = \"status\" }\n\
        set = { date = \"{Year}-{Month}-{Day}\" }\nvalues = { status = { y = \"alive\", n = \"dead\" } }\ndates = \"month-first\"\n\
        [tables.plantings]\ncolumns = { Paddock = \"area\", Tree = \"species\" }\nwide = { \"2025-*\" = \"stems\" }\n\
        set = { date = \"2025-{*}\" }\nblank = { stems = \"not recorded\" }\n";
    let settings = fs::read_to_string(dir.path().join("project.toml")).unwrap();
    fs::write(dir.path().join("project.toml"), settings + mapping).unwrap();
    let before = hillfolio::check(dir.path()).unwrap_or_else(|problems| panic!("{problems:#?}")).project;
    assert_eq!((before.tallies.len(), before.plantings.len()), (3, 2));
    let book = filled(
        &book,
        &[
            (1, 2, &["2026-06-15", "7", "3"]),
            (1, 3, &["", "9", "1", "0"]),
            (4, 2, &["2025-09-01", "40", "tubestock"]),
        ],
    );
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    // A cell that is empty beside others is asked about, as in any book; what the table's own mean says nothing of it.
    let problems = hillfolio::check(dir.path()).unwrap_err();
    let asked = problems.iter().find(|problem| problem.kind.code() == "blank-or-none").unwrap().message();
    assert_eq!(asked.answers[1].lines, "[field_book]\nblank = { missing = \"not recorded\" }");
    let settings = fs::read_to_string(dir.path().join("project.toml")).unwrap();
    fs::write(dir.path().join("project.toml"), format!("{settings}\n{}\n", asked.answers[1].lines)).unwrap();
    let project = hillfolio::check(dir.path()).unwrap_or_else(|problems| panic!("{problems:#?}")).project;
    let own: Vec<(String, u64, Option<u64>, Option<u64>)> = project
        .tallies
        .iter()
        .skip(3)
        .map(|tally| {
            let stems = |stems: Option<hillfolio_core::units::Stems>| stems.map(|stems| stems.0);
            (tally.date.to_string(), tally.alive.0, stems(tally.dead), stems(tally.missing))
        })
        .collect();
    assert_eq!(
        own,
        [("2026-06-15".to_owned(), 7, Some(3), None), ("2026-06-15".to_owned(), 9, Some(1), Some(0))]
    );
    assert_eq!(project.plantings.last().unwrap().stems.0, 40);
    assert_eq!(project.plantings.len(), 3);
}

/// Somebody types the book into the table and leaves it in the folder: nothing counts twice without a word.
#[test]
fn a_row_of_the_field_book_that_stands_in_the_table_too_is_doubted() {
    let (dir, home) = (base(), tempfile::tempdir().unwrap());
    let book = made(dir.path(), home.path());
    let book = filled(&book, &[(1, 2, &["2026-05-01", "8", "2", "0", "0"])]);
    fs::write(dir.path().join("field-book.xlsx"), &book).unwrap();
    let problems = hillfolio::check(dir.path()).unwrap().problems;
    let told: Vec<String> =
        problems.iter().map(|problem| format!("{} {}", problem.place, problem.kind)).collect();
    assert!(
        told.iter()
            .any(|line| line
                .starts_with("field-book.xlsx[tallies]:2 the row is the same as row 2 of tallies.csv")),
        "{told:?}"
    );
}
