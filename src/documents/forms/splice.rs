//! Pieces of text of which one paragraph or one cell is made: a placeholder may begin in one and end in another, as word processors write
//! what was typed at several times.

use std::ops::Range;

use crate::forms::tree::Tree;

/// A text put in the place of another, by bytes.
pub(super) type Edit = (Range<usize>, String);

/// `text` with the edits in it; none reaches into another.
pub(super) fn spliced(text: &str, mut edits: Vec<Edit>) -> String {
    edits.sort_by_key(|(place, _)| (place.start, place.end));
    let (mut out, mut from) = (String::with_capacity(text.len()), 0);
    for (place, new) in edits {
        out.push_str(&text[from..place.start]);
        out.push_str(&new);
        from = place.end;
    }
    out.push_str(&text[from..]);
    out
}

/// Text that XML may hold: its special letters escaped, what no XML may hold left out.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\t' | '\n' => out.push(letter),
            letter if letter.is_control() || ('\u{FFFE}'..='\u{FFFF}').contains(&letter) => {}
            letter => out.push(letter),
        }
    }
    out
}

/// Stands in a joined text where something else than text stands between two pieces: no placeholder reaches over it.
const BREAK: char = '\u{FFFC}';

/// One paragraph, or the words of one cell.
pub(super) struct Joined {
    /// The words of all pieces.
    pub(super) text: String,
    /// The element of each piece, and where its words stand in the text.
    pieces: Vec<(usize, Range<usize>)>,
}

impl Joined {
    /// Of the elements `parts` in their order: those called `t` are text, others break it.
    pub(super) fn of(tree: &Tree<'_>, parts: impl IntoIterator<Item = usize>) -> Joined {
        let (mut text, mut pieces) = (String::new(), Vec::new());
        for at in parts {
            match tree
                .words(at)
                .filter(|_| tree.elements[at].name == "t" && !tree.elements[at].is_empty_tag())
            {
                Some(words) => {
                    let from = text.len();
                    text.push_str(&words);
                    pieces.push((at, from..text.len()));
                }
                None => text.push(BREAK),
            }
        }
        Joined { text, pieces }
    }

    /// The element of the piece in which the byte `at` of the text stands.
    pub(super) fn element(&self, at: usize) -> Option<usize> {
        self.pieces.iter().find(|(_, place)| place.contains(&at)).map(|(element, _)| *element)
    }

    /// The edits of the XML that put each text in the place of its range of the joined text. A replacement goes where its range begins;
    /// `line` gives what stands for the end of a line in an element.
    pub(super) fn edits(
        &self,
        tree: &Tree<'_>,
        replacements: &[(Range<usize>, String)],
        line: impl Fn(usize) -> String,
    ) -> Vec<Edit> {
        let mut edits = Vec::new();
        for (element, place) in &self.pieces {
            let touches = |one: &Range<usize>| one.start < place.end && place.start < one.end;
            if !replacements.iter().any(|(range, _)| touches(range)) {
                continue;
            }
            let (mut words, mut from) = (String::new(), place.start);
            for (range, new) in replacements.iter().filter(|(range, _)| touches(range)) {
                words.push_str(&self.text[from..range.start.max(from)]);
                if place.contains(&range.start) {
                    words.push_str(new);
                }
                from = range.end.min(place.end);
            }
            words.push_str(&self.text[from..place.end]);
            let at = &tree.elements[*element];
            let outer = words.starts_with(char::is_whitespace) || words.ends_with(char::is_whitespace);
            let open = &tree.text[at.open.clone()];
            if (outer || words.contains('\n')) && tree.attribute(*element, "xml:space").is_none() {
                let end = at.open.end - 1;
                debug_assert!(open.ends_with('>'));
                edits.push((end..end, " xml:space=\"preserve\"".to_owned()));
            }
            let lines: Vec<String> = words.split('\n').map(escaped).collect();
            edits.push((at.inside(), lines.join(&line(*element))));
        }
        edits
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_placeholder_over_three_pieces_is_filled_where_it_begins() {
        let xml = "<p><r><t>Alive: {</t></r><r><t>{a.</t></r><b/><r><t>b}} of</t></r></p>";
        let tree = Tree::of(xml, "p").unwrap();
        let texts = Joined::of(&tree, tree.named("t"));
        assert_eq!(texts.text, "Alive: {{a.b}} of");
        let edits = texts.edits(&tree, &[(7..14, "5 < 6\nsix".to_owned())], |_| "</t><br/><t>".to_owned());
        assert_eq!(
            spliced(xml, edits),
            "<p><r><t xml:space=\"preserve\">Alive: 5 &lt; 6</t><br/><t>six</t></r><r><t></t></r><b/><r><t xml:space=\"preserve\"> of</t></r></p>"
        );
        let broken = Joined::of(&tree, [2, 5, 7]);
        assert!(!broken.text.contains("{{"), "{}", broken.text);
    }
}
