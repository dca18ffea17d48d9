//! The field book as a workbook: a sheet for each table that is filled in on the hill, with what is known in it, drop-downs and checks.

use chrono::{Datelike as _, NaiveDate};
use rust_xlsxwriter::{
    Color, DataValidation, DataValidationRule, DocProperties, ExcelDateTime, Format, Formula, Workbook,
    Worksheet, XlsxError, utility::column_number_to_name,
};

use crate::exports::ExportError;
use hillfolio_core::project::{Cell, Check, FieldSheet};

/// Rows below those that are known, for what is new.
const BLANK: u32 = 200;

/// The sheet of what can be chosen.
const LISTS: &str = "lists";

/// The workbook of `sheets`, dated `dated` so that the same folder gives the same bytes.
///
/// # Errors
/// [`ExportError::Workbook`] if the format can't hold them.
pub fn field_book_xlsx(sheets: &[FieldSheet], dated: NaiveDate) -> Result<Vec<u8>, ExportError> {
    let mut workbook = Workbook::new();
    let part = |number: u32| u8::try_from(number).unwrap_or(1);
    let year = u16::try_from(dated.year()).unwrap_or(1900).max(1900);
    let day = ExcelDateTime::from_ymd(year, part(dated.month()), part(dated.day()))?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&day));
    let mut lists: Vec<Vec<String>> = Vec::new();
    for sheet in sheets {
        write(workbook.add_worksheet(), sheet, &mut lists)?;
    }
    let page = workbook.add_worksheet();
    page.set_name(LISTS)?.set_hidden(true);
    for (at, list) in (0..).zip(&lists) {
        for (row, text) in (0..).zip(list) {
            page.write_string(row, at, text)?;
        }
    }
    Ok(workbook.save_to_buffer()?)
}

fn write(page: &mut Worksheet, sheet: &FieldSheet, lists: &mut Vec<Vec<String>>) -> Result<(), XlsxError> {
    let given = Format::new().set_font_color(Color::RGB(0x55_55_55));
    let head = Format::new().set_bold();
    let needed = Format::new().set_bold().set_background_color(Color::RGB(0xFF_F8_DC));
    let day = Format::new().set_num_format("yyyy-mm-dd");
    page.set_name(sheet.table)?;
    let keys = sheet.columns.iter().filter(|column| column.given).count();
    page.set_freeze_panes(1, u16::try_from(keys).unwrap_or(0))?;
    let last = u32::try_from(sheet.rows.len()).unwrap_or(u32::MAX - BLANK) + BLANK;
    for (at, column) in (0..).zip(&sheet.columns) {
        let format = if column.needed && !column.given { &needed } else { &head };
        page.write_string_with_format(0, at, column.name, format)?;
        page.set_column_width(at, if column.given { 24.0 } else { 12.0 })?;
        if column.check == Check::Day {
            page.set_column_format(at, &day)?;
        }
        if let Some(rule) = rule(&column.check, lists) {
            page.add_data_validation(1, at, last, at, &rule)?;
        }
    }
    for (row, cells) in (1..).zip(&sheet.rows) {
        for (at, cell) in (0..).zip(cells) {
            match cell {
                Cell::Empty => {}
                Cell::Text(text) => drop(page.write_string_with_format(row, at, text, &given)?),
                Cell::Number(number) => drop(page.write_number_with_format(row, at, *number, &given)?),
                Cell::Money(sum) => drop(page.write_number_with_format(row, at, sum.number(), &given)?),
                Cell::Day(date) => drop(page.write_string_with_format(row, at, date.to_string(), &given)?),
            }
        }
    }
    Ok(())
}

/// The check of a column, with its list among `lists`; what is new may be typed beside what is offered.
fn rule(check: &Check, lists: &mut Vec<Vec<String>>) -> Option<DataValidation> {
    let rule = DataValidation::new();
    let wrong = |rule: DataValidation, says: &str| rule.set_error_message(says).ok();
    match check {
        Check::Text => None,
        Check::Day => {
            let first = ExcelDateTime::from_ymd(1950, 1, 1).ok()?;
            wrong(rule.allow_date(DataValidationRule::GreaterThan(first)), "a day, such as 2026-05-01")
        }
        Check::Count => wrong(
            rule.allow_whole_number(DataValidationRule::GreaterThanOrEqualTo(0)),
            "a whole number, 0 or more",
        ),
        Check::Percent => wrong(
            rule.allow_decimal_number(DataValidationRule::Between(0.0, 100.0)),
            "a number from 0 to 100",
        ),
        Check::Number => wrong(
            rule.allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0)),
            "a number, 0 or more",
        ),
        Check::OneOf(list) if list.is_empty() => None,
        Check::OneOf(list) => {
            let at = lists.iter().position(|known| known == list).unwrap_or_else(|| {
                lists.push(list.clone());
                lists.len() - 1
            });
            let letter = column_number_to_name(u16::try_from(at).ok()?);
            let range = Formula::new(format!("={LISTS}!${letter}$1:${letter}${}", list.len()));
            Some(rule.allow_list_formula(range).show_error_message(false))
        }
    }
}
