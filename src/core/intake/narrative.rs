//! The words only a person can write: Markdown taken into plain values, so that none of it can become a template.

use std::sync::Arc;

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use crate::{
    intake::{
        folder::Folder,
        glyphs::{self, Printable},
        nearest,
        reader::Reader,
    },
    problem::{Evidence, Place, Problem},
    project::{Block, Chapter, Photo, Span, WordPicture, WordTable},
};

/// Every chapter of the folder, in the order of their files.
pub(super) fn chapters(
    folder: &Folder,
    reader: &Reader<'_>,
    printable: Printable<'_>,
    problems: &mut Vec<Problem>,
) -> Vec<Chapter> {
    let is_chapter = |path: &&String| path.starts_with("narrative/") && path.to_lowercase().ends_with(".md");
    let mut chapters = Vec::new();
    for path in folder.files().iter().filter(is_chapter) {
        if let Some(text) = reader.text(path, problems) {
            glyphs::doubt_lines(path, &text, printable, problems);
            chapters.push(chapter(path, &text, problems));
        }
    }
    chapters
}

/// Finds the pictures of `chapters` among the folder's `photos`: by their path in the folder, or from the chapter's own folder. What is
/// none of them is left out, and a doubt says so.
pub(super) fn find_pictures(chapters: &mut [Chapter], photos: &[Photo], problems: &mut Vec<Problem>) {
    let paths = || photos.iter().map(|photo| &*photo.path);
    for chapter in chapters {
        let of = Arc::clone(&chapter.path);
        chapter.blocks.retain_mut(|block| {
            let Block::Picture(picture) = block else { return true };
            let asked = percent_encoding::percent_decode_str(&picture.path).decode_utf8_lossy().into_owned();
            let beside = from_beside(&of, &asked);
            match photos.iter().find(|photo| [asked.as_str(), &beside].contains(&&*photo.path)) {
                Some(photo) => picture.path = Arc::clone(&photo.path),
                None => {
                    let nearest =
                        nearest::nearest(&beside, paths()).or_else(|| nearest::nearest(&asked, paths()));
                    let place = Place { row: Some(picture.line), ..Place::file(Arc::clone(&of)) };
                    problems.push(Problem::new(Evidence::PictureNotThere { found: asked, nearest }, place));
                    return false;
                }
            }
            true
        });
    }
}

/// The path of what `of` calls `asked`, as seen from its own folder.
fn from_beside(of: &str, asked: &str) -> String {
    let mut parts: Vec<&str> = of.split('/').collect();
    parts.pop();
    for part in asked.split('/') {
        match part {
            "" | "." => {}
            ".." => drop(parts.pop()),
            name => parts.push(name),
        }
    }
    parts.join("/")
}

/// A chapter from the text of the file at `path`.
///
/// Its first heading is the title, else the file's name. Headings, paragraphs, lists, quotations, tables, emphasis and strong are
/// set; of anything else the words are kept and a doubt says so.
pub(crate) fn chapter(path: &str, text: &str, problems: &mut Vec<Problem>) -> Chapter {
    let mut page = Page {
        path,
        text,
        blocks: Vec::new(),
        open: Vec::new(),
        lists: Vec::new(),
        table: None,
        cells: Vec::new(),
        spans: Vec::new(),
        style: Style::default(),
        shown: None,
    };
    for (event, range) in
        Parser::new_ext(text, Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH).into_offset_iter()
    {
        page.takes(event, range.start, problems);
    }
    page.close(None);
    let mut blocks = page.blocks;
    let title = match blocks.iter().position(|block| matches!(block, Block::Heading(..))) {
        Some(0) => plain(&blocks.remove(0)),
        _ => from_name(path),
    };
    for block in &mut blocks {
        // The chapter's title alone stands at the first level.
        if let Block::Heading(level, _) = block {
            *level = (*level).max(2);
        }
    }
    Chapter { path: Arc::from(path), title, blocks }
}

/// What is being set at the moment, from the outside in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Open {
    Heading(u8),
    Paragraph,
    Item,
    Quote,
    /// Its caption.
    Picture,
}

#[derive(Clone, Copy, Default)]
struct Style {
    emphasis: u8,
    strong: u8,
}

struct List {
    numbered: bool,
    items: Vec<Vec<Span>>,
}

struct Page<'a> {
    path: &'a str,
    text: &'a str,
    blocks: Vec<Block>,
    open: Vec<Open>,
    lists: Vec<List>,
    table: Option<WordTable>,
    /// Cells of the row that is being read.
    cells: Vec<Vec<Span>>,
    spans: Vec<Span>,
    style: Style,
    /// The picture whose caption is being read.
    shown: Option<Shown>,
}

/// Where a picture lies, as the words have it, and the line on which they do.
struct Shown {
    at: String,
    line: u32,
}

impl Page<'_> {
    fn takes(&mut self, event: Event<'_>, at: usize, problems: &mut Vec<Problem>) {
        match event {
            Event::Start(tag) => self.begins(&tag, at, problems),
            Event::End(tag) => self.ends(tag),
            Event::Text(text) | Event::Code(text) | Event::InlineMath(text) | Event::DisplayMath(text) => {
                self.says(&text)
            }
            Event::SoftBreak => self.says(" "),
            Event::HardBreak => self.says("\n"),
            Event::Html(text) | Event::InlineHtml(text) => {
                self.doubts("HTML", at, problems);
                self.says(&text);
            }
            Event::FootnoteReference(_) | Event::Rule | Event::TaskListMarker(_) => {}
        }
    }

    fn begins(&mut self, tag: &Tag<'_>, at: usize, problems: &mut Vec<Problem>) {
        match tag {
            Tag::Heading { level, .. } => self.opens(Open::Heading(depth(*level))),
            Tag::Paragraph if self.open.is_empty() => self.opens(Open::Paragraph),
            Tag::Paragraph if !self.spans.is_empty() => self.says("\n"),
            Tag::BlockQuote(_) => self.opens(Open::Quote),
            Tag::List(first) => {
                self.close(None);
                self.lists.push(List { numbered: first.is_some(), items: Vec::new() });
            }
            Tag::Item => self.opens(Open::Item),
            Tag::Emphasis => self.style.emphasis += 1,
            Tag::Strong => self.style.strong += 1,
            Tag::CodeBlock(_) => {
                self.doubts("a block of code", at, problems);
                self.opens(Open::Paragraph);
            }
            Tag::Table(_) => {
                self.close(None);
                self.table = Some(WordTable::default());
            }
            Tag::Image { .. } if self.table.is_some() => self.doubts("a picture in a table", at, problems),
            Tag::Image { dest_url, .. } => {
                self.close(Some(Open::Paragraph));
                self.shown = Some(Shown { at: dest_url.to_string(), line: self.line(at) });
                self.opens(Open::Picture);
            }
            _ => {}
        }
    }

    fn ends(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(_) | TagEnd::CodeBlock | TagEnd::Item | TagEnd::BlockQuote(_) => self.close(None),
            TagEnd::Paragraph => self.close(Some(Open::Paragraph)),
            TagEnd::List(_) => {
                self.close(None);
                if let Some(list) = self.lists.pop().filter(|list| !list.items.is_empty()) {
                    match self.lists.last_mut() {
                        Some(outer) => outer.items.extend(list.items),
                        None => self.blocks.push(Block::List { numbered: list.numbered, items: list.items }),
                    }
                }
            }
            TagEnd::Image => {
                self.open.retain(|open| *open != Open::Picture);
                let caption = trimmed(std::mem::take(&mut self.spans));
                let caption = caption.iter().map(|span| span.text.as_str()).collect();
                if let Some(Shown { at, line }) = self.shown.take() {
                    self.blocks.push(Block::Picture(WordPicture { path: at.into(), caption, line }));
                }
            }
            TagEnd::Emphasis => self.style.emphasis = self.style.emphasis.saturating_sub(1),
            TagEnd::Strong => self.style.strong = self.style.strong.saturating_sub(1),
            TagEnd::TableCell => {
                let cell = trimmed(std::mem::take(&mut self.spans));
                self.cells.push(cell);
            }
            TagEnd::TableHead => {
                let cells = std::mem::take(&mut self.cells);
                self.table.get_or_insert_default().head = cells;
            }
            TagEnd::TableRow => {
                let cells = std::mem::take(&mut self.cells);
                self.table.get_or_insert_default().rows.push(cells);
            }
            TagEnd::Table => {
                let table = self.table.take().filter(|table| !table.head.is_empty());
                self.blocks.extend(table.map(Block::Table));
            }
            _ => {}
        }
    }

    fn opens(&mut self, open: Open) {
        self.close(None);
        self.open.push(open);
    }

    /// Ends what is being set: whatever it is, or only what is named.
    fn close(&mut self, only: Option<Open>) {
        if only.is_some() && self.open.last().copied() != only {
            return;
        }
        let open = self.open.pop();
        let spans = trimmed(std::mem::take(&mut self.spans));
        if spans.is_empty() {
            return;
        }
        match (open, self.lists.last_mut()) {
            (_, Some(list)) => list.items.push(spans),
            (Some(Open::Heading(level)), None) => self.blocks.push(Block::Heading(level, spans)),
            (Some(Open::Quote), None) => self.blocks.push(Block::Quote(spans)),
            (_, None) => self.blocks.push(Block::Paragraph(spans)),
        }
    }

    fn says(&mut self, text: &str) {
        let (emphasis, strong) = (self.style.emphasis > 0, self.style.strong > 0);
        match self.spans.last_mut() {
            Some(last) if last.emphasis == emphasis && last.strong == strong => last.text.push_str(text),
            _ => self.spans.push(Span { text: text.to_owned(), emphasis, strong }),
        }
    }

    /// The number of the line on which the byte `at` lies.
    fn line(&self, at: usize) -> u32 {
        let before = &self.text.as_bytes()[..at.min(self.text.len())];
        u32::try_from(before.iter().filter(|&&byte| byte == b'\n').count() + 1).unwrap_or(u32::MAX)
    }

    fn doubts(&self, what: &'static str, at: usize, problems: &mut Vec<Problem>) {
        let place = Place { row: Some(self.line(at)), ..Place::file(self.path) };
        let problem = Problem::new(Evidence::MarkdownLeftOut { what }, place);
        // An opening and a closing tag are one thing left out.
        if problems.last() != Some(&problem) {
            problems.push(problem);
        }
    }
}

fn depth(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 => 3,
        HeadingLevel::H4 => 4,
        HeadingLevel::H5 => 5,
        HeadingLevel::H6 => 6,
    }
}

/// Without space at either end, and without spans that hold nothing else.
fn trimmed(mut spans: Vec<Span>) -> Vec<Span> {
    if let Some(first) = spans.first_mut() {
        first.text = first.text.trim_start().to_owned();
    }
    if let Some(last) = spans.last_mut() {
        last.text.truncate(last.text.trim_end().len());
    }
    spans.retain(|span| !span.text.is_empty());
    spans
}

fn plain(block: &Block) -> String {
    match block {
        Block::Heading(_, spans) => spans.iter().map(|span| span.text.as_str()).collect(),
        _ => String::new(),
    }
}

/// `narrative/what-went-well.md` is "What went well".
fn from_name(path: &str) -> String {
    let name = path.rsplit('/').next().unwrap_or(path);
    let words = name.strip_suffix(".md").unwrap_or(name).replace(['-', '_'], " ");
    let mut letters = words.trim().chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Chapter, Vec<Problem>) {
        let mut problems = Vec::new();
        let chapter = chapter("narrative/what-went-well.md", text, &mut problems);
        (chapter, problems)
    }

    fn span(text: &str, emphasis: bool, strong: bool) -> Span {
        Span { text: text.to_owned(), emphasis, strong }
    }

    #[test]
    fn headings_lists_and_emphasis_become_values() {
        let (chapter, problems) = read(
            "# Our year\n\nIt *rained* **well**.\n\n## Next\n\n1. Weed\n2. Slash\n   - twice\n\n> Mind the gate.\n",
        );
        assert_eq!(chapter.title, "Our year");
        assert!(problems.is_empty());
        let said = [
            span("It ", false, false),
            span("rained", true, false),
            span(" ", false, false),
            span("well", false, true),
            span(".", false, false),
        ];
        assert_eq!(chapter.blocks[0], Block::Paragraph(said.to_vec()));
        assert_eq!(chapter.blocks[1], Block::Heading(2, vec![span("Next", false, false)]));
        let items = ["Weed", "Slash", "twice"].map(|item| vec![span(item, false, false)]).to_vec();
        assert_eq!(chapter.blocks[2], Block::List { numbered: true, items });
        assert_eq!(chapter.blocks[3], Block::Quote(vec![span("Mind the gate.", false, false)]));
    }

    #[test]
    fn a_second_heading_of_the_first_level_stands_below_the_title() {
        let blocks = read("# Our year\n\n# Next year\n").0.blocks;
        assert_eq!(blocks, [Block::Heading(2, vec![span("Next year", false, false)])]);
    }

    #[test]
    fn markup_of_other_kinds_keeps_its_words_and_says_so() {
        let (chapter, problems) = read(
            "Before\n\n<b>bold</b> and #panic() $x$\n\n| a | b |\n|---|---|\n| 1 | 2 |\n\n```\ncode *x*\n```\n",
        );
        assert_eq!(chapter.title, "What went well");
        let words = format!("{:?}", chapter.blocks);
        for kept in ["#panic() $x$", "<b>", "code *x*", "1", "2"] {
            assert!(words.contains(kept), "{kept} in {words}");
        }
        let rows: Vec<_> = problems.iter().map(|problem| problem.place.row).collect();
        // The two tags of line 3 are said once; a table is set.
        assert_eq!(rows, [Some(3), Some(9)]);
        let cell = |words: &str| vec![span(words, false, false)];
        let table = WordTable { head: vec![cell("a"), cell("b")], rows: vec![vec![cell("1"), cell("2")]] };
        assert!(chapter.blocks.contains(&Block::Table(table)), "{words}");
    }

    #[test]
    fn a_picture_stands_between_the_paragraphs_under_its_caption() {
        let (chapter, problems) = read("Before ![The new gate](../photos/gate.jpg) after\n");
        assert!(problems.is_empty());
        let said = |words: &str| Block::Paragraph(vec![span(words, false, false)]);
        let (path, caption) = (Arc::from("../photos/gate.jpg"), "The new gate".to_owned());
        let picture = Block::Picture(WordPicture { path, caption, line: 1 });
        assert_eq!(chapter.blocks, [said("Before"), picture, said("after")]);
        assert_eq!(from_beside("narrative/well.md", "../photos/./gate.jpg"), "photos/gate.jpg");
        assert_eq!(from_beside("narrative/council/well.md", "gate.jpg"), "narrative/council/gate.jpg");
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read(text in "\\PC{0,200}") {
            read(&text);
        }
    }
}
