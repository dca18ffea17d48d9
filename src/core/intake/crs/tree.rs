//! Well-known text taken apart: words with their parts in brackets.

use crate::intake::limits;

/// A part of well-known text.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Part {
    /// Text in quotes.
    Text(String),
    /// A number.
    Number(f64),
    /// A word without brackets, such as the direction of an axis.
    Word(String),
    /// A word with parts of its own.
    Node(Node),
}

/// A word with its parts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    /// The word, in capitals.
    pub(super) word: String,
    /// What stands in its brackets.
    pub(super) parts: Vec<Part>,
}

impl Node {
    /// The first of the nodes directly within that bears one of `words`.
    pub(super) fn child<'a>(&'a self, words: &'a [&'a str]) -> Option<&'a Node> {
        self.children(words).next()
    }

    /// The nodes directly within that bear one of `words`.
    pub(super) fn children<'a>(&'a self, words: &'a [&'a str]) -> impl Iterator<Item = &'a Node> {
        let nodes = self.parts.iter().filter_map(|part| match part {
            Part::Node(node) => Some(node),
            _ => None,
        });
        nodes.filter(|node| words.contains(&node.word.as_str()))
    }

    /// This node or the first within it, in the order of the text, that bears one of `words`.
    pub(super) fn find(&self, words: &[&str]) -> Option<&Node> {
        if words.contains(&self.word.as_str()) {
            return Some(self);
        }
        self.parts.iter().find_map(|part| match part {
            Part::Node(node) => node.find(words),
            _ => None,
        })
    }

    /// Its name: the first text.
    pub(super) fn name(&self) -> &str {
        let text = self.parts.iter().find_map(|part| match part {
            Part::Text(text) => Some(text.as_str()),
            _ => None,
        });
        text.unwrap_or_default()
    }

    /// Its numbers, in their order.
    pub(super) fn numbers(&self) -> Vec<f64> {
        let number = |part: &Part| match part {
            Part::Number(number) => Some(*number),
            _ => None,
        };
        self.parts.iter().filter_map(number).collect()
    }

    /// Whether one of its words is `word`.
    pub(super) fn says(&self, word: &str) -> bool {
        self.parts.iter().any(|part| matches!(part, Part::Word(said) if said == word))
    }

    /// The EPSG code that it gives for itself.
    pub(super) fn epsg(&self) -> Option<u16> {
        self.children(&["AUTHORITY", "ID"]).filter(|id| id.name().eq_ignore_ascii_case("EPSG")).find_map(
            |id| {
                id.parts.iter().skip(1).find_map(|part| match part {
                    Part::Text(text) => text.trim().parse().ok(),
                    Part::Number(number) => whole(*number),
                    _ => None,
                })
            },
        )
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between 1 and the last code"
)]
fn whole(number: f64) -> Option<u16> {
    ((1.0..=f64::from(u16::MAX)).contains(&number) && number.fract() == 0.0).then_some(number as u16)
}

/// The trees that `text` spells one after the other, as the parts of a node without a word; `None` where it does not hold
/// together.
pub(super) fn parse(text: &str) -> Option<Node> {
    let mut rest = Rest { text, at: 0 };
    let mut parts = Vec::new();
    while let Some(next) = rest.peek() {
        match next {
            ',' => rest.at += 1,
            _ => parts.push(rest.part(0).filter(|part| matches!(part, Part::Node(_)))?),
        }
    }
    (!parts.is_empty()).then(|| Node { word: String::new(), parts })
}

/// What is left of the text.
struct Rest<'a> {
    text: &'a str,
    at: usize,
}

impl Rest<'_> {
    fn peek(&mut self) -> Option<char> {
        let left = &self.text[self.at..];
        self.at += left.len() - left.trim_start().len();
        self.text[self.at..].chars().next()
    }

    fn part(&mut self, depth: usize) -> Option<Part> {
        if depth > limits::NESTING {
            return None;
        }
        if self.peek()? == '"' {
            return self.quoted().map(Part::Text);
        }
        let left = &self.text[self.at..];
        let end = left.find(|letter: char| "[](),\"".contains(letter)).unwrap_or(left.len());
        let word = left[..end].trim();
        self.at += end;
        if !matches!(self.peek(), Some('[' | '(')) {
            return Some(match word.parse::<f64>() {
                Ok(number) if number.is_finite() => Part::Number(number),
                _ => Part::Word(word.to_ascii_uppercase()),
            });
        }
        self.at += 1;
        let mut parts = Vec::new();
        loop {
            match self.peek()? {
                ']' | ')' => {
                    self.at += 1;
                    return Some(Part::Node(Node { word: word.to_ascii_uppercase(), parts }));
                }
                ',' => self.at += 1,
                _ => parts.push(self.part(depth + 1)?),
            }
        }
    }

    /// Text in quotes, of which a doubled one stands for itself.
    fn quoted(&mut self) -> Option<String> {
        let mut text = String::new();
        self.at += 1;
        loop {
            let end = self.text[self.at..].find('"')?;
            text.push_str(&self.text[self.at..self.at + end]);
            self.at += end + 1;
            match self.text[self.at..].starts_with('"') {
                true => {
                    text.push('"');
                    self.at += 1;
                }
                false => return Some(text),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_in_words() {
        let tree = parse(
            r#"PROJCS["a ""b""", GEOGCS ("g",UNIT["Degree",0.5]),AXIS["E",EAST],AUTHORITY["EPSG","7855"]]"#,
        );
        let tree = tree.unwrap().find(&["PROJCS"]).cloned().unwrap();
        assert_eq!((tree.name(), tree.epsg()), ("a \"b\"", Some(7855)));
        assert_eq!(tree.find(&["UNIT"]).unwrap().numbers(), [0.5]);
        assert!(tree.child(&["UNIT"]).is_none() && tree.child(&["AXIS"]).unwrap().says("EAST"));
        assert_eq!(
            parse(r#"GEOGCRS["x",ID["EPSG",4326]]"#).unwrap().find(&["GEOGCRS"]).unwrap().epsg(),
            Some(4326)
        );
    }

    #[test]
    fn what_does_not_hold_together_is_none() {
        for text in ["", "PROJCS", "PROJCS[", "PROJCS[\"a", "[[[]]]]x", "\u{fffd}[\""] {
            assert_eq!(parse(text), None, "{text}");
        }
        assert_eq!(parse(&"A[".repeat(100_000)), None);
    }
}
