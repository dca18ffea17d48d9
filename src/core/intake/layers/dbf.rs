//! The table of a shapefile: `.dbf`, with the `.cpg` beside it that names the encoding.
//!
//! Read here for the reason that `.shp` is: lengths in the file are held against the bytes that are there.
//!
//! # Reference
//! ESRI (1998), *ESRI Shapefile Technical Description*, p. 25; the layout of dBASE III files.

use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

use crate::intake::layers::dos_letters::{self, DosPage};

/// Length of the header before its fields, and of each field's description, in bytes.
const HEADER: usize = 32;

/// The byte that ends the descriptions of fields.
const END_OF_FIELDS: u8 = 0x0D;

/// The byte of the header that says which code page the text is in, and the pages it can say.
const LANGUAGE: usize = 29;
const LANGUAGES: [(u8, &str); 8] = [
    (0x03, "windows-1252"),
    (0x57, "windows-1252"),
    (0x58, "windows-1252"),
    (0x59, "windows-1252"),
    (0x65, "ibm866"),
    (0xC8, "windows-1250"),
    (0xC9, "windows-1251"),
    (0xCB, "windows-1253"),
];

/// The pages of DOS, which dBASE and its heirs say by these.
const DOS: [(u8, DosPage); 12] = [
    (0x01, DosPage::Cp437),
    (0x09, DosPage::Cp437),
    (0x0B, DosPage::Cp437),
    (0x0D, DosPage::Cp437),
    (0x0F, DosPage::Cp437),
    (0x02, DosPage::Cp850),
    (0x0A, DosPage::Cp850),
    (0x0E, DosPage::Cp850),
    (0x10, DosPage::Cp850),
    (0x12, DosPage::Cp850),
    (0x14, DosPage::Cp850),
    (0x25, DosPage::Cp850),
];

/// A table.
pub(super) struct Dbf {
    /// Each row's cells by the name of their column, empty cells left out.
    pub(super) rows: Vec<Vec<(String, String)>>,
    /// Whether letters beyond ASCII were read by a guess.
    pub(super) guessed: bool,
    /// Which of the rows are marked as deleted, and stand in the file until it is packed.
    pub(super) deleted: Vec<usize>,
}

/// The byte before a row that marks it as deleted.
const DELETED: u8 = b'*';

struct Field {
    name: String,
    kind: u8,
    start: usize,
    length: usize,
}

/// The table in `bytes`; `cpg` is the text of the file that names the encoding.
///
/// # Errors
/// Why it is none.
pub(super) fn table(bytes: &[u8], cpg: Option<&str>) -> Result<Dbf, String> {
    let short = |at: usize| Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?) as usize);
    let count = bytes.get(4..8).and_then(|count| count.try_into().ok()).map(u32::from_le_bytes);
    let (Some(count), Some(first), Some(length)) = (count, short(8), short(10)) else {
        return Err("the .dbf does not begin as one".to_owned());
    };
    let dos = cpg.and_then(dos_letters::page).or_else(|| {
        let language = bytes.get(LANGUAGE).filter(|_| cpg.is_none())?;
        DOS.iter().find(|(known, _)| known == language).map(|(_, page)| *page)
    });
    let told = cpg.and_then(encoding).or_else(|| {
        let language = bytes.get(LANGUAGE)?;
        LANGUAGES.iter().find(|(known, _)| known == language).and_then(|(_, name)| encoding(name))
    });
    let mut guessed = false;
    let mut text = |bytes: &[u8]| {
        let bytes = bytes.split(|byte| *byte == 0).next().unwrap_or_default();
        if let Some(page) = dos {
            return dos_letters::text(bytes, page).trim().to_owned();
        }
        let encoding = told.unwrap_or_else(|| {
            let unicode = std::str::from_utf8(bytes).is_ok();
            guessed |= !unicode;
            if unicode { UTF_8 } else { WINDOWS_1252 }
        });
        encoding.decode_without_bom_handling(bytes).0.trim().to_owned()
    };
    let (mut fields, mut start) = (Vec::new(), 1);
    for description in bytes.get(HEADER..first.min(bytes.len())).unwrap_or_default().chunks_exact(HEADER) {
        if description[0] == END_OF_FIELDS {
            break;
        }
        let length = usize::from(description[16]);
        fields.push(Field { name: text(&description[..11]), kind: description[11], start, length });
        start += length;
    }
    if fields.is_empty() || start > length {
        return Err("the .dbf has rows that are shorter than its columns".to_owned());
    }
    let body = bytes.get(first..).unwrap_or_default();
    let rows = usize::try_from(count).unwrap_or(usize::MAX).min(body.len() / length);
    if rows < usize::try_from(count).unwrap_or(usize::MAX) {
        return Err(format!("the .dbf breaks off after {rows} of {count} rows"));
    }
    let records = || body.chunks_exact(length).take(rows);
    let marked = records().enumerate().filter(|(_, row)| row.first() == Some(&DELETED));
    let deleted = marked.map(|(at, _)| at).collect();
    let rows = records()
        .map(|row| {
            let cell = |field: &Field| {
                let bytes = row.get(field.start..field.start + field.length)?;
                Some((field.name.clone(), cell(field.kind, bytes, &mut text)?))
            };
            fields.iter().filter_map(cell).collect()
        })
        .collect();
    Ok(Dbf { rows, guessed, deleted })
}

/// What a cell says as text; `None` where it is empty.
fn cell(kind: u8, bytes: &[u8], text: &mut impl FnMut(&[u8]) -> String) -> Option<String> {
    let typed = match kind {
        b'I' => i32::from_le_bytes(bytes.try_into().ok()?).to_string(),
        b'B' | b'O' => f64::from_le_bytes(bytes.try_into().ok()?).to_string(),
        b'L' => match bytes.first()? {
            b'T' | b't' | b'Y' | b'y' => "true".to_owned(),
            b'F' | b'f' | b'N' | b'n' => "false".to_owned(),
            _ => return None,
        },
        b'D' => {
            let day = text(bytes);
            match (day.get(..4), day.get(4..6), day.get(6..8)) {
                (Some(year), Some(month), Some(day)) => format!("{year}-{month}-{day}"),
                _ => day,
            }
        }
        // Stars fill a number that was too long for its column.
        b'N' | b'F' => Some(text(bytes)).filter(|number| !number.contains('*'))?,
        b'C' => text(bytes),
        _ => return None,
    };
    Some(typed).filter(|typed| !typed.is_empty())
}

/// The encoding that `name` names, as people write it into a `.cpg`.
fn encoding(name: &str) -> Option<&'static Encoding> {
    let name = name.trim().to_ascii_lowercase();
    let digits = name.rsplit(|letter: char| !letter.is_ascii_digit()).next().unwrap_or_default();
    let page = match digits {
        "65001" => "utf-8".to_owned(),
        "88591" => "iso-8859-1".to_owned(),
        "" => name.clone(),
        _ if digits.len() == 4 && digits.starts_with("125") => format!("windows-{digits}"),
        "8591" => "iso-8859-1".to_owned(),
        _ => name.clone(),
    };
    Encoding::for_label(page.as_bytes()).or_else(|| Encoding::for_label(name.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table of one text, one number, one flag and one day.
    fn written(rows: &[&[u8]], language: u8) -> Vec<u8> {
        let fields: [(&[u8], u8, u8); 4] =
            [(b"area", b'C', 8), (b"hectares", b'N', 6), (b"frosty", b'L', 1), (b"drawn", b'D', 8)];
        let (first, length) = (32 + 32 * 4 + 1, 24u16);
        let mut bytes = vec![0; 32];
        bytes[0] = 3;
        bytes[4] = rows.len() as u8;
        bytes[8] = first as u8;
        bytes[10..12].copy_from_slice(&length.to_le_bytes());
        bytes[LANGUAGE] = language;
        for (name, kind, length) in fields {
            let mut description = [0; 32];
            description[..name.len()].copy_from_slice(name);
            (description[11], description[16]) = (kind, length);
            bytes.extend(description);
        }
        bytes.push(END_OF_FIELDS);
        for row in rows {
            bytes.push(b' ');
            bytes.extend_from_slice(row);
        }
        bytes
    }

    fn rows(bytes: &[u8], cpg: Option<&str>) -> Vec<String> {
        let shown = |row: &Vec<(String, String)>| {
            row.iter().map(|(name, text)| format!("{name}={text}")).collect::<Vec<_>>().join(" ")
        };
        table(bytes, cpg).unwrap().rows.iter().map(shown).collect()
    }

    #[test]
    fn cells_are_read_by_their_kind() {
        let bytes = written(&[b"North    12.50T20250301", b"Gully   ******?        "], 0);
        assert_eq!(
            rows(&bytes, None),
            ["area=North hectares=12.50 frosty=true drawn=2025-03-01", "area=Gully"]
        );
    }

    #[test]
    fn a_row_that_was_deleted_is_told() {
        let mut bytes = written(&[b"North    12.50T20250301", b"Gully    12.50T20250301"], 0);
        let first = bytes.len() - 48;
        bytes[first] = DELETED;
        assert_eq!(table(&bytes, None).unwrap().deleted, [0]);
    }

    #[test]
    fn the_encoding_is_told_by_the_file_beside_it_or_the_header_or_guessed() {
        let bytes = written(&[b"caf\xE9     12.50T20250301"], 0);
        let name = |language: u8, cpg: Option<&str>| {
            let mut bytes = bytes.clone();
            bytes[LANGUAGE] = language;
            let table = table(&bytes, cpg).unwrap();
            (table.rows[0][0].1.clone(), table.guessed)
        };
        assert_eq!(name(0, None), ("café".to_owned(), true));
        assert_eq!(name(0x57, None), ("café".to_owned(), false));
        for page in ["1252", "ANSI 1252\n", "ISO-8859-1", "88591", "windows-1252"] {
            assert_eq!(name(0, Some(page)), ("café".to_owned(), false), "{page}");
        }
        assert_eq!(name(0xC9, None).0, "cafй");
        assert_eq!(encoding("UTF-8"), Some(UTF_8));
        assert_eq!(encoding("65001"), Some(UTF_8));
    }

    #[test]
    fn what_breaks_off_is_said() {
        let bytes = written(&[b"North    12.50T20250301".as_slice(); 3], 0);
        let why = |length: usize| table(&bytes[..length], None).err().unwrap();
        assert_eq!(why(9), "the .dbf does not begin as one");
        assert_eq!(why(190), "the .dbf breaks off after 1 of 3 rows");
        assert_eq!(why(40), "the .dbf has rows that are shorter than its columns");
    }

    proptest::proptest! {
        #[test]
        fn spoilt_bytes_are_read_or_refused(
            spoilt in proptest::collection::vec((0usize..260, proptest::prelude::any::<u8>()), 1..8),
            length in 0usize..260,
        ) {
            let mut bytes = written(&[b"North    12.50T20250301".as_slice(); 3], 0);
            for (at, byte) in spoilt {
                let at = at % bytes.len();
                bytes[at] = byte;
            }
            bytes.truncate(length.max(20));
            let _ = table(&bytes, None);
        }
    }
}
