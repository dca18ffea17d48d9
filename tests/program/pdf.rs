//! What a PDF holds, laid open: every stream inflated, and the words that its content streams draw.

use std::{collections::BTreeMap, io::Read as _};

use flate2::read::ZlibDecoder;

/// A PDF laid open.
pub(crate) struct Opened {
    /// The streams, inflated; one that is no text, such as a picture, as it is.
    pub(crate) streams: Vec<Vec<u8>>,
    /// Everything that is drawn as text, as each of the fonts would read it, without space.
    pub(crate) words: Vec<String>,
}

/// Lays `pdf` open.
pub(crate) fn opened(pdf: &[u8]) -> Opened {
    let streams = streams(pdf);
    let fonts: Vec<BTreeMap<u16, String>> = streams
        .iter()
        .filter(|stream| find(stream, b"begincmap").is_some())
        .map(|stream| letters(stream))
        .collect();
    let drawn: Vec<Vec<u16>> =
        streams.iter().map(|stream| glyphs(stream)).filter(|codes| !codes.is_empty()).collect();
    let read = |codes: &Vec<u16>, font: &BTreeMap<u16, String>| -> String {
        let letters = codes.iter().filter_map(|code| font.get(code));
        letters.flat_map(|letters| letters.chars()).filter(|letter| !letter.is_whitespace()).collect()
    };
    let words = drawn.iter().flat_map(|codes| fonts.iter().map(move |font| read(codes, font))).collect();
    Opened { streams, words }
}

fn find(bytes: &[u8], word: &[u8]) -> Option<usize> {
    memchr::memmem::find(bytes, word)
}

fn streams(pdf: &[u8]) -> Vec<Vec<u8>> {
    let (mut rest, mut streams) = (pdf, Vec::new());
    while let Some(at) = find(rest, b"stream") {
        let body = &rest[at + 6..];
        let body = body.strip_prefix(b"\r\n").or(body.strip_prefix(b"\n")).unwrap_or(body);
        let Some(end) = find(body, b"endstream") else { break };
        let (stream, after) = (&body[..end], &body[end + 9..]);
        let mut inflated = Vec::new();
        match ZlibDecoder::new(stream).read_to_end(&mut inflated) {
            Ok(_) => streams.push(inflated),
            Err(_) => streams.push(stream.to_vec()),
        }
        rest = after;
    }
    streams
}

/// Which letters a font's codes stand for, from its map to Unicode.
fn letters(map: &[u8]) -> BTreeMap<u16, String> {
    let text = String::from_utf8_lossy(map);
    let mut letters = BTreeMap::new();
    let number = |hex: &str| u16::from_str_radix(hex.trim_matches(['<', '>']), 16).ok();
    let word = |hex: &str| {
        let hex = hex.trim_matches(['<', '>']);
        let units: Vec<u16> = (0..hex.len() / 4)
            .filter_map(|at| u16::from_str_radix(&hex[4 * at..4 * at + 4], 16).ok())
            .collect();
        String::from_utf16_lossy(&units)
    };
    for part in text.split("beginbfchar").skip(1) {
        let cells: Vec<&str> =
            part.split("endbfchar").next().unwrap_or_default().split_whitespace().collect();
        for pair in cells.chunks_exact(2) {
            letters.extend(number(pair[0]).map(|code| (code, word(pair[1]))));
        }
    }
    for part in text.split("beginbfrange").skip(1) {
        let cells: Vec<&str> =
            part.split("endbfrange").next().unwrap_or_default().split_whitespace().collect();
        for row in cells.chunks_exact(3) {
            let (Some(first), Some(last)) = (number(row[0]), number(row[1])) else { continue };
            let from = word(row[2]).chars().next().map_or(0, u32::from);
            for code in first..=last {
                let letter = char::from_u32(from + u32::from(code - first));
                letters.extend(letter.map(|letter| (code, letter.to_string())));
            }
        }
    }
    letters
}

/// The codes of every string that a content stream shows, two bytes each; a string of an odd length is none that a font of the documents reads.
fn glyphs(stream: &[u8]) -> Vec<u16> {
    let mut codes = Vec::new();
    if find(stream, b" Tj").is_none() && find(stream, b" TJ").is_none() && find(stream, b"]TJ").is_none() {
        return Vec::new();
    }
    let mut at = 0;
    while at < stream.len() {
        match stream[at] {
            b'(' => {
                let mut bytes = Vec::new();
                at = literal(stream, at + 1, &mut bytes);
                codes.extend(pairs(&bytes));
            }
            b'<' if stream.get(at + 1) != Some(&b'<') => {
                let end =
                    stream[at..].iter().position(|&byte| byte == b'>').map_or(stream.len(), |end| at + end);
                let digits: Vec<u8> =
                    stream[at + 1..end].iter().copied().filter(u8::is_ascii_hexdigit).collect();
                let value = |digit: u8| char::from(digit).to_digit(16).unwrap_or(0) as u8;
                let byte = |pair: &[u8]| value(pair[0]) * 16 + pair.get(1).map_or(0, |&low| value(low));
                let bytes: Vec<u8> = digits.chunks(2).map(byte).collect();
                codes.extend(pairs(&bytes));
                at = end;
            }
            b'<' => at += 1,
            _ => {}
        }
        at += 1;
    }
    codes
}

fn pairs(bytes: &[u8]) -> Vec<u16> {
    let even = if bytes.len().is_multiple_of(2) { bytes } else { &[] };
    even.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect()
}

/// Reads a string in brackets from `at` on; gives the place of its closing bracket.
fn literal(stream: &[u8], mut at: usize, bytes: &mut Vec<u8>) -> usize {
    let mut depth = 1;
    while let Some(&byte) = stream.get(at) {
        match byte {
            b'\\' => {
                at += 1;
                let Some(&next) = stream.get(at) else { break };
                match next {
                    b'n' => bytes.push(b'\n'),
                    b'r' => bytes.push(b'\r'),
                    b't' => bytes.push(b'\t'),
                    b'b' => bytes.push(8),
                    b'f' => bytes.push(12),
                    b'0'..=b'7' => {
                        let digits =
                            stream[at..].iter().take(3).take_while(|digit| (b'0'..=b'7').contains(digit));
                        let (length, value) = digits
                            .fold((0, 0_u32), |(n, sum), digit| (n + 1, sum * 8 + u32::from(digit - b'0')));
                        bytes.push(u8::try_from(value & 255).unwrap_or(0));
                        at += length - 1;
                    }
                    other => bytes.push(other),
                }
            }
            b'(' => {
                depth += 1;
                bytes.push(byte);
            }
            b')' => {
                depth -= 1;
                if depth == 0 {
                    return at;
                }
                bytes.push(byte);
            }
            _ => bytes.push(byte),
        }
        at += 1;
    }
    at
}
