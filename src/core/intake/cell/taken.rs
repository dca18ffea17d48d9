//! Cells that say a number otherwise than by a number: about so many, a trace, hours and minutes, with another unit.

use std::collections::BTreeMap;

/// What was taken for something else than stands there, once for each column and each way of saying it.
#[derive(Debug, Default)]
pub(crate) struct Taken {
    seen: BTreeMap<(String, Way), Seen>,
}

/// A way of saying a number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Way {
    /// About so many.
    About,
    /// Too little to be measured.
    Trace,
    /// By another name.
    Name(String),
    /// By two sides.
    Sides(String),
}

#[derive(Debug)]
struct Seen {
    row: (u16, u32),
    found: String,
    read_as: String,
    cells: usize,
}

/// The first of the cells that say a thing in one way.
pub(crate) struct Told<'a> {
    /// Its part and row.
    pub(crate) row: (u16, u32),
    /// Its column.
    pub(crate) column: &'a str,
    /// The way.
    pub(crate) way: &'a Way,
    /// What stands there.
    pub(crate) found: &'a str,
    /// What it was read as.
    pub(crate) read_as: &'a str,
    /// How many there are.
    pub(crate) cells: usize,
}

impl Taken {
    /// Remembers that `found` was read as `read_as`.
    pub(crate) fn add(&mut self, row: (u16, u32), column: &str, way: Way, found: &str, read_as: &str) {
        let seen = || Seen { row, found: found.to_owned(), read_as: read_as.to_owned(), cells: 0 };
        let seen = self.seen.entry((column.to_owned(), way)).or_insert_with(seen);
        seen.cells += 1;
    }

    /// The first of each.
    pub(crate) fn told(&self) -> impl Iterator<Item = Told<'_>> {
        self.seen.iter().map(|((column, way), seen)| Told {
            row: seen.row,
            column,
            way,
            found: &seen.found,
            read_as: &seen.read_as,
            cells: seen.cells,
        })
    }
}

/// The number behind a sign for "about", such as `~20`, `ca. 20` or `about 20`.
pub(crate) fn about(text: &str) -> Option<&str> {
    let lower = text.to_lowercase();
    let sign = ["~", "≈", "ca. ", "ca ", "c. ", "c.", "approx. ", "approx ", "about ", "circa "];
    let found = sign.iter().find(|sign| lower.starts_with(**sign) && text.is_char_boundary(sign.len()))?;
    text.get(found.len()..).map(str::trim).filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Whether a gauge had too little in it to be read.
pub(crate) fn is_trace(text: &str) -> bool {
    ["trace", "tr", "t", "<0.1", "< 0.1", "<0.2", "< 0.2"].contains(&text.to_lowercase().as_str())
}

/// Whether a gauge was read and had nothing in it.
pub(crate) fn is_none(text: &str) -> bool {
    ["nil", "none", "dry", "no rain"].contains(&text.to_lowercase().as_str())
}

/// Hours that are written as a clock has them: `3:30`, `3h30`.
pub(crate) fn is_clock(text: &str) -> bool {
    let parts = text.split_once([':', 'h', 'H']);
    parts.is_some_and(|(hours, minutes)| {
        let digits =
            |text: &str| !text.trim().is_empty() && text.trim().bytes().all(|byte| byte.is_ascii_digit());
        digits(hours) && digits(minutes.trim_end_matches("min").trim_end_matches('m'))
    })
}

/// What hours written as `3.30` would be if the point parted them from minutes: thirds and tenths of an hour are no quarter hours.
pub(crate) fn as_clock(text: &str) -> Option<f64> {
    let (hours, minutes) = text.trim().split_once(['.', ','])?;
    let minutes = ["00", "15", "30", "45"].contains(&minutes).then(|| minutes.parse::<f64>().ok())??;
    let hours: f64 = hours.parse().ok().filter(|_| hours.bytes().all(|byte| byte.is_ascii_digit()))?;
    Some(hours + minutes / 60.0)
}

/// The hours in `3:30`, `3h`, `3 h 30`, `3 hrs 30 min`, `45 min` or `45m`.
pub(crate) fn hours(text: &str) -> Option<f64> {
    let lower = text.to_lowercase();
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| *number >= 0.0);
    let minutes = |text: &str| {
        let bare =
            text.trim().trim_end_matches(['s', '.']).trim_end_matches("minute").trim_end_matches("min");
        let bare = bare.trim_end_matches('m');
        if bare.trim().is_empty() { Some(0.0) } else { number(bare).filter(|minutes| *minutes < 60.0) }
    };
    if let Some((hours, rest)) = lower.split_once(':') {
        // Seconds behind the minutes count for nothing when they are none.
        let rest = rest.strip_suffix(":00").unwrap_or(rest);
        let whole =
            |text: &str| (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())).then(|| number(text));
        return Some(whole(hours.trim())?? + whole(rest).filter(|_| rest.len() == 2)??.min(59.0) / 60.0);
    }
    if let Some((hours, rest)) = lower.split_once('h') {
        let rest = ["ours", "our", "rs", "r", ""].iter().find_map(|end| rest.strip_prefix(end))?;
        return Some(number(hours)? + minutes(rest.trim_start_matches('.'))? / 60.0);
    }
    let minutes_alone =
        ["min", "mins", "minutes", "min.", "m"].iter().find_map(|end| lower.strip_suffix(end))?;
    number(minutes_alone).map(|minutes| minutes / 60.0)
}

/// Whether the letters in a cell of hours are none but those that are written for digits or for hours: `2 days` are no 2 hours.
pub(crate) fn may_be_hours(text: &str) -> bool {
    let words = text.split(|letter: char| !letter.is_alphabetic()).filter(|word| !word.is_empty());
    let digits = |word: &str| word.chars().all(|letter| "oOlI".contains(letter));
    words.into_iter().all(|word| digits(word) || word.to_lowercase().starts_with('h'))
}

/// The length in `text` without its unit, and the unit in millimetres: `5.64m`, `90 cm`.
pub(crate) fn length(text: &str) -> Option<(&str, f64)> {
    let units = [("mm", 1.0), ("cm", 10.0), ("m", 1000.0)];
    let of = |(unit, long): &(&str, f64)| {
        let number = text.strip_suffix(unit)?.trim_end();
        number.ends_with(|c: char| c.is_ascii_digit()).then_some((number, *long))
    };
    units.iter().find_map(of)
}

/// The two sides in metres of what is written as `10 x 10`, `20m × 5m` or `10 by 10 m`.
pub(crate) fn sides(text: &str) -> Option<(&str, &str)> {
    let (long, wide) =
        [" x ", " X ", "×", " by ", "*", "x", "X"].iter().find_map(|by| text.split_once(by))?;
    Some((side(long)?, side(wide)?))
}

/// A number of metres without its unit.
fn side(text: &str) -> Option<&str> {
    let text = text.trim();
    let number = text.strip_suffix("metres").or(text.strip_suffix('m')).unwrap_or(text).trim_end();
    let digit = |letter: char| letter.is_ascii_digit();
    let is_one = number.chars().all(|letter| digit(letter) || ".,".contains(letter));
    (is_one && number.starts_with(digit) && number.ends_with(digit)).then_some(number)
}

/// A number with a point before its decimals, and at least so many digits before that.
pub(crate) fn decimals(text: &str, digits: usize) -> Option<f64> {
    let (whole, part) = text.trim().split_once('.')?;
    let bare = whole.strip_prefix(['-', '−']).unwrap_or(whole);
    let plain = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let sign = if bare.len() < whole.len() { -1.0 } else { 1.0 };
    let is_one = plain(bare) && plain(part) && bare.len() >= digits;
    is_one.then(|| format!("{bare}.{part}").parse::<f64>().ok())?.map(|number| sign * number)
}

/// Degrees in `36°12'30"S`, `36 12.5 S` or `148° 1.9' E`; west and south are below nothing.
pub(crate) fn degrees(text: &str) -> Option<f64> {
    let upper = text.trim().to_uppercase();
    let letter = |c: char| matches!(c, 'N' | 'S' | 'E' | 'W');
    let side = upper.chars().rfind(|&c| letter(c)).or_else(|| upper.chars().find(|&c| letter(c)));
    let bare = upper.trim_matches(|c: char| letter(c) || c.is_whitespace());
    if side.is_none() && !bare.contains('°') {
        return None;
    }
    let parts: Vec<&str> = bare
        .split(|c: char| c.is_whitespace() || "°º'′’\"″”:".contains(c))
        .filter(|part| !part.is_empty())
        .collect();
    let numbers: Vec<f64> = parts.iter().map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let (sign, numbers) = match numbers.as_slice() {
        [first, rest @ ..] if (1..=3).contains(&numbers.len()) => {
            let below = *first < 0.0 || matches!(side, Some('S' | 'W'));
            (if below { -1.0 } else { 1.0 }, [&[first.abs()], rest].concat())
        }
        _ => return None,
    };
    let fine = numbers[1..].iter().all(|part| (0.0..60.0).contains(part));
    let steps = [1.0, 60.0, 3600.0];
    fine.then(|| sign * numbers.iter().zip(steps).map(|(part, step)| part / step).sum::<f64>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_read_in_every_dress() {
        for text in
            ["3:30", "03:30", "3:30:00", "3h30", "3 h 30 min", "3 hrs 30", "3.5h", "3.5 hours", "210 min"]
        {
            assert_eq!(hours(text), Some(3.5), "{text}");
        }
        for text in ["", "3", "3:5", "3:", ":30", "h", "half", "3 halves", "3h 70", "2 days", "1.5 d"] {
            assert_eq!(hours(text), None, "{text}");
        }
        for text in ["30m", "30 m", "30 min"] {
            assert_eq!(hours(text), Some(0.5), "{text}");
        }
        for text in ["2 days", "1.5 d", "1 day", "3 ppl", "2 Tage"] {
            assert!(!may_be_hours(text), "{text}");
        }
        for text in ["3", "3,5", "3O", "l2", "3 hors"] {
            assert!(may_be_hours(text), "{text}");
        }
    }

    #[test]
    fn hours_of_a_clock_are_told_from_decimals() {
        assert!(["3:30", "3h30", "3 h 30 min", "03:30"].iter().all(|text| is_clock(text)));
        assert!(["3.30", "3h", "3 hours", "3", ""].iter().all(|text| !is_clock(text)));
        assert_eq!(
            (as_clock("3.30"), as_clock("4,15"), as_clock("2.00")),
            (Some(3.5), Some(4.25), Some(2.0))
        );
        assert_eq!(
            (as_clock("3.5"), as_clock("3.25"), as_clock("3.33"), as_clock("3")),
            (None, None, None, None)
        );
    }

    #[test]
    fn degrees_may_stand_with_minutes_and_seconds() {
        for text in ["36°12'30\"S", "36 12.5 S", "36º 12′ 30″ s", "-36°12.5'", "S 36 12 30", "36:12:30S"]
        {
            assert_eq!(
                degrees(text).map(|found| (found * 1e9).round() / 1e9),
                Some(-36.208_333_333),
                "{text}"
            );
        }
        assert_eq!(degrees("148.0312° E"), Some(148.0312));
        for text in ["", "36 12 30", "36°72'S", "N", "1 2 3 4 S", "36°x'S"] {
            assert_eq!(degrees(text), None, "{text}");
        }
    }

    #[test]
    fn a_length_may_bring_its_unit() {
        assert_eq!(length("5.64m"), Some(("5.64", 1000.0)));
        assert_eq!(length("90 cm"), Some(("90", 10.0)));
        assert_eq!(length("12 m2"), None);
        assert_eq!(length("m"), None);
    }

    #[test]
    fn a_size_may_be_two_sides() {
        for text in ["10 x 10", "10x10", "10 m × 10m", "10 by 10 m", "10*10"] {
            assert_eq!(sides(text), Some(("10", "10")), "{text}");
        }
        for text in ["100", "10 x", "10 x 10 ft", "x", "10 x 10 x 2", "big by far"] {
            assert_eq!(sides(text), None, "{text}");
        }
    }

    #[test]
    fn a_position_has_a_point_before_its_decimals() {
        assert_eq!(decimals("-35.9995", 1), Some(-35.9995));
        assert_eq!(decimals("−148.005", 1), Some(-148.005));
        assert_eq!(decimals("560123.456", 4), Some(560_123.456));
        assert_eq!((decimals("560.123", 4), decimals("1.2.3", 1), decimals("148", 1)), (None, None, None));
    }

    #[test]
    fn about_so_many_is_so_many() {
        assert_eq!(about("~20"), Some("20"));
        assert_eq!(about("ca. 20"), Some("20"));
        assert_eq!(about("About 1,200"), Some("1,200"));
        assert_eq!(about("~ many"), None);
        assert_eq!(about("20"), None);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_not(text in "\\PC{0,12}") {
            let _ = (hours(&text), length(&text), about(&text), is_trace(&text), degrees(&text), sides(&text), decimals(&text, 1));
        }
    }
}
