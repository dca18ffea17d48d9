//! The workbook: one sheet a table, typed cells, the header held in view. Text stays text, whatever it begins with.

use chrono::{Datelike, NaiveDate};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, Workbook, XlsxError, utility::cell_autofit_width,
};

use hillfolio_core::project::Cell;

use crate::exports::sheet::Sheet;

/// Widest column, in pixels; longer text wraps in the reader's own program.
const WIDEST: u32 = 420;

/// Longest text that a cell of the format holds, in characters.
const LONGEST: usize = 32_767;

/// Rows that a sheet holds below its header.
const MOST_ROWS: u32 = 1_048_575;

/// The first rows, by which the columns' widths are set; a longer sheet is written to a scratch file as it grows.
const FIRST: usize = 2_000;

/// The bytes of a workbook of `sheets`, dated `dated` so that the same content gives the same bytes.
pub(super) fn bytes(sheets: Vec<Sheet<'_>>, dated: NaiveDate) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&excel_day(dated)?));
    let formats = Formats {
        head: Format::new().set_bold(),
        day: Format::new().set_num_format("yyyy-mm-dd"),
        money: Format::new().set_num_format("#,##0.00"),
    };
    for sheet in sheets {
        write(&mut workbook, sheet, &formats)?;
    }
    workbook.save_to_buffer()
}

/// How cells look.
struct Formats {
    head: Format,
    day: Format,
    money: Format,
}

/// Writes one table: a sheet, or as many as its rows fill.
fn write(workbook: &mut Workbook, sheet: Sheet<'_>, formats: &Formats) -> Result<(), XlsxError> {
    let Sheet { name, columns, mut rows } = sheet;
    let first: Vec<Vec<Cell>> = rows.by_ref().take(FIRST).collect();
    let widths: Vec<u32> = columns
        .iter()
        .enumerate()
        .map(|(column, heading)| {
            let cells = first.iter().filter_map(|row| row.get(column)).map(width);
            cells.fold(cell_autofit_width(heading), u32::max).min(WIDEST)
        })
        .collect();
    let long = rows.peek().is_some();
    let mut rows = first.into_iter().chain(rows).peekable();
    for part in 1.. {
        let page =
            if long { workbook.add_worksheet_with_constant_memory()? } else { workbook.add_worksheet() };
        page.set_name(if part == 1 { name.to_owned() } else { format!("{name} {part}") })?;
        page.set_freeze_panes(1, 0)?;
        for (column, (heading, width)) in (0..).zip(columns.iter().zip(&widths)) {
            page.set_column_autofit_width(column, *width)?;
            page.write_string_with_format(0, column, *heading, &formats.head)?;
        }
        for (row, cells) in (1..=MOST_ROWS).zip(rows.by_ref()) {
            for (column, cell) in (0..).zip(&cells) {
                match cell {
                    Cell::Empty => continue,
                    Cell::Text(text) => page.write_string(row, column, held(text))?,
                    Cell::Number(number) => page.write_number(row, column, *number)?,
                    Cell::Money(sum) => {
                        page.write_number_with_format(row, column, sum.number(), &formats.money)?
                    }
                    Cell::Day(date) => {
                        page.write_datetime_with_format(row, column, &excel_day(*date)?, &formats.day)?
                    }
                };
            }
        }
        if rows.peek().is_none() {
            break;
        }
    }
    Ok(())
}

/// How wide a cell is, in pixels.
fn width(cell: &Cell) -> u32 {
    match cell {
        Cell::Empty => 0,
        Cell::Text(text) => cell_autofit_width(text),
        Cell::Number(number) => cell_autofit_width(&number.to_string()),
        Cell::Money(sum) => cell_autofit_width(&sum.to_string()),
        Cell::Day(_) => cell_autofit_width("2000-12-30"),
    }
}

/// The format has no day before 1900; such a day is written as that one.
fn excel_day(day: NaiveDate) -> Result<ExcelDateTime, XlsxError> {
    let part = |number: u32| u8::try_from(number).unwrap_or(1);
    ExcelDateTime::from_ymd(
        u16::try_from(day.year()).unwrap_or(1900).max(1900),
        part(day.month()),
        part(day.day()),
    )
}

fn held(text: &str) -> &str {
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => &text[..end],
        None => text,
    }
}
