//! A document as it came off the typesetter, with its words page by page, so that it can be read back.

use typst::layout::{Abs, Frame, FrameItem, Point, Size, Transform};
use typst_layout::PagedDocument;

use crate::typeset::TemplateDiagnostic;

/// A typeset document that can be read back.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// The file's name in the pack, such as `maps/site-map.pdf`.
    pub name: String,
    /// The PDF.
    pub bytes: Vec<u8>,
    /// The words of each page, in the order in which they were set.
    pub pages: Vec<String>,
    /// How far down each page is filled, from 0 to 1: where the last of its body ends.
    pub filled: Vec<f64>,
    /// What the typesetter wondered about; the embedded templates give it no cause.
    pub warnings: Vec<TemplateDiagnostic>,
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

/// Words that would be cut off at the paper's edge, each as a warning.
pub(crate) fn cut_off(document: &PagedDocument) -> Vec<TemplateDiagnostic> {
    let mut found = Vec::new();
    for (at, page) in document.pages().iter().enumerate() {
        let mut words = Vec::new();
        outside(&page.frame, Transform::identity(), page.frame.size(), &mut words);
        let warning = |text| TemplateDiagnostic::nowhere(format!("`{text}` leaves page {}", at + 1));
        found.extend(words.into_iter().map(warning));
    }
    found
}

fn outside(frame: &Frame, placed: Transform, page: Size, found: &mut Vec<String>) {
    let paper =
        |place: Point| (Abs::zero()..=page.x).contains(&place.x) && (Abs::zero()..=page.y).contains(&place.y);
    for (at, item) in frame.items() {
        match item {
            FrameItem::Group(group) => {
                let inner = placed.pre_concat(Transform::translate(at.x, at.y)).pre_concat(group.transform);
                outside(&group.frame, inner, page, found);
            }
            FrameItem::Text(run) => {
                let end = Point::new(at.x + run.width(), at.y);
                if !paper(at.transform(placed)) || !paper(end.transform(placed)) {
                    found.push(run.text.to_string());
                }
            }
            FrameItem::Shape(..) | FrameItem::Image(..) | FrameItem::Link(..) | FrameItem::Tag(_) => {}
        }
    }
}

/// Above the body of a page, and below it with the foot line.
const ABOVE: Abs = Abs::raw(18.0 * 72.0 / 25.4);
const BELOW: Abs = Abs::raw(21.0 * 72.0 / 25.4);

/// How far down each page is filled.
pub(crate) fn filled(document: &PagedDocument) -> Vec<f64> {
    let filled = document.pages().iter().map(|page| {
        let end = page.frame.height() - BELOW;
        let last = lowest(&page.frame, Transform::identity(), end);
        ((last - ABOVE) / (end - ABOVE)).clamp(0.0, 1.0)
    });
    filled.collect()
}

/// Where the lowest thing ends that begins above `end`.
fn lowest(frame: &Frame, placed: Transform, end: Abs) -> Abs {
    let mut last = Abs::zero();
    for (at, item) in frame.items() {
        let from = at.transform(placed).y;
        let to = match item {
            FrameItem::Group(group) => {
                let inner = placed.pre_concat(Transform::translate(at.x, at.y)).pre_concat(group.transform);
                lowest(&group.frame, inner, end)
            }
            FrameItem::Text(_) => from,
            FrameItem::Image(_, size, _) => from + size.y,
            FrameItem::Shape(shape, _) => from + shape.geometry.bbox(None).max.y,
            FrameItem::Link(..) | FrameItem::Tag(_) => continue,
        };
        if from < end {
            last.set_max(to.min(end));
        }
    }
    last
}
