//! The list of corrections as a workbook: what is asked, the readings, and a cell for each answer with what can be chosen.

use rust_xlsxwriter::{
    Color, DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, FormatAlign,
    Formula, Workbook, Worksheet, XlsxError,
};

use crate::exports::ExportError;
use hillfolio_core::problem::{ANSWER, Correction, EMPTY, MADE_FOR, MARK, Other, QUESTIONS};

/// The columns and how wide they are, in characters.
const COLUMNS: [(&str, f64); 12] = [
    ("no", 5.0),
    ("grade", 8.0),
    ("file", 24.0),
    ("rows", 12.0),
    ("column", 16.0),
    ("read", 20.0),
    ("what is wrong", 60.0),
    ("what to do", 60.0),
    ("can be answered", 40.0),
    (ANSWER, 40.0),
    (MARK, 18.0),
    (MADE_FOR, 24.0),
];

/// Where the answer stands.
const AT: u16 = 9;

/// The sheet of what can be chosen.
const CHOICES: &str = "choices";

/// The workbook of what is asked of the folder that is `called` so; where a name is asked for that must be known, `names` are offered. Its days are those of the format's beginning: the same corrections give the same bytes.
///
/// # Errors
/// [`ExportError::Workbook`] if the format can't hold them.
pub fn corrections_xlsx<'a>(
    corrections: &'a [Correction],
    called: &str,
    names: &dyn Fn(&str) -> &'a [String],
) -> Result<Vec<u8>, ExportError> {
    let mut workbook = Workbook::new();
    workbook
        .set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(1900, 1, 1)?));
    let head = Format::new().set_bold().set_text_wrap();
    let wrapped = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    let open = wrapped.clone().set_background_color(Color::RGB(0xFF_F8_DC));
    let sheet = workbook.add_worksheet();
    sheet.set_name(QUESTIONS)?;
    sheet.set_freeze_panes(1, 0)?;
    for (at, (heading, width)) in (0..).zip(COLUMNS) {
        sheet.set_column_width(at, width)?;
        sheet.write_string_with_format(0, at, heading, &head)?;
    }
    for (row, one) in (1..).zip(corrections) {
        let choices = can_be(one);
        let texts = [
            row.to_string(),
            one.grade.word().to_owned(),
            one.file.clone(),
            one.rows.clone(),
            one.column.clone(),
            one.read.clone(),
            one.wrong.clone(),
            one.to_do.clone(),
            choices,
        ];
        for (at, text) in (0..).zip(&texts) {
            // Text, never a formula, whatever it begins with.
            sheet.write_string_with_format(row, at, held(text), &wrapped)?;
        }
        if one.can_be_answered() {
            sheet.write_blank(row, AT, &open)?;
            sheet.add_data_validation(row, AT, row, AT, &to_choose(row, one, offered(one, names).count()))?;
        }
        sheet.write_string_with_format(row, AT + 1, &one.mark, &wrapped)?;
        sheet.write_string_with_format(row, AT + 2, held(called), &wrapped)?;
    }
    choices(workbook.add_worksheet(), corrections, names)?;
    Ok(workbook.save_to_buffer()?)
}

/// What can be chosen, a row a correction.
fn choices<'a>(
    sheet: &mut Worksheet,
    corrections: &'a [Correction],
    names: &dyn Fn(&str) -> &'a [String],
) -> Result<(), XlsxError> {
    sheet.set_name(CHOICES)?;
    sheet.set_hidden(true);
    for (row, one) in (1..).zip(corrections) {
        for (at, label) in (0..).zip(offered(one, names)) {
            sheet.write_string(row, at, held(label))?;
        }
    }
    Ok(())
}

/// Most names that are offered for an answer: a sheet has so many columns.
const MOST: usize = 10_000;

/// What can be chosen: the answers, then the names that are known, where one of them is asked for.
fn offered<'a>(
    one: &'a Correction,
    names: &dyn Fn(&str) -> &'a [String],
) -> impl Iterator<Item = &'a String> + use<'a> {
    let choices = one.asked.choices.iter().map(|choice| &choice.label);
    let free = one.asked.other != Other::Nothing;
    let names = one.asked.names.filter(|_| free).map(names).unwrap_or_default();
    let is_new = move |name: &&String| one.asked.choices.iter().all(|choice| choice.label != **name);
    choices.chain(names.iter().take(MOST).filter(is_new))
}

/// The drop-down of an answer, of `many` to choose from; where anything else may be typed too, it only says what is offered.
fn to_choose(row: u32, one: &Correction, many: usize) -> DataValidation {
    let free = one.asked.other != Other::Nothing;
    let rule = DataValidation::new();
    let rule = match many {
        0 => rule.allow_any_value(),
        _ => {
            let last =
                rust_xlsxwriter::utility::column_number_to_name(u16::try_from(many - 1).unwrap_or(u16::MAX));
            rule.allow_list_formula(Formula::new(format!("={CHOICES}!$A${0}:${last}${0}", row + 1)))
        }
    };
    match free {
        true => rule.set_error_style(DataValidationErrorStyle::Information).show_error_message(false),
        false => rule,
    }
}

/// How it can be answered, in words.
fn can_be(one: &Correction) -> String {
    let mut ways: Vec<String> = one.asked.choices.iter().map(|choice| choice.label.clone()).collect();
    match &one.asked.other {
        Other::Nothing if ways.is_empty() => return "in the file itself".to_owned(),
        Other::Nothing => {}
        Other::Name { what } => {
            ways.push(format!("the name of the {what}, as our files have it: choose it from the list"))
        }
        Other::Cells(_) => ways.push(format!("what should stand there, {EMPTY} for nothing")),
    }
    ways.join("\nor ")
}

/// As much of a text as a cell of the format holds.
fn held(text: &str) -> &str {
    match text.char_indices().nth(32_767) {
        Some((end, _)) => &text[..end],
        None => text,
    }
}
