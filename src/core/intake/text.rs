//! Bytes to text, whatever program saved them.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::problem::{Place, Problem, Reading};

/// The text of the file at `path`, without its byte order mark.
///
/// A byte order mark settles UTF-8 or UTF-16; without one the text is UTF-8 where it is valid as that, and otherwise
/// Windows-1252, which spreadsheets on Windows still write, unless it is `stated` to be another. UTF-16 without a mark is told by
/// its every other byte. A NUL means that it is no text at all.
pub(crate) fn decoded(path: &str, bytes: &[u8], problems: &mut Vec<Problem>) -> Option<String> {
    decoded_as(path, bytes, None, problems)
}

/// The same of a file that may be stated to be in an encoding.
pub(crate) fn decoded_as(
    path: &str,
    bytes: &[u8],
    stated: Option<&'static Encoding>,
    problems: &mut Vec<Problem>,
) -> Option<String> {
    let (encoding, mark) = match (Encoding::for_bom(bytes), stated) {
        (Some(marked), _) => marked,
        (None, Some(stated)) => (stated, 0),
        (None, None) => (unmarked(bytes), 0),
    };
    let (text, broken) = encoding.decode_without_bom_handling(&bytes[mark..]);
    let why = match () {
        () if text.contains('\0') => Some(no_text(bytes)),
        () if broken => Some("it begins as Unicode text and goes on as something else"),
        () => None,
    };
    if let Some(why) = why {
        problems.push(Problem::new(Reading::NotText { why }, Place::file(path)));
        return None;
    }
    if encoding == WINDOWS_1252 && stated.is_none() {
        problems.push(Problem::new(Reading::ReadAsWindows1252, Place::file(path)));
    }
    Some(text.into_owned())
}

/// The likely encoding of bytes without a mark.
fn unmarked(bytes: &[u8]) -> &'static Encoding {
    let nul = |from: usize| bytes.iter().skip(from).step_by(2).take(40).filter(|byte| **byte == 0).count();
    let pairs = bytes.len().min(80) / 2;
    match () {
        () if pairs > 3 && nul(1) * 10 >= pairs * 9 => UTF_16LE,
        () if pairs > 3 && nul(0) * 10 >= pairs * 9 => UTF_16BE,
        () if std::str::from_utf8(bytes).is_ok() => UTF_8,
        () => WINDOWS_1252,
    }
}

fn no_text(bytes: &[u8]) -> &'static str {
    match bytes {
        [b'P', b'K', 3, 4, ..] => "it is a workbook or a zip under another name",
        [0xD0, 0xCF, 0x11, 0xE0, ..] => "it is an old workbook under another name",
        _ => "it holds NUL characters",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> (Option<String>, Vec<&'static str>) {
        let mut problems = Vec::new();
        let text = decoded("a.csv", bytes, &mut problems);
        (text, problems.iter().map(|problem| problem.kind.own_code()).collect())
    }

    #[test]
    fn every_common_encoding_gives_the_same_text() {
        let text = Some("date,café\n".to_owned());
        let utf16 = |mark: char, bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
            format!("{mark}date,café\n").encode_utf16().flat_map(bytes).collect()
        };
        assert_eq!(read("date,café\n".as_bytes()), (text.clone(), vec![]));
        assert_eq!(read("\u{feff}date,café\n".as_bytes()), (text.clone(), vec![]));
        assert_eq!(read(&utf16('\u{feff}', u16::to_le_bytes)), (text.clone(), vec![]));
        assert_eq!(read(&utf16('\u{feff}', u16::to_be_bytes)), (text.clone(), vec![]));
        assert_eq!(read(&utf16('d', u16::to_le_bytes)).0.as_deref(), Some("ddate,café\n"));
        assert_eq!(read(&utf16('d', u16::to_be_bytes)).0.as_deref(), Some("ddate,café\n"));
        assert_eq!(read(b"date,caf\xe9\n"), (text, vec!["read-as-windows-1252"]));
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert_eq!(read(b"a,b\0c"), (None, vec!["not-text"]));
        assert_eq!(read(b"PK\x03\x04\x00\x00"), (None, vec!["not-text"]));
        assert_eq!(read(b"\xef\xbb\xbfa,\xff"), (None, vec!["not-text"]));
    }

    proptest::proptest! {
        #[test]
        fn any_bytes_are_text_or_refused(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..60), mark in 0usize..4) {
            let marks: [&[u8]; 4] = [b"", b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf"];
            let _ = read(&[marks[mark], &bytes].concat());
        }
    }
}
