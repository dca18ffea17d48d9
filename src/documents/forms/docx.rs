//! Forms of a word processor: WordprocessingML.
//!
//! # Reference
//! ECMA-376 part 1, chapters 17 (WordprocessingML) and 20 (DrawingML).

use std::{collections::BTreeSet, ops::Range};

use chrono::NaiveDate;

use crate::forms::{
    FormError, Unfilled,
    package::Package,
    pictures::{Drawn, drawn},
    placeholder::{Placeholder, placeholders},
    splice::{Edit, Joined, escaped, spliced},
    tree::Tree,
    values::{Bound, Value, Values},
};

/// Elements that stand for something between two texts: no placeholder reaches over them.
const BETWEEN: [&str; 8] = ["tab", "br", "cr", "drawing", "pict", "object", "fldChar", "noBreakHyphen"];

/// English metric units in a millimetre.
const EMU: f64 = 36_000.0;

pub(super) fn fill(
    bytes: Vec<u8>,
    values: &Values<'_>,
    dated: NaiveDate,
    unfilled: &mut Unfilled,
) -> Result<Vec<u8>, FormError> {
    let mut package = Package::open(bytes)?;
    let parts: Vec<String> = package.names().iter().filter(|name| holds_words(name)).cloned().collect();
    let mut pictures = 0;
    for part in parts {
        let Some(text) = package.text(&part)? else { continue };
        if !text.contains('{') {
            continue;
        }
        let mut filling = Filling { part: &part, values, unfilled, pictures: Vec::new(), before: pictures };
        let filled = filling.text(&text, None)?;
        let drawn = filling.pictures;
        if filled != text {
            Tree::of(&filled, &part)?;
            package.put(&part, filled);
        }
        if !drawn.is_empty() {
            add_pictures(&mut package, &part, pictures, &drawn)?;
            pictures += drawn.len();
        }
    }
    for part in ["word/comments.xml", "word/glossary/document.xml"] {
        let Some(text) = package.text(part)?.filter(|text| text.contains("{{")) else { continue };
        unfilled.say_beside(&Tree::of(&text, part)?, &["p"], "a comment or a building block");
    }
    package.packed(dated)
}

/// Whether a member holds words of the document: its body, heads, feet and notes.
fn holds_words(name: &str) -> bool {
    let Some(file) = name.strip_prefix("word/").and_then(|file| file.strip_suffix(".xml")) else {
        return false;
    };
    ["document", "header", "footer", "footnotes", "endnotes"].iter().any(|kind| {
        file.strip_prefix(kind).is_some_and(|rest| rest.chars().all(|letter| letter.is_ascii_digit()))
    })
}

struct Filling<'f, 'v> {
    part: &'f str,
    values: &'f Values<'v>,
    unfilled: &'f mut Unfilled,
    pictures: Vec<Drawn>,
    /// Pictures of the parts before.
    before: usize,
}

impl Filling<'_, '_> {
    /// `text` filled: a row of a table that holds a list once for each of its members, everything else where it stands.
    fn text(&mut self, text: &str, bound: Option<&Bound>) -> Result<String, FormError> {
        let tree = Tree::of(text, self.part)?;
        let paragraphs: Vec<(usize, Joined, Vec<Placeholder>)> = tree
            .named("p")
            .map(|at| (at, paragraph(&tree, at)))
            .map(|(at, joined)| {
                let found = placeholders(&joined.text);
                (at, joined, found)
            })
            .filter(|(_, _, found)| !found.is_empty())
            .collect();
        let mut edits: Vec<Edit> = Vec::new();
        let mut repeated: BTreeSet<usize> = BTreeSet::new();
        if bound.is_none() {
            for (at, _, found) in &paragraphs {
                if found.iter().any(Placeholder::is_of_list)
                    && let Some(row) = tree.round(*at, "tr")
                {
                    repeated.insert(row);
                }
            }
            // Of rows within rows the inner ones are meant.
            let inner: Vec<usize> = repeated
                .iter()
                .copied()
                .filter(|&row| {
                    !repeated.iter().any(|&other| other != row && tree.within(row).contains(&other))
                })
                .collect();
            for row in &inner {
                let place = tree.elements[*row].whole();
                let asked: Vec<Placeholder> = paragraphs
                    .iter()
                    .filter(|(at, ..)| tree.within(*row).contains(at))
                    .flat_map(|(.., found)| found.clone())
                    .collect();
                let Some(members) = self.values.list(&asked, self.unfilled) else { continue };
                let mut rows = String::new();
                for (copy, member) in members.iter().enumerate() {
                    let whole = &text[place.clone()];
                    let plain = if copy == 0 { whole.to_owned() } else { without_ids(whole, self.part)? };
                    rows.push_str(&self.text(&plain, Some(member))?);
                }
                edits.push((place, rows));
            }
            repeated = inner.into_iter().collect();
        }
        for (at, joined, found) in &paragraphs {
            let in_row = repeated.iter().any(|row| tree.within(*row).contains(at));
            if !in_row {
                self.paragraph(&tree, joined, found, bound, &mut edits);
            }
        }
        Ok(spliced(text, edits))
    }

    fn paragraph(
        &mut self,
        tree: &Tree<'_>,
        joined: &Joined,
        found: &[Placeholder],
        bound: Option<&Bound>,
        edits: &mut Vec<Edit>,
    ) {
        let mut replacements: Vec<(Range<usize>, String)> = Vec::new();
        for one in found {
            if bound.is_none() && one.is_of_list() {
                if tree_has_no_row(tree, joined, one) {
                    self.unfilled.say(&one.inside, "a list needs a row of a table, which is repeated", None);
                }
                continue;
            }
            match self.values.get(one, bound, self.unfilled) {
                None => {}
                Some(Value::Picture(picture)) => match drawn(picture) {
                    Err(why) => self.unfilled.say(&one.inside, why.to_string(), None),
                    Ok(picture) => {
                        let run = joined.element(one.place.start).and_then(|at| tree.round(at, "r"));
                        let Some(run) = run else { continue };
                        let end = tree.elements[run].close.end;
                        let number = self.before + self.pictures.len() + 1;
                        edits.push((end..end, in_line(&tree.elements[run].prefix, number, &picture)));
                        self.pictures.push(picture);
                        replacements.push((one.place.clone(), String::new()));
                    }
                },
                Some(value) => replacements.push((one.place.clone(), value.text())),
            }
        }
        edits.extend(joined.edits(tree, &replacements, |element| {
            let prefix = &tree.elements[element].prefix;
            format!("</{prefix}t><{prefix}br/><{prefix}t xml:space=\"preserve\">")
        }));
    }
}

fn tree_has_no_row(tree: &Tree<'_>, joined: &Joined, one: &Placeholder) -> bool {
    joined.element(one.place.start).is_none_or(|at| tree.round(at, "tr").is_none())
}

/// The words of a paragraph, without those of paragraphs that lie in it, such as in a text box.
fn paragraph(tree: &Tree<'_>, at: usize) -> Joined {
    let name = |part: usize| tree.elements[part].name.as_str();
    let parts = tree.within(at).filter(|&part| {
        (name(part) == "t" || BETWEEN.contains(&name(part))) && tree.round(part, "p") == Some(at)
    });
    Joined::of(tree, parts)
}

/// A row without the ids that no two paragraphs or rows may share.
fn without_ids(row: &str, part: &str) -> Result<String, FormError> {
    let tree = Tree::of(row, part)?;
    let mut edits = Vec::new();
    for at in 0..tree.elements.len() {
        for id in ["w14:paraId", "w14:textId"] {
            edits.extend(tree.attribute_place(at, id).map(|(whole, _)| (whole, String::new())));
        }
    }
    Ok(spliced(row, edits))
}

fn id_of(number: usize) -> String {
    format!("hillfolioPicture{number}")
}

/// A run that holds a picture in the line.
fn in_line(prefix: &str, number: usize, picture: &Drawn) -> String {
    #[allow(clippy::cast_possible_truncation, reason = "a page is no wider than some millions of the unit")]
    let emu = |mm: f64| (mm * EMU).round() as i64;
    let (across, down) = (emu(picture.size_mm.0), emu(picture.size_mm.1));
    let alt = escaped(&picture.alt).replace('"', "&quot;").replace('\n', " ");
    // Numbers of pictures begin where a form seldom has any.
    let (id, own) = (id_of(number), 900_000 + number);
    format!(
        "<{prefix}r><{prefix}drawing><wp:inline xmlns:wp=\"http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing\" distT=\"0\" distB=\"0\" distL=\"0\" distR=\"0\">\
         <wp:extent cx=\"{across}\" cy=\"{down}\"/><wp:docPr id=\"{own}\" name=\"Picture {number}\" descr=\"{alt}\"/>\
         <a:graphic xmlns:a=\"http://schemas.openxmlformats.org/drawingml/2006/main\"><a:graphicData uri=\"http://schemas.openxmlformats.org/drawingml/2006/picture\">\
         <pic:pic xmlns:pic=\"http://schemas.openxmlformats.org/drawingml/2006/picture\"><pic:nvPicPr><pic:cNvPr id=\"{own}\" name=\"Picture {number}\"/><pic:cNvPicPr/></pic:nvPicPr>\
         <pic:blipFill><a:blip xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\" r:embed=\"{id}\"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill>\
         <pic:spPr><a:xfrm><a:off x=\"0\" y=\"0\"/><a:ext cx=\"{across}\" cy=\"{down}\"/></a:xfrm><a:prstGeom prst=\"rect\"><a:avLst/></a:prstGeom></pic:spPr></pic:pic>\
         </a:graphicData></a:graphic></wp:inline></{prefix}drawing></{prefix}r>"
    )
}

/// Puts the pictures of a part beside it: their bytes, the links to them, and the kinds of their files.
fn add_pictures(
    package: &mut Package,
    part: &str,
    before: usize,
    pictures: &[Drawn],
) -> Result<(), FormError> {
    let file = part.rsplit_once('/').map_or(part, |(_, file)| file);
    let links = format!("word/_rels/{file}.rels");
    const OF_PICTURE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/image";
    let mut new = String::new();
    for (at, picture) in pictures.iter().enumerate() {
        let number = before + at + 1;
        let target = format!("media/hillfolio-{number}.{}", picture.ending);
        new += &format!("<Relationship Id=\"{}\" Type=\"{OF_PICTURE}\" Target=\"{target}\"/>", id_of(number));
        package.add(format!("word/{target}"), picture.bytes.clone());
    }
    match package.text(&links)? {
        Some(text) => {
            let text = within_root(&text, &links, &new)?;
            package.put(&links, text);
        }
        None => package.add(links, format!("<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">{new}</Relationships>").into_bytes()),
    }
    let kinds = "[Content_Types].xml";
    let missing = || FormError::Malformed { part: kinds.to_owned(), why: "it is not there".to_owned() };
    let text = package.text(kinds)?.ok_or_else(missing)?;
    let tree = Tree::of(&text, kinds)?;
    let mut new = String::new();
    let endings: BTreeSet<&str> = pictures.iter().map(|picture| picture.ending).collect();
    for ending in endings {
        let is_it = |at: usize| {
            tree.attribute(at, "Extension").is_some_and(|known| known.eq_ignore_ascii_case(ending))
        };
        if !tree.named("Default").any(is_it) {
            new += &format!("<Default Extension=\"{ending}\" ContentType=\"image/{ending}\"/>");
        }
    }
    if !new.is_empty() {
        let at = tree.elements.first().map_or(0, |root| root.open.end);
        let text = spliced(&text, vec![(at..at, new)]);
        package.put(kinds, text);
    }
    Ok(())
}

/// `text` with `new` at the end of its root element.
fn within_root(text: &str, part: &str, new: &str) -> Result<String, FormError> {
    let tree = Tree::of(text, part)?;
    let Some(root) = tree.elements.first() else { return Ok(text.to_owned()) };
    Ok(match root.is_empty_tag() {
        false => spliced(text, vec![(root.close.start..root.close.start, new.to_owned())]),
        true => {
            let stroke = root.open.end - 2..root.open.end;
            spliced(text, vec![(stroke, format!(">{new}</{}{}>", root.prefix, root.name))])
        }
    })
}
