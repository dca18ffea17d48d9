//! Forms of a spreadsheet: SpreadsheetML. Numbers become numbers, words stay words; a formula is never touched and none is made.
//!
//! # Reference
//! ECMA-376 part 1, chapter 18 (SpreadsheetML).

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike as _, NaiveDate};

use hillfolio_core::problem::Funding;

use crate::forms::{
    FormError, Unfilled,
    cell_formats::{Added, Shown, Wanted, formats},
    cell_names::{Area, column, letters},
    package::Package,
    placeholder::{Placeholder, placeholders},
    sheet_parts::{HEADS_AND_FEET, say_beside, sheet_names},
    splice::{Edit, Joined, escaped, spliced},
    tree::Tree,
    values::{Bound, Value, Values},
};

/// The part of the words that cells share.
const STRINGS: &str = "xl/sharedStrings.xml";

/// The part of how cells look.
const STYLES: &str = "xl/styles.xml";

pub(super) fn fill(
    bytes: Vec<u8>,
    values: &Values<'_>,
    dated: NaiveDate,
    unfilled: &mut Unfilled,
) -> Result<Vec<u8>, FormError> {
    let mut package = Package::open(bytes)?;
    let shared = package.text(STRINGS)?.unwrap_or_default();
    let strings = match shared.is_empty() {
        true => Vec::new(),
        false => items(&Tree::of(&shared, STRINGS)?),
    };
    let styles = package.text(STYLES)?.filter(|text| text.len() < 8 << 20);
    let formats = match &styles {
        Some(text) => formats(&Tree::of(text, STYLES)?),
        None => Vec::new(),
    };
    let added = Added::to(&formats);
    let from_1904 = package
        .text("xl/workbook.xml")?
        .is_some_and(|text| ["date1904=\"1\"", "date1904=\"true\""].iter().any(|flag| text.contains(flag)));
    let is_sheet = |name: &String| {
        name.starts_with("xl/worksheets/") && name.ends_with(".xml") && !name.contains("/_rels/")
    };
    let sheets: Vec<String> = package.names().iter().filter(|name| is_sheet(name)).cloned().collect();
    let named = sheet_names(&mut package)?;
    let mut of_rows = BTreeSet::new();
    for part in sheets {
        let Some(text) = package.text(&part)? else { continue };
        let tree = Tree::of(&text, &part)?;
        let name = named.get(&part).map_or(part.as_str(), String::as_str);
        let mut sheet = Sheet {
            name,
            tree: &tree,
            strings: &strings,
            formats: &formats,
            added: &added,
            from_1904,
            values,
            edits: Vec::new(),
        };
        of_rows.extend(sheet.fill(unfilled));
        unfilled.say_beside(&tree, &HEADS_AND_FEET, &format!("the head or foot of the sheet `{name}`"));
        let edits = sheet.edits;
        if !edits.is_empty() {
            let filled = spliced(&text, edits);
            Tree::of(&filled, &part)?;
            package.put(&part, filled);
        }
    }
    if let Some(text) = styles
        && let Some(with) = added.put_into(&Tree::of(&text, STYLES)?)
    {
        Tree::of(&with, STYLES)?;
        package.put(STYLES, with);
    }
    if !shared.is_empty() {
        let filled = shared_words(&shared, values, &of_rows, unfilled)?;
        if filled != shared {
            Tree::of(&filled, STRINGS)?;
            package.put(STRINGS, filled);
        }
    }
    say_beside(&mut package, unfilled)?;
    package.packed(dated)
}

/// The words of every shared item, without how they are pronounced.
fn items(tree: &Tree<'_>) -> Vec<String> {
    tree.named("si").map(|at| joined(tree, at).text).collect()
}

fn joined(tree: &Tree<'_>, at: usize) -> Joined {
    let words = |part: &usize| tree.elements[*part].name == "t" && tree.round(*part, "rPh").is_none();
    Joined::of(tree, tree.within(at).filter(words))
}

/// The shared words filled where they stand; those of repeated rows went into the cells.
fn shared_words(
    text: &str,
    values: &Values<'_>,
    of_rows: &BTreeSet<usize>,
    unfilled: &mut Unfilled,
) -> Result<String, FormError> {
    let tree = Tree::of(text, STRINGS)?;
    let mut edits = Vec::new();
    for (index, at) in tree.named("si").enumerate() {
        let joined = joined(&tree, at);
        let found = placeholders(&joined.text);
        if !of_rows.contains(&index) && !found.iter().any(Placeholder::is_of_list) {
            edits.extend(filled_words(&tree, &joined, &found, values, None, unfilled));
        }
    }
    Ok(spliced(text, edits))
}

/// The edits that fill words where they stand.
fn filled_words(
    tree: &Tree<'_>,
    joined: &Joined,
    found: &[Placeholder],
    values: &Values<'_>,
    bound: Option<&Bound>,
    unfilled: &mut Unfilled,
) -> Vec<Edit> {
    let mut replacements = Vec::new();
    for one in found {
        match values.get(one, bound, unfilled) {
            Some(Value::Picture(_)) => unfilled.say(&one.inside, "pictures go into a DOCX alone", None),
            Some(value) => replacements.push((one.place.clone(), value.text())),
            None => {}
        }
    }
    joined.edits(tree, &replacements, |_| "\n".to_owned())
}

struct Sheet<'s, 'v> {
    /// As the workbook calls it.
    name: &'s str,
    tree: &'s Tree<'s>,
    strings: &'s [String],
    formats: &'s [Shown],
    added: &'s Added,
    from_1904: bool,
    values: &'s Values<'v>,
    edits: Vec<Edit>,
}

/// A cell with its words.
struct Asking {
    cell: usize,
    column: u32,
    /// Its item among the shared words.
    item: Option<usize>,
    words: String,
    found: Vec<Placeholder>,
}

impl Sheet<'_, '_> {
    /// Collects the edits of the sheet; gives the shared words that rows took up.
    fn fill(&mut self, unfilled: &mut Unfilled) -> BTreeSet<usize> {
        let mut of_rows = BTreeSet::new();
        let rows: Vec<usize> = self.tree.named("row").collect();
        for &row in &rows {
            let asking: Vec<Asking> = self.cells(row).filter_map(|cell| self.asking(cell)).collect();
            if asking.iter().any(|one| one.found.iter().any(Placeholder::is_of_list)) {
                of_rows.extend(asking.iter().filter_map(|one| one.item));
                self.repeat(row, &rows, &asking, unfilled);
                continue;
            }
            for one in &asking {
                self.alone(one, unfilled);
            }
        }
        of_rows
    }

    fn cells(&self, row: usize) -> impl Iterator<Item = usize> + use<'_> {
        self.tree.within(row).filter(|&at| self.tree.elements[at].name == "c")
    }

    fn child(&self, cell: usize, name: &str) -> Option<usize> {
        self.tree.within(cell).find(|&at| self.tree.elements[at].name == name)
    }

    /// The cell with its words, where it has a placeholder and no formula.
    fn asking(&self, cell: usize) -> Option<Asking> {
        if self.child(cell, "f").is_some() {
            return None;
        }
        let (item, words) = match self.tree.attribute(cell, "t")?.as_str() {
            "s" => {
                let item: usize = self.tree.words(self.child(cell, "v")?)?.trim().parse().ok()?;
                (Some(item), self.strings.get(item)?.clone())
            }
            "inlineStr" => (None, joined(self.tree, self.child(cell, "is")?).text),
            _ => return None,
        };
        let found = placeholders(&words);
        let column = column(&self.tree.attribute(cell, "r")?)?;
        (!found.is_empty()).then_some(Asking { cell, column, item, words, found })
    }

    /// Which of the workbook's formats a cell has.
    fn style_number(&self, cell: usize) -> usize {
        self.tree.attribute(cell, "s").and_then(|style| style.parse::<usize>().ok()).unwrap_or(0)
    }

    fn style(&self, cell: usize) -> Shown {
        self.formats.get(self.style_number(cell)).copied().unwrap_or(Shown::Plain)
    }

    /// The digits of a value that is one, in a cell that looks like `like`, and the format that it needs where that says nothing of numbers.
    fn digits(&self, value: &Value<'_>, like: usize) -> Option<(String, Option<usize>)> {
        let shown = self.style(like);
        let added =
            |wanted| (shown == Shown::General).then(|| self.added.place(self.style_number(like), wanted));
        match value {
            Value::Number { digits, share: true, .. } if shown == Shown::PerCent => {
                let part = digits.parse::<f64>().ok()? / 100.0;
                Some((format!("{part:.6}").trim_end_matches('0').trim_end_matches('.').to_owned(), None))
            }
            Value::Number { digits, money, .. } => {
                Some((digits.clone(), if *money { added(Wanted::Money) } else { None }))
            }
            // A day is a number in a cell that shows days or says nothing; in one that shows other numbers it stays words.
            Value::Day(day) if matches!(shown, Shown::Day | Shown::General) => {
                let before = NaiveDate::from_ymd_opt(1899, 12, 30)?.num_days_from_ce();
                let left = if self.from_1904 { 1_462 } else { 0 };
                Some(((day.num_days_from_ce() - before - left).to_string(), added(Wanted::Day)))
            }
            _ => None,
        }
    }

    /// Gives a cell the format at `style`.
    fn restyle(&mut self, cell: usize, style: Option<usize>) {
        let Some(style) = style else { return };
        let tags = &self.tree.elements[cell];
        let behind_name = tags.open.start + 1 + tags.prefix.len() + tags.name.len();
        self.edits.push(match self.tree.attribute_place(cell, "s") {
            Some((_, place)) => (place, style.to_string()),
            None => (behind_name..behind_name, format!(" s=\"{style}\"")),
        });
    }

    /// What stands for the whole of a cell, where it holds one placeholder and nothing else.
    fn whole<'a>(
        &'a self,
        one: &Asking,
        bound: Option<&Bound>,
        unfilled: &mut Unfilled,
    ) -> Option<Value<'a>> {
        match one.found.as_slice() {
            [asked] if asked.place.len() == one.words.trim().len() => self.values.get(asked, bound, unfilled),
            _ => None,
        }
    }

    /// A cell that stands for itself: a number where it holds nothing but one; words are filled where they stand.
    fn alone(&mut self, one: &Asking, unfilled: &mut Unfilled) {
        let value = self.whole(one, None, unfilled);
        if let Some((digits, style)) = value.and_then(|value| self.digits(&value, one.cell)) {
            self.restyle(one.cell, style);
            self.number(one.cell, &digits);
        } else if one.item.is_none()
            && let Some(at) = self.child(one.cell, "is")
        {
            let joined = joined(self.tree, at);
            let edits = filled_words(self.tree, &joined, &one.found, self.values, None, unfilled);
            self.edits.extend(edits);
        }
    }

    /// Makes a cell of words one of a number: its kind goes, its style stays.
    fn number(&mut self, cell: usize, digits: &str) {
        let kind = self.tree.attribute_place(cell, "t").map(|(whole, _)| (whole, String::new()));
        self.edits.extend(kind);
        if let Some(value) = self.child(cell, "v") {
            self.edits.push((self.tree.elements[value].inside(), digits.to_owned()));
        } else if let Some(words) = self.child(cell, "is") {
            let prefix = &self.tree.elements[words].prefix;
            self.edits.push((self.tree.elements[words].whole(), format!("<{prefix}v>{digits}</{prefix}v>")));
        }
    }

    /// Fills a row and, one below the other, the empty rows beneath it: nothing is moved, so that no formula points elsewhere.
    fn repeat(&mut self, row: usize, rows: &[usize], asking: &[Asking], unfilled: &mut Unfilled) {
        let asked: Vec<Placeholder> = asking.iter().flat_map(|one| one.found.clone()).collect();
        let Some(members) = self.values.list(&asked, unfilled) else { return };
        let Some(first) = self.tree.attribute(row, "r").and_then(|number| number.parse::<u32>().ok()) else {
            return;
        };
        let listed: Vec<&Asking> =
            asking.iter().filter(|one| one.found.iter().any(Placeholder::is_of_list)).collect();
        for one in asking.iter().filter(|one| !one.found.iter().any(Placeholder::is_of_list)) {
            self.in_cell(one, one.cell, None, unfilled);
        }
        let by_number: BTreeMap<u32, usize> =
            rows.iter().filter_map(|&at| Some((self.tree.attribute(at, "r")?.parse().ok()?, at))).collect();
        let merged = self.merged();
        let mut filled = 0;
        for (at, member) in members.iter().enumerate() {
            let Some(number) = u32::try_from(at).ok().and_then(|at| first.checked_add(at)) else { break };
            if at == 0 {
                for one in &listed {
                    self.in_cell(one, one.cell, Some(member), unfilled);
                }
            } else {
                let free = listed.iter().all(|one| {
                    let reference = (one.column, number);
                    !merged.iter().any(|area| area.contains(reference))
                        && by_number.get(&number).is_none_or(|&row| {
                            self.cell_of(row, one.column).is_none_or(|cell| self.tree.within(cell).is_empty())
                        })
                });
                if !free {
                    break;
                }
                match by_number.get(&number) {
                    Some(&row) => self.put_row(row, number, &listed, member, unfilled),
                    None => {
                        let new = self.new_row(row, number, &listed, member, unfilled);
                        let before = by_number.range(..number).next_back().map_or(row, |(_, &before)| before);
                        let end = self.tree.elements[before].whole().end;
                        self.edits.push((end..end, new));
                    }
                }
            }
            filled += 1;
        }
        if filled < members.len() {
            let sheet = self.name.to_owned();
            unfilled.refuse(Funding::FormTooFewRows { sheet, row: first, rows: members.len(), fit: filled });
        }
    }

    fn cell_of(&self, row: usize, wanted: u32) -> Option<usize> {
        self.cells(row)
            .find(|&cell| self.tree.attribute(cell, "r").and_then(|name| column(&name)) == Some(wanted))
    }

    /// Puts a member's values into a row that is there.
    fn put_row(
        &mut self,
        row: usize,
        number: u32,
        listed: &[&Asking],
        member: &Bound,
        unfilled: &mut Unfilled,
    ) {
        for one in listed {
            match self.cell_of(row, one.column) {
                Some(cell) => self.in_cell(one, cell, Some(member), unfilled),
                None => {
                    let cell = self.new_cell(one, number, member, unfilled);
                    let after = |at: &usize| {
                        self.tree.attribute(*at, "r").and_then(|name| column(&name)) > Some(one.column)
                    };
                    let tags = &self.tree.elements[row];
                    if tags.is_empty_tag() {
                        let stroke = tags.open.end - 2..tags.open.end;
                        // Of several cells of such a row each comes behind the one before.
                        match self.edits.iter_mut().find(|(place, _)| *place == stroke) {
                            Some((_, text)) => {
                                let end = text.rfind("</").unwrap_or(text.len());
                                text.insert_str(end, &cell);
                            }
                            None => self.edits.push((stroke, format!(">{cell}</{}row>", tags.prefix))),
                        }
                    } else {
                        let next =
                            self.cells(row).find(after).map(|next| self.tree.elements[next].open.start);
                        let at = next.unwrap_or(tags.close.start);
                        self.edits.push((at..at, cell));
                    }
                }
            }
        }
    }

    fn new_row(
        &self,
        like: usize,
        number: u32,
        listed: &[&Asking],
        member: &Bound,
        unfilled: &mut Unfilled,
    ) -> String {
        let prefix = &self.tree.elements[like].prefix;
        let cells: String = listed.iter().map(|one| self.new_cell(one, number, member, unfilled)).collect();
        format!("<{prefix}row r=\"{number}\">{cells}</{prefix}row>")
    }

    /// A cell in the style of the one that asks.
    fn new_cell(&self, one: &Asking, number: u32, member: &Bound, unfilled: &mut Unfilled) -> String {
        let prefix = &self.tree.elements[one.cell].prefix;
        let (kind, added, inside) = self.content(one, prefix, one.cell, Some(member), unfilled);
        let style = added.map(|style| style.to_string()).or_else(|| self.tree.attribute(one.cell, "s"));
        let style = style.map(|style| format!(" s=\"{}\"", escaped(&style))).unwrap_or_default();
        format!("<{prefix}c r=\"{}{number}\"{style}{kind}>{inside}</{prefix}c>", letters(one.column))
    }

    /// What a cell that looks like `like` holds for `one`: its kind as an attribute, the format that it needs, and what stands in it.
    fn content(
        &self,
        one: &Asking,
        prefix: &str,
        like: usize,
        bound: Option<&Bound>,
        unfilled: &mut Unfilled,
    ) -> (&'static str, Option<usize>, String) {
        let value = self.whole(one, bound, unfilled);
        if let Some((digits, style)) = value.and_then(|value| self.digits(&value, like)) {
            return ("", style, format!("<{prefix}v>{digits}</{prefix}v>"));
        }
        let (mut words, mut from) = (String::new(), 0);
        for asked in &one.found {
            words.push_str(&one.words[from..asked.place.start]);
            match self.values.get(asked, bound, unfilled) {
                Some(Value::Picture(_)) => unfilled.say(&asked.inside, "pictures go into a DOCX alone", None),
                Some(value) => words.push_str(&value.text()),
                None => words.push_str(&one.words[asked.place.clone()]),
            }
            from = asked.place.end;
        }
        words.push_str(&one.words[from..]);
        let words = escaped(&words);
        (
            " t=\"inlineStr\"",
            None,
            format!("<{prefix}is><{prefix}t xml:space=\"preserve\">{words}</{prefix}t></{prefix}is>"),
        )
    }

    /// Puts what stands for `one` into a cell that is there, whose style stays.
    fn in_cell(&mut self, one: &Asking, cell: usize, bound: Option<&Bound>, unfilled: &mut Unfilled) {
        let tree = self.tree;
        let tags = &tree.elements[cell];
        let (kind, style, inside) = self.content(one, &tags.prefix, cell, bound, unfilled);
        self.restyle(cell, style);
        let old = self.tree.attribute_place(cell, "t").map(|(whole, _)| (whole, kind.to_owned()));
        let lacks = old.is_none();
        self.edits.extend(old);
        if tags.is_empty_tag() {
            let kind = if lacks { kind } else { "" };
            self.edits
                .push((tags.open.end - 2..tags.open.end, format!("{kind}>{inside}</{}c>", tags.prefix)));
        } else {
            if lacks {
                self.edits.push((tags.open.end - 1..tags.open.end - 1, kind.to_owned()));
            }
            self.edits.push((tags.inside(), inside));
        }
    }

    fn merged(&self) -> Vec<Area> {
        self.tree.named("mergeCell").filter_map(|at| Area::of(&self.tree.attribute(at, "ref")?)).collect()
    }
}
