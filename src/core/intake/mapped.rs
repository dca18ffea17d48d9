//! Words of a mapping that stand for others: patterns with a `*` in them, and cells made of other cells.

use crate::intake::{nearest::folded, table::key};

/// A text, or one of which a part may be anything.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pattern {
    /// As it is written.
    text: String,
    shape: Shape,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// This text, in any case and spacing.
    Same(String),
    /// A beginning and an end, with anything between them.
    Between(String, String),
    /// Every heading from one to another.
    Span(String, String),
}

impl Pattern {
    /// The pattern that is written as `text`: `hgt.*`, or `Acacia dealbata .. Poa sieberiana` for a span of headings.
    pub(crate) fn of(text: &str) -> Pattern {
        let shape = match (text.split_once(" .. "), text.split_once('*')) {
            (Some((from, to)), _) => Shape::Span(from.trim().to_owned(), to.trim().to_owned()),
            (None, Some((begin, end))) => Shape::Between(folded_start(begin), folded_end(end)),
            (None, None) => Shape::Same(folded(text)),
        };
        Pattern { text: text.trim().to_owned(), shape }
    }

    /// What stands in `text` for the `*`, the whole of it where there is none; `None` where it does not match.
    pub(crate) fn found(&self, text: &str) -> Option<String> {
        let whole = folded(text);
        match &self.shape {
            Shape::Same(same) => (*same == whole).then(|| text.trim().to_owned()),
            Shape::Between(begin, end) => {
                let rest = whole.strip_prefix(begin.as_str())?.strip_suffix(end.as_str())?;
                // As it is written, where folding left the letters as many as they were.
                let written: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
                let (from, long) = (begin.chars().count(), rest.chars().count());
                let same = written.chars().count() == whole.chars().count();
                let cut = || written.chars().skip(from).take(long).collect::<String>().trim().to_owned();
                Some(if same { cut() } else { rest.trim().to_owned() })
            }
            Shape::Span(..) => None,
        }
    }

    /// The first and the last heading of a span.
    pub(crate) fn span(&self) -> Option<(&str, &str)> {
        match &self.shape {
            Shape::Span(from, to) => Some((from, to)),
            _ => None,
        }
    }

    /// Whether every text matches.
    pub(crate) fn is_any(&self) -> bool {
        matches!(&self.shape, Shape::Between(begin, end) if begin.is_empty() && end.is_empty())
    }

    /// The pattern as it is written.
    pub(crate) fn written(&self) -> &str {
        &self.text
    }

    /// The pattern as it is told.
    pub(crate) fn told(&self) -> String {
        if self.text.is_empty() { "empty".to_owned() } else { format!("`{}`", self.text) }
    }
}

/// Folded; a space at the end stands for one.
fn folded_start(text: &str) -> String {
    let space = text.ends_with(char::is_whitespace) && !text.trim().is_empty();
    folded(text) + if space { " " } else { "" }
}

/// Folded; a space at the beginning stands for one.
fn folded_end(text: &str) -> String {
    let space = text.starts_with(char::is_whitespace) && !text.trim().is_empty();
    format!("{}{}", if space { " " } else { "" }, folded(text))
}

/// A cell made of text and of other cells, such as `{Year}-{Month}-{Day}`.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Template {
    pieces: Vec<Piece>,
}

#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Text(String),
    /// The cell under this heading.
    Cell(String),
}

impl Template {
    /// The template that is written as `text`; `None` where a brace is not closed.
    pub(crate) fn of(text: &str) -> Option<Template> {
        let (mut pieces, mut rest) = (Vec::new(), text);
        while let Some((before, after)) = rest.split_once('{') {
            let (heading, after) = after.split_once('}')?;
            pieces.extend((!before.is_empty()).then(|| Piece::Text(before.to_owned())));
            pieces.push(Piece::Cell(heading.trim().to_owned()));
            rest = after;
        }
        pieces.extend((!rest.is_empty()).then(|| Piece::Text(rest.to_owned())));
        Some(Template { pieces })
    }

    /// The headings whose cells it is made of.
    pub(crate) fn headings(&self) -> impl Iterator<Item = &str> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Cell(heading) => Some(heading.as_str()),
            Piece::Text(_) => None,
        })
    }

    /// The cell; empty where it is made of other cells and all of these are empty.
    pub(crate) fn made<'a>(&self, cell: impl Fn(&str) -> &'a str) -> String {
        let mut of = self.headings().peekable();
        if of.peek().is_some() && of.all(|heading| cell(heading).is_empty()) {
            return String::new();
        }
        let piece = |piece: &Piece| match piece {
            Piece::Text(text) => text.clone(),
            Piece::Cell(heading) => cell(heading).to_owned(),
        };
        self.pieces.iter().map(piece).collect::<String>().trim().to_owned()
    }
}

/// Whether two headings are one.
pub(crate) fn same_heading(one: &str, other: &str) -> bool {
    key(one) == key(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_gives_what_stands_for_its_star() {
        let found = |pattern: &str, text: &str| Pattern::of(pattern).found(text);
        assert_eq!(found("hgt.*", "Hgt.2015").as_deref(), Some("2015"));
        assert_eq!(found("* alive", "Silver Wattle  alive").as_deref(), Some("Silver Wattle"));
        assert_eq!(found("* alive", "Salive"), None);
        assert_eq!(found("private*", "Private, not ours").as_deref(), Some(", not ours"));
        assert_eq!(found("*", " NE 3 ").as_deref(), Some("NE 3"));
        assert_eq!(found("", " ").as_deref(), Some(""));
        assert_eq!(found("NE", "ne 3"), None);
        assert_eq!(found("ab*ba", "aba"), None, "what begins and what ends it may not overlap");
    }

    #[test]
    fn a_cell_is_made_of_others() {
        let cells = |heading: &str| match heading {
            "Year" => "2024",
            "Month" => "7",
            _ => "",
        };
        let made = |text: &str| Template::of(text).map(|template| template.made(cells));
        assert_eq!(made("{Year}-{Month}-1").as_deref(), Some("2024-7-1"));
        assert_eq!(made("{Year} {Note}").as_deref(), Some("2024"));
        assert_eq!(made("{Note}-{Mark}").as_deref(), Some(""), "of nothing comes nothing");
        assert_eq!(made("ground").as_deref(), Some("ground"));
        assert_eq!(made("{Year"), None);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_a_pattern(pattern in "\\PC{0,8}", text in "\\PC{0,12}") {
            let _ = Pattern::of(&pattern).found(&text);
            let _ = Template::of(&pattern).map(|template| template.made(|_| ""));
        }
    }
}
