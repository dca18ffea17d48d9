//! What the pack is called.

use chrono::NaiveDate;

use hillfolio_core::project::slug;

/// Longest name of a project or a reference in a file's name, in bytes: three parts stay far below every system's 255.
const LONGEST: usize = 60;

/// The pack's name without its ending: `NAME-REFERENCE-PERIOD`, such as `brindle-spur-bs-2025-2025-07-to-2026-06`.
#[must_use]
pub fn pack_name(name: &str, reference: &str, from: NaiveDate, to: NaiveDate) -> String {
    let parts = [
        short_slug(name),
        short_slug(reference),
        format!("{}-to-{}", from.format("%Y-%m"), to.format("%Y-%m")),
    ];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

/// The slug of `text`, cut to what a file's name can hold.
fn short_slug(text: &str) -> String {
    let mut slug = slug(text);
    if slug.len() > LONGEST {
        let end = (0..=LONGEST).rev().find(|&at| slug.is_char_boundary(at)).unwrap_or(0);
        slug.truncate(end);
        slug.truncate(slug.trim_end_matches('-').len());
    }
    slug
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_hold_no_path_and_no_surprise() {
        let day = |y, m| NaiveDate::from_ymd_opt(y, m, 1).unwrap_or_default();
        let name = |name, reference| pack_name(name, reference, day(2025, 7), day(2026, 6));
        assert_eq!(name("Brindle Spur", "BS-2025"), "brindle-spur-bs-2025-2025-07-to-2026-06");
        assert_eq!(name("../../etc", "C:\\x"), "etc-c-x-2025-07-to-2026-06");
        assert_eq!(name("…", ""), "2025-07-to-2026-06");
        assert!(name(&"ā".repeat(300), "r").len() < 100);
    }
}
