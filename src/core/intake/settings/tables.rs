//! `[tables.NAME]`: a table that lives elsewhere is mapped, not renamed.

use std::collections::BTreeMap;

use encoding_rs::Encoding;
use rust_decimal::Decimal;

use crate::{
    geometry::System,
    intake::{
        cell::number::Mark,
        mapped::{Pattern, Template},
        mapping::{Blank, DateOrder, Mapping, MoneyIn, Sheets, Sign, Tax, Told},
        nearest::{folded, same},
        records::LAYOUTS,
        settings::section::Section,
    },
    problem::Settings,
    project::{FeatureKind, PhotoPoint, Standing, TableRow},
};

/// What a project folder can hold besides tables.
const LAYERS: [&str; 3] = ["areas", "features", "terrain"];

/// Units that heights may count, in metres.
const HEIGHTS: [(&str, f64); 6] =
    [("m", 1.0), ("dm", 0.1), ("cm", 0.01), ("mm", 0.001), ("ft", 0.3048), ("us-ft", 1200.0 / 3937.0)];

/// Rows that headings may take.
const HEADING_ROWS: u8 = 6;

/// The section of what is not told by the field book itself: what its empty cells stand for.
pub(crate) const FIELD_BOOK: &str = "field_book";

/// Every mapping, by the name of its table.
pub(crate) fn tables(root: &mut Section) -> BTreeMap<String, Mapping> {
    let mut found = BTreeMap::new();
    if let Some(mut section) = root.section("tables") {
        let names = LAYERS.into_iter().chain(LAYOUTS.iter().map(|layout| layout.table));
        found.extend(names.filter_map(|name| Some((name.to_owned(), mapping(section.section(name)?, name)))));
        section.finish();
    }
    if let Some(mut section) = root.section(FIELD_BOOK) {
        let blank = under(&mut section, "blank", blank);
        section.finish();
        found.insert(FIELD_BOOK.to_owned(), Mapping { blank, ..Mapping::default() });
    }
    found
}

/// What is said of a layer or the terrain model in its stead.
fn told(name: &str, section: &mut Section) -> Told {
    let mut told = Told::default();
    if LAYERS.contains(&name) || name == PhotoPoint::TABLE {
        told.crs = crs(section);
    }
    if name == "terrain" {
        told.heights = section.choice("heights", &HEIGHTS);
        told.missing =
            section.number("missing", f64::MIN, f64::MAX, "the height that stands for none, such as -9999");
    }
    if name == "features" {
        let kinds = FeatureKind::ALL.map(|kind| (kind.words(), kind));
        told.kind = section.choice("kind", &kinds);
        let standings = [Standing::Existing, Standing::New].map(|standing| (standing.word(), standing));
        told.status = section.choice("status", &standings);
    }
    told
}

/// A coordinate reference system by its EPSG code.
fn crs(section: &mut Section) -> Option<u16> {
    let written = section.text("crs")?;
    let code = folded(&written).strip_prefix("epsg:").and_then(|code| code.trim().parse::<u16>().ok());
    let code = code.filter(|code| System::of_epsg(*code).is_some());
    if code.is_none() {
        let wanted = "the EPSG code of a coordinate reference system that is read, such as \"EPSG:7855\"";
        section.wrong("crs", wanted, None);
    }
    code
}

fn mapping(mut section: Section, table: &str) -> Mapping {
    let orders = [("day-first", DateOrder::DayFirst), ("month-first", DateOrder::MonthFirst)];
    let marks = [("point", Mark::Point), ("comma", Mark::Comma)];
    let mut mapping = Mapping {
        files: files(&mut section),
        sheets: sheets(&mut section),
        encoding: encoding(&mut section),
        headings: section.texts("headings").unwrap_or_default(),
        heading_rows: section.whole("heading_rows", 1, HEADING_ROWS).unwrap_or_default().into(),
        wrapped: section.text("wrapped"),
        fill_down: section.texts("fill_down").unwrap_or_default(),
        skip: under(&mut section, "skip", patterns),
        only: under(&mut section, "only", patterns),
        ignore: section.texts("ignore").unwrap_or_default().iter().map(|text| Pattern::of(text)).collect(),
        once: section.texts("once").unwrap_or_default(),
        wide: under::<Vec<_>, _>(&mut section, "wide", |table, key| table.text_of(key))
            .into_iter()
            .map(|(pattern, column): (String, String)| (Pattern::of(&pattern), column))
            .collect(),
        plants: plants(&mut section, table),
        columns: section.section("columns").map(columns).unwrap_or_default(),
        set: under(&mut section, "set", template),
        values: under(&mut section, "values", values),
        empty: section.texts("empty").unwrap_or_default(),
        blank: under(&mut section, "blank", blank),
        times: under(&mut section, "times", |table, key| table.factor_of(key)),
        sum: section.texts("sum").unwrap_or_default(),
        dates: section.choice("dates", &orders).unwrap_or_default(),
        decimals: section.choice("decimals", &marks),
        ..Mapping::default()
    };
    if table == "spending" {
        let signs = [("out is positive", Sign::OutIsPositive), ("out is negative", Sign::OutIsNegative)];
        mapping.sign = section.choice("sign", &signs);
        mapping.came_in = under(&mut section, "came_in", patterns);
        let uses = [("left out", MoneyIn::LeftOut), ("refunds", MoneyIn::Refunds)];
        match section.is_table("money_in") {
            true => mapping.money_in_by = money_in_by(&mut section, &uses),
            false => mapping.money_in = section.choice("money_in", &uses),
        }
        mapping.tax = tax(&mut section);
    }
    mapping.told = told(table, &mut section);
    twice(&mut section, &mapping);
    section.finish();
    mapping
}

/// `file` or `files`.
fn files(section: &mut Section) -> Vec<String> {
    let (one, several) = (section.text("file"), section.texts("files"));
    if one.is_some() && several.is_some() {
        section.wrong("file", "left out where files is set: one of the two says where the table is", None);
    }
    several.unwrap_or_else(|| one.into_iter().collect())
}

/// `sheet` or `sheets`.
fn sheets(section: &mut Section) -> Sheets {
    let (one, several) = (section.text("sheet"), section.texts("sheets"));
    if one.is_some() && several.is_some() {
        section.wrong("sheet", "left out where sheets is set: one of the two says where the table is", None);
    }
    match (several, one) {
        (Some(sheets), _) if sheets == ["*"] => Sheets::All,
        (Some(sheets), _) => Sheets::These(sheets),
        (None, Some(sheet)) => Sheets::One(sheet),
        (None, None) => Sheets::Likely,
    }
}

fn encoding(section: &mut Section) -> Option<&'static Encoding> {
    let label = section.text("encoding")?;
    let known = Encoding::for_label(label.as_bytes());
    if known.is_none() {
        let wanted =
            "the name of an encoding, such as \"utf-8\", \"windows-1250\", \"macintosh\" or \"utf-16le\"";
        section.wrong("encoding", wanted, None);
    }
    known
}

/// Words of rows in which money came in, by what becomes of it.
fn money_in_by(section: &mut Section, uses: &[(&'static str, MoneyIn)]) -> Vec<(String, MoneyIn)> {
    let Some(mut table) = section.section("money_in") else { return Vec::new() };
    let mut by = Vec::new();
    for (word, is) in uses {
        by.extend(table.texts(word).unwrap_or_default().into_iter().map(|words| (words, *is)));
    }
    table.finish();
    by
}

/// `rows = "plants"`.
fn plants(section: &mut Section, table: &str) -> bool {
    ["plantings", "tallies"].contains(&table)
        && section.choice("rows", &[("plants", true)]).unwrap_or_default()
}

/// The table under `key`, whose keys are the user's own.
fn under<K: FromIterator<(String, T)>, T>(
    section: &mut Section,
    key: &'static str,
    read: fn(&mut Section<'_, '_>, &str) -> Option<T>,
) -> K {
    let Some(mut table) = section.section(key) else { return [].into_iter().collect() };
    table.own_keys().into_iter().filter_map(|own| read(&mut table, &own).map(|value| (own, value))).collect()
}

fn patterns(section: &mut Section<'_, '_>, key: &str) -> Option<Vec<Pattern>> {
    Some(section.texts_of(key)?.iter().map(|text| Pattern::of(text)).collect())
}

fn template(section: &mut Section<'_, '_>, key: &str) -> Option<Template> {
    let written = section.written_of(key)?;
    let template = Template::of(&written);
    if template.is_none() {
        section.wrong(key, "a text in which every { is closed, such as \"{Year}-{Month}-{Day}\"", None);
    }
    template
}

/// What stands in a cell, folded, and what it stands for.
fn values(section: &mut Section<'_, '_>, key: &str) -> Option<BTreeMap<String, String>> {
    let mut table = section.table_under(key)?;
    let own = table.own_keys();
    Some(own.iter().filter_map(|own| Some((folded(own), table.written_of(own)?))).collect())
}

fn blank(section: &mut Section<'_, '_>, key: &str) -> Option<Blank> {
    let text = section.written_of(key)?;
    Some(if same(&text, "not recorded") { Blank::NotRecorded } else { Blank::Text(text) })
}

/// The tax within each payment: a part of it, as in `1/11`, or per cent on top of the price.
fn tax(section: &mut Section) -> Option<Tax> {
    let written = section.text("tax")?;
    let tax = rate(&folded(&written));
    if tax.is_none() {
        let wanted = "the part of each payment that is tax, such as \"one eleventh\" or \"1/11\", the rate on top of the \
                      price, such as \"10 %\", or \"none\"";
        section.wrong("tax", wanted, None);
    }
    tax
}

fn rate(text: &str) -> Option<Tax> {
    let number = |text: &str| Decimal::from_str_exact(text.trim()).ok();
    let (part, whole) = match text {
        "none" => (Decimal::ZERO, Decimal::ONE),
        "one eleventh" => (Decimal::ONE, Decimal::from(11)),
        _ => match (text.split_once('/'), text.strip_suffix('%')) {
            (Some((part, whole)), _) => (number(part)?, number(whole)?),
            (None, Some(rate)) => (number(rate)?, number(rate)? + Decimal::ONE_HUNDRED),
            (None, None) => return None,
        },
    };
    (part >= Decimal::ZERO && part < whole).then_some(Tax(part, whole))
}

fn columns(mut section: Section) -> BTreeMap<String, String> {
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    for heading in section.own_keys() {
        let Some(column) = section.text_of(&heading) else { continue };
        if found.values().any(|earlier| same(earlier, &column)) {
            section.say(&heading, Settings::NameTwice { what: "headings", name: column.clone() });
        }
        found.insert(heading, column);
    }
    found
}

/// Says of a column that it is both mapped and made.
fn twice(section: &mut Section, mapping: &Mapping) {
    let mapped = mapping.columns.values().chain(mapping.wide.iter().map(|(_, column)| column));
    for name in mapped.filter(|column| mapping.set.keys().any(|made| same(made, column))) {
        section.say("set", Settings::NameTwice { what: "columns", name: name.clone() });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tax_is_a_part_of_the_payment() {
        let of = |text: &str| rate(text).map(|Tax(part, whole)| (part / whole).round_dp(4).to_string());
        assert_eq!(of("one eleventh").as_deref(), Some("0.0909"));
        assert_eq!(of("10 %"), of("1/11"));
        assert_eq!(of("3/23"), of("15%"));
        assert_eq!(of("none").as_deref(), Some("0"));
        for refused in ["", "10", "11/1", "-1/11", "ten", "0/0", "1/0"] {
            assert_eq!(of(refused), None, "{refused}");
        }
    }
}
