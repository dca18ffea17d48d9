//! Headings as people write them, and the columns that they stand for.

use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::{
    intake::{mapped::Pattern, mapping::Mapping},
    project::{self, Head},
};

/// The columns of one table.
#[derive(Debug)]
pub(crate) struct Layout {
    /// The table's name, which is also its file's.
    pub(crate) table: &'static str,
    /// Columns that must be there and be filled in every row.
    pub(crate) required: Vec<&'static str>,
    /// Columns that may be there.
    pub(crate) optional: Vec<&'static str>,
}

impl Layout {
    /// The columns that a table declares.
    pub(crate) fn of(table: &project::Table<'_>) -> Layout {
        let (required, optional): (Vec<_>, Vec<_>) = table.heads.iter().partition(|head| head.needed);
        let names = |heads: Vec<&Head>| heads.into_iter().map(|head| head.name).collect();
        Layout { table: table.name, required: names(required), optional: names(optional) }
    }

    /// Every column, the required ones first.
    pub(crate) fn columns(&self) -> impl Iterator<Item = &'static str> {
        self.required.iter().chain(&self.optional).copied()
    }
}

/// A column of the layout as the file has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Meant {
    /// The column.
    pub(crate) column: &'static str,
    /// Its values are multiplied by the first and divided by the second: a length in another unit than the column's.
    pub(crate) unit: (f64, f64),
}

impl Meant {
    /// The same with its numbers multiplied as the mapping says.
    pub(crate) fn times(self, mapping: &Mapping) -> Meant {
        let of = |(name, _): &(&String, &Decimal)| key(name) == self.column;
        let factor = mapping.times.iter().find(of).and_then(|(_, factor)| factor.to_f64());
        // A tenth is no binary fraction: what it divides by is.
        let unit = match factor {
            Some(factor) if factor < 1.0 => (self.unit.0, self.unit.1 / factor),
            Some(factor) => (self.unit.0 * factor, self.unit.1),
            None => self.unit,
        };
        Meant { unit, ..self }
    }
}

/// The heading without what people vary: case, spaces, brackets, dots.
///
/// `Height (cm)`, `height_cm` and `HEIGHT CM` are one; a heading of signs alone stays as it is.
pub(crate) fn key(heading: &str) -> String {
    let plain = |letter| if letter == '²' { '2' } else { letter };
    let mut joined = String::with_capacity(heading.len());
    for word in heading.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()) {
        if !joined.is_empty() {
            joined.push('_');
        }
        joined.extend(word.chars().map(plain).flat_map(char::to_lowercase));
    }
    if joined.is_empty() { heading.trim().to_owned() } else { joined }
}

/// What `heading` stands for: by the mapping where that names it, else by its own name, unless the mapping says that another
/// heading is that column, or makes it.
pub(crate) fn meant(heading: &str, layout: &Layout, mapping: &Mapping) -> Option<Meant> {
    if ignored(heading, mapping) {
        return None;
    }
    let heading = key(heading);
    let mapped = mapping.columns.iter().find(|(theirs, _)| key(theirs) == heading);
    let meant = match mapped {
        Some((_, ours)) => named(ours, layout),
        None => {
            let taken = |column| {
                mapping.columns.values().filter_map(|ours| named(ours, layout)).any(|it| it.column == column)
            };
            column(&heading, layout).filter(|meant| !taken(meant.column))
        }
    };
    meant
        .filter(|meant| mapped.is_some() || !makes(meant.column, layout, mapping))
        .map(|it| it.times(mapping))
}

/// Whether the mapping makes the column `ours`, of a word, of other cells or of many columns.
pub(crate) fn makes(ours: &str, layout: &Layout, mapping: &Mapping) -> bool {
    let counted = match layout.table {
        "plantings" => ours == "stems",
        _ => ["alive", "dead", "missing", "recruits"].contains(&ours),
    };
    if mapping.plants && counted {
        return true;
    }
    let made = mapping.set.keys().chain(mapping.wide.iter().map(|(_, column)| column));
    made.filter_map(|name| named(name, layout)).any(|meant| meant.column == ours)
}

/// Whether the mapping says that the heading is none of ours.
pub(crate) fn ignored(heading: &str, mapping: &Mapping) -> bool {
    mapping.ignore.iter().any(|pattern| pattern.found(heading).is_some())
}

/// Whether the mapping has a use for the heading, beside what it stands for.
pub(crate) fn mentioned(heading: &str, mapping: &Mapping) -> bool {
    let same = |name: &str| key(name) == key(heading);
    let wide = |pattern: &Pattern| !pattern.is_any() && pattern.found(heading).is_some();
    mapping.set.values().flat_map(|made| made.headings()).any(same)
        || mapping.skip.keys().chain(mapping.only.keys()).chain(mapping.came_in.keys()).any(|name| same(name))
        || mapping.once.iter().chain(&mapping.fill_down).chain(&mapping.wrapped).any(|name| same(name))
        || mapping.wide.iter().any(|(pattern, _)| wide(pattern))
}

/// The column called `name`; a length may be named in another unit.
pub(crate) fn named(name: &str, layout: &Layout) -> Option<Meant> {
    column(&key(name), layout)
}

/// The column of that key.
fn column(name: &str, layout: &Layout) -> Option<Meant> {
    if let Some(column) = layout.columns().find(|column| *column == name) {
        return Some(Meant { column, unit: (1.0, 1.0) });
    }
    let other = layout.columns().find(|column| another_name(layout.table, column).contains(&name));
    if let Some(column) = other {
        return Some(Meant { column, unit: (1.0, 1.0) });
    }
    let (stem, theirs) = length(name)?;
    layout.columns().find_map(|column| {
        let (own, ours) = length(column).or((column == "mm").then_some(("rain", 1.0)))?;
        let same = own == stem || own == "rain" && RAIN.contains(&stem);
        same.then_some(Meant { column, unit: (theirs, ours) })
    })
}

/// What stands before the unit in a heading of rain.
const RAIN: [&str; 5] = ["rain", "rainfall", "rainfall_amount", "precipitation", "precip"];

/// Other names that a column goes by, each of which can mean nothing else in its table.
fn another_name(table: &str, column: &str) -> &'static [&'static str] {
    match (table, column) {
        ("spending", "tax") => &[
            "gst",
            "vat",
            "gst_amount",
            "vat_amount",
            "tax_amount",
            "gst_included",
            "vat_included",
            "sales_tax",
            "gst_paid",
            "vat_paid",
        ],
        _ => &[],
    }
}

/// The name of a length without its unit, and the unit in millimetres.
fn length(name: &str) -> Option<(&str, f64)> {
    let (stem, unit) = name.rsplit_once('_')?;
    match unit {
        "mm" | "millimetres" | "millimeters" => Some((stem, 1.0)),
        "cm" | "centimetres" | "centimeters" => Some((stem, 10.0)),
        "m" | "metres" | "meters" => Some((stem, 1000.0)),
        "in" | "inch" | "inches" => Some((stem, 25.4)),
        "ft" | "feet" => Some((stem, 304.8)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;

    static STEMS: LazyLock<Layout> = LazyLock::new(|| Layout {
        table: "stems",
        required: vec!["date", "plot"],
        optional: vec!["height_m", "size_m2"],
    });

    #[test]
    fn headings_are_known_in_any_dress() {
        let column = |heading| meant(heading, &STEMS, &Mapping::default()).map(|meant| meant.column);
        assert_eq!(column(" Plot "), Some("plot"));
        assert_eq!(column("DATE:"), Some("date"));
        assert_eq!(column("Size (m²)"), Some("size_m2"));
        assert_eq!(column("Height\n(m)"), Some("height_m"));
        assert_eq!(column("plots"), None);
        assert_eq!(column(""), None);
    }

    /// The same letters with one that makes them another sort of text.
    #[test]
    fn plain_letters_are_spelt_as_all_others() {
        for heading in ["Height (cm)", "  a--B_c ", "#", " ?! ", "", "x2", "Sp. no", "DATE:"] {
            let other = format!("{heading} é");
            let expected = key(&other);
            let plain = expected.strip_suffix("_é").unwrap_or(heading.trim());
            assert_eq!(key(heading), plain, "{heading}");
        }
    }

    #[test]
    fn lengths_carry_their_unit() {
        let unit = |heading| meant(heading, &STEMS, &Mapping::default()).map(|meant| meant.unit);
        assert_eq!(unit("height_cm"), Some((10.0, 1000.0)));
        assert_eq!(unit("Height (mm)"), Some((1.0, 1000.0)));
        assert_eq!(unit("height"), None);
        assert_eq!(unit("size_cm"), None);
    }

    #[test]
    fn a_mapping_wins_over_the_name() {
        let columns = [("Sp. no", "plot"), ("Date", "height_cm"), ("#", "date")];
        let columns = columns.map(|(theirs, ours)| (theirs.to_owned(), ours.to_owned())).into();
        let mapping = Mapping { columns, ..Mapping::default() };
        let column = |heading| meant(heading, &STEMS, &mapping).map(|meant| (meant.column, meant.unit.0));
        assert_eq!(column("sp no"), Some(("plot", 1.0)));
        assert_eq!(column("date"), Some(("height_m", 10.0)));
        assert_eq!(column("#"), Some(("date", 1.0)));
        assert_eq!(column("plot"), None);
    }
}
