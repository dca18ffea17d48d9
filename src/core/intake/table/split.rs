//! Text to rows of cells: CSV with whatever stands between the cells.

use ecow::EcoString;

/// One row of a table as it stands in its file. Another format could supply the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Record {
    /// The row as a spreadsheet counts: blank rows count, a cell of several lines does not.
    pub(crate) row: u32,
    /// Which of the table's files or sheets it stands in.
    pub(crate) part: u16,
    /// The cells as typed; short ones stand in place, so that a million rows stay small.
    pub(crate) cells: Vec<EcoString>,
}

impl Record {
    /// The cell at `at` without the space around it; empty where the row is too short.
    pub(crate) fn cell(&self, at: usize) -> &str {
        self.cells.get(at).map_or("", |cell| cell.trim())
    }

    /// Makes room for as many cells.
    pub(crate) fn widen(&mut self, cells: usize) {
        if self.cells.len() < cells {
            self.cells.resize(cells, EcoString::new());
        }
    }

    /// The cells as typed, to be shown.
    pub(crate) fn texts(&self) -> Vec<String> {
        self.cells.iter().map(ToString::to_string).collect()
    }

    /// Whether nothing is typed in any cell.
    pub(crate) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// What may stand between two cells, the likeliest first.
pub(crate) const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// A quotation that begins in this row and never ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Unclosed {
    /// The row.
    pub(crate) row: u32,
    /// The rows before it.
    pub(crate) before: Vec<Record>,
}

/// The rows of `text`, which holds no NUL; blank rows are counted and left out.
pub(crate) fn records(text: &str, delimiter: u8) -> Result<Vec<Record>, Unclosed> {
    // A last row of our own comes back as it is, unless an open quotation has swallowed it.
    const LAST: &str = "\0";
    let whole = format!("{text}\n{LAST}");
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(whole.as_bytes());
    let mut records = Vec::new();
    let (mut row, mut record) = (0, csv::StringRecord::new());
    // Text is valid UTF-8 and rows may be of any length: nothing is left that could fail.
    while let Ok(true) = reader.read_record(&mut record) {
        let start = record.position().map_or(0, |position| position.byte());
        row += 1 + blank_lines(whole.as_bytes(), usize::try_from(start).unwrap_or_default());
        let cells: Vec<EcoString> = record.iter().map(EcoString::from).collect();
        if cells.last().is_some_and(|cell| cell.ends_with(LAST)) {
            return if cells == [LAST] { Ok(records) } else { Err(Unclosed { row, before: records }) };
        }
        let record = Record { row, part: 0, cells };
        if !record.is_blank() {
            records.push(record);
        }
    }
    Err(Unclosed { row, before: records })
}

/// Empty lines at `start`, which the reader passes over without counting them.
fn blank_lines(text: &[u8], start: usize) -> u32 {
    // The reader ends a row at CR and leaves the LF after it to the next one.
    let split = start > 0 && text.get(start - 1..=start) == Some(b"\r\n");
    let mut rest = text.get(start + usize::from(split)..).unwrap_or_default();
    let mut lines = 0;
    loop {
        rest = match rest {
            [b'\r', b'\n', after @ ..] | [b'\r' | b'\n', after @ ..] => after,
            _ => return lines,
        };
        lines += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rows(text: &str, delimiter: u8) -> Vec<(u32, Vec<EcoString>)> {
        records(text, delimiter).unwrap().into_iter().map(|record| (record.row, record.cells)).collect()
    }

    fn row(number: u32, cells: &[&str]) -> (u32, Vec<EcoString>) {
        (number, cells.iter().map(|&cell| cell.into()).collect())
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
        let expected =
            vec![row(2, &["a", "b"]), row(3, &["1", "2\r\n3"]), row(6, &["4", "5"]), row(8, &["6"])];
        for end in ["\n", "\r\n", "\r"] {
            let text = ["", "a,b", "1,\"2\r\n3\"", ",", "", "4,5", "", "6", "", ""].join(end);
            assert_eq!(rows(&text, b','), expected, "{end:?}");
        }
    }

    #[test]
    fn quoted_delimiters_and_quotes_belong_to_the_cell() {
        assert_eq!(rows("\"a, b\",\"say \"\"hi\"\"\"\n", b','), [row(1, &["a, b", "say \"hi\""])]);
        assert_eq!(rows("5\" pot,b", b','), [row(1, &["5\" pot", "b"])]);
        assert_eq!(rows("a;b,c", b';'), [row(1, &["a", "b,c"])]);
    }

    #[test]
    fn a_quotation_that_never_ends_is_told_by_its_row() {
        let unclosed = |text| records(text, b',').map_err(|unclosed| (unclosed.row, unclosed.before.len()));
        assert_eq!(unclosed("a,b\n1,\"2\n3,4\n"), Err((2, 1)));
        assert_eq!(unclosed("a,\""), Err((1, 0)));
        assert_eq!(records("a,\"b\"", b',').map(|records| records.len()), Ok(1));
    }

    proptest! {
        #[test]
        fn any_text_is_split(text in "[^\0]*", delimiter in prop::sample::select(DELIMITERS.to_vec())) {
            let mut last = 0;
            for record in records(&text, delimiter).unwrap_or_default() {
                prop_assert!(record.row > last && !record.is_blank());
                last = record.row;
            }
        }

        #[test]
        fn what_is_written_is_read_back(
            cells in prop::collection::vec(prop::collection::vec("[^\0\u{feff}]{0,8}", 2..5), 0..6),
            delimiter in prop::sample::select(DELIMITERS.to_vec()),
            mac in any::<bool>(),
        ) {
            let end = if mac { csv::Terminator::Any(b'\r') } else { csv::Terminator::CRLF };
            let mut writer =
                csv::WriterBuilder::new().flexible(true).delimiter(delimiter).terminator(end).from_writer(vec![]);
            for row in &cells {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            let eco = |cells: Vec<String>| cells.into_iter().map(EcoString::from).collect();
            let written = (1..).zip(cells).map(|(row, cells)| Record { row, part: 0, cells: eco(cells) });
            let written: Vec<Record> = written.filter(|record| !record.is_blank()).collect();
            prop_assert_eq!(records(&text, delimiter).unwrap(), written);
        }
    }
}
