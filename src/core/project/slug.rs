//! Names as they stand in ids and file names.

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
