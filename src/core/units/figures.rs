//! Numbers as they are printed. Rounding happens here, once.

/// `value` with `decimals` digits behind the point, commas between thousands and a true minus sign.
///
/// A value that rounds to nothing is printed without a sign.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let plain = format!("{:.*}", decimals, value.abs());
    let (whole, rest) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
    let below = value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b));
    let sign = if below { "−" } else { "" };
    format!("{sign}{}{rest}", grouped(whole))
}

/// A number that somebody wrote down: with the decimals that it was written with, four at the most.
#[must_use]
pub fn as_written(value: f64) -> String {
    let scales = [1.0, 10.0, 100.0, 1e3, 1e4];
    let fits = |scale: &f64| (value * scale - (value * scale).round()).abs() < 1e-6;
    number(value, scales.iter().position(fits).unwrap_or(4))
}

/// A whole number with commas between thousands.
#[must_use]
pub fn whole(value: u64) -> String {
    grouped(&value.to_string())
}

/// `digits` with a comma before every third from their end.
fn grouped(digits: &str) -> String {
    let mut grouped = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// A fraction as per cent, such as `87.1 %`.
#[must_use]
pub fn percent(fraction: f64, decimals: usize) -> String {
    format!("{}\u{a0}%", number(fraction * 100.0, decimals))
}

/// A share that somebody set, as per cent with the decimals that it was set with: `10 %`, `12.5 %`.
#[must_use]
pub fn set_percent(fraction: f64) -> String {
    format!("{}\u{a0}%", as_written(fraction * 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_set_apart_and_nothing_has_no_sign() {
        assert_eq!(number(1_234_567.891, 2), "1,234,567.89");
        assert_eq!(number(-0.004, 2), "0.00");
        assert_eq!(number(-1234.5, 1), "−1,234.5");
        assert_eq!(number(999.6, 0), "1,000");
        assert_eq!(number(f64::NAN, 2), "–");
        assert_eq!(whole(1_000_000), "1,000,000");
        assert_eq!(as_written(1_250.0), "1,250");
        assert_eq!(as_written(0.1 + 0.2), "0.3");
        assert_eq!(as_written(-2.25), "−2.25");
        assert_eq!(set_percent(0.07), "7\u{a0}%");
        assert_eq!(set_percent(0.125), "12.5\u{a0}%");
        assert_eq!(set_percent(0.005), "0.5\u{a0}%");
        assert_eq!(as_written(1.0 / 3.0), "0.3333");
        assert_eq!(percent(0.8714, 1), "87.1\u{a0}%");
    }
}
