//! The funder's own forms: filled where they ask, nothing else of them changed, nothing in them run, followed or believed.

use std::{
    collections::BTreeMap,
    fs,
    io::{Cursor, Read as _, Write as _},
    path::Path,
};

use zip::{ZipArchive, ZipWriter, write::SimpleFileOptions};

use crate::commands::{copy, hillfolio};

/// Names and bytes of a zip's members, packed and unpacked, in their order.
fn members(bytes: &[u8]) -> Vec<(String, Vec<u8>, Vec<u8>)> {
    let mut zip = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let all = zip.len();
    let one = |at: usize| {
        let (mut packed, mut plain) = (Vec::new(), Vec::new());
        zip.by_index_raw(at).unwrap().read_to_end(&mut packed).unwrap();
        let mut member = zip.by_index(at).unwrap();
        member.read_to_end(&mut plain).unwrap();
        (member.name().unwrap().into_owned(), packed, plain)
    };
    (0..all).map(one).collect()
}

fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const SHEET: &str = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" s="1" t="s"><v>0</v></c><c r="B1" t="s"><v>0</v></c><c r="C1" t="s"><v>1</v></c><c r="D1" t="s"><v>2</v></c><c r="E1" t="str"><f>"{{"&amp;"survival.all}}"</f><v>{{survival.all}}</v></c></row><row r="3"><c r="A3" t="s"><v>3</v></c><c r="B3" s="2" t="s"><v>4</v></c><c r="C3"><f>B3*2</f><v>0</v></c></row><row r="4"><c r="B4" s="2"/><c r="C4"><f>B4*2</f><v>0</v></c></row><row r="9"><c r="B9"><f>SUM(B3:B8)</f><v>0</v></c></row><row r="11"><c r="A11" t="s"><v>3</v></c></row><row r="17"><c r="A17"><v>7</v></c></row></sheetData><headerFooter><oddHeader>{{project.name}}</oddHeader></headerFooter></worksheet>"#;

const STRINGS: &str = r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>{{survival.all}}</t></si><si><r><rPr><b/></rPr><t>Alive: {{surv</t></r><r><t>ival.all}} &amp; well</t></r></si><si><t>{{question.q1}}</t></si><si><t>{{rows.spending.payee}}</t></si><si><t>{{rows.spending.amount}}</t></si></sst>"#;

const STYLES: &str = r#"<?xml version="1.0"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="1"><numFmt numFmtId="170" formatCode="0.0%"/></numFmts><cellXfs count="3"><xf numFmtId="0"/><xf numFmtId="170"/><xf numFmtId="4"/></cellXfs></styleSheet>"#;

const LINKS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId9" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/attachedTemplate" Target="https://example.invalid/evil.dotm" TargetMode="External"/></Relationships>"#;

const WORDS: &str = r#"<?xml version="1.0"?><w:document xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"><w:body><w:p><w:r><w:t>{{survival.al}} of {{plantings.stems.all | number}} stand; {{no such thing}}</w:t></w:r></w:p><w:p><w:r><w:t>{{rows.spending.payee}}</w:t></w:r></w:p><w:p><w:r><w:t>{{question.q1</w:t></w:r><w:r><w:tab/><w:t>}}</w:t></w:r></w:p></w:body></w:document>"#;

/// A place whose agreement has these forms, built: where, and what was said.
fn built(forms: &[(&str, Vec<u8>)]) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects/lantern-rise"), folder.path());
    let settings = folder.path().join("project.toml");
    let text = fs::read_to_string(&settings).unwrap();
    // An answer that a spreadsheet must not take for a formula.
    let from = text.find("answer = \"{{plantings").unwrap();
    let to = from + text[from..].find('\n').unwrap();
    fs::write(&settings, format!("{}answer = \"=1+1 & <more>\"{}", &text[..from], &text[to..])).unwrap();
    for (name, bytes) in forms {
        fs::write(folder.path().join("forms/catchment").join(name), bytes).unwrap();
    }
    let build = hillfolio().args(["build", "--no-cache"]).arg(folder.path()).output().unwrap();
    let said = String::from_utf8_lossy(&build.stderr).replace('\u{a0}', " ");
    assert!(build.status.success(), "{said}");
    (folder, said)
}

#[test]
fn forms_are_filled_where_they_ask_and_what_cannot_be_is_named() {
    let book = zipped(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("xl/workbook.xml", b"<workbook/>"),
        ("xl/vbaProject.bin", b"\x00macro {{survival.all}}"),
        ("xl/styles.xml", STYLES.as_bytes()),
        ("xl/sharedStrings.xml", STRINGS.as_bytes()),
        ("xl/worksheets/sheet1.xml", SHEET.as_bytes()),
    ]);
    let short = zipped(&[
        (
            "xl/workbook.xml",
            br#"<workbook xmlns:r="r"><sheets><sheet name="Costs &amp; more" sheetId="1" r:id="rId1"/></sheets></workbook>"#,
        ),
        (
            "xl/_rels/workbook.xml.rels",
            br#"<Relationships><Relationship Id="rId1" Target="worksheets/sheet1.xml"/></Relationships>"#,
        ),
        ("xl/sharedStrings.xml", STRINGS.as_bytes()),
        ("xl/worksheets/sheet1.xml", SHEET.replace("r=\"17\"", "r=\"13\"").replace("\"A17\"", "\"A13\"").as_bytes()),
        ("xl/comments1.xml", b"<comments><comment><text><r><t>{{survi</t></r><r><t>val.all}}</t></r></text></comment></comments>"),
    ]);
    let words = zipped(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("word/document.xml", WORDS.as_bytes()),
        ("word/_rels/document.xml.rels", LINKS.as_bytes()),
        ("word/vbaProject.bin", b"\x00macro"),
    ]);
    let entities = WORDS.replace("<w:document", "<!DOCTYPE a [<!ENTITY b \"c\">]><w:document");
    let bomb = vec![b' '; 70 << 20];
    let (folder, said) = built(&[
        ("book.xlsm", book.clone()),
        ("short.xlsx", short),
        ("words.docm", words.clone()),
        ("entities.docx", zipped(&[("word/document.xml", entities.as_bytes())])),
        ("bomb.docx", zipped(&[("word/document.xml", &bomb)])),
        ("no-zip.docx", b"PK\x03\x04 no more".to_vec()),
    ]);
    let out = folder.path().join("out/catchment/forms");
    let filled = members(&fs::read(out.join("book.xlsm")).unwrap());
    let was = members(&book);
    let names = |all: &[(String, Vec<u8>, Vec<u8>)]| all.iter().map(|one| one.0.clone()).collect::<Vec<_>>();
    assert_eq!(names(&filled), names(&was));
    let plain: BTreeMap<String, String> = filled
        .iter()
        .map(|(name, _, plain)| (name.clone(), String::from_utf8_lossy(plain).into_owned()))
        .collect();
    for (before, after) in was.iter().zip(&filled) {
        let touched = ["xl/sharedStrings.xml", "xl/worksheets/sheet1.xml"].contains(&before.0.as_str());
        assert_eq!(before.1 == after.1, !touched, "{}", before.0);
    }
    // A share is a part where the cell shows per cent, and per cent where it does not; formulas and their last values stay.
    let sheet = &plain["xl/worksheets/sheet1.xml"];
    let head = &SHEET[..SHEET.find("<row r=\"1\">").unwrap()];
    let first = r#"<row r="1"><c r="A1" s="1"><v>0.867</v></c><c r="B1"><v>86.7</v></c><c r="C1" t="s"><v>1</v></c><c r="D1" t="s"><v>2</v></c><c r="E1" t="str"><f>"{{"&amp;"survival.all}}"</f><v>{{survival.all}}</v></c></row>"#;
    assert!(sheet.starts_with(&format!("{head}{first}")), "{sheet}");
    let text = |words: &str| format!("<is><t xml:space=\"preserve\">{words}</t></is>");
    for cells in [
        format!(
            r#"<row r="3"><c r="A3" t="inlineStr">{}</c><c r="B3" s="2"><v>766.85</v></c><c r="C3"><f>B3*2</f><v>0</v></c></row>"#,
            text("Upland Mutual")
        ),
        format!(
            r#"<row r="4"><c r="A4" t="inlineStr">{}</c><c r="B4" s="2"><v>1180.14</v></c><c r="C4"><f>B4*2</f><v>0</v></c></row>"#,
            text("Sward Services")
        ),
        format!(
            r#"<row r="5"><c r="A5" t="inlineStr">{}</c><c r="B5" s="2"><v>4620</v></c></row>"#,
            text("Auger and Sons")
        ),
        // The gift of a mill is no payment.
        format!(
            r#"<row r="8"><c r="A8" t="inlineStr">{}</c><c r="B8" s="2"><v>594</v></c></row>"#,
            text("Quill and Tally")
        ),
        r#"<row r="9"><c r="B9"><f>SUM(B3:B8)</f><v>0</v></c></row>"#.to_owned(),
        format!(
            r#"<row r="16"><c r="A16" t="inlineStr">{}</c></row><row r="17"><c r="A17"><v>7</v></c></row>"#,
            text("Quill and Tally")
        ),
    ] {
        assert!(sheet.contains(&cells), "{cells} in {sheet}");
    }
    let strings = &plain["xl/sharedStrings.xml"];
    assert!(strings.contains("<si><r><rPr><b/></rPr><t>Alive: 86.7\u{a0}%</t></r><r><t xml:space=\"preserve\"> &amp; well</t></r></si>"), "{strings}");
    assert!(strings.contains("<si><t>=1+1 &amp; &lt;more&gt;</t></si>"), "{strings}");

    let filled = members(&fs::read(out.join("words.docm")).unwrap());
    let was = members(&words);
    for (before, after) in was.iter().zip(&filled) {
        assert_eq!(before.1 == after.1, before.0 != "word/document.xml", "{}", before.0);
    }
    let document = String::from_utf8_lossy(&filled[1].2).into_owned();
    // A word that no figure is called by stays as it is.
    let expected = WORDS.replace("{{plantings.stems.all | number}}", "3,000");
    assert_eq!(document, expected);
    for words in [
        "doubt[form-unfilled]: `{{survival.al}}` can't be filled: nothing is called so",
        "did you mean `survival.all`",
        "`{{no such thing}}` can't be filled",
        "`{{rows.spending.payee}}` can't be filled: a list needs a row of a table",
        "doubt[form-too-few-rows]: the form is not written: the list at row 11 of the sheet `Costs & more` has 6 rows, and 2 fit above",
        "help: put in 4 empty rows below row 12 of that sheet",
        "`{{project.name}}` can't be filled: it stands in the head or foot of the sheet",
        "`{{survival.all}}` can't be filled: it stands in a comment",
        "doubt[form-unreadable]: the form can't be filled: word/document.xml is not read: it declares entities",
        "it holds more than a form does: its parts swell",
        "it is no whole DOCX or XLSX",
    ] {
        assert!(said.contains(words), "{words} in {said}");
    }
    for name in ["entities.docx", "bomb.docx", "no-zip.docx", "short.xlsx"] {
        assert!(!out.join(name).exists(), "{name}");
    }
    // They stand in the agreement's own pack, filled and as they were, and in no other's.
    let pack = |id: &str| {
        let folder = folder.path().join("out").join(id);
        let mut zip = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let zip = zip.find(|path| path.extension().is_some_and(|ending| ending == "zip")).unwrap();
        names(&members(&fs::read(&zip).unwrap()))
    };
    let own = pack("catchment");
    for name in ["forms/book.xlsm", "inputs/forms/catchment/book.xlsm", "inputs/forms/catchment/bomb.docx"] {
        assert!(own.iter().any(|known| known == name), "{name} in {own:?}");
    }
    assert!(!pack("council").iter().any(|name| name.contains("forms/")));
}

/// A day and a sum alone in a cell without a format become a day and a sum that look so; the others keep theirs. A budget of the whole term
/// beside what one period spent is doubted, unless what was spent of it stands there too.
#[test]
fn cells_without_a_format_get_one_and_unlike_spans_are_doubted() {
    let sheet = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" s="2" t="s"><v>0</v></c><c r="C1" s="0" t="s"><v>1</v></c></row></sheetData></worksheet>"#;
    let strings = r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>{{period.to}}</t></si><si><t>{{accounts.spent-to-date}}</t></si></sst>"#;
    let book = zipped(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("xl/workbook.xml", b"<workbook/>"),
        ("xl/styles.xml", STYLES.as_bytes()),
        ("xl/sharedStrings.xml", strings.as_bytes()),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ]);
    let asks = |words: &str| {
        let body = format!(
            "<?xml version=\"1.0\"?><w:document xmlns:w=\"http://schemas.openxmlformats.org/wordprocessingml/2006/main\"><w:body><w:p><w:r><w:t>{words}</w:t></w:r></w:p></w:body></w:document>"
        );
        zipped(&[("[Content_Types].xml", b"<Types/>"), ("word/document.xml", body.as_bytes())])
    };
    let (folder, said) = built(&[
        ("days.xlsx", book),
        ("unlike.docx", asks("{{spend.total}} of {{accounts.budget-whole-life}} by {{period.to}}")),
        (
            "like.docx",
            asks(
                "{{accounts.spent-to-date}} of {{accounts.budget-whole-life}}; {{spend.total}} of {{budget.total}}",
            ),
        ),
    ]);
    let out = folder.path().join("out/catchment/forms");
    let plain: BTreeMap<String, String> = members(&fs::read(out.join("days.xlsx")).unwrap())
        .into_iter()
        .map(|(name, _, plain)| (name, String::from_utf8(plain).unwrap()))
        .collect();
    // 46 203 days after 30 December 1899 (ECMA-376 part 1, § 18.17.4.1) is 30 June 2026.
    let cells = r#"<c s="3" r="A1"><v>46203</v></c><c r="B1" s="2" t="s"><v>0</v></c><c r="C1" s="4"><v>28147.13</v></c>"#;
    assert!(plain["xl/worksheets/sheet1.xml"].contains(cells), "{}", plain["xl/worksheets/sheet1.xml"]);
    let styles = r#"<cellXfs count="5"><xf numFmtId="0"/><xf numFmtId="170"/><xf numFmtId="4"/><xf applyNumberFormat="1" numFmtId="14"/><xf applyNumberFormat="1" numFmtId="4"/></cellXfs>"#;
    assert!(plain["xl/styles.xml"].contains(styles), "{}", plain["xl/styles.xml"]);
    assert!(plain["xl/sharedStrings.xml"].contains("<t>30 June 2026</t>"));
    let unlike: Vec<&str> = said.lines().filter(|line| line.contains("form-unlike-spans")).collect();
    assert_eq!(unlike.len(), 1, "{said}");
    assert!(
        unlike[0].contains(
            "`{{accounts.budget-whole-life}}` is approved for the whole term, and `{{spend.total}}`"
        ),
        "{unlike:?}"
    );
}
