//! Names of files that every system takes: a pack made here is opened elsewhere.

/// Names that stand for devices on Windows, whatever ending they have (Microsoft, *Naming Files, Paths, and Namespaces*).
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
const NUMBERED: [&str; 2] = ["com", "lpt"];

/// Letters that no name may hold there (the same page).
const LETTERS: [char; 7] = ['<', '>', ':', '"', '|', '?', '*'];

/// Characters of a path that leave room for the folder in which a pack is opened; 260 with it is the most that programs there take.
const LONGEST: usize = 200;

/// Why Windows would refuse the relative `path`, its parts parted by `/`; `None` where it takes it.
#[must_use]
pub fn refused_by_windows(path: &str) -> Option<&'static str> {
    if path.encode_utf16().count() > LONGEST {
        return Some("it is longer than 200 characters");
    }
    path.split('/').find_map(|part| {
        if is_device(part) {
            Some("it is the name of a device there")
        } else if part.contains(LETTERS) || part.contains(char::is_control) {
            Some("it holds one of < > : \" | ? * or a control character")
        } else if part.ends_with(['.', ' ']) {
            Some("it ends in a dot or a space")
        } else {
            None
        }
    })
}

/// Whether `name` stands for a device, with an ending or without.
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).trim_end().to_lowercase();
    let numbered = |kind: &&str| {
        let mut rest = stem.strip_prefix(*kind).unwrap_or_default().chars();
        matches!((rest.next(), rest.next()), (Some('0'..='9' | '¹' | '²' | '³'), None))
    };
    DEVICES.contains(&stem.as_str()) || NUMBERED.iter().any(numbered)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn devices_letters_ends_and_lengths_are_told() {
        for refused in [
            "con",
            "CON.csv",
            "photos/nul.jpg",
            "Aux .txt",
            "com1",
            "lpt9.xlsx",
            "COM²",
            "a:b.csv",
            "what?.md",
            "tab\there.csv",
            "ends.",
            "photos/ends /a.jpg",
        ] {
            assert!(refused_by_windows(refused).is_some(), "{refused}");
        }
        for taken in ["console.csv", "com.csv", "com10.csv", "lpt", "photos/Ōtāne 1.jpg", ".hidden", "a..b"]
        {
            assert_eq!(refused_by_windows(taken), None, "{taken}");
        }
        assert!(refused_by_windows(&"ā".repeat(200)).is_none());
        assert!(refused_by_windows(&"ā".repeat(201)).is_some());
    }
}
