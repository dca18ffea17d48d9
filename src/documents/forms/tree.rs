//! An XML part as elements with the places of their tags in the text, so that what lies between can be changed and nothing else.
//!
//! Entities of a document's own are refused, so that none can be expanded without end or name a file.

use std::ops::Range;

use quick_xml::{Reader, escape, events::Event};

use crate::forms::FormError;

/// Elements within elements.
const NESTING: usize = 200;

/// An element.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Element {
    /// Its name without prefix.
    pub(super) name: String,
    /// What its name begins with: `w:` or nothing.
    pub(super) prefix: String,
    /// Its start tag.
    pub(super) open: Range<usize>,
    /// Its end tag; empty at the end of the start tag where the element closes itself.
    pub(super) close: Range<usize>,
    pub(super) parent: Option<usize>,
}

impl Element {
    /// From the first to the last byte of it.
    pub(super) fn whole(&self) -> Range<usize> {
        self.open.start..self.close.end
    }

    /// What stands between its tags.
    pub(super) fn inside(&self) -> Range<usize> {
        self.open.end..self.close.start
    }

    /// Whether it closes itself.
    pub(super) fn is_empty_tag(&self) -> bool {
        self.close.is_empty()
    }
}

/// The elements of a text, in the order in which they begin.
#[derive(Debug)]
pub(super) struct Tree<'x> {
    pub(super) text: &'x str,
    pub(super) elements: Vec<Element>,
}

impl<'x> Tree<'x> {
    /// Those of `text`, which is `part` of the form.
    pub(super) fn of(text: &'x str, part: &str) -> Result<Tree<'x>, FormError> {
        let malformed = |why: String| FormError::Malformed { part: part.to_owned(), why };
        let mut reader = Reader::from_str(text);
        let (mut elements, mut open): (Vec<Element>, Vec<usize>) = (Vec::new(), Vec::new());
        let place = |reader: &Reader<&[u8]>| usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
        loop {
            let from = place(&reader);
            let event = reader.read_event().map_err(|why| malformed(why.to_string()))?;
            let to = place(&reader).min(text.len());
            let mut begin = |name: &str, closes: bool| {
                let at = name.find(':').map_or(0, |at| at + 1);
                elements.push(Element {
                    name: name[at..].to_owned(),
                    prefix: name[..at].to_owned(),
                    open: from..to,
                    close: to..to,
                    parent: open.last().copied(),
                });
                if !closes {
                    open.push(elements.len() - 1);
                }
                open.len() <= NESTING
            };
            match event {
                Event::Start(start) if !begin(start.name().as_ref(), false) => {
                    return Err(malformed("its elements are nested too deep".to_owned()));
                }
                Event::Empty(start) => drop(begin(start.name().as_ref(), true)),
                Event::End(_) => {
                    let Some(at) = open.pop() else {
                        return Err(malformed("an end without a beginning".to_owned()));
                    };
                    elements[at].close = from..to;
                }
                Event::DocType(_) => return Err(malformed("it declares entities".to_owned())),
                Event::GeneralRef(name) => {
                    let known = name.is_char_ref() || escape::resolve_predefined_entity(&name).is_some();
                    if !known {
                        return Err(malformed("it names an entity of its own".to_owned()));
                    }
                }
                Event::Eof => break,
                _ => {}
            }
        }
        match open.is_empty() {
            true => Ok(Tree { text, elements }),
            false => Err(malformed("it ends within an element".to_owned())),
        }
    }

    /// The elements called `name`, by their places in the list.
    pub(super) fn named<'t>(&'t self, name: &'t str) -> impl Iterator<Item = usize> + 't {
        (0..self.elements.len()).filter(move |&at| self.elements[at].name == name)
    }

    /// The elements within that of place `at`, at any depth.
    pub(super) fn within(&self, at: usize) -> Range<usize> {
        let end = self.elements[at].close.end;
        let after = at + 1 + self.elements[at + 1..].partition_point(|one| one.open.start < end);
        at + 1..after
    }

    /// The nearest element round that of place `at` that is called `name`.
    pub(super) fn round(&self, at: usize, name: &str) -> Option<usize> {
        let mut parent = self.elements[at].parent;
        while let Some(one) = parent {
            if self.elements[one].name == name {
                return Some(one);
            }
            parent = self.elements[one].parent;
        }
        None
    }

    /// The text between the tags of an element that holds nothing but text; nothing where it holds more.
    pub(super) fn words(&self, at: usize) -> Option<String> {
        let raw = &self.text[self.elements[at].inside()];
        if raw.contains('<') {
            return None;
        }
        escape::unescape(raw).ok().map(|text| text.into_owned())
    }

    /// The value of an attribute of an element; its name with its prefix.
    pub(super) fn attribute(&self, at: usize, name: &str) -> Option<String> {
        let value = self.attribute_place(at, name)?;
        escape::unescape(&self.text[value.1]).ok().map(|text| text.into_owned())
    }

    /// Where an attribute stands, from the white space before it to its closing quote, and where its value does.
    pub(super) fn attribute_place(&self, at: usize, name: &str) -> Option<(Range<usize>, Range<usize>)> {
        let open = &self.elements[at].open;
        let tag = &self.text[open.clone()];
        let bytes = tag.as_bytes();
        let mut from = tag.find(char::is_whitespace)?;
        while from < bytes.len() {
            let key = from + bytes[from..].iter().position(|byte| !byte.is_ascii_whitespace())?;
            let equals = key + bytes[key..].iter().position(|byte| *byte == b'=')?;
            let quote = equals + bytes[equals..].iter().position(|byte| matches!(byte, b'"' | b'\''))?;
            let end = quote + 1 + bytes[quote + 1..].iter().position(|byte| *byte == bytes[quote])?;
            if tag[key..equals].trim() == name {
                let place = |at: usize| open.start + at;
                return Some((place(from)..place(end + 1), place(quote + 1)..place(end)));
            }
            from = end + 1;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_tag_is_found_where_it_stands() {
        let text =
            "<?xml version=\"1.0\"?><w:p a='1' w:rsid=\"x&amp;y\"><w:t>One &amp; two</w:t><w:br/></w:p>";
        let tree = Tree::of(text, "p").unwrap();
        let names: Vec<&str> = tree.elements.iter().map(|one| one.name.as_str()).collect();
        assert_eq!(names, ["p", "t", "br"]);
        assert_eq!(tree.words(1).as_deref(), Some("One & two"));
        assert_eq!(tree.words(0), None);
        assert_eq!(tree.attribute(0, "w:rsid").as_deref(), Some("x&y"));
        assert_eq!(tree.attribute(0, "a").as_deref(), Some("1"));
        assert_eq!(tree.attribute(0, "rsid"), None);
        assert_eq!(&text[tree.attribute_place(0, "a").unwrap().0], " a='1'");
        assert!(tree.elements[2].is_empty_tag() && tree.within(0) == (1..3) && tree.within(1) == (2..2));
        assert_eq!(tree.round(1, "p"), Some(0));
    }

    #[test]
    fn entities_and_what_is_no_xml_are_refused() {
        for text in ["<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", "<a>&b;</a>", "<a><b></a>", "<a>", "</a>"] {
            assert!(Tree::of(text, "part").is_err(), "{text}");
        }
        let deep = "<a>".repeat(300) + &"</a>".repeat(300);
        assert!(Tree::of(&deep, "part").is_err());
    }
}
