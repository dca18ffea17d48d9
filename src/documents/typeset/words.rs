//! The one door for text: whatever a user wrote is made printable here before a template sees it.

use serde_json::Value;
use unicode_normalization::char::is_combining_mark;

use crate::typeset::fonts;

/// What stands for a character that no embedded face holds.
const BOX: char = '□';

/// Unbroken runs longer than this may break anywhere: a column must never overflow.
const LONGEST_UNBROKEN: usize = 18;

/// Keys of the data tree whose strings go into the file's properties or are not set as running text.
const UNBROKEN_KEYS: [&str; 3] = ["meta", "alt", "image"];

/// Whether a character comes out on paper as it was typed (or, if it is a control, leaves no trace) and not as □.
///
/// PDF/A allows no glyph to be missing, no byte order mark and no private-use character.
pub fn printable() -> impl Fn(char) -> bool + Sync {
    |letter| letter.is_ascii_graphic() || letter.is_whitespace() || is_dropped(letter) || is_held(letter)
}

/// `text` with every character that can't be printed replaced by □, white space made plain, controls and the marks that
/// turn the direction of writing taken out.
pub(crate) fn clean(text: &str) -> String {
    text.chars()
        .filter(|letter| letter.is_ascii_graphic() || !is_dropped(*letter) || letter.is_whitespace())
        .map(|letter| match letter {
            // Every face holds these, and drawings are made of hardly anything else.
            plain if plain.is_ascii_graphic() => plain,
            '\u{a0}' | '\u{202f}' => '\u{a0}',
            white if white.is_whitespace() => ' ',
            held if is_held(held) => held,
            _ => BOX,
        })
        .collect()
}

/// Cleans every string of a data tree, and lets long words in running text break.
pub(crate) fn clean_tree(value: &mut Value) {
    walk(value, true);
}

fn walk(value: &mut Value, breakable: bool) {
    match value {
        Value::String(text) if breakable => *text = with_breaks(&clean(text)),
        Value::String(text) => *text = clean(text),
        Value::Array(items) => items.iter_mut().for_each(|item| walk(item, breakable)),
        Value::Object(fields) => {
            for (key, field) in fields.iter_mut() {
                walk(field, breakable && !UNBROKEN_KEYS.contains(&key.as_str()));
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// `text` with a zero-width space wherever a long word may break: after punctuation, else between any two letters.
fn with_breaks(text: &str) -> String {
    let mut set = String::with_capacity(text.len());
    for word in text.split_inclusive([' ', '\u{a0}']) {
        if word.chars().count() <= LONGEST_UNBROKEN {
            set.push_str(word);
            continue;
        }
        for part in word.split_inclusive(['/', '_', '.', '-', '@', '=', ',', ';', ':']) {
            let anywhere = part.chars().count() > LONGEST_UNBROKEN;
            for (at, letter) in part.chars().enumerate() {
                if anywhere && at > 0 && !is_combining_mark(letter) {
                    set.push('\u{200b}');
                }
                set.push(letter);
            }
            set.push('\u{200b}');
        }
    }
    set
}

/// Controls, byte order marks, variation selectors, and the marks that turn the direction of writing: no trace on paper.
fn is_dropped(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200b}' | '\u{2060}'..='\u{2064}')
        || matches!(letter, '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

fn is_held(letter: char) -> bool {
    let private = matches!(letter, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..);
    let joiner = matches!(letter, '\u{200c}'..='\u{200f}' | '\u{ad}');
    joiner || (!private && fonts::hold(letter))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_out_and_what_has_no_glyph_becomes_a_box() {
        assert_eq!(clean("#panic() *x* $ \\ =1+1"), "#panic() *x* $ \\ =1+1");
        assert_eq!(clean("Ōtāne – 12 ha ≥ 10 °, שלום, مرحبا"), "Ōtāne – 12 ha ≥ 10 °, שלום, مرحبا");
        assert_eq!(clean("森\u{e000}x"), "□□x");
        assert_eq!(clean("a\u{feff}\u{202e}b\0\tc\r\nd"), "ab c  d");
        assert!(printable()('é') && printable()('\n') && !printable()('森') && !printable()('\u{e000}'));
    }

    #[test]
    fn every_plain_letter_has_a_glyph() {
        assert!(('!'..='~').all(|letter| is_held(letter) && !is_dropped(letter)));
    }

    #[test]
    fn only_long_words_get_breaks() {
        assert_eq!(with_breaks("short words stay whole"), "short words stay whole");
        assert_eq!(
            with_breaks("photos/P1/2025-08-20.jpg"),
            "photos/\u{200b}P1/\u{200b}2025-\u{200b}08-\u{200b}20.\u{200b}jpg\u{200b}"
        );
        let long = with_breaks(&"x".repeat(40));
        assert_eq!(long.matches('\u{200b}').count(), 40);
    }

    #[test]
    fn properties_of_the_file_are_not_broken() {
        let mut tree = serde_json::json!({"meta": {"title": "y".repeat(30)}, "rows": ["z".repeat(30)]});
        clean_tree(&mut tree);
        assert!(!tree["meta"]["title"].as_str().unwrap_or_default().contains('\u{200b}'));
        assert!(tree["rows"][0].as_str().unwrap_or_default().contains('\u{200b}'));
    }
}
