//! The words only a person can write, taken from Markdown into plain values.

use std::sync::Arc;

/// A run of text in one style.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The text.
    pub text: String,
    /// Set with emphasis.
    pub emphasis: bool,
    /// Set strong.
    pub strong: bool,
}

/// A block of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading below the chapter's own: level 2 and deeper.
    Heading(u8, Vec<Span>),
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// A list, numbered or not; each item a run of spans.
    List {
        /// Whether the items are numbered.
        numbered: bool,
        /// The items.
        items: Vec<Vec<Span>>,
    },
    /// A quotation.
    Quote(Vec<Span>),
    /// A table.
    Table(WordTable),
    /// A picture of the folder's photos.
    Picture(WordPicture),
}

/// A picture among the words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WordPicture {
    /// The path of the photo.
    pub path: Arc<str>,
    /// What the words say that it shows.
    pub caption: String,
    /// The line on which it stands.
    pub line: u32,
}

/// A table of words: as many cells in every row as in the head.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WordTable {
    /// Headings of the columns.
    pub head: Vec<Vec<Span>>,
    /// Rows of cells.
    pub rows: Vec<Vec<Vec<Span>>>,
}

/// One file of the narrative.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chapter {
    /// Path inside the project folder.
    pub path: Arc<str>,
    /// The file's first heading, or its name.
    pub title: String,
    /// The text.
    pub blocks: Vec<Block>,
}
