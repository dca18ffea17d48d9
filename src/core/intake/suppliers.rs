//! Suppliers and the numbers of their receipts, as one is told from another however it is written.

use crate::intake::nearest::folded;

/// Words for the legal form of a business, which one receipt has and the next leaves out (common practice, no source).
const LEGAL_FORMS: [&str; 16] = [
    "pty",
    "proprietary",
    "ltd",
    "limited",
    "inc",
    "incorporated",
    "llc",
    "llp",
    "plc",
    "corp",
    "corporation",
    "co",
    "company",
    "gmbh",
    "the",
    "and",
];

/// Words beside the number of a receipt that are no part of it (common practice, no source).
const BESIDE_NUMBERS: [&str; 15] = [
    "inv",
    "invoice",
    "tax",
    "receipt",
    "rcpt",
    "rec",
    "bill",
    "docket",
    "no",
    "nr",
    "num",
    "number",
    "ref",
    "copy",
    "duplicate",
];

/// How alike two suppliers' names must be, by Jaro and Winkler, to be one name written twice: a letter lost, an ending changed (judgement).
const ALIKE: f64 = 0.92;

/// Signs in the number that a shorter writing of it must have left.
const LEFT: usize = 3;

/// Whether two names may be of one supplier, one of them written wrong.
pub(crate) fn one_supplier(one: &str, other: &str) -> bool {
    let (one, other) = (supplier(one), supplier(other));
    one == other || strsim::jaro_winkler(&one, &other) >= ALIKE
}

/// Whether two numbers of receipts, as [`receipt_number`] gives them, may be one: a slip of the pen, signs that look alike, the letters before
/// it left out.
pub(crate) fn one_number(one: &str, other: &str) -> bool {
    let looks = |number: &str| number.replace('o', "0").replace(['i', 'l'], "1");
    let (longer, shorter) = if one.len() >= other.len() { (one, other) } else { (other, one) };
    one == other
        || looks(one) == looks(other)
        || slipped(one, other)
        || shorter.len() >= LEFT && longer.ends_with(shorter)
}

/// A supplier as suppliers are compared: `Millrace Nursery Pty. Ltd.` is `Millrace Nursery`, `Auger & Sons` is `Auger and Sons`.
pub(crate) fn supplier(name: &str) -> String {
    let folded = folded(name).replace("p/l", " ");
    let words = folded.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    let telling: Vec<&str> = words.clone().filter(|word| !LEGAL_FORMS.contains(word)).collect();
    // A business may be called by such words alone.
    if telling.is_empty() { words.collect::<Vec<_>>().join(" ") } else { telling.join(" ") }
}

/// The number of a receipt as numbers are compared: `DN 11`, `Invoice no. dn-0011` and `DN11 (copy)` are one. `None` for words such as `cash`,
/// which number nothing.
pub(crate) fn receipt_number(number: &str) -> Option<String> {
    let folded = folded(number);
    let words = folded.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    let bare: String = words.filter(|word| !BESIDE_NUMBERS.contains(word)).map(without_noughts).collect();
    bare.chars().any(|letter| letter.is_ascii_digit()).then_some(bare)
}

/// A word without noughts in front of its numbers: they count nothing.
fn without_noughts(word: &str) -> String {
    let mut bare = String::new();
    for letter in word.chars() {
        let mut before = bare.chars().rev();
        if letter.is_ascii_digit()
            && before.next() == Some('0')
            && !before.next().is_some_and(|one| one.is_ascii_digit())
        {
            bare.pop();
        }
        bare.push(letter);
    }
    bare
}

/// Whether one number of a receipt is the other with a slip of the pen: one sign another, or two neighbours that changed places.
pub(crate) fn slipped(one: &str, other: &str) -> bool {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    if one.len() != other.len() {
        return false;
    }
    let apart: Vec<usize> = (0..one.len()).filter(|&at| one.get(at) != other.get(at)).collect();
    match apart[..] {
        [_] => true,
        [first, second] => {
            second == first + 1 && one.get(first) == other.get(second) && one.get(second) == other.get(first)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_supplier_and_one_number_are_known_however_they_are_written() {
        for name in [
            "Delver Nursery",
            "DELVER  NURSERY PTY LTD",
            "Delver Nursery Pty. Ltd.",
            "The Delver Nursery P/L",
        ] {
            assert_eq!(supplier(name), "delver nursery", "{name}");
        }
        assert_eq!(supplier("Auger & Sons"), supplier("Auger and Sons"));
        assert_ne!(supplier("Delver North"), supplier("Delver South"));
        assert_eq!(supplier("The Company"), "the company");
        assert_eq!(receipt_number("LR25 01"), receipt_number("lr25-1"));
        for number in ["DN 11", "DN11", "dn-11", " DN/11", "DN-0011"] {
            assert_eq!(receipt_number(number).as_deref(), Some("dn11"), "{number}");
        }
        for number in ["Inv. DN 11", "TAX INVOICE No. DN-11", "Receipt DN11", "DN-11 (copy)"] {
            assert_eq!(receipt_number(number).as_deref(), Some("dn11"), "{number}");
        }
        assert_ne!(receipt_number("DN 11"), receipt_number("DN 1 1 2"));
        assert_ne!(receipt_number("DN 101"), receipt_number("DN 11"));
        assert_eq!(receipt_number("0"), Some("0".to_owned()));
        assert_eq!(receipt_number("cash"), None);
    }

    #[test]
    fn suppliers_and_numbers_that_may_be_one() {
        assert!(
            one_supplier("Millrace Nursery", "Millrace Nurseries")
                && one_supplier("Millrace Nursery", "Milrace Nursery")
        );
        assert!(
            !one_supplier("Delver Nursery", "Longbarrow Seedlings")
                && !one_supplier("North Fencing", "South Fencing")
        );
        assert!(one_number("mn511", "511") && one_number("lb90", "lb9o") && one_number("as13", "as31"));
        assert!(!one_number("mn511", "sw51") && !one_number("mn511", "11"));
    }

    #[test]
    fn a_slip_of_the_pen_is_one_sign_or_two_that_changed_places() {
        assert!(slipped("as13", "as31") && slipped("as13", "as18"));
        assert!(!slipped("as13", "as13") && !slipped("as13", "as131") && !slipped("as13", "as42"));
    }
}
