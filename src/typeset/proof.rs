//! A document as it came off the typesetter, with its words page by page, so that it can be read back.

use typst::layout::{Frame, FrameItem};
use typst_layout::PagedDocument;

use crate::typeset::Mishap;

/// A typeset document that can be read back.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// The file's name in the pack, such as `maps/site-map.pdf`.
    pub name: String,
    /// The PDF.
    pub bytes: Vec<u8>,
    /// The words of each page, in the order in which they were set.
    pub pages: Vec<String>,
    /// What the typesetter wondered about; the embedded templates give it no cause.
    pub warnings: Vec<Mishap>,
}

/// The words of each page. Runs are joined as they were set; a break of any kind reads as one space.
pub(crate) fn words(document: &PagedDocument) -> Vec<String> {
    document
        .pages()
        .iter()
        .map(|page| {
            let mut text = String::new();
            gather(&page.frame, &mut text);
            text.replace('\u{200b}', "").split_whitespace().collect::<Vec<_>>().join(" ")
        })
        .collect()
}

fn gather(frame: &Frame, text: &mut String) {
    let mut last_line = None;
    for (at, item) in frame.items() {
        match item {
            FrameItem::Group(group) => {
                text.push(' ');
                gather(&group.frame, text);
                text.push(' ');
            }
            FrameItem::Text(run) => {
                if last_line.is_some_and(|line| line != at.y) {
                    text.push(' ');
                }
                last_line = Some(at.y);
                text.push_str(&run.text);
            }
            FrameItem::Shape(..) | FrameItem::Image(..) | FrameItem::Link(..) | FrameItem::Tag(_) => {}
        }
    }
}
