//! The same table through every door: CSV, XLSX and ODS, with what only a spreadsheet can do to it.

use std::{fs, path::Path};

use hillfolio_core::intake::Intake;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};

use crate::{
    commands::copy,
    layers::{codes, read, zipped},
};

/// The base of the broken folders with `file` in the place of its planting table.
fn folder(file: &str, bytes: &[u8], settings: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"), dir.path());
    fs::remove_file(dir.path().join("plantings.csv")).unwrap();
    fs::write(dir.path().join(file), bytes).unwrap();
    let toml = fs::read_to_string(dir.path().join("project.toml")).unwrap();
    fs::write(dir.path().join("project.toml"), format!("{toml}\n{settings}")).unwrap();
    dir
}

/// Each planting as its row, day, area, stems and note; and every problem by its place and name.
fn planted(file: &str, bytes: &[u8], settings: &str) -> (Vec<String>, Vec<String>) {
    let dir = folder(file, bytes, settings);
    let Intake { project, problems, .. } = read(dir.path());
    let row = |planting: &hillfolio_core::project::Planting| {
        let note = planting.note.as_deref().unwrap_or("-");
        format!("{} {} {} {} {note}", planting.source.row, planting.date, planting.area, planting.stems.0)
    };
    (project.plantings.iter().map(row).collect(), codes(&problems))
}

fn refused(file: &str, bytes: &[u8], settings: &str) -> Vec<String> {
    let problems = hillfolio::check(folder(file, bytes, settings).path()).unwrap_err();
    codes(&problems).into_iter().filter(|said| !said.contains("tallied-not-planted")).collect()
}

const HEADER: [&str; 5] = ["date", "area", "species", "stems", "note"];

fn header(sheet: &mut Worksheet, row: u32) {
    for (column, name) in (0..).zip(HEADER) {
        sheet.write(row, column, name).unwrap();
    }
}

fn row(sheet: &mut Worksheet, row: u32, day: (u16, u8, u8), area: &str, stems: f64, note: &str) {
    let format = Format::new().set_num_format("d mmm yyyy");
    let (year, month, day) = day;
    sheet.write_with_format(row, 0, ExcelDateTime::from_ymd(year, month, day).unwrap(), &format).unwrap();
    sheet.write(row, 1, area).unwrap().write(row, 2, "Acacia melanoxylon").unwrap();
    sheet.write(row, 3, stems).unwrap().write(row, 4, note).unwrap();
}

/// The base's two plantings under a title.
fn plain(sheet: &mut Worksheet) {
    sheet.write(0, 0, "Planting book").unwrap();
    header(sheet, 2);
    row(sheet, 3, (2025, 8, 1), "North", 300.0, "=1+1");
    row(sheet, 4, (2025, 8, 2), "South", 200.0, "wet\nand windy");
}

const PLAIN: [&str; 2] = ["4 2025-08-01 North 300 =1+1", "5 2025-08-02 South 200 wet\nand windy"];

fn book(make: impl FnOnce(&mut Workbook)) -> Vec<u8> {
    let mut book = Workbook::new();
    make(&mut book);
    book.save_to_buffer().unwrap()
}

fn one(make: impl FnOnce(&mut Worksheet)) -> Vec<u8> {
    book(|book| make(book.add_worksheet()))
}

/// An ODS of one sheet of `rows`.
fn ods(rows: &str) -> Vec<u8> {
    ods_called("Log", rows)
}

/// The same under a name.
pub(crate) fn ods_called(name: &str, rows: &str) -> Vec<u8> {
    let content = format!(
        "<office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\"><office:body><office:spreadsheet><table:table table:name=\"{name}\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    zipped(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("content.xml", content.as_bytes()),
    ])
}

pub(crate) fn ods_row(attributes: &str, cells: &[&str]) -> String {
    let cell = |text: &&str| {
        let value = match (text.parse::<f64>(), text.contains('-') && text.len() == 10) {
            (Ok(number), _) => format!("office:value-type=\"float\" office:value=\"{number}\""),
            (_, true) => format!("office:value-type=\"date\" office:date-value=\"{text}\""),
            _ => "office:value-type=\"string\"".to_owned(),
        };
        let lines: String = text.split('\n').map(|line| format!("<text:p>{line}</text:p>")).collect();
        format!("<table:table-cell {value}>{lines}</table:table-cell>")
    };
    let cells: String = cells.iter().map(cell).collect();
    format!(
        "<table:table-row {attributes}>{cells}<table:table-cell table:number-columns-repeated=\"16000\"/></table:table-row>"
    )
}

#[test]
fn a_table_is_the_same_from_csv_xlsx_and_ods() {
    let csv = "Planting book,,,,\n,,,,\ndate,area,species,stems,note\n2025-08-01,North,Acacia melanoxylon,300,=1+1\n\
        2025-08-02,South,Acacia melanoxylon,200,\"wet\nand windy\"\n";
    let plain_rows = PLAIN.map(str::to_owned).to_vec();
    assert_eq!(planted("plantings.csv", csv.as_bytes(), ""), (plain_rows.clone(), vec![]));
    assert_eq!(planted("plantings.xlsx", &one(plain), ""), (plain_rows.clone(), vec![]));
    let rows = [
        ods_row("", &["Planting book"]),
        "<table:table-row><table:table-cell/></table:table-row>".to_owned(),
        ods_row("", &HEADER),
        ods_row("", &["2025-08-01", "North", "Acacia melanoxylon", "300", "=1+1"]),
        ods_row("", &["2025-08-02", "South", "Acacia melanoxylon", "200", "wet\nand windy"]),
        "<table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>"
            .to_owned(),
    ];
    assert_eq!(planted("plantings.ods", &ods(&rows.concat()), ""), (plain_rows, vec![]));
}

#[test]
fn the_sheet_is_the_named_one_or_the_one_that_fits() {
    let several = book(|book| {
        book.add_worksheet().set_name("Notes").unwrap().write(0, 0, "nothing").unwrap();
        plain(book.add_worksheet().set_name("Log 2025").unwrap());
        let old = book.add_worksheet().set_name("Log 2024").unwrap();
        header(old, 0);
        old.set_hidden(true);
    });
    assert_eq!(planted("plantings.xlsx", &several, "").0, PLAIN);
    let settings = |sheet: &str| format!("[tables.plantings]\nfile = \"Book.xlsx\"\nsheet = \"{sheet}\"\n");
    assert_eq!(planted("Book.xlsx", &several, &settings("log  2025")).0, PLAIN);
    assert_eq!(
        refused("Book.xlsx", &several, &settings("Log 205")),
        ["project.toml (tables.plantings.sheet) sheet-missing"]
    );
    let twice = book(|book| {
        plain(book.add_worksheet());
        plain(book.add_worksheet());
    });
    assert_eq!(refused("plantings.xlsx", &twice, ""), ["plantings.xlsx sheet-unclear"]);
    let by_name = book(|book| {
        plain(book.add_worksheet());
        plain(book.add_worksheet().set_name("Plantings").unwrap());
    });
    assert_eq!(planted("plantings.xlsx", &by_name, "").0, PLAIN);
}

#[test]
fn two_tables_of_one_workbook_are_one_input() {
    let both = book(|book| {
        plain(book.add_worksheet().set_name("Log").unwrap());
        let works = book.add_worksheet().set_name("Hours").unwrap();
        works.write(0, 0, "date").unwrap().write(0, 1, "task").unwrap().write(0, 2, "hours").unwrap();
        works.write(1, 0, "2025-08-01").unwrap().write(1, 1, "Planting").unwrap().write(1, 2, 6.5).unwrap();
    });
    let settings =
        "[tables.plantings]\nfile = \"Book.xlsx\"\n[tables.works]\nfile = \"Book.xlsx\"\nsheet = \"Hours\"\n";
    let dir = folder("Book.xlsx", &both, settings);
    fs::remove_file(dir.path().join("works.csv")).unwrap();
    let project = read(dir.path()).project;
    assert_eq!((project.plantings.len(), project.works.len()), (2, 1));
    let input = project.inputs.iter().find(|input| &*input.path == "Book.xlsx").unwrap();
    assert_eq!(input.rows, Some(3), "rows of both tables");
}

#[test]
fn days_are_read_as_days_from_either_base_formatted_or_not() {
    let serials = one(|sheet| {
        plain(sheet);
        sheet.write(3, 0, 45870.0).unwrap();
        sheet.write(4, 0, 45871.0).unwrap();
    });
    let (rows, said) = planted("plantings.xlsx", &serials, "");
    assert_eq!(
        (&rows[..], &said[..]),
        (&PLAIN.map(str::to_owned)[..], &["plantings.xlsx:4 (date) days-counted".to_owned()][..])
    );
    // The same days in a workbook that counts from 1904.
    let from_1904 = |style: &str| {
        let cell = |at: &str, text: &str| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
        let head: String =
            (b'A'..).zip(HEADER).map(|(at, name)| cell(&format!("{}1", char::from(at)), name)).collect();
        let row = |row: u32, day: u32, area: &str, stems: u32| {
            format!(
                "<row r=\"{row}\"><c r=\"A{row}\"{style}><v>{day}</v></c>{}{}<c r=\"D{row}\"><v>{stems}</v></c></row>",
                cell(&format!("B{row}"), area),
                cell(&format!("C{row}"), "Acacia melanoxylon")
            )
        };
        let sheet = format!(
            "<worksheet><sheetData><row r=\"1\">{head}</row>{}{}</sheetData></worksheet>",
            row(2, 45870 - 1462, "North", 300),
            row(3, 45871 - 1462, "South", 200)
        );
        zipped(&[
            ("[Content_Types].xml", b"<Types/>"),
            ("xl/workbook.xml", b"<workbook><workbookPr date1904=\"1\"/><sheets><sheet name=\"Log\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"),
            ("xl/_rels/workbook.xml.rels", b"<Relationships><Relationship Id=\"rId1\" Type=\"x/worksheet\" Target=\"/xl/worksheets/sheet1.xml\"/><Relationship Id=\"rId2\" Type=\"x/styles\" Target=\"styles.xml\"/></Relationships>"),
            ("xl/styles.xml", b"<styleSheet><cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/></cellXfs></styleSheet>"),
            ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
        ])
    };
    let expected = ["2 2025-08-01 North 300 -", "3 2025-08-02 South 200 -"];
    assert_eq!(
        planted("plantings.xlsx", &from_1904(" s=\"1\""), ""),
        (expected.map(str::to_owned).to_vec(), vec![])
    );
    assert_eq!(planted("plantings.xlsx", &from_1904(""), "").0, expected);
}

#[test]
fn hidden_rows_are_read_and_doubted_and_a_totals_row_is_left_out() {
    let hidden = one(|sheet| {
        plain(sheet);
        sheet.set_row_hidden(4).unwrap();
        sheet.write(5, 0, "Total").unwrap();
        sheet.write_formula(5, 3, Formula::new("=SUM(D4:D5)").set_result("500")).unwrap();
    });
    let (rows, said) = planted("plantings.xlsx", &hidden, "");
    assert_eq!(rows, PLAIN);
    assert_eq!(said, ["plantings.xlsx:5 hidden-rows", "plantings.xlsx:6 (date) totals-row"]);
}

#[test]
fn merged_headings_reach_down_and_merged_cells_count_once() {
    let merged = one(|sheet| {
        sheet.merge_range(0, 0, 0, 4, "Planting book 2025", &Format::new()).unwrap();
        // Two rows of headings: what stands over both belongs to the lower one.
        for (column, name) in [(0, "date"), (1, "area"), (4, "note")] {
            sheet.merge_range(1, column, 2, column, name, &Format::new()).unwrap();
        }
        sheet.merge_range(1, 2, 1, 3, "Plants", &Format::new()).unwrap();
        sheet.write(2, 2, "species").unwrap().write(2, 3, "stems").unwrap();
        row(sheet, 3, (2025, 8, 1), "North", 300.0, "=1+1");
        row(sheet, 4, (2025, 8, 2), "South", 200.0, "wet\nand windy");
    });
    assert_eq!(planted("plantings.xlsx", &merged, ""), (PLAIN.map(str::to_owned).to_vec(), vec![]));
    let joined = one(|sheet| {
        plain(sheet);
        sheet.merge_range(3, 4, 4, 4, "=1+1", &Format::new()).unwrap();
    });
    let (rows, said) = planted("plantings.xlsx", &joined, "");
    assert_eq!(rows[1], "5 2025-08-02 South 200 -");
    assert_eq!(said, ["plantings.xlsx:4 (note) merged-cells"]);
}

#[test]
fn formulas_give_their_value_or_are_refused() {
    let computed = |result: &'static str| {
        one(|sheet| {
            plain(sheet);
            sheet.write_formula(3, 3, Formula::new("=100*3").set_result(result)).unwrap();
        })
    };
    assert_eq!(planted("plantings.xlsx", &computed("300"), "").0, PLAIN);
    assert_eq!(
        refused("plantings.xlsx", &computed("#REF!"), ""),
        ["plantings.xlsx:4 (stems) number-unreadable"]
    );
    let rows = ods_row("", &HEADER)
        + &ods_row("", &["2025-08-01", "North", "Acacia melanoxylon", "300", "a"]).replace(
            "office:value-type=\"float\" office:value=\"300\"><text:p>300</text:p>",
            "table:formula=\"of:=100*3\">",
        );
    assert_eq!(refused("plantings.ods", &ods(&rows), ""), ["plantings.ods:2 (stems) not-computed"]);
}

/// A number that was typed as a text with a comma is asked about; the numbers of the workbook itself stay what they are.
#[test]
fn texts_with_decimal_commas_are_asked_about_and_numbers_stay() {
    let bytes = one(|sheet| {
        plain(sheet);
    });
    let stems = one(|sheet| {
        sheet.write_row(0, 0, ["date", "plot", "species", "height_m"]).unwrap();
        for (at, day) in [(1, "2026-05-01"), (2, "2026-05-02"), (3, "2026-05-03")] {
            sheet.write_row(at, 0, [day, "N1", "Acacia melanoxylon"]).unwrap();
        }
        sheet.write(1, 3, "1,5").unwrap().write(2, 3, 1.25).unwrap().write(3, 3, 2.125).unwrap();
    });
    let with = |settings: &str| {
        let dir = folder("plantings.xlsx", &bytes, settings);
        fs::remove_file(dir.path().join("stems.csv")).unwrap();
        fs::write(dir.path().join("stems.xlsx"), &stems).unwrap();
        dir
    };
    let said = hillfolio::check(with("").path()).unwrap_err();
    let asked = said.iter().find(|problem| problem.kind.code() == "decimal-commas").unwrap();
    let lines = asked.message().answers[0].lines.clone();
    assert_eq!(lines, "[tables.stems]\ndecimals = \"comma\"");
    let intake = read(with(&lines).path());
    let heights: Vec<f64> = intake.project.stems.iter().filter_map(|stem| Some(stem.height?.0)).collect();
    assert_eq!(heights, [1.5, 1.25, 2.125]);
}

#[test]
fn bombs_are_refused_with_a_word() {
    // A cell in the far corner costs nothing: nothing is laid out from corner to corner.
    let far = one(|sheet| {
        plain(sheet);
        sheet.write(199_999, 999, "x").unwrap();
    });
    assert_eq!(refused("plantings.xlsx", &far, "")[0], "plantings.xlsx:200000 row-too-long");
    let sheet = format!(
        "<worksheet><sheetData>{}</sheetData></worksheet>",
        (1..=700)
            .map(|row| format!("<row r=\"{row}\"><c r=\"XFD{row}\"><v>1</v></c></row>"))
            .collect::<String>()
    );
    let wide = |sheet: &[u8]| {
        zipped(&[
            ("xl/workbook.xml", b"<workbook><sheets><sheet name=\"Log\" r:id=\"r1\"/></sheets></workbook>"),
            ("xl/_rels/workbook.xml.rels", b"<Relationships><Relationship Id=\"r1\" Type=\"x/worksheet\" Target=\"s.xml\"/></Relationships>"),
            ("xl/s.xml", sheet),
        ])
    };
    assert_eq!(refused("plantings.xlsx", &wide(sheet.as_bytes()), ""), ["plantings.xlsx sheet-too-big"]);
    assert_eq!(
        refused("plantings.xlsx", &wide(&vec![b' '; 300 << 20]), ""),
        ["plantings.xlsx unpacks-too-big"]
    );
    let entities = b"<!DOCTYPE w [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]><worksheet>&b;</worksheet>";
    assert_eq!(refused("plantings.xlsx", &wide(entities), ""), ["plantings.xlsx malformed"]);
    let rows = ods_row("table:number-rows-repeated=\"1048576\"", &HEADER);
    assert_eq!(refused("plantings.ods", &ods(&rows.repeat(3)), ""), ["plantings.ods too-many-rows"]);
    assert_eq!(
        refused("plantings.xlsx", &zipped(&[("../xl/workbook.xml", b"<w/>")]), ""),
        ["plantings.xlsx path-leaves-folder"]
    );
}
