//! How sheets, columns and words of tables are told in a sentence.

use crate::problem::answer::{Answer, key, quoted};

/// What hinders the choice among a workbook's `sheets`.
pub(super) fn unclear(table: &str, sheets: &[String], fitting: usize) -> String {
    match fitting {
        0 => format!("none of the sheets {} has the columns of {table}", sheets.join(", ")),
        _ => format!("the sheets {} could each be the {table}", sheets.join(" and ")),
    }
}

/// Words in the name of a sheet that holds a list of what is to come, and not of what was done.
const LISTS: [&str; 9] =
    ["order", "orders", "quote", "quotes", "budget", "plan", "planned", "template", "prices"];

/// The answer that every one of `sheets` belongs to the table but those that are lists by their names, where there are both.
pub(super) fn but_lists(section: &str, sheets: &[String]) -> Option<Answer> {
    let is_list = |sheet: &&String| {
        let sheet = sheet.to_lowercase();
        sheet.split(|letter: char| !letter.is_alphabetic()).any(|word| LISTS.contains(&word))
    };
    let (lists, rest): (Vec<&String>, Vec<&String>) = sheets.iter().partition(is_list);
    (!lists.is_empty() && !rest.is_empty()).then(|| {
        let lists = lists.iter().map(|sheet| sheet.as_str()).collect::<Vec<_>>().join(" and ");
        let means = format!("{lists} is of what is to come, and each of the others is a part of it");
        Answer::meaning(&means, section, format!("sheets = {}", texts(rest.into_iter())))
    })
}

/// The columns that a table needs.
pub(super) fn needed(columns: &[String]) -> String {
    let named: Vec<String> = columns.iter().map(|column| format!("`{column}`")).collect();
    match named.as_slice() {
        // Of several of which one is enough.
        [one] if one.contains(',') => format!("a column {}", columns[0]),
        [one] => format!("a column {one}"),
        _ => format!("columns {}", named.join(", ")),
    }
}

/// What to do about columns that nothing in the file is like.
pub(super) fn missing(table: &str, columns: &[String]) -> String {
    let first = columns[0].split(',').next().unwrap_or_default();
    let map =
        format!("add it, or map yours: [tables.{table}] columns = {{ \"your heading\" = \"{first}\" }}");
    match (table, columns) {
        ("plantings", [stems]) if stems == "stems" => {
            format!("{map}; where each row is one plant: rows = \"plants\"")
        }
        ("tallies", [alive]) if alive == "alive" => {
            format!(
                "{map}; where each row is one plant: rows = \"plants\", with columns = {{ \"your heading\" = \"status\" }}"
            )
        }
        _ => format!("{map}; one for the whole file: set = {{ {first} = \"…\" }}"),
    }
}

/// Some of many words.
pub(super) fn some(words: &[String]) -> String {
    let (shown, rest) = words.split_at(words.len().min(8));
    let named: Vec<String> = shown.iter().map(|word| format!("`{word}`")).collect();
    let more = if rest.is_empty() { String::new() } else { format!(" and {} more", rest.len()) };
    format!("{}{more}", named.join(", "))
}

/// A place for what each word stands for, as TOML.
pub(super) fn stand_for(words: &[String]) -> String {
    let each: Vec<String> = words.iter().map(|word| format!("{} = \"…\"", key(word))).collect();
    each.join(", ")
}

/// Some of many columns.
pub(super) fn columns_of(columns: &[String]) -> String {
    let (shown, rest) = columns.split_at(columns.len().min(8));
    let named: Vec<String> = shown.iter().map(|column| format!("`{column}`")).collect();
    let more = if rest.is_empty() { String::new() } else { format!(" and {} more", rest.len()) };
    match columns {
        [_] => format!("the column {}", named.concat()),
        _ => format!("the columns {}{more}", named.join(", ")),
    }
}

pub(super) fn sheets_read(sheets: &[String]) -> String {
    match sheets {
        [one] => format!("the sheet {one} is"),
        _ => format!("the sheets {} are", sheets.join(" and ")),
    }
}

pub(super) fn sheets_left(sheets: &[(String, usize)]) -> String {
    let named: Vec<String> = sheets.iter().map(|(name, rows)| format!("{name} with {rows} rows")).collect();
    format!("{} {}", named.join(" and "), if named.len() == 1 { "is" } else { "are" })
}

/// A list of texts as TOML has it.
pub(super) fn texts<'a>(texts: impl Iterator<Item = &'a String>) -> String {
    let quoted: Vec<String> = texts.map(|text| quoted(text)).collect();
    format!("[{}]", quoted.join(", "))
}

/// So many cells.
pub(super) fn counted(cells: usize) -> String {
    format!("{} {}", crate::units::whole(cells as u64), if cells == 1 { "cell" } else { "cells" })
}

/// So many rows.
pub(super) fn counted_rows(rows: usize) -> String {
    format!("{} {}", crate::units::whole(rows as u64), if rows == 1 { "row" } else { "rows" })
}
