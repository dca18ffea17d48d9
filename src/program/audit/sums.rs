//! The sums of a pack: what its manifest lists, held against what its members are.

use std::collections::{BTreeMap, BTreeSet};

/// Every path that a manifest lists, with its sum.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sums {
    listed: BTreeMap<String, String>,
    /// Lines that say nothing, and paths that are listed twice.
    pub unclear: Vec<String>,
}

/// A member of a pack as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Member {
    /// Its path inside the pack.
    pub path: String,
    /// SHA-256 of its bytes; `None` where it can't be unpacked.
    pub sha256: Option<String>,
}

/// What is wrong with a member or a line of the manifest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// Its bytes are not those that the manifest lists.
    Differs {
        /// The sum in the manifest.
        listed: String,
        /// The sum of the bytes.
        found: String,
    },
    /// It breaks off, or its checksum within the zip is wrong.
    Broken,
    /// The manifest lists it, and the pack does not hold it.
    Missing,
    /// The pack holds it, and the manifest does not list it.
    Unlisted,
    /// A line of the manifest is no sum and path, or lists a path again.
    Unclear,
}

impl Fault {
    /// The fault in words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Fault::Differs { .. } => "is not what was packed: its SHA-256 differs from the manifest's",
            Fault::Broken => "can't be unpacked",
            Fault::Missing => "is listed in the manifest and not in the pack",
            Fault::Unlisted => "is in the pack and not listed in the manifest",
            Fault::Unclear => "is a line of the manifest that lists nothing new",
        }
    }
}

impl Sums {
    /// The sums in the manifest `text`: on each line 64 hexadecimal digits, two spaces and a path.
    #[must_use]
    pub fn of(text: &str) -> Sums {
        let mut sums = Sums::default();
        for line in text.lines() {
            let listed = line.split_once("  ").filter(|(sum, path)| {
                sum.len() == 64 && sum.bytes().all(|digit| digit.is_ascii_hexdigit()) && !path.is_empty()
            });
            match listed {
                Some((sum, path)) if !sums.listed.contains_key(path) => {
                    sums.listed.insert(path.to_owned(), sum.to_ascii_lowercase());
                }
                _ => sums.unclear.push(line.chars().take(120).collect()),
            }
        }
        sums
    }

    /// Every path with its sum, in order of path.
    pub fn listed(&self) -> impl Iterator<Item = (&str, &str)> {
        self.listed.iter().map(|(path, sum)| (path.as_str(), sum.as_str()))
    }
}

/// Where `sums` and `members` differ, in order of path. The manifest itself, called `manifest`, is among the members and not
/// among its own sums.
#[must_use]
pub fn faults(sums: &Sums, members: &[Member], manifest: &str) -> Vec<(String, Fault)> {
    let mut faults: Vec<(String, Fault)> =
        sums.unclear.iter().map(|line| (line.clone(), Fault::Unclear)).collect();
    let there: BTreeSet<&str> = members.iter().map(|member| member.path.as_str()).collect();
    let missing =
        sums.listed.keys().map(String::as_str).chain([manifest]).filter(|path| !there.contains(path));
    faults.extend(missing.map(|path| (path.to_owned(), Fault::Missing)));
    for Member { path, sha256 } in members {
        let fault = match (sums.listed.get(path), sha256) {
            (_, None) => Fault::Broken,
            (None, _) if path == manifest => continue,
            (None, _) => Fault::Unlisted,
            (Some(listed), Some(found)) if listed == found => continue,
            (Some(listed), Some(found)) => Fault::Differs { listed: listed.clone(), found: found.clone() },
        };
        faults.push((path.clone(), fault));
    }
    faults.sort_by(|one, other| one.0.cmp(&other.0));
    faults
}

#[cfg(test)]
mod tests {
    use super::*;

    fn member(path: &str, digit: char) -> Member {
        Member { path: path.to_owned(), sha256: Some(digit.to_string().repeat(64)) }
    }

    #[test]
    fn every_difference_between_manifest_and_members_is_found() {
        let sum = |digit: char| digit.to_string().repeat(64);
        let text = format!("{}  a\n{}  b\n{}  c\nnonsense\n{}  a\n", sum('1'), sum('2'), sum('3'), sum('9'));
        let broken = Member { path: "c".to_owned(), sha256: None };
        let members = [member("a", '1'), member("b", '4'), broken, member("d", '5'), member("SUMS", '0')];
        let found = faults(&Sums::of(&text), &members, "SUMS");
        let words: Vec<(&str, &Fault)> = found.iter().map(|(path, fault)| (path.as_str(), fault)).collect();
        assert_eq!(words.len(), 5, "{words:?}");
        assert!(words.contains(&("b", &Fault::Differs { listed: sum('2'), found: sum('4') })));
        assert!(words.contains(&("c", &Fault::Broken)) && words.contains(&("d", &Fault::Unlisted)));
        assert!(words.contains(&("nonsense", &Fault::Unclear)));
        let none = faults(&Sums::of(""), &[member("a", '1')], "SUMS");
        assert_eq!(none, [("SUMS".to_owned(), Fault::Missing), ("a".to_owned(), Fault::Unlisted)]);
    }

    proptest::proptest! {
        #[test]
        fn any_manifest_is_read(text in "([0-9a-f]{64}  [a-c/]{1,3}\n|\\PC{0,80}\n){0,6}") {
            let _ = faults(&Sums::of(&text), &[member("a", '1')], "SUMS");
        }
    }
}
