//! What a workbook has besides its cells: the names of its sheets, and places where placeholders stand that nothing fills.

use std::collections::BTreeMap;

use crate::forms::{FormError, Unfilled, package::Package, tree::Tree};

/// Elements of a sheet that hold what is printed above and below its pages.
pub(super) const HEADS_AND_FEET: [&str; 6] =
    ["oddHeader", "oddFooter", "evenHeader", "evenFooter", "firstHeader", "firstFooter"];

/// The names of the sheets, by the part that holds each.
pub(super) fn sheet_names(package: &mut Package) -> Result<BTreeMap<String, String>, FormError> {
    const BOOK: &str = "xl/workbook.xml";
    const LINKS: &str = "xl/_rels/workbook.xml.rels";
    let (Some(book), Some(links)) = (package.text(BOOK)?, package.text(LINKS)?) else {
        return Ok(BTreeMap::new());
    };
    let links = Tree::of(&links, LINKS)?;
    let targets: BTreeMap<String, String> = links
        .named("Relationship")
        .filter_map(|at| {
            let target = links.attribute(at, "Target")?;
            let target = target.strip_prefix('/').map_or_else(|| format!("xl/{target}"), str::to_owned);
            Some((links.attribute(at, "Id")?, target))
        })
        .collect();
    let book = Tree::of(&book, BOOK)?;
    let sheets = book.named("sheet").filter_map(|at| {
        let id = book.attribute(at, "id").or_else(|| book.attribute(at, "r:id"))?;
        Some((targets.get(&id)?.clone(), book.attribute(at, "name")?))
    });
    Ok(sheets.collect())
}

/// Says of placeholders in comments, text boxes and charts that nothing is filled there.
pub(super) fn say_beside(package: &mut Package, unfilled: &mut Unfilled) -> Result<(), FormError> {
    let parts: Vec<(String, &'static str)> = package
        .names()
        .iter()
        .filter(|name| name.ends_with(".xml"))
        .filter_map(|name| {
            let place = match name.strip_prefix("xl/")? {
                rest if rest.starts_with("comments") || rest.starts_with("threadedComments") => "a comment",
                rest if rest.starts_with("drawings/") => "a text box",
                rest if rest.starts_with("charts/") => "a chart",
                _ => return None,
            };
            Some((name.clone(), place))
        })
        .collect();
    for (part, place) in parts {
        let Some(text) = package.text(&part)?.filter(|text| text.contains("{{")) else { continue };
        unfilled.say_beside(&Tree::of(&text, &part)?, &["comment", "threadedComment", "p", "v"], place);
    }
    Ok(())
}
