//! OpenDocument spreadsheets: `.ods`. Formulas give the value that was last computed.
//!
//! # Reference
//! OASIS (2011), *Open Document Format for Office Applications* 1.2, part 1, chapter 9 (tables) and 19.380 to 19.390.

use crate::{
    intake::{
        archive::Archive,
        cell::number::Mark,
        limits,
        table::workbook::sheet::{Merge, Sheet, marked, number, percent},
        text,
        xml::{Node, Tag, Xml},
    },
    problem::{Kind, Reading},
};

fn malformed(why: String) -> Kind {
    Reading::Malformed { format: "ODS", why }.into()
}

/// Every sheet of the workbook whose part `content` holds them.
pub(super) fn sheets(archive: &mut Archive, content: &str, mark: Mark) -> Result<Vec<Sheet>, Kind> {
    if let Some(manifest) = archive.like("META-INF/manifest.xml")
        && String::from_utf8_lossy(&archive.part(&manifest)?).contains("encryption-data")
    {
        return Err(malformed("it is locked with a password".to_owned()));
    }
    let bytes = archive.part(content)?;
    let text = text::decoded(content, &bytes, &mut Vec::new());
    read(&text.ok_or_else(|| malformed("its content is no text".to_owned()))?, mark)
}

fn read(text: &str, mark: Mark) -> Result<Vec<Sheet>, Kind> {
    let (mut sheets, mut hidden, mut struck, mut style) = (Vec::new(), Vec::new(), Vec::new(), String::new());
    let mut xml = Xml::new(text);
    while let Some(node) = xml.next().map_err(malformed)? {
        let Node::Open(tag) = node else { continue };
        match tag.full_name() {
            "style:style" => style = tag.attribute("name").unwrap_or_default(),
            "style:table-properties" if tag.attribute("display").as_deref() == Some("false") => {
                hidden.push(std::mem::take(&mut style));
            }
            "style:text-properties"
                if tag.attribute("text-line-through-style").is_some_and(|line| line != "none") =>
            {
                struck.push(style.clone());
            }
            "table:table" => {
                let is_hidden = tag.attribute("style-name").is_some_and(|style| hidden.contains(&style));
                let mut sheet = Sheet::new(&tag.attribute("name").unwrap_or_default(), is_hidden);
                Rows { xml: &mut xml, row: 0, mark, struck: &struck }.all(&mut sheet)?;
                sheets.push(sheet);
            }
            _ => {}
        }
    }
    Ok(sheets)
}

/// The rows of a sheet while they are read.
struct Rows<'x, 'a> {
    xml: &'x mut Xml<'a>,
    row: u32,
    /// What stands before the decimals of numbers that are written out.
    mark: Mark,
    /// The styles in which text is struck through.
    struck: &'x [String],
}

/// A cell: what it shows, how often it stands there, over how many rows and columns it reaches.
struct Cell {
    text: String,
    struck: bool,
    times: usize,
    over: (u32, usize),
    uncomputed: Option<String>,
}

/// The number in an attribute that counts, 1 where it is missing.
fn times(tag: &Tag<'_>, name: &str) -> Result<u32, Kind> {
    match tag.attribute(name) {
        None => Ok(1),
        Some(told) => told.parse().map_err(|_| malformed(format!("`{told}` counts nothing"))),
    }
}

impl Rows<'_, '_> {
    /// Every row of the sheet that has just begun.
    fn all(&mut self, sheet: &mut Sheet) -> Result<(), Kind> {
        let within = self.xml.depth();
        // Groups of rows that are folded away.
        let mut folded = 0;
        while self.xml.depth() >= within {
            let Some(node) = self.xml.next().map_err(malformed)? else { break };
            let Node::Open(tag) = node else {
                folded = if self.xml.depth() < folded { 0 } else { folded };
                continue;
            };
            match tag.full_name() {
                "table:table-row-group"
                    if tag.attribute("display").as_deref() == Some("false") && folded == 0 =>
                {
                    folded = self.xml.depth();
                }
                "table:table-row" => {
                    let hidden =
                        folded > 0 || tag.attribute("visibility").is_some_and(|seen| seen != "visible");
                    let repeated = times(&tag, "number-rows-repeated")?;
                    self.row(sheet, hidden, repeated)?;
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// The row that has just begun.
    fn row(&mut self, sheet: &mut Sheet, hidden: bool, repeated: u32) -> Result<(), Kind> {
        let (within, number) = (self.xml.depth(), self.row.saturating_add(1));
        let (mut cells, mut empty) = (Vec::new(), 0usize);
        let mut struck = (0, 0);
        while self.xml.depth() >= within {
            let Some(node) = self.xml.next().map_err(malformed)? else { break };
            let Node::Open(tag) = node else { continue };
            let cell = match tag.full_name() {
                "table:table-cell" => self.cell(&tag)?,
                "table:covered-table-cell" => {
                    let cell = self.cell(&tag)?;
                    Cell { text: String::new(), struck: false, uncomputed: None, over: (1, 1), ..cell }
                }
                _ => continue,
            };
            let at = cells.len().saturating_add(empty);
            if cell.over.0 > 1 || cell.over.1 > 1 {
                let (bottom, right) =
                    (number.saturating_add(cell.over.0 - 1), at.saturating_add(cell.over.1 - 1));
                sheet.merges.push(Merge { top: number, bottom, left: at, right });
            }
            sheet.uncomputed.extend(cell.uncomputed.map(|formula| (number, at, formula)));
            // Rows end in a thousand empty cells, which are only laid out if another follows.
            if cell.text.is_empty() {
                empty = empty.saturating_add(cell.times);
                continue;
            }
            if cell.struck {
                struck.0 += 1
            } else {
                struck.1 += 1
            }
            let width = cells.len().saturating_add(empty).saturating_add(cell.times);
            if width > limits::SHEET {
                return Err(Reading::SheetTooBig { limit: limits::SHEET }.into());
            }
            sheet.spend(cell.text.len(), cell.times)?;
            cells.resize(cells.len() + std::mem::take(&mut empty), String::new());
            cells.resize(width, cell.text);
        }
        if !cells.is_empty() {
            let bytes = cells.iter().map(String::len).sum();
            for row in 0..repeated {
                sheet.spend(if row == 0 { 0 } else { bytes }, 1)?;
                sheet.push(number.saturating_add(row), cells.clone(), hidden)?;
                sheet.strike(number.saturating_add(row), struck);
            }
        }
        self.row = self.row.saturating_add(repeated);
        Ok(())
    }

    /// The cell that has just begun.
    fn cell(&mut self, tag: &Tag<'_>) -> Result<Cell, Kind> {
        let repeated = times(tag, "number-columns-repeated")?;
        let over = (times(tag, "number-rows-spanned")?.max(1), times(tag, "number-columns-spanned")?.max(1));
        let typed = self.paragraphs().map_err(malformed)?;
        let kind = tag.attribute("value-type").unwrap_or_default();
        let value = || tag.attribute("value").and_then(|value| value.parse::<f64>().ok());
        let text = match kind.as_str() {
            "float" | "currency" => value().map(|value| marked(number(value), self.mark)),
            "percentage" => value().map(|value| marked(percent(value), self.mark)),
            "date" => tag.attribute("date-value").map(|day| day.trim_end_matches("T00:00:00").to_owned()),
            "boolean" => tag.attribute("boolean-value"),
            "string" => tag.attribute("string-value"),
            _ => None,
        };
        let formula = tag.attribute("formula").filter(|_| kind.is_empty() && typed.is_empty());
        // Formulas are written behind the name of their language.
        let uncomputed = formula
            .map(|formula| formula.split_once('=').map_or(formula.clone(), |(_, plain)| plain.to_owned()));
        Ok(Cell {
            text: text.unwrap_or(typed),
            struck: tag.attribute("style-name").is_some_and(|style| self.struck.contains(&style)),
            times: usize::try_from(repeated).unwrap_or(usize::MAX),
            over: (over.0, usize::try_from(over.1).unwrap_or(usize::MAX)),
            uncomputed,
        })
    }

    /// The paragraphs of the cell that has just begun, one to a line; notes and drawings on it are passed over.
    fn paragraphs(&mut self) -> Result<String, String> {
        let (mut text, within, mut paragraph) = (String::new(), self.xml.depth(), 0);
        while self.xml.depth() >= within {
            match self.xml.next()? {
                None => break,
                Some(Node::Text(letters)) if paragraph > 0 => text.push_str(&letters),
                Some(Node::Text(_)) => {}
                Some(Node::Close) if self.xml.depth() < paragraph => paragraph = 0,
                Some(Node::Close) => {}
                Some(Node::Open(tag)) => match tag.full_name() {
                    "text:p" => {
                        if !text.is_empty() {
                            text.push('\n');
                        }
                        paragraph = self.xml.depth();
                    }
                    "text:s" => {
                        let spaces =
                            tag.attribute("c").and_then(|count| count.parse().ok()).unwrap_or(1usize);
                        text.extend(std::iter::repeat_n(' ', spaces.min(100)));
                    }
                    "text:tab" => text.push('\t'),
                    "text:line-break" => text.push('\n'),
                    "office:annotation" => drop(self.xml.rest()?),
                    name if name.starts_with("draw:") => drop(self.xml.rest()?),
                    _ => {}
                },
            }
        }
        Ok(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(rows: &str) -> Result<Sheet, Kind> {
        let text = format!(
            "<office:document-content><office:spreadsheet><table:table table:name=\"Log\">{rows}</table:table></office:spreadsheet></office:document-content>"
        );
        read(&text, Mark::Point).map(|mut sheets| sheets.remove(0))
    }

    fn cells(row: &str) -> Vec<String> {
        let sheet = table(&format!("<table:table-row>{row}</table:table-row>")).unwrap();
        sheet.records.into_iter().next().map(|record| record.texts()).unwrap_or_default()
    }

    #[test]
    fn every_kind_of_cell_is_read() {
        let row = r#"<table:table-cell office:value-type="float" office:value="1200"><text:p>1,200</text:p></table:table-cell>
            <table:table-cell office:value-type="percentage" office:value="0.45"><text:p>45 %</text:p></table:table-cell>
            <table:table-cell office:value-type="date" office:date-value="2025-03-01"><text:p>1 Mar</text:p></table:table-cell>
            <table:table-cell table:number-columns-repeated="2"/>
            <table:table-cell office:value-type="string"><office:annotation><text:p>note</text:p></office:annotation>
              <text:p>wet<text:s text:c="2"/>and <text:span>windy</text:span></text:p><text:p>cold</text:p></table:table-cell>
            <table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>WAHR</text:p></table:table-cell>
            <table:table-cell table:number-columns-repeated="2" office:value-type="float" office:value="7"/>
            <table:table-cell table:number-columns-repeated="16370"/>"#;
        assert_eq!(
            cells(row),
            ["1200", "45%", "2025-03-01", "", "", "wet  and windy\ncold", "true", "7", "7"]
        );
    }

    #[test]
    fn rows_keep_their_numbers_and_what_a_csv_could_not_say() {
        let rows = r#"<table:table-row table:number-rows-repeated="3"><table:table-cell/></table:table-row>
            <table:table-header-rows><table:table-row><table:table-cell table:number-rows-spanned="2"><text:p>a</text:p></table:table-cell></table:table-row></table:table-header-rows>
            <table:table-row table:visibility="filter" table:number-rows-repeated="2"><table:covered-table-cell><text:p>x</text:p></table:covered-table-cell>
              <table:table-cell><text:p>b</text:p></table:table-cell></table:table-row>
            <table:table-row-group table:display="false"><table:table-row table:visibility="collapse"><table:table-cell table:formula="of:=[.A1]*2"/><table:table-cell><text:p>c</text:p></table:table-cell></table:table-row></table:table-row-group>
            <table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>"#;
        let sheet = table(rows).unwrap();
        let found: Vec<_> =
            sheet.records.iter().map(|record| (record.row, record.texts().concat())).collect();
        assert_eq!(found, [(4, "a"), (5, "b"), (6, "b"), (7, "c")].map(|(row, text)| (row, text.to_owned())));
        assert_eq!(sheet.hidden_rows, [5, 6, 7]);
        assert_eq!(sheet.merges, [Merge { top: 4, bottom: 5, left: 0, right: 0 }]);
        assert_eq!(sheet.uncomputed, [(7, 0, "[.A1]*2".to_owned())]);
    }

    #[test]
    fn rows_struck_through_are_known() {
        let style = "<style:style style:name=\"ce1\"><style:text-properties style:text-line-through-style=\"solid\"/></style:style>";
        let cell = |style: &str| format!("<table:table-cell{style}><text:p>x</text:p></table:table-cell>");
        let (struck, plain) = (cell(" table:style-name=\"ce1\""), cell(""));
        let rows = [[&struck, &struck], [&struck, &plain], [&plain, &plain]];
        let rows: String = rows
            .iter()
            .map(|row| format!("<table:table-row>{}{}</table:table-row>", row[0], row[1]))
            .collect();
        let sheets =
            read(&format!("<o>{style}<table:table table:name=\"a\">{rows}</table:table></o>"), Mark::Point)
                .unwrap();
        assert_eq!(sheets[0].struck_rows, [1]);
    }

    #[test]
    fn repeats_do_not_swell_and_what_breaks_off_ends() {
        let row = |rows: u32, columns: u64| {
            format!(
                "<table:table-row table:number-rows-repeated=\"{rows}\"><table:table-cell table:number-columns-repeated=\"{columns}\"><text:p>x</text:p></table:table-cell></table:table-row>"
            )
        };
        for bomb in [row(4_000_000_000, 4), row(1, 4_000_000_000)] {
            assert!(["sheet-too-big", "too-many-rows"].contains(&&*table(&bomb).unwrap_err().code()));
        }
        assert_eq!(read("<table:table><table:table-row>", Mark::Point).unwrap_err().code(), "malformed");
        assert_eq!(table(&row(1, 99_999_999_999)).unwrap_err().code(), "malformed");
    }

    proptest::proptest! {
        #[test]
        fn any_content_is_read_or_refused(
            text in "(<(/|)(table:table|table:table-row table:number-rows-repeated=\"[0-9]{1,3}\"|table:table-row|table:table-cell table:number-columns-repeated=\"[0-9]{1,3}\"|table:table-cell|text:p|text:s text:c=\"9\"|office:annotation)(/|)>|[a-z ]){0,30}",
        ) {
            let _ = read(&text, Mark::Point);
            let _ = table(&text);
        }
    }
}
