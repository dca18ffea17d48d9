//! What is wrong with a folder as a list to hand to whoever keeps the book: a line a correction, with room for the answer.

use std::borrow::Cow;

use crate::exports::ExportError;
use hillfolio_core::{ledger::as_text, problem::Correction};

/// The columns; the last is for whoever answers.
const HEADINGS: [&str; 9] =
    ["no", "file", "rows", "column", "read", "what is wrong", "likely meant", "what to do", "answer"];

/// What spreadsheets know UTF-8 by.
const MARK: &str = "\u{feff}";

/// The corrections as CSV. No cell of it is taken for a formula.
///
/// # Errors
/// [`ExportError::Csv`] if memory refuses to grow.
pub fn corrections_csv(corrections: &[Correction]) -> Result<Vec<u8>, ExportError> {
    let mut list = MARK.as_bytes().to_vec();
    let mut writer = csv::Writer::from_writer(&mut list);
    writer.write_record(HEADINGS)?;
    for (number, one) in (1..).zip(corrections) {
        let number: u32 = number;
        let cells = [&one.file, &one.rows, &one.column, &one.read, &one.wrong, &one.likely, &one.to_do];
        let cells = cells.map(|cell| as_text(cell));
        let number = [Cow::from(number.to_string())];
        let line = number.iter().chain(&cells).map(|cell| cell.as_bytes()).chain([&b""[..]]);
        writer.write_record(line)?;
    }
    writer.flush()?;
    drop(writer);
    Ok(list)
}

/// Whether a file that stands where a list is to be written may give way to it: it is an older list, and nobody has answered.
#[must_use]
pub fn is_unanswered(bytes: &[u8]) -> bool {
    let Some(text) = bytes.strip_prefix(MARK.as_bytes()) else { return false };
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text);
    let mut records = reader.records();
    let heads = records.next().is_some_and(|head| head.is_ok_and(|head| head.iter().eq(HEADINGS)));
    let unanswered = |line: csv::Result<csv::StringRecord>| {
        line.is_ok_and(|line| line.len() == HEADINGS.len() && line[HEADINGS.len() - 1].trim().is_empty())
    };
    heads && records.all(unanswered)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hillfolio_core::problem::{Evidence, Excerpt, Place, Problem, Records, corrections};

    fn unknown(row: u32, found: &str) -> Problem {
        let excerpt =
            Excerpt { header: vec![], cells: vec!["N1".to_owned(), found.to_owned()], at: 1, made: false };
        let place = Place { row: Some(row), excerpt: Some(Box::new(excerpt)), ..Place::file("tallies.csv") };
        let kind =
            Records::SpeciesUnknown { found: found.to_owned(), nearest: Some("Acacia dealbata".to_owned()) };
        Problem::new(kind, place.column("species"))
    }

    fn picture(path: &str) -> Problem {
        Problem::new(Evidence::PictureFormat { ending: "heic".to_owned() }, Place::file(path))
    }

    #[test]
    fn one_line_a_correction_with_an_empty_answer_and_no_formula() {
        let problems = [
            unknown(2, "Acacia delbata"),
            unknown(3, "Acacia delbata"),
            unknown(4, "=HYPERLINK(\"http://x\")"),
            unknown(5, "+1\n2"),
            picture("photos/P1/a.heic"),
            picture("photos/P1/b.heic"),
        ];
        let found = corrections(&problems);
        assert_eq!(found.iter().map(|one| one.rows.as_str()).collect::<Vec<_>>(), ["2-3", "4", "5", "", ""]);
        let list = corrections_csv(&found).unwrap();
        let text = String::from_utf8(list.clone()).unwrap();
        assert!(text.contains("1,tallies.csv,2-3,species,Acacia delbata,"), "{text}");
        assert!(
            text.contains("'=HYPERLINK")
                && text.contains("'+1 2")
                && !text.contains(",=")
                && !text.contains(",\"=")
        );
        assert!(text.lines().skip(1).all(|line| line.ends_with(',')), "{text}");
        assert!(is_unanswered(&list));
        assert!(!is_unanswered(text.replacen(",\n2,", ",yes\n2,", 1).as_bytes()));
        assert!(!is_unanswered(b"date,area\n") && !is_unanswered(b""));
    }

    proptest::proptest! {
        #[test]
        fn whatever_was_read_the_list_is_read_back(found in "\\PC{0,40}|[=+@\t\r\n\",;-]{0,6}") {
            let list = corrections_csv(&corrections(&[unknown(2, &found)])).unwrap();
            proptest::prop_assert!(is_unanswered(&list));
            let text = std::str::from_utf8(&list).unwrap().trim_start_matches('\u{feff}').to_owned();
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let line = reader.records().next().unwrap().unwrap();
            proptest::prop_assert!(!line[4].starts_with(['=', '+', '-', '@', '\t', '\r']));
        }
    }
}
