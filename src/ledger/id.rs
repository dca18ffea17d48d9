//! The ids of figures: lower-case words and dots, stable between versions.

use std::{borrow::Borrow, fmt};

/// The id of a figure, such as `survival.species.acacia-fimbriata`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FigureId(String);

impl FigureId {
    /// The id made of a fixed stem and the slug of a name: `of("survival", "North face")` is `survival.north-face`.
    #[must_use]
    pub fn of(stem: &str, name: &str) -> FigureId {
        FigureId(format!("{stem}.{}", slug(name)))
    }

    /// A fixed id.
    #[must_use]
    pub fn fixed(id: &str) -> FigureId {
        FigureId(id.to_owned())
    }

    /// The id as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for FigureId {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FigureId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// `text` in lower case, its letters and digits (of any script) kept, everything else one `-` between words.
#[must_use]
pub fn slug(text: &str) -> String {
    let mut slug = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter.is_alphanumeric() {
            slug.extend(letter.to_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    if slug.ends_with('-') {
        slug.pop();
    }
    slug
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slugs_keep_letters_and_digits_of_any_script() {
        assert_eq!(slug("  North Face (2) "), "north-face-2");
        assert_eq!(slug("Ōtāne–East"), "ōtāne-east");
        assert_eq!(slug("Acacia fimbriata"), "acacia-fimbriata");
        assert_eq!(slug("../.."), "");
    }
}
