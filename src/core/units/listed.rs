//! Names in a note: all of a few, the first of many.

use crate::units::whole;

/// How many names a note spells out.
const SPELT_OUT: usize = 12;

/// `names` with commas between; of more than twelve the first twelve and how many follow.
#[must_use]
pub fn listed(names: &[String]) -> String {
    let spelt = names.iter().take(SPELT_OUT).map(String::as_str).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(SPELT_OUT) {
        0 => spelt,
        more => format!("{spelt} and {} more", whole(more as u64)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_names_are_cut_short() {
        let names: Vec<String> = (1..=1014).map(|n| n.to_string()).collect();
        assert_eq!(listed(&names[..2]), "1, 2");
        assert_eq!(listed(&names), "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 1,002 more");
    }
}
