//! Headings that likely stand for a column, and the line of `project.toml` that says so.

use crate::{
    intake::{
        built_in::names_a_plant,
        cell::date::{Part, parts},
        mapping::Mapping,
        nearest::nearest,
        table::{
            Layout,
            heading::{meant, named},
            heading_words::words,
            key,
            totals::says_total,
        },
    },
    problem::quoted,
};

/// A column that a heading may stand for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Likely {
    /// The column.
    pub(crate) column: &'static str,
    /// Its name for the mapping.
    pub(crate) name: String,
}

/// Currencies that stand behind the word for a sum.
const CURRENCIES: [&str; 16] = [
    "aud", "cad", "chf", "czk", "dkk", "eur", "gbp", "hkd", "inr", "nok", "nzd", "pln", "sek", "sgd", "usd",
    "zar",
];

/// Signs of currencies in a heading, and the columns of spending that hold money.
const SIGNS: [char; 3] = ['€', '$', '£'];
const SUMS: [&str; 3] = ["amount", "money_in", "tax"];

/// Whether the heading, whose key is `found`, says in which currency its numbers are.
fn is_money(heading: &str, found: &str) -> bool {
    let behind = found.rsplit_once('_').is_some_and(|(_, unit)| CURRENCIES.contains(&unit));
    behind || heading.contains(SIGNS)
}

/// Columns that say one thing in several ways: where one way is read, the others are not asked for.
const WAYS: [&[&[&str]]; 4] = [
    &[&["percent"], &["hits", "points"], &["class"], &["intercept_m", "line_m", "line"]],
    &[&["slope_deg"], &["slope_percent"]],
    &[&["longitude", "latitude"], &["easting", "northing"]],
    &[&["size_m2"], &["radius_m"], &["length_m", "width_m"]],
];

/// Whether the table says in another way already what the column would.
fn said_otherwise(column: &str, layout: &Layout, free: &[&str]) -> bool {
    let read = |way: &&&[&str]| {
        way.iter().any(|other| layout.columns().any(|it| it == *other) && !free.contains(other))
    };
    let ways = WAYS.iter().filter(|ways| ways.iter().any(|way| way.contains(&column)));
    ways.flat_map(|ways| ways.iter()).filter(|way| !way.contains(&column)).any(|way| read(&way))
}

/// The `free` columns of the table that `heading` may stand for: by its words, else by its letters.
pub(crate) fn columns(heading: &str, layout: &Layout, free: &[&str]) -> Vec<Likely> {
    let found = key(heading);
    // `Rain (mm)` and `DBH cm` say their unit; what is before it says what they are.
    let (stem, unit) = match found.rsplit_once('_') {
        Some((stem, unit @ ("mm" | "cm" | "m"))) => (stem, Some(unit)),
        // `Betrag (EUR)` says its currency.
        Some((stem, unit)) if CURRENCIES.contains(&unit) => (stem, None),
        _ => (found.as_str(), None),
    };
    let is_money = is_money(heading, &found);
    let likely = |ours: &'static str| {
        let Some((own, _)) = ours.rsplit_once('_').filter(|(_, of)| ["mm", "cm", "m"].contains(of)) else {
            return vec![Likely { column: ours, name: ours.to_owned() }];
        };
        let units: &[&str] = match (&unit, own) {
            (Some(unit), _) => std::slice::from_ref(unit),
            (None, "height") => &["m", "cm"],
            (None, "diameter") => &["mm", "cm"],
            (None, _) => &["m"],
        };
        units.iter().map(|unit| Likely { column: ours, name: format!("{own}_{unit}") }).collect()
    };
    let here = |column: &str| {
        // What names its currency is money, and no rain.
        let of_money = layout.table == "spending" && SUMS.contains(&column);
        if is_money && !of_money {
            return None;
        }
        let free = |ours: &&str| free.contains(ours) && !said_otherwise(ours, layout, free);
        layout.columns().find(|ours| *ours == column && free(ours))
    };
    let by_words = words().filter(|(_, table, _)| table.is_empty() || *table == layout.table).find_map(
        |(column, _, words)| {
            let word = words.contains(&found.as_str()) || words.contains(&stem);
            word.then(|| here(column)).flatten()
        },
    );
    let by_letters = || {
        let nearest = nearest(if is_money { stem } else { &found }, free.iter().copied())?;
        here(&nearest)
    };
    by_words
        .map(likely)
        .or_else(|| by_letters().map(|ours| vec![Likely { column: ours, name: ours.to_owned() }]))
        .unwrap_or_default()
}

/// Whether what stands beneath a heading can be what a column holds.
pub(crate) type Holds<'a> = &'a dyn Fn(&str, &str) -> bool;

/// The same of those that can hold what stands beneath the heading.
fn held(heading: &str, layout: &Layout, free: &[&str], holds: Holds<'_>) -> Vec<Likely> {
    let mut free: Vec<&str> = free.to_vec();
    // What can't hold it gives way to the next that it may stand for.
    loop {
        let likely = columns(heading, layout, &free);
        let Some(refused) = likely.iter().map(|likely| likely.column).find(|column| !holds(heading, column))
        else {
            return likely;
        };
        free.retain(|column| *column != refused);
    }
}

/// The line of `project.toml` that maps each heading onto the column beside it.
pub(crate) fn line(layout: &Layout, pairs: &[(&str, &str)]) -> String {
    let pairs: Vec<String> =
        pairs.iter().map(|(theirs, ours)| format!("{} = \"{ours}\"", quoted(theirs))).collect();
    format!("[tables.{}]\ncolumns = {{ {} }}", layout.table, pairs.join(", "))
}

/// The line that would give the table every one of the `missing` columns that a heading may stand for; nothing where none does.
pub(crate) fn lines(
    layout: &'static Layout,
    missing: &[&str],
    headings: impl Iterator<Item = String>,
    holds: Holds<'_>,
) -> Option<String> {
    lines_with(layout, missing, headings, None, holds)
}

/// The same where it is known which heading is the line of the budget: by what stands beneath it.
pub(crate) fn lines_with(
    layout: &'static Layout,
    missing: &[&str],
    headings: impl Iterator<Item = String>,
    line_of_budget: Option<&str>,
    holds: Holds<'_>,
) -> Option<String> {
    let mut free: Vec<&str> = missing.to_vec();
    let headings: Vec<String> = headings.collect();
    if layout.table == "rain"
        && free.contains(&"date")
        && let Some(lines) = month_grid(&headings)
    {
        return Some(lines);
    }
    let parts = day_in_parts(&headings).filter(|_| free.contains(&"date"));
    if parts.is_some() {
        free.retain(|column| *column != "date");
    }
    let plants = plants(layout, &headings);
    let mut pairs: Vec<(String, String)> = Vec::new();
    for heading in &headings {
        // Beside columns of species a total is of them, and no count of one.
        if plants.is_some() && says_total(heading) {
            continue;
        }
        if line_of_budget.is_some() && free.contains(&"line") {
            free.retain(|column| *column != "line");
        }
        if line_of_budget == Some(heading.as_str()) {
            pairs.push((heading.clone(), "line".to_owned()));
            continue;
        }
        if let Some(likely) = held(heading, layout, &free, holds).into_iter().next()
            // Another heading may be the better word for it.
            && !headings.iter().any(|other| better(other, heading, likely.column, layout, (&free, holds)))
        {
            free.retain(|column| *column != likely.column);
            pairs.push((heading.clone(), likely.name));
        }
    }
    let plants = plants.filter(|(_, of)| free.contains(&"species") && free.contains(of));
    let pairs: Vec<(&str, &str)> =
        pairs.iter().map(|(theirs, ours)| (theirs.as_str(), ours.as_str())).collect();
    let mapped = (!pairs.is_empty()).then(|| line(layout, &pairs));
    if let Some((plants, of)) = plants {
        let wide: Vec<String> = plants.iter().map(|plant| format!("{} = \"{of}\"", quoted(plant))).collect();
        let day = parts.map(|day| format!(", date = {}", quoted(&day))).unwrap_or_default();
        let head = mapped.unwrap_or_else(|| format!("[tables.{}]", layout.table));
        return Some(format!(
            "{head}\nwide = {{ {} }}\nset = {{ species = \"{{*}}\"{day} }}",
            wide.join(", ")
        ));
    }
    match (mapped, parts) {
        (Some(mapped), Some(parts)) => Some(format!("{mapped}\nset = {{ date = {} }}", quoted(&parts))),
        (None, Some(parts)) => {
            Some(format!("[tables.{}]\nset = {{ date = {} }}", layout.table, quoted(&parts)))
        }
        (mapped, None) => mapped,
    }
}

/// Tables that people write a column a species, and the column into which their cells go.
const BY_SPECIES: [(&str, &str); 2] = [("plantings", "stems"), ("tallies", "alive")];

/// The headings that are names of plants, where there are several, and the column into which their cells go.
fn plants<'a>(layout: &Layout, headings: &'a [String]) -> Option<(Vec<&'a String>, &'static str)> {
    let (_, of) = BY_SPECIES.iter().find(|(table, _)| *table == layout.table)?;
    let named: Vec<usize> =
        headings.iter().enumerate().filter(|(_, heading)| names_a_plant(heading)).map(|(at, _)| at).collect();
    let (Some(&first), Some(&last)) = (named.first(), named.last()) else { return None };
    // What stands among names of plants, or behind them before their total, is one that the list doesn't know.
    let end = headings.iter().skip(last).position(|heading| says_total(heading));
    let end = end.map_or(last + 1, |behind| last + behind);
    let free: Vec<&str> = layout.columns().collect();
    let is_plant = |(at, heading): &(usize, &String)| {
        named.contains(at)
            || (first..end).contains(at)
                && !heading.trim().is_empty()
                && columns(heading, layout, &free).is_empty()
    };
    let plants = headings.iter().enumerate().filter(is_plant).map(|(_, heading)| heading).collect();
    (named.len() > 1).then_some((plants, of))
}

/// Columns whose cells may be empty and without which a table is none.
const HELD: [(&str, &str); 2] = [("rain", "mm"), ("sightings", "count")];

/// Columns of which a table has at least one: day, plot and species stand in many others too.
const ANY_OF: [(&str, &[&str]); 1] = [("stems", &["height_m", "diameter_mm", "status", "tag"])];

/// How many columns of the table the row `headings` names or likely means; `None` where it lacks one that the table needs.
pub(crate) fn fit(layout: &'static Layout, headings: &[String], holds: Holds<'_>) -> Option<usize> {
    let found = found(layout, headings, holds);
    let says_any = ANY_OF.iter().filter(|(table, _)| *table == layout.table);
    let says_any = says_any.into_iter().all(|(_, any)| any.iter().any(|column| found.contains(column)));
    (says_any && needs(layout).all(|column| found.contains(&column))).then_some(found.len())
}

/// The columns that a table can't be told without.
pub(crate) fn needs(layout: &'static Layout) -> impl Iterator<Item = &'static str> {
    let held = HELD.iter().filter(|(table, _)| *table == layout.table).map(|(_, column)| *column);
    layout.required.iter().copied().chain(held)
}

/// The columns of the table that the row `headings` names or likely means.
pub(crate) fn found(layout: &'static Layout, headings: &[String], holds: Holds<'_>) -> Vec<&'static str> {
    let as_named = Mapping::default();
    let own = |heading: &String| meant(heading, layout, &as_named).map(|meant| meant.column);
    let mut found: Vec<&str> = headings.iter().filter_map(own).collect();
    if day_in_parts(headings).is_some() {
        found.push("date");
    }
    for heading in headings.iter().filter(|heading| own(heading).is_none()) {
        let free: Vec<&str> = layout.columns().filter(|column| !found.contains(column)).collect();
        found.extend(held(heading, layout, &free, holds).first().map(|likely| likely.column));
    }
    if let Some((_, of)) = plants(layout, headings) {
        found.extend(["species", of]);
    }
    found
}

/// Whether a heading is named as the column is.
pub(crate) fn is_named(heading: &str, layout: &Layout, column: &str) -> bool {
    meant(heading, layout, &Mapping::default()).is_some_and(|meant| meant.column == column)
}

/// Whether a heading names the column or likely means it.
pub(crate) fn stands_for(heading: &str, layout: &Layout, column: &str) -> bool {
    let free: Vec<&str> = layout.columns().collect();
    is_named(heading, layout, column)
        || columns(heading, layout, &free).first().is_some_and(|likely| likely.column == column)
}

/// How many columns a table can't be told without.
pub(crate) fn needed(layout: &'static Layout) -> usize {
    needs(layout).count()
}

/// Whether `other` stands before `heading` among the words that people head `column` with.
fn better(
    other: &str,
    heading: &str,
    column: &str,
    layout: &Layout,
    (free, holds): (&[&str], Holds<'_>),
) -> bool {
    let rank = |heading: &str| {
        let words = words().find(|(of, table, _)| *of == column && [layout.table, ""].contains(table));
        words.and_then(|(.., words)| words.iter().position(|word| *word == key(heading)))
    };
    let meant = held(other, layout, free, holds).first().map(|likely| likely.column);
    meant == Some(column) && rank(other).is_some_and(|other| rank(heading).is_none_or(|own| other < own))
}

/// The lines that read a page of a gauge's book, a row a day and a column a month; the year is left to be written where no column has it.
fn month_grid(headings: &[String]) -> Option<String> {
    let months: Vec<&String> = headings.iter().filter(|heading| is_month(heading)).collect();
    let day = headings
        .iter()
        .find(|heading| ["day", "date", "d", "day_of_month"].contains(&key(heading).as_str()))?;
    let year = headings.iter().find(|heading| key(heading) == "year");
    let year = year.map_or("…".to_owned(), |year| format!("{{{year}}}"));
    let wide: Vec<String> = months.iter().map(|month| format!("{} = \"mm\"", quoted(month))).collect();
    (months.len() >= SEASON).then(|| {
        let day = quoted(&format!("{year}-{{*}}-{{{day}}}"));
        format!("[tables.rain]\nwide = {{ {} }}\nset = {{ date = {day} }}", wide.join(", "))
    })
}

/// Columns of months from which they make a page of a book.
const SEASON: usize = 3;

/// Whether a heading is the name of a month, whole or by its first letters.
fn is_month(heading: &str) -> bool {
    matches!(parts(heading).as_deref(), Some([Part::Month(_)]))
}

/// The day of a table that has its year, its month and its day in columns of their own.
fn day_in_parts(headings: &[String]) -> Option<String> {
    let of = |word: &str| headings.iter().find(|heading| key(heading) == word);
    Some(format!("{{{}}}-{{{}}}-{{{}}}", of("year")?, of("month")?, of("day")?))
}

/// The same for a file in which no heading is known.
pub(crate) fn mapping(
    layout: &'static Layout,
    mapping: &Mapping,
    headings: Vec<String>,
    line_of_budget: Option<&str>,
    holds: Holds<'_>,
) -> Option<String> {
    let mapped = |column: &&str| {
        mapping
            .columns
            .values()
            .chain(mapping.set.keys())
            .filter_map(|ours| named(ours, layout))
            .all(|it| it.column != *column)
    };
    let free: Vec<&str> = layout.required.iter().copied().filter(mapped).collect();
    lines_with(layout, &free, headings.into_iter(), line_of_budget, holds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::records::LAYOUTS;

    /// Nothing is known of what stands beneath.
    const ANY: Holds<'static> = &|_, _| true;

    fn layout(table: &str) -> &'static Layout {
        LAYOUTS.iter().find(|layout| layout.table == table).unwrap()
    }

    fn of(heading: &str, table: &str) -> Vec<String> {
        let free: Vec<&str> = layout(table).columns().collect();
        columns(heading, layout(table), &free).into_iter().map(|likely| likely.name).collect()
    }

    #[test]
    fn words_of_the_trade_are_known() {
        assert_eq!(of("Gone", "tallies"), ["missing"]);
        assert_eq!(of("Self-sown", "tallies"), ["recruits"]);
        assert_eq!(of("Died", "tallies"), ["dead"]);
        assert_eq!(of("No.", "plantings"), ["stems"]);
        assert_eq!(of("Ht", "stems"), ["height_m", "height_cm"]);
        assert_eq!(of("DBH (cm)", "stems"), ["diameter_cm"]);
        assert_eq!(of("ammount", "spending"), ["amount"]);
        assert_eq!(of("Weather", "tallies"), [""; 0]);
    }

    #[test]
    fn a_currency_in_a_heading_says_that_it_is_money() {
        for heading in ["Amount (EUR)", "Amount EUR", "Betrag (EUR)", "amount_aud", "Debit NZD", "Amount (€)"]
        {
            assert_eq!(of(heading, "spending"), ["amount"], "{heading}");
            assert_eq!(of(heading, "rain"), [""; 0], "{heading}");
        }
        assert_eq!(of("Paid in (GBP)", "spending"), ["money_in"]);
        assert_eq!(of("Amount", "rain"), ["mm"]);
        let bank = ["Booked", "Value date", "Text", "Category", "Amount (EUR)", "Balance"].map(str::to_owned);
        assert!(fit(layout("spending"), &bank, ANY).is_some() && fit(layout("rain"), &bank, ANY).is_none());
    }

    #[test]
    fn every_word_is_of_a_column_and_of_one_alone() {
        for layout in LAYOUTS.iter() {
            let mut seen = Vec::new();
            for (column, table, words) in words().filter(|(_, table, _)| *table == layout.table) {
                assert!(layout.columns().any(|ours| ours == *column), "{table} has no {column}");
                for word in *words {
                    assert_eq!(key(word), *word);
                    assert!(!seen.contains(word), "{word} stands twice in {table}");
                    seen.push(word);
                }
            }
        }
    }

    #[test]
    fn a_day_in_three_columns_is_put_together() {
        let headings = ["Year", "month", "Day", "precipitation"].map(str::to_owned);
        assert_eq!(
            lines(layout("rain"), &["date", "mm"], headings.into_iter(), ANY).as_deref(),
            Some(
                "[tables.rain]\ncolumns = { \"precipitation\" = \"mm\" }\nset = { date = \"{Year}-{month}-{Day}\" }"
            )
        );
    }

    #[test]
    fn a_page_of_a_rain_book_is_made_rows() {
        let headings = ["Day", "Jan", "Feb", "March", "Total"].map(str::to_owned);
        let lines = |headings: &[String]| lines(layout("rain"), &["date"], headings.iter().cloned(), ANY);
        assert_eq!(
            lines(&headings).as_deref(),
            Some(
                "[tables.rain]\nwide = { \"Jan\" = \"mm\", \"Feb\" = \"mm\", \"March\" = \"mm\" }\nset = { date = \"…-{*}-{Day}\" }"
            )
        );
        let with_year = [&["Year".to_owned()], headings.as_slice()].concat();
        assert!(lines(&with_year).is_some_and(|lines| lines.contains("\"{Year}-{*}-{Day}\"")));
        assert!(
            lines(&headings[1..]).is_none_or(|lines| !lines.contains("wide")),
            "sums of months are no days"
        );
    }

    #[test]
    fn columns_that_are_species_are_made_rows() {
        let headings = ["Paddock", "Acacia melanoxylon", "Silver wattle", "Date"].map(str::to_owned);
        assert_eq!(
            lines(
                layout("plantings"),
                &["date", "area", "species", "stems"],
                headings.clone().into_iter(),
                ANY
            )
            .as_deref(),
            Some(
                "[tables.plantings]\ncolumns = { \"Paddock\" = \"area\", \"Date\" = \"date\" }\nwide = { \"Acacia melanoxylon\" = \"stems\", \
                 \"Silver wattle\" = \"stems\" }\nset = { species = \"{*}\" }"
            )
        );
        assert!(
            fit(layout("plantings"), &headings, ANY).is_some()
                && fit(layout("plantings"), &headings[..2], ANY).is_none()
        );
    }

    #[test]
    fn one_line_maps_all_that_is_missing() {
        let headings = ["Day planted", "Block", "Sp.", "No.", "Weather"].map(str::to_owned);
        let missing = ["date", "area", "species", "stems"];
        assert_eq!(
            lines(layout("plantings"), &missing, headings.into_iter(), ANY).as_deref(),
            Some(
                "[tables.plantings]\ncolumns = { \"Day planted\" = \"date\", \"Block\" = \"area\", \"Sp.\" = \"species\", \"No.\" = \"stems\" }"
            )
        );
    }
}
