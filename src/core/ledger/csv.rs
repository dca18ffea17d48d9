//! The ledger as a table.

use std::borrow::Cow;

use crate::ledger::{Entry, FigureId, Ledger, WriteError};

/// The columns of the table.
pub const HEADINGS: [&str; 10] =
    ["id", "label", "value", "unit", "low", "high", "confidence", "method", "sources", "notes"];

/// Every figure and gap, a row each, in order of id. A gap has no value, and its reason stands in the notes.
///
/// Numbers stay numbers, unrounded; text that a spreadsheet would take for a formula gets an apostrophe in front.
///
/// # Errors
/// The table could not be written.
pub fn csv(ledger: &Ledger) -> Result<Vec<u8>, WriteError> {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    writer.write_record(HEADINGS)?;
    for (id, entry) in ledger.iter() {
        writer.write_record(row(id, entry))?;
    }
    Ok(writer.into_inner().map_err(|why| ::csv::Error::from(why.into_error()))?)
}

fn row(id: &FigureId, entry: &Entry) -> [String; 10] {
    let number = |number: f64| number.to_string();
    match entry {
        Entry::Missing(missing) => {
            let mut row: [String; 10] = Default::default();
            row[0] = text(id.as_str());
            row[1] = text(&missing.label);
            row[9] = text(&format!("not given: {}", missing.reason));
            row
        }
        Entry::Figure(figure) => {
            let end = |of: fn(&crate::estimate::Interval<f64>) -> f64| {
                figure.interval.as_ref().map(of).map(number).unwrap_or_default()
            };
            let sources = figure.sources.printed().map(|(path, rows)| format!("{path}: {rows}"));
            [
                text(id.as_str()),
                text(&figure.label),
                number(figure.value),
                text(figure.unit.code()),
                end(|interval| interval.low),
                end(|interval| interval.high),
                end(|interval| interval.confidence),
                text(figure.method.id()),
                text(&sources.collect::<Vec<_>>().join("; ")),
                text(&figure.notes.join("; ")),
            ]
        }
    }
}

/// `cell` as text that no spreadsheet takes for a formula.
#[must_use]
pub fn as_text(cell: &str) -> Cow<'_, str> {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}").into() } else { cell.into() }
}

fn text(cell: &str) -> String {
    as_text(cell).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        estimate::{Estimate, Gap, Method},
        source::Sources,
        units::Unit,
    };

    #[test]
    fn text_stays_text_and_numbers_stay_numbers() {
        let mut ledger = Ledger::default();
        let figure = Estimate::counted(-150.5, Method::SUM, Sources::default()).note("@home, \"said\" he");
        ledger.enter(FigureId::fixed("a"), "=1+1", Unit::Currency("AUD".into()), Ok(figure));
        ledger.enter::<f64>(FigureId::fixed("b"), "+b", Unit::Number, Err(Gap::NoHeights));
        let table = csv(&ledger);
        let table = String::from_utf8(table.unwrap()).unwrap();
        let mut lines = table.lines();
        assert_eq!(lines.next().unwrap(), HEADINGS.join(","));
        assert_eq!(lines.next().unwrap(), "a,'=1+1,-150.5,AUD,,,,records/sum,,\"'@home, \"\"said\"\" he\"");
        assert_eq!(lines.next().unwrap(), "b,'+b,,,,,,,,not given: no height was measured");
        assert_eq!(lines.next(), None);
    }
}
