//! Letters as DOS had them: the tables of shapefiles that older programs wrote.
//!
//! # Reference
//! The Unicode Consortium, *Mappings of Microsoft's code pages* 437 and 850.

/// A page of letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DosPage {
    /// United States.
    Cp437,
    /// Western Europe.
    Cp850,
}

/// What stands for the bytes from 128 on.
const CP437: &str = "\
    ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒ\
    áíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
    └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
    αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}";
const CP850: &str = "\
    ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒ\
    áíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐\
    └┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀\
    ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u{ad}±‗¾¶§÷¸°¨·¹³²■\u{a0}";

/// The page that a `.cpg` names.
pub(super) fn page(cpg: &str) -> Option<DosPage> {
    let digits: String = cpg.chars().filter(char::is_ascii_digit).collect();
    match digits.as_str() {
        "437" => Some(DosPage::Cp437),
        "850" => Some(DosPage::Cp850),
        _ => None,
    }
}

/// The text in `bytes`.
pub(super) fn text(bytes: &[u8], page: DosPage) -> String {
    let letters = match page {
        DosPage::Cp437 => CP437,
        DosPage::Cp850 => CP850,
    };
    let letter = |&byte: &u8| match byte.checked_sub(128) {
        None => char::from(byte),
        Some(at) => letters.chars().nth(usize::from(at)).unwrap_or(char::REPLACEMENT_CHARACTER),
    };
    bytes.iter().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_western_europe_are_read() {
        assert_eq!([CP437, CP850].map(|page| page.chars().count()), [128, 128]);
        assert_eq!(text(b"H\x94he \xe1 \x81", DosPage::Cp850), "Höhe ß ü");
        assert_eq!(text(b"\xe1\xe3", DosPage::Cp437), "ßπ");
        assert_eq!(text(b"\xd5\x9d", DosPage::Cp850), "ıØ");
        assert_eq!(
            [page("CP850"), page("850"), page("cp-437"), page("UTF-8")],
            [Some(DosPage::Cp850), Some(DosPage::Cp850), Some(DosPage::Cp437), None]
        );
    }
}
