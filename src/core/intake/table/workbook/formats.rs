//! What a number in a cell of an XLSX is shown as: a number, a day, a span of time, a percentage; and whether the cell is struck through.
//!
//! # Reference
//! ECMA-376 part 1, 18.8.22 (fonts), 18.8.30 (number formats), 18.8.31 and 18.4.10 (strike).

use std::collections::BTreeMap;

use crate::intake::xml::{Node, Xml};

/// What a number is shown as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shown {
    Number,
    Day,
    /// Hours, minutes or seconds that may be more than a day has, as `[h]:mm` shows them.
    Span,
    Percent,
}

/// How a cell looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Format {
    /// What its number is shown as.
    pub(super) shown: Shown,
    /// Whether its text is struck through.
    pub(super) struck: bool,
}

/// The formats of a workbook's cells, by the number that a cell gives as its style.
pub(super) fn formats(text: &str) -> Result<Vec<Format>, String> {
    let (mut custom, mut found) = (BTreeMap::new(), Vec::new());
    let (mut cells, mut fonts, mut struck) = (0, 0, Vec::new());
    let mut xml = Xml::new(text);
    while let Some(node) = xml.next()? {
        let Node::Open(tag) = node else {
            if xml.depth() < cells {
                cells = 0;
            }
            if xml.depth() < fonts {
                fonts = 0;
            }
            continue;
        };
        let id = || tag.attribute("numFmtId").and_then(|id| id.parse::<u32>().ok());
        match tag.name() {
            "numFmt" => {
                if let (Some(id), Some(code)) = (id(), tag.attribute("formatCode")) {
                    custom.insert(id, of_code(&code));
                }
            }
            "cellXfs" => cells = xml.depth(),
            "fonts" => fonts = xml.depth(),
            "font" if fonts > 0 => struck.push(false),
            "strike" if fonts > 0 => {
                let is_off = tag.attribute("val").is_some_and(|val| val == "0" || val == "false");
                struck.iter_mut().next_back().into_iter().for_each(|last| *last = !is_off);
            }
            // Formats of styles look alike; a cell's own stand here.
            "xf" if cells > 0 => {
                let id = id().unwrap_or(0);
                let font = tag.attribute("fontId").and_then(|font| font.parse::<usize>().ok());
                let struck = font.and_then(|font| struck.get(font)).copied().unwrap_or(false);
                found.push(Format { shown: custom.get(&id).copied().unwrap_or_else(|| of_id(id)), struck });
            }
            _ => {}
        }
    }
    Ok(found)
}

/// The formats that every spreadsheet has.
fn of_id(id: u32) -> Shown {
    match id {
        9 | 10 => Shown::Percent,
        46 => Shown::Span,
        14..=22 | 27..=36 | 45 | 47 | 50..=58 => Shown::Day,
        _ => Shown::Number,
    }
}

/// A format as its writer spelt it, such as `d mmm yyyy` or `0.00" ha"`.
fn of_code(code: &str) -> Shown {
    let mut letters = code.chars();
    let mut plain = String::new();
    while let Some(letter) = letters.next() {
        match letter {
            ';' => break,
            '"' => letters.by_ref().take_while(|letter| *letter != '"').for_each(drop),
            '\\' | '_' | '*' => drop(letters.next()),
            '[' => {
                let inside: String = letters.by_ref().take_while(|letter| *letter != ']').collect();
                // Hours, minutes or seconds beyond a day: a span, not a day.
                if !inside.is_empty() && inside.chars().all(|letter| "hmsHMS".contains(letter)) {
                    return Shown::Span;
                }
            }
            letter => plain.push(letter.to_ascii_lowercase()),
        }
    }
    match () {
        () if plain.contains('%') => Shown::Percent,
        () if plain == "general" || plain.contains(['#', '?', '@']) => Shown::Number,
        () if plain.contains(['d', 'm', 'y', 'h', 's']) => Shown::Day,
        () => Shown::Number,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_tell_what_they_show() {
        for code in
            ["yyyy-mm-dd", "d mmm yyyy", "[$-C09]dddd, d mmmm yyyy;@", "dd/mm/yy h:mm AM/PM", "mm:ss.0"]
        {
            assert_eq!(of_code(code), Shown::Day, "{code}");
        }
        for code in [
            "General",
            "0.00",
            "#,##0 \"stems\"",
            "0.00\\ \\h\\a",
            "[Red]-0.0",
            "\"day\" 0",
            "@",
            "\"$\"#,##0",
        ] {
            assert_eq!(of_code(code), Shown::Number, "{code}");
        }
        for code in ["[h]:mm", "[hh]:mm", "[hh]:mm:ss", "[m]", "[mm]:ss", "[$-409][H]:mm;@", "[s]"] {
            assert_eq!(of_code(code), Shown::Span, "{code}");
        }
        assert_eq!(of_id(46), Shown::Span);
        assert_eq!(of_code("0.0%"), Shown::Percent);
    }

    #[test]
    fn a_cells_style_is_its_place_among_the_formats_of_cells() {
        let text = r#"<styleSheet><fonts><font><b/></font><font><strike/></font><font><strike val="0"/></font></fonts><numFmts><numFmt numFmtId="164" formatCode="d\ mmm"/></numFmts><cellStyleXfs><xf numFmtId="9"/></cellStyleXfs>
            <cellXfs><xf numFmtId="0"/><xf numFmtId="164"><alignment/></xf><xf numFmtId="14" fontId="1"/><xf numFmtId="10" fontId="2"/></cellXfs><dxfs><dxf/></dxfs></styleSheet>"#;
        let found = formats(text).unwrap();
        let shown: Vec<Shown> = found.iter().map(|format| format.shown).collect();
        assert_eq!(shown, [Shown::Number, Shown::Day, Shown::Day, Shown::Percent]);
        assert_eq!(found.iter().map(|format| format.struck).collect::<Vec<_>>(), [false, false, true, false]);
    }
}
