//! The workbook: one sheet a table, typed cells, the header held in view. Text stays text, whatever it begins with.

use chrono::{Datelike, NaiveDate};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use crate::exports::sheet::{Cell, Sheet};

/// Widest column, in pixels; longer text wraps in the reader's own program.
const WIDEST: u32 = 420;

/// Longest text that a cell of the format holds, in characters.
const LONGEST: usize = 32_767;

/// The bytes of a workbook of `sheets`, dated `dated` so that the same content gives the same bytes.
pub(super) fn bytes(sheets: &[Sheet], dated: NaiveDate) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&excel_day(dated)?));
    let head = Format::new().set_bold();
    let day = Format::new().set_num_format("yyyy-mm-dd");
    for sheet in sheets {
        let page = workbook.add_worksheet();
        page.set_name(sheet.name)?;
        for (column, name) in (0..).zip(&sheet.columns) {
            page.write_string_with_format(0, column, *name, &head)?;
        }
        for (row, cells) in (1..).zip(&sheet.rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Cell::Empty => continue,
                    Cell::Text(text) => page.write_string(row, column, held(text))?,
                    Cell::Number(number) => page.write_number(row, column, *number)?,
                    Cell::Day(date) => {
                        page.write_datetime_with_format(row, column, &excel_day(*date)?, &day)?
                    }
                };
            }
        }
        page.set_freeze_panes(1, 0)?;
        page.set_autofit_max_width(WIDEST).autofit();
    }
    workbook.save_to_buffer()
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
