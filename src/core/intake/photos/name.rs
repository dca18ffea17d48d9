//! What a picture's path says: its point and its day.

use chrono::NaiveDate;

/// Whether the path ends as that of a picture which is read.
pub(super) fn is_picture(path: &str) -> bool {
    matches!(ending(path).as_deref(), Some("jpg" | "jpeg" | "png"))
}

/// The ending of a picture in a format that is not read.
pub(super) fn other_picture(path: &str) -> Option<String> {
    const OTHERS: [&str; 14] = [
        "heic", "heif", "avif", "webp", "tif", "tiff", "gif", "bmp", "dng", "cr2", "cr3", "nef", "arw", "raf",
    ];
    ending(path).filter(|ending| OTHERS.contains(&ending.as_str()))
}

fn ending(path: &str) -> Option<String> {
    path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase())
}

/// The photo point of `POINT/DAY….jpg`, a path below the folder of the pictures.
pub(super) fn point(below: &str) -> Option<&str> {
    below.split_once('/').map(|(point, _)| point)
}

/// The day at the beginning of a file's name: `2025-03-01`, `2025_03_01` or `20250301`.
pub(super) fn day(path: &str) -> Option<NaiveDate> {
    let name = path.rsplit('/').next().unwrap_or(path);
    let digits: String = name
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '-' | '_'))
        .filter(char::is_ascii_digit)
        .collect();
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
        assert_eq!(point("P1/2025-03-01.jpg"), Some("P1"));
        assert_eq!(point("loose.jpg"), None);
        assert!(!is_picture("photos/P1/notes.txt"));
        assert_eq!(other_picture("photos/P1/IMG_0412.HEIC").as_deref(), Some("heic"));
        assert_eq!(other_picture("photos/P1/notes.txt"), None);
    }
}
