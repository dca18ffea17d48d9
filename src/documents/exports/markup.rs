//! Text and positions as they stand in XML.

/// `text` with the signs of markup written out; control characters, which XML 1.0 can't hold, are left out.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\n' | '\t' => escaped.push(letter),
            letter if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => {}
            letter => escaped.push(letter),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_becomes_markup() {
        assert_eq!(escaped("<b>&\"'\u{0}\u{1b}\u{ffff}\n村"), "&lt;b&gt;&amp;&quot;'\n村");
    }
}
