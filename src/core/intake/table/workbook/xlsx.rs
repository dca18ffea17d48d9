//! Office Open XML workbooks: `.xlsx` and `.xlsm`. Formulas give the value that was last computed.
//!
//! # Reference
//! ECMA-376 part 1, chapter 18 (SpreadsheetML).

use std::collections::BTreeMap;

use crate::{
    intake::{
        archive::Archive,
        cell::number::Mark,
        table::workbook::{
            Name,
            formats::{Format, Shown, formats},
            serial,
            sheet::{Merge, Sheet, marked, number, percent},
        },
        text,
        xml::{Node, Tag, Xml},
    },
    problem::{Kind, Reading},
};

/// Rows and columns that a sheet can have.
const ROWS: u32 = 1_048_576;
const COLUMNS: usize = 16_384;

/// An open workbook.
pub(super) struct Xlsx {
    archive: Archive,
    /// Each sheet's name, whether it is hidden, and the part that holds it.
    sheets: Vec<(String, bool, String)>,
    words: Words,
}

/// What the cells of all sheets refer to.
struct Words {
    strings: Vec<String>,
    formats: Vec<Format>,
    from_1904: bool,
    /// What stands before the decimals of numbers that are written out.
    mark: Mark,
}

fn malformed(why: String) -> Kind {
    Reading::Malformed { format: "XLSX", why }.into()
}

impl Xlsx {
    /// The workbook in `archive`.
    pub(super) fn open(mut archive: Archive, mark: Mark) -> Result<Xlsx, Kind> {
        let main = links(&mut archive, "_rels/.rels", "")?;
        let main = main.into_values().find(|(kind, _)| kind == "officeDocument").map(|(_, part)| part);
        let main = main.unwrap_or_else(|| "xl/workbook.xml".to_owned());
        let Some(main) = archive.like(&main) else {
            return Err(malformed("it is a zip without a workbook in it".to_owned()));
        };
        let (folder, file) = main.rsplit_once('/').unwrap_or(("", &main));
        let links = links(&mut archive, &format!("{folder}/_rels/{file}.rels"), folder)?;
        let part =
            |wanted: &str| links.values().find(|(kind, _)| kind == wanted).map(|(_, part)| part.clone());
        let strings = match part("sharedStrings") {
            Some(part) => strings(&read(&mut archive, &part)?).map_err(malformed)?,
            None => Vec::new(),
        };
        let formats = match part("styles") {
            Some(part) => formats(&read(&mut archive, &part)?).map_err(malformed)?,
            None => Vec::new(),
        };
        let (mut sheets, mut from_1904) = (Vec::new(), false);
        let text = read(&mut archive, &main)?;
        let mut xml = Xml::new(&text);
        while let Some(node) = xml.next().map_err(malformed)? {
            let Node::Open(tag) = node else { continue };
            match tag.name() {
                "workbookPr" => from_1904 = is_true(tag.attribute("date1904")),
                "sheet" => {
                    let link = tag.attribute("id").and_then(|id| links.get(&id));
                    // Sheets of charts have no cells.
                    if let Some((_, part)) = link.filter(|(kind, _)| kind == "worksheet") {
                        let name = tag.attribute("name").unwrap_or_default();
                        let hidden = tag.attribute("state").is_some_and(|state| state != "visible");
                        sheets.push((name, hidden, part.clone()));
                    }
                }
                _ => {}
            }
        }
        Ok(Xlsx { archive, sheets, words: Words { strings, formats, from_1904, mark } })
    }

    /// The names of its sheets.
    pub(super) fn names(&self) -> Vec<Name> {
        self.sheets.iter().map(|(name, hidden, _)| (name.clone(), *hidden)).collect()
    }

    /// The sheet at `at`.
    pub(super) fn sheet(&mut self, at: usize) -> Result<Sheet, Kind> {
        let (name, hidden, part) = &self.sheets[at];
        let text = read(&mut self.archive, part)?;
        let mut sheet = Sheet::new(name, *hidden);
        sheet.from_1904 = self.words.from_1904;
        rows(&text, &self.words, &mut sheet)?;
        // Most writers keep the order; none has to.
        sheet.records.sort_by_key(|record| record.row);
        sheet.hidden_rows.sort_unstable();
        sheet.struck_rows.sort_unstable();
        Ok(sheet)
    }
}

/// The text of a part.
fn read(archive: &mut Archive, part: &str) -> Result<String, Kind> {
    let Some(name) = archive.like(part) else { return Err(malformed(format!("it lacks its part {part}"))) };
    let bytes = archive.part(&name)?;
    let text = text::decoded(&name, &bytes, &mut Vec::new());
    text.ok_or_else(|| malformed(format!("its part {part} is no text")))
}

/// What a part refers to, by the name of the reference: its kind, and the part that is meant.
fn links(
    archive: &mut Archive,
    part: &str,
    folder: &str,
) -> Result<BTreeMap<String, (String, String)>, Kind> {
    let mut found = BTreeMap::new();
    if archive.like(part).is_none() {
        return Ok(found);
    }
    let text = read(archive, part)?;
    let mut xml = Xml::new(&text);
    while let Some(node) = xml.next().map_err(malformed)? {
        let Node::Open(tag) = node else { continue };
        if let (Some(id), Some(kind), Some(target)) =
            (tag.attribute("Id"), tag.attribute("Type"), tag.attribute("Target"))
        {
            let kind = kind.rsplit('/').next().unwrap_or_default().to_owned();
            let target = match target.strip_prefix('/') {
                Some(whole) => whole.to_owned(),
                None if folder.is_empty() => target,
                None => format!("{folder}/{target}"),
            };
            found.insert(id, (kind, target));
        }
    }
    Ok(found)
}

fn is_true(attribute: Option<String>) -> bool {
    matches!(attribute.as_deref(), Some("1" | "true"))
}

/// The texts that cells share.
fn strings(text: &str) -> Result<Vec<String>, String> {
    let (mut found, mut xml) = (Vec::new(), Xml::new(text));
    while let Some(node) = xml.next()? {
        if let Node::Open(tag) = node
            && tag.name() == "si"
        {
            found.push(letters(&mut xml)?);
        }
    }
    Ok(found)
}

/// The letters of a text that has just begun, in however many fonts; how they are read aloud is passed over.
fn letters(xml: &mut Xml<'_>) -> Result<String, String> {
    let (mut text, within) = (String::new(), xml.depth());
    while xml.depth() >= within {
        let Some(node) = xml.next()? else { break };
        let Node::Open(tag) = node else { continue };
        match tag.name() {
            "t" => text.push_str(&xml.rest()?),
            "rPh" => drop(xml.rest()?),
            _ => {}
        }
    }
    Ok(unescaped(&text))
}

/// Letters that XML can't hold are written as `_x000D_`.
fn unescaped(text: &str) -> String {
    let mut parts = text.split("_x");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let code = part.get(..4).filter(|_| part.as_bytes().get(4) == Some(&b'_'));
        match code.and_then(|code| u32::from_str_radix(code, 16).ok()).and_then(char::from_u32) {
            Some(letter) => {
                plain.push(letter);
                plain.push_str(&part[5..]);
            }
            None => {
                plain.push_str("_x");
                plain.push_str(part);
            }
        }
    }
    plain
}

/// The rows of the sheet in `text`.
fn rows(text: &str, words: &Words, sheet: &mut Sheet) -> Result<(), Kind> {
    let mut xml = Xml::new(text);
    let (mut row, mut hidden, mut cells) = (0u32, false, Vec::new());
    // Of the filled cells of a row, how many are struck through and how many aren't.
    let mut struck = (0u32, 0u32);
    while let Some(node) = xml.next().map_err(malformed)? {
        let Node::Open(tag) = node else { continue };
        match tag.name() {
            "row" => {
                sheet.push(row, std::mem::take(&mut cells), hidden)?;
                sheet.strike(row, std::mem::take(&mut struck));
                let told = tag.attribute("r").map(|told| told.parse::<u32>());
                row = match told {
                    Some(Ok(told)) if (1..=ROWS).contains(&told) => told,
                    None if row < ROWS => row + 1,
                    _ => return Err(malformed("it has a row without a number".to_owned())),
                };
                hidden = is_true(tag.attribute("hidden"));
            }
            "c" => {
                let at = match tag.attribute("r") {
                    Some(told) => {
                        column(&told).ok_or_else(|| malformed(format!("`{told}` names no cell")))?
                    }
                    None => cells.len(),
                };
                if at >= COLUMNS {
                    return Err(malformed("it has more columns than a sheet can have".to_owned()));
                }
                let cell = Cell::read(&tag, &mut xml).map_err(malformed)?;
                if cells.len() <= at {
                    cells.resize(at + 1, String::new());
                }
                cells[at] = cell.shown(words);
                if !cells[at].trim().is_empty() {
                    let is_struck = words.formats.get(cell.style).is_some_and(|format| format.struck);
                    if is_struck { struck.0 += 1 } else { struck.1 += 1 }
                }
                sheet.spend(cells[at].len(), 1)?;
                // Some writers leave the value of a formula empty; an empty text is one that was computed.
                let computed =
                    cell.kind == "str" || cell.value.as_ref().is_some_and(|value| !value.is_empty());
                if let Some(formula) = cell.formula.filter(|_| !computed) {
                    sheet.uncomputed.push((row, at, formula));
                }
            }
            "mergeCell" => sheet.merges.extend(tag.attribute("ref").and_then(|range| merge(&range))),
            _ => {}
        }
    }
    sheet.push(row, cells, hidden)?;
    sheet.strike(row, struck);
    Ok(())
}

/// A cell as it stands in the file.
struct Cell {
    kind: String,
    style: usize,
    value: Option<String>,
    formula: Option<String>,
}

impl Cell {
    /// The cell that has just begun.
    fn read(tag: &Tag<'_>, xml: &mut Xml<'_>) -> Result<Cell, String> {
        let kind = tag.attribute("t").unwrap_or_default();
        let style = tag.attribute("s").and_then(|style| style.parse().ok()).unwrap_or(0);
        let (mut value, mut formula, within) = (None, None, xml.depth());
        while xml.depth() >= within {
            let Some(node) = xml.next()? else { break };
            let Node::Open(tag) = node else { continue };
            match tag.name() {
                "v" => value = Some(xml.rest()?),
                "f" => formula = Some(xml.rest()?),
                "is" => value = Some(letters(xml)?),
                _ => {}
            }
        }
        Ok(Cell { kind, style, value, formula })
    }

    /// The cell as a CSV would have it.
    fn shown(&self, words: &Words) -> String {
        let Some(value) = &self.value else { return String::new() };
        match self.kind.as_str() {
            "s" => {
                let text = value.trim().parse::<usize>().ok().and_then(|at| words.strings.get(at));
                text.cloned().unwrap_or_default()
            }
            "inlineStr" | "e" => value.clone(),
            "str" => unescaped(value),
            "b" => if is_true(Some(value.trim().to_owned())) { "true" } else { "false" }.to_owned(),
            "d" => value.trim_end_matches("T00:00:00").to_owned(),
            _ => {
                let Ok(counted) = value.trim().parse::<f64>() else { return value.clone() };
                match words.formats.get(self.style).map_or(Shown::Number, |format| format.shown) {
                    Shown::Day => serial::moment(counted, words.from_1904).unwrap_or_else(|| number(counted)),
                    Shown::Span => {
                        serial::span(counted).unwrap_or_else(|| marked(number(counted), words.mark))
                    }
                    Shown::Percent => marked(percent(counted), words.mark),
                    Shown::Number => marked(number(counted), words.mark),
                }
            }
        }
    }
}

/// The place in its row of the cell called, say, `AB12`.
fn column(name: &str) -> Option<usize> {
    let letters = name.bytes().take_while(u8::is_ascii_alphabetic);
    let place = letters
        .take(4)
        .fold(0, |place, letter| place * 26 + usize::from(letter.to_ascii_uppercase() - b'A') + 1);
    place.checked_sub(1)
}

/// The row of the cell called, say, `AB12`.
fn row(name: &str) -> Option<u32> {
    name.trim_start_matches(|letter: char| letter.is_ascii_alphabetic()).parse().ok()
}

/// The cells of, say, `A1:B3`.
fn merge(range: &str) -> Option<Merge> {
    let (first, last) = range.split_once(':')?;
    Some(Merge { top: row(first)?, bottom: row(last)?, left: column(first)?, right: column(last)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(data: &str) -> Result<Sheet, Kind> {
        let words = Words {
            strings: vec!["North".to_owned()],
            formats: [Shown::Number, Shown::Day, Shown::Percent]
                .map(|shown| Format { shown, struck: false })
                .into(),
            from_1904: false,
            mark: Mark::Point,
        };
        let mut sheet = Sheet::new("a", false);
        rows(&format!("<worksheet><sheetData>{data}</sheetData></worksheet>"), &words, &mut sheet)?;
        Ok(sheet)
    }

    #[test]
    fn every_kind_of_cell_is_read() {
        let data = r#"<row r="3"><c r="A3" t="s"><v>0</v></c><c r="B3" s="1"><v>45717</v></c><c s="2"><v>0.45</v></c>
            <c t="b"><v>1</v></c><c t="e"><v>#REF!</v></c><c t="inlineStr"><is><r><t>a</t></r><r><t xml:space="preserve"> b</t></r></is></c>
            <c t="str"><f>A1&amp;"x"</f><v>x_x000D_y</v></c><c><f>SUM(A1:A2)</f><v>12.300000000000001</v></c><c t="d"><v>2025-03-01T00:00:00</v></c>
            <c r="L3"><v>7</v></c></row>"#;
        let cells = &sheet(data).unwrap().records[0];
        assert_eq!(cells.row, 3);
        let expected =
            ["North", "2025-03-01", "45%", "true", "#REF!", "a b", "x\ry", "12.3", "2025-03-01", "", "", "7"];
        assert_eq!(cells.cells, expected);
    }

    #[test]
    fn what_a_csv_could_not_say_is_kept() {
        let data = r#"<row><c t="inlineStr"><is><t>a</t></is></c></row><row hidden="1"><c><f>A1*2</f><v/></c><c t="str"><f>""</f><v></v></c><c><v>1</v></c></row>
            <row hidden="1"></row></sheetData><mergeCells><mergeCell ref="B1:C4"/></mergeCells><sheetData>"#;
        let sheet = sheet(data).unwrap();
        assert_eq!(sheet.hidden_rows, [2], "an empty row hides nothing");
        assert_eq!(sheet.uncomputed, [(2, 0, "A1*2".to_owned())]);
        assert_eq!(sheet.merges, [Merge { top: 1, bottom: 4, left: 1, right: 2 }]);
    }

    #[test]
    fn far_cells_cost_nothing_and_lies_are_refused() {
        let far =
            r#"<row r="1"><c r="A1"><v>1</v></c></row><row r="200000"><c r="ALL200000"><v>1</v></c></row>"#;
        assert_eq!(sheet(far).unwrap().records.len(), 2);
        for data in [
            r#"<row r="0"/>"#,
            r#"<row r="9999999"/>"#,
            r#"<row r="1"><c r="ZZZZ1"/></row>"#,
            r#"<row r="1"><c r="1"/></row>"#,
            "<row>",
        ] {
            assert_eq!(sheet(data).unwrap_err().code(), "malformed", "{data}");
        }
    }

    #[test]
    fn a_text_that_cells_share_does_not_swell() {
        let words = Words {
            strings: vec!["x".repeat(1 << 20)],
            formats: vec![],
            from_1904: false,
            mark: Mark::Point,
        };
        let cells = "<c t=\"s\"><v>0</v></c>".repeat(300);
        let mut sheet = Sheet::new("a", false);
        let text = format!("<worksheet><sheetData><row>{cells}</row></sheetData></worksheet>");
        assert_eq!(rows(&text, &words, &mut sheet).unwrap_err().code(), "unpacks-too-big");
    }

    proptest::proptest! {
        #[test]
        fn any_sheet_is_read_or_refused(
            text in "(<(/|)(row|row r=\"[0-9]{1,8}\"|c|c r=\"[A-Z]{0,4}[0-9]\" t=\"(s|b|e|d|str|n|)\" s=\"[0-9]\"|v|f|is|t|mergeCell ref=\"[A-Z0-9:]{0,6}\")>|[0-9.e-]{1,5}){0,30}",
        ) {
            let _ = sheet(&text);
        }
    }
}
