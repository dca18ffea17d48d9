//! XML as it stands in other people's files: read from front to back, never deep, never growing.
//!
//! Entities of a document's own are refused, so that none can be expanded without end or name a file; nothing that a
//! document points at is fetched.

use std::borrow::Cow;

use quick_xml::{
    Reader, XmlVersion,
    events::{BytesStart, Event},
};

use crate::intake::limits;

/// A document while it is read.
pub(crate) struct Xml<'a> {
    text: &'a str,
    reader: Reader<&'a [u8]>,
    depth: usize,
}

/// What comes next in a document.
pub(crate) enum Node<'a> {
    /// An element begins.
    Open(Tag<'a>),
    /// The element that began last ends.
    Close,
    /// Text of the element that is open; it may come in several pieces.
    Text(Cow<'a, str>),
}

/// The beginning of an element.
pub(crate) struct Tag<'a>(BytesStart<'a>);

impl<'a> Xml<'a> {
    /// The beginning of `text`.
    pub(crate) fn new(text: &'a str) -> Xml<'a> {
        let mut reader = Reader::from_str(text);
        reader.config_mut().expand_empty_elements = true;
        Xml { text, reader, depth: 0 }
    }

    /// The next part of the document; `None` at its end.
    ///
    /// # Errors
    /// Why the document can't be read on, with the line.
    pub(crate) fn next(&mut self) -> Result<Option<Node<'a>>, String> {
        self.step().map_err(|why| format!("{why} (line {})", self.line()))
    }

    /// The text of the element that has just begun, up to its end; what its own elements hold counts as its text.
    pub(crate) fn rest(&mut self) -> Result<String, String> {
        let (mut text, depth) = (String::new(), self.depth);
        while self.depth >= depth {
            match self.next()? {
                Some(Node::Text(part)) => text.push_str(&part),
                Some(_) => {}
                None => break,
            }
        }
        Ok(text)
    }

    /// How many elements are open.
    pub(crate) fn depth(&self) -> usize {
        self.depth
    }

    fn line(&self) -> usize {
        let at = self.reader.error_position().max(self.reader.buffer_position());
        let at = usize::try_from(at).unwrap_or(usize::MAX).min(self.text.len());
        1 + self.text.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count()
    }

    fn step(&mut self) -> Result<Option<Node<'a>>, String> {
        loop {
            let node = match self.reader.read_event().map_err(|why| why.to_string())? {
                Event::Start(start) => {
                    self.depth += 1;
                    if self.depth > limits::NESTING {
                        return Err(format!("elements lie more than {} deep", limits::NESTING));
                    }
                    if let Some(Err(why)) = start.attributes().find(Result::is_err) {
                        return Err(why.to_string());
                    }
                    Node::Open(Tag(start))
                }
                Event::End(_) => {
                    self.depth = self.depth.saturating_sub(1);
                    Node::Close
                }
                Event::Text(text) => Node::Text(text.xml10_content()),
                Event::CData(text) => Node::Text(text.xml10_content()),
                Event::GeneralRef(name) => Node::Text(Cow::Owned(letter(&name)?.to_string())),
                Event::DocType(declared) if declared.contains('[') => {
                    return Err("it declares entities of its own, which are not read".to_owned());
                }
                Event::Eof if self.depth > 0 => {
                    return Err("it ends before its last element does".to_owned());
                }
                Event::Eof => return Ok(None),
                _ => continue,
            };
            return Ok(Some(node));
        }
    }
}

/// The letter that a reference stands for.
fn letter(name: &quick_xml::events::BytesRef<'_>) -> Result<char, String> {
    if let Some(letter) = name.resolve_char_ref().map_err(|why| why.to_string())? {
        return Ok(letter);
    }
    match &**name {
        "lt" => Ok('<'),
        "gt" => Ok('>'),
        "amp" => Ok('&'),
        "quot" => Ok('"'),
        "apos" => Ok('\''),
        other => Err(format!("`&{other};` stands for nothing that is known here")),
    }
}

impl Tag<'_> {
    /// The name without its prefix.
    pub(crate) fn name(&self) -> &str {
        self.0.local_name().into_inner()
    }

    /// The name as it is written.
    pub(crate) fn full_name(&self) -> &str {
        self.0.name().into_inner()
    }

    /// The attribute called `name`, whatever its prefix.
    pub(crate) fn attribute(&self, name: &str) -> Option<String> {
        let mut all = self.0.attributes().filter_map(Result::ok);
        let found = all.find(|attribute| attribute.key.local_name().into_inner() == name)?;
        found.normalized_value(XmlVersion::Implicit1_0).ok().map(Cow::into_owned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<String>, String> {
        let (mut xml, mut found) = (Xml::new(text), Vec::new());
        while let Some(node) = xml.next()? {
            found.push(match node {
                Node::Open(tag) => format!("<{} {:?}", tag.name(), tag.attribute("id")),
                Node::Close => ">".to_owned(),
                Node::Text(text) => text.into_owned(),
            });
        }
        Ok(found)
    }

    #[test]
    fn elements_and_their_text_are_read() {
        let found = read("<?xml version=\"1.0\"?><k:a k:id='1 &amp; 2'>x &lt;&#65;<![CDATA[<&]]><b/></k:a>");
        assert_eq!(found.unwrap().concat(), "<a Some(\"1 & 2\")x <A<&<b None>>");
    }

    #[test]
    fn what_could_do_harm_is_refused() {
        let why = |text: &str| read(text).unwrap_err();
        let bomb = "<!DOCTYPE a [<!ENTITY l \"lol\"><!ENTITY m \"&l;&l;\">]><a>&m;</a>";
        assert!(why(bomb).contains("entities"), "{}", why(bomb));
        assert!(why("<a>&m;</a>").contains("`&m;`"));
        assert!(why(&"<a>".repeat(100_000)).contains("deep"));
        assert_eq!(why("<a>\n<b>"), "it ends before its last element does (line 2)");
        assert!(why("<a></b>").contains("line 1"));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "[<>/a-c =\"'&;#x1!\\[\\]-]{0,80}") {
            let _ = read(&text);
            let _ = Xml::new(&text).rest();
        }
    }
}
