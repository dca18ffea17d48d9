//! What a picture's path says: its folders and its day.

use chrono::{Datelike as _, NaiveDate};

/// Whether the path ends as that of a picture which is read.
pub(super) fn is_picture(path: &str) -> bool {
    matches!(ending(path).as_deref(), Some("jpg" | "jpeg" | "png" | "heic" | "heif"))
}

/// The ending of a picture in a format that is not read.
pub(super) fn other_picture(path: &str) -> Option<String> {
    const OTHERS: [&str; 12] =
        ["avif", "webp", "tif", "tiff", "gif", "bmp", "dng", "cr2", "cr3", "nef", "arw", "raf"];
    ending(path).filter(|ending| OTHERS.contains(&ending.as_str()))
}

fn ending(path: &str) -> Option<String> {
    path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase())
}

/// The folders that a picture lies in, the innermost first; `below` is its path below the folder of the pictures.
pub(super) fn folders(below: &str) -> impl Iterator<Item = &str> {
    below.rsplit('/').skip(1)
}

/// The day at the beginning of a file's name: `2025-03-01`, `2025_03_01` or `20250301`.
pub(super) fn day(path: &str) -> Option<NaiveDate> {
    let name = path.rsplit('/').next().unwrap_or(path);
    let digits: String = name
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '-' | '_'))
        .filter(char::is_ascii_digit)
        .collect();
    date(&digits)
}

/// The day anywhere in a file's name, as telephones name their pictures: `IMG_20250301_114500`, `photo 2025-03-01 at 11.45`.
pub(super) fn day_within(path: &str) -> Option<NaiveDate> {
    let name = path.rsplit('/').next().unwrap_or(path);
    let runs = name.split(|c: char| !c.is_ascii_digit() && !matches!(c, '-' | '_'));
    runs.flat_map(|run| run.split('_').map(str::to_owned).chain([run.to_owned()]).collect::<Vec<_>>())
        .find_map(|run| {
            let digits: String = run.chars().filter(char::is_ascii_digit).collect();
            // A day, or a day and a time down to the thousandth of a second.
            let plausible = matches!(digits.len(), 8 | 12 | 14 | 17);
            date(&digits).filter(|day| plausible && (1990..=2100).contains(&day.year()))
        })
}

fn date(digits: &str) -> Option<NaiveDate> {
    let part = |from: usize, to: usize| digits.get(from..to)?.parse::<u32>().ok();
    NaiveDate::from_ymd_opt(i32::try_from(part(0, 4)?).ok()?, part(4, 6)?, part(6, 8)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_points_stand_in_the_path() {
        let first = NaiveDate::from_ymd_opt(2025, 3, 1);
        for name in ["photos/P1/2025-03-01.jpg", "2025_03_01 gate.png", "20250301_114500.JPG"] {
            assert_eq!(day(name), first, "{name}");
            assert!(is_picture(name));
        }
        assert_eq!(day("photos/P1/IMG_2025.jpg"), None);
        assert_eq!(day("photos/P1/2025-13-41.jpg"), None);
        for name in [
            "IMG_20250301_114500.jpg",
            "PXL_20250301_014500123.jpg",
            "photo 2025-03-01 at 11.45.12.jpeg",
            "IMG-20250301-0004.jpg",
            "20250301114500.heic",
        ] {
            assert_eq!(day_within(name), first, "{name}");
        }
        for name in ["IMG_0412.HEIC", "DSC20250.jpg", "12345678.jpg", "100_2025.jpg"] {
            assert_eq!(day_within(name), None, "{name}");
        }
        assert_eq!(folders("2025/P1/a.jpg").collect::<Vec<_>>(), ["P1", "2025"]);
        assert_eq!(folders("loose.jpg").next(), None);
        assert!(!is_picture("photos/P1/notes.txt") && is_picture("photos/P1/IMG_0412.HEIC"));
        assert_eq!(other_picture("photos/P1/a.WEBP").as_deref(), Some("webp"));
        assert_eq!(other_picture("photos/P1/notes.txt"), None);
    }
}
