//! Tables as text, the way a spreadsheet saves them.

/// The rows of a table, header and all.
pub(crate) struct Sheet {
    rows: Vec<Vec<String>>,
}

impl Sheet {
    /// A table with this header, its headings parted by commas.
    pub(crate) fn new(header: &str) -> Sheet {
        Sheet { rows: vec![header.split(',').map(str::to_owned).collect()] }
    }

    /// Adds a row.
    pub(crate) fn row<const N: usize>(&mut self, cells: [&str; N]) {
        self.rows.push(cells.map(str::to_owned).into());
    }

    /// Adds rows written as text, their cells parted by bars and trimmed.
    pub(crate) fn rows(&mut self, text: &str) {
        for line in text.lines().filter(|line| !line.trim().is_empty()) {
            self.rows.push(line.split('|').map(|cell| cell.trim().to_owned()).collect());
        }
    }

    /// Adds the last row once more, as happens when a sheet is typed up twice.
    pub(crate) fn last_row_again(&mut self) {
        self.rows.extend(self.rows.last().cloned());
    }

    /// The data rows in order of their first cell, which is a day.
    pub(crate) fn by_day(mut self) -> Sheet {
        self.rows[1..].sort_by(|one, other| one[0].cmp(&other[0]));
        self
    }

    /// UTF-8 text with commas.
    pub(crate) fn csv(&self) -> Vec<u8> {
        self.text(',', "\n").into_bytes()
    }

    /// The text with another delimiter and line end.
    pub(crate) fn text(&self, delimiter: char, line_end: &str) -> String {
        let quoted = |cell: &String| match cell.contains([delimiter, '"', '\n']) {
            true => format!("\"{}\"", cell.replace('"', "\"\"")),
            false => cell.clone(),
        };
        let line = |cells: &Vec<String>| {
            cells.iter().map(quoted).collect::<Vec<_>>().join(&delimiter.to_string()) + line_end
        };
        self.rows.iter().map(line).collect()
    }
}
