//! Sums of money as people write them.

use rust_decimal::Decimal;

use crate::{
    intake::cell::{Cells, number},
    problem::Reading,
    units::Money,
};

/// Signs that belong to some currencies only, and those currencies.
const SIGNS: [(char, &[&str]); 6] = [
    (
        '$',
        &[
            "AUD", "NZD", "USD", "CAD", "SGD", "HKD", "TWD", "FJD", "SBD", "MXN", "ARS", "CLP", "COP", "UYU",
            "NAD",
        ],
    ),
    ('€', &["EUR"]),
    ('£', &["GBP", "EGP", "FKP", "GIP"]),
    ('¥', &["JPY", "CNY"]),
    ('₹', &["INR"]),
    ('₩', &["KRW"]),
];

impl Cells<'_> {
    /// A sum of money in `currency`; a refund is negative.
    pub(crate) fn money(&mut self, column: &str, currency: &str) -> Option<Money> {
        let found = self.raw(column)?;
        let Some(bare) = bare(found, currency) else {
            let kind = Reading::OtherCurrency { found: found.to_owned(), currency: currency.to_owned() };
            self.say(column, kind);
            return None;
        };
        let sum = |text: &str| {
            let spelt = number::plain(text, self.mark())?;
            Decimal::from_str_exact(&spelt).or(Decimal::from_scientific(&spelt)).ok()
        };
        let Some(sum) = sum(&bare) else {
            // A guess is read as it would be if it stood in the cell: of `10e0` the letter would be taken for a currency's.
            let offered = |guess: &str| self::bare(guess, currency).is_some_and(|bare| sum(&bare).is_some());
            let nearest = self.nearest_number(&bare, offered);
            let wanted = format!("a sum of money in {currency}, such as 1234.50");
            self.say_no_number(column, &bare, &wanted, nearest);
            return None;
        };
        let sum = Money(sum);
        if !sum.is_within_reason() {
            let wanted = format!("a sum of at most a million million {currency}");
            self.say(column, Reading::OutOfRange { found: found.to_owned(), wanted });
            return None;
        }
        Some(sum)
    }
}

/// The number in `text` without the currency's signs and letters; accountants' brackets become a minus sign. `None` where
/// another currency is named.
fn bare(text: &str, currency: &str) -> Option<String> {
    let (text, negative) = match text.trim().strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        Some(within) => (within, "-"),
        None => (text.trim(), ""),
    };
    let mut number = String::from(negative);
    let mut letters = String::new();
    for c in text.chars() {
        match c {
            c if SIGNS.iter().any(|(sign, of)| *sign == c && !of.contains(&currency)) => return None,
            c if SIGNS.iter().any(|(sign, _)| *sign == c) => {}
            c if c.is_alphabetic() => letters.push(c),
            c => number.push(c),
        }
    }
    // `A$`, `AU$` and `AUD` all begin the code; more letters are words, and no number.
    match letters.len() {
        0..=3 if !currency.to_lowercase().starts_with(&letters.to_lowercase()) => None,
        0..=3 => Some(number.trim().to_owned()),
        _ => Some(text.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_letters_of_the_currency_are_taken_off() {
        let aud = |text| bare(text, "AUD");
        for text in ["1,234.50", "$1,234.50", "A$ 1,234.50", "AUD 1,234.50", "1,234.50 AUD", "au$1,234.50"] {
            assert_eq!(aud(text).as_deref(), Some("1,234.50"), "{text}");
        }
        assert_eq!(aud("($45.00)").as_deref(), Some("-45.00"));
        assert_eq!(aud("-$45.00").as_deref(), Some("-45.00"));
        assert_eq!(aud("−45").as_deref(), Some("−45"));
        assert_eq!(aud("see receipt").as_deref(), Some("see receipt"));
        assert_eq!(aud("€5"), None);
        assert_eq!(aud("USD 5"), None);
        assert_eq!(bare("€5", "EUR").as_deref(), Some("5"));
        assert_eq!(bare("$5", "NZD").as_deref(), Some("5"));
        assert_eq!(bare("$5", "EUR"), None);
    }

    proptest::proptest! {
        #[test]
        fn any_cell_is_stripped_or_left(text in "\\PC{0,20}|[-(]?[A-Z$€]{0,3} ?[0-9.,]{0,12} ?[A-Z$€]{0,3}[)]?") {
            let _ = bare(&text, "AUD");
        }
    }
}
