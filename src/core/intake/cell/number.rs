//! Numbers as people write them: thousands set apart, decimal commas, true minus signs.

/// What stands before the decimals in a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// A point; commas set thousands apart.
    Point,
    /// A comma; points set thousands apart.
    Comma,
    /// Each number must tell by itself: `1.5` and `1,5` do, `1,234` does not.
    Unclear,
}

impl Mark {
    /// The mark of a table in which both are possible, by those of its cells that leave no choice.
    pub(crate) fn of<'a>(cells: impl IntoIterator<Item = &'a str>) -> Mark {
        let (mut points, mut commas) = (false, false);
        for cell in cells {
            let read = |mark| plain(cell, mark).is_some();
            match (read(Mark::Point), read(Mark::Comma)) {
                (true, false) => points = true,
                (false, true) => commas = true,
                _ => {}
            }
        }
        match (points, commas) {
            (true, false) => Mark::Point,
            (false, true) => Mark::Comma,
            _ => Mark::Unclear,
        }
    }
}

/// The number in `text` as plain ASCII, such as `-1234.5` or `1.2e3`; `None` where it is no number, or could be two.
pub(crate) fn plain(text: &str, mark: Mark) -> Option<String> {
    if let Some(whole) = fraction(text) {
        return Some(whole);
    }
    let (point, comma) = match mark {
        Mark::Point => return spelt(text, '.', ','),
        Mark::Comma => return spelt(text, ',', '.'),
        Mark::Unclear => (spelt(text, '.', ','), spelt(text, ',', '.')),
    };
    match (point, comma) {
        (Some(one), Some(other)) if one != other => None,
        (one, other) => one.or(other),
    }
}

/// The number in `2½`, `½` or `1 ¾`.
fn fraction(text: &str) -> Option<String> {
    const FRACTIONS: [(char, &str); 3] = [('½', "5"), ('¼', "25"), ('¾', "75")];
    let text = text.trim();
    let (whole, part) =
        FRACTIONS.iter().find_map(|(sign, part)| Some((text.strip_suffix(*sign)?.trim_end(), part)))?;
    let plain = whole.len() <= 6 && whole.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| format!("{}.{part}", if whole.is_empty() { "0" } else { whole }))
}

fn spelt(text: &str, decimal: char, thousands: char) -> Option<String> {
    const MINUS: [char; 3] = ['-', '−', '–'];
    let text = text.trim();
    // Ledgers and banks write the minus behind the number too.
    let behind = || text.strip_suffix(MINUS).filter(|rest| !rest.starts_with('+'));
    let (sign, rest) =
        match text.strip_prefix(MINUS).map(str::trim_start).or_else(|| behind().map(str::trim_end)) {
            Some(rest) => ("-", rest),
            None => ("", text.strip_prefix('+').unwrap_or(text)),
        };
    let (digits, exponent) = match rest.find(['e', 'E']) {
        Some(at) => (&rest[..at], exponent(&rest[at + 1..])?),
        None => (rest, String::new()),
    };
    let (whole, part) = match digits.split_once(decimal) {
        Some((whole, part)) => (whole, Some(part)),
        None => (digits, None),
    };
    let whole = ungrouped(whole, thousands)?;
    match part {
        None if whole.is_empty() => None,
        None => Some(format!("{sign}{whole}{exponent}")),
        Some(part) => {
            let fine = part.bytes().all(|b| b.is_ascii_digit()) && !(part.is_empty() && whole.is_empty());
            let (whole, point) =
                (if whole.is_empty() { "0" } else { &whole }, if part.is_empty() { "" } else { "." });
            fine.then(|| format!("{sign}{whole}{point}{part}{exponent}"))
        }
    }
}

fn exponent(text: &str) -> Option<String> {
    let digits = text.trim_start_matches(['+', '-']);
    let fine = (1..=4).contains(&digits.len())
        && text.len() - digits.len() <= 1
        && digits.bytes().all(|b| b.is_ascii_digit());
    fine.then(|| format!("e{text}"))
}

/// The digits of `whole`; thousands may be set apart by `thousands`, a space of any width or an apostrophe.
fn ungrouped(whole: &str, thousands: char) -> Option<String> {
    let apart =
        |c: char| c == thousands || matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\'' | '’');
    let mut between = whole.chars().filter(|c| !c.is_ascii_digit());
    let Some(separator) = between.next() else { return Some(whole.to_owned()) };
    if !apart(separator) || between.any(|other| other != separator) {
        return None;
    }
    let groups: Vec<&str> = whole.split(separator).collect();
    let (first, rest) = groups.split_first()?;
    ((1..=3).contains(&first.len()) && !first.starts_with('0') && rest.iter().all(|group| group.len() == 3))
        .then(|| groups.concat())
}

/// What may stand behind a number without making it another: a unit of length, area, time or money, or one plant.
const UNITS: [&str; 25] = [
    "m",
    "cm",
    "mm",
    "km",
    "m2",
    "m²",
    "ha",
    "°",
    "h",
    "hr",
    "hrs",
    "hours",
    "stem",
    "stems",
    "plant",
    "plants",
    "tree",
    "trees",
    "seedling",
    "seedlings",
    "dollars",
    "x",
    "d",
    "days",
    "deg",
];

/// The number that `text` most likely means where it is none: letters taken for digits, or a unit behind it. It is spelt as a table
/// with this `mark` has it. Words make no number, and what is counted in trays is not counted in plants.
pub(crate) fn likely(text: &str, mark: Mark) -> Option<String> {
    let digits = |text: &str| {
        let digit = |c: char| match c {
            'O' | 'o' => '0',
            'l' | 'I' | '|' => '1',
            other => other,
        };
        text.chars().map(digit).collect::<String>()
    };
    let bare = without_unit(text);
    let guesses = [text.to_owned(), digits(text), bare.to_owned(), digits(bare)];
    let other = if mark == Mark::Point { Mark::Comma } else { Mark::Point };
    let number = guesses
        .iter()
        .filter(|_| text.contains(|c: char| c.is_ascii_digit()))
        .find_map(|guess| plain(guess, mark).or_else(|| plain(guess, other)))?;
    Some(if mark == Mark::Comma { number.replace('.', ",") } else { number })
}

/// The text without the unit behind it.
pub(crate) fn without_unit(text: &str) -> &str {
    let text = text.trim().trim_end_matches('.');
    let lower = text.to_lowercase();
    let of = |unit: &&&str| {
        let before = lower.strip_suffix(**unit).unwrap_or_default().trim_end();
        before.ends_with(|c: char| c.is_ascii_digit() || "oOlI|.,".contains(c)) && lower.len() == text.len()
    };
    let unit = UNITS.iter().filter(of).max_by_key(|unit| unit.len());
    unit.map_or(text, |unit| text[..text.len() - unit.len()].trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn value(text: &str, mark: Mark) -> Option<f64> {
        plain(text, mark).and_then(|text| text.parse().ok())
    }

    #[test]
    fn thousands_may_be_set_apart() {
        for text in [
            "1234",
            "1,234",
            "1 234",
            "1\u{a0}234",
            "1\u{202f}234",
            "1'234",
            "1’234",
            "+1234",
            "1.234e3",
            " 1234.0 ",
        ] {
            assert_eq!(value(text, Mark::Point), Some(1234.0), "{text}");
        }
        for text in ["-1234.5", "−1,234.5", "– 1 234.50"] {
            assert_eq!(value(text, Mark::Point), Some(-1234.5), "{text}");
        }
        for text in ["12.50-", "12.50 -", "12.50−"] {
            assert_eq!(value(text, Mark::Point), Some(-12.5), "{text}");
        }
        for (text, number) in [("2½", 2.5), ("½", 0.5), ("1 ¾", 1.75), ("12¼", 12.25)] {
            assert_eq!(value(text, Mark::Comma), Some(number), "{text}");
        }
        assert_eq!(value(".5", Mark::Point), Some(0.5));
        assert_eq!(value("5.", Mark::Point), Some(5.0));
    }

    #[test]
    fn what_is_no_number_stays_none() {
        for text in [
            "",
            "-",
            ".",
            "1,23",
            "12,34,567",
            "1,234 567",
            "0,123",
            "NaN",
            "inf",
            "-inf",
            "1e",
            "1e+-3",
            "--1",
            "-1-",
            "+1-",
            "½ 2",
            "1.5½",
            "-",
            "1O",
            "١٢",
            "1.2.3",
        ] {
            assert_eq!(plain(text, Mark::Point), None, "{text}");
        }
    }

    #[test]
    fn a_decimal_comma_is_read_where_the_table_has_them() {
        assert_eq!(value("1.234,5", Mark::Comma), Some(1234.5));
        assert_eq!(value("1,234", Mark::Comma), Some(1.234));
        assert_eq!(value("1.234,5", Mark::Unclear), Some(1234.5));
        assert_eq!(value("1,5", Mark::Unclear), Some(1.5));
        assert_eq!(value("1.5", Mark::Unclear), Some(1.5));
        assert_eq!(value("0,752", Mark::Unclear), Some(0.752));
        assert_eq!(plain("1,234", Mark::Unclear), None);
        assert_eq!(plain("1.234", Mark::Unclear), None);
        let mark = |cells: &[&str]| Mark::of(cells.iter().copied());
        assert_eq!(mark(&["12", "1,234", "0,5", "B2"]), Mark::Comma);
        assert_eq!(mark(&["12", "1,234", "0.5"]), Mark::Point);
        assert_eq!(mark(&["12", "1,234"]), Mark::Unclear);
        assert_eq!(mark(&["1,5", "1.5"]), Mark::Unclear);
    }

    #[test]
    fn the_likely_number_is_offered() {
        assert_eq!(likely("1O", Mark::Point).as_deref(), Some("10"));
        assert_eq!(likely("12 m", Mark::Point).as_deref(), Some("12"));
        assert_eq!(likely("12 ml", Mark::Point), None);
        assert_eq!(likely("lots", Mark::Point), None);
        assert_eq!(likely("9 trays", Mark::Point), None);
        assert_eq!(likely("1,5", Mark::Point).as_deref(), Some("1.5"));
        assert_eq!(likely("1.5", Mark::Comma).as_deref(), Some("1,5"));
        assert_eq!(likely("1,5O m", Mark::Comma).as_deref(), Some("1,50"));
        assert_eq!(likely("many", Mark::Point), None);
    }

    proptest! {
        #[test]
        fn any_text_is_a_finite_number_or_none(text in ".*") {
            for mark in [Mark::Point, Mark::Comma, Mark::Unclear] {
                if let Some(spelt) = plain(&text, mark) {
                    prop_assert!(spelt.parse::<f64>().is_ok(), "{}", spelt);
                }
                if let Some(guess) = likely(&text, mark) {
                    prop_assert!(plain(&guess, mark).is_some() || mark == Mark::Unclear, "{} for {}", guess, text);
                }
            }
        }

        #[test]
        fn printed_numbers_are_read_back(value in -1e9..1e9f64, decimals in 0..4usize) {
            let printed = crate::units::number(value, decimals);
            let expected: f64 = format!("{value:.decimals$}").parse().unwrap();
            prop_assert_eq!(self::value(&printed, Mark::Point), Some(expected));
        }
    }
}
