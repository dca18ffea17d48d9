//! How sheets, columns and words of tables are told in a sentence.

use crate::problem::{
    Help,
    answer::{Answer, key, quoted, to_choose},
};

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

/// What a file could be, with what it lacks.
pub(super) fn near(tables: &[(&str, Vec<&str>)]) -> String {
    let one = |(table, lacks): &(&str, Vec<&str>)| match lacks.as_slice() {
        [] => format!("it could be the {table}"),
        lacks => format!("it could be the {table}, but has no {}", lacks.join(" and no ")),
    };
    tables.iter().map(one).collect::<Vec<_>>().join("; or ")
}

/// The lines that name the file as each of the tables.
pub(super) fn near_tables(file: &str, tables: &[(&str, Vec<&str>)]) -> Vec<Answer> {
    let one = |(table, _): &(&str, Vec<&str>)| {
        let means = format!("it is the {table}");
        Answer::meaning(&means, &format!("tables.{table}"), format!("file = {}", quoted(file)))
    };
    tables.iter().map(one).collect()
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

/// Columns of which one word may hold for a whole file.
const OF_A_FILE: [&str; 8] = ["date", "area", "plot", "species", "layer", "cover", "task", "line"];

/// What to do about columns that nothing in the file is like.
pub(super) fn missing(table: &str, columns: &[String]) -> Help {
    let first = columns[0].split(',').next().unwrap_or_default();
    let map =
        format!("add it, or map yours: [tables.{table}] columns = {{ \"your heading\" = \"{first}\" }}");
    match (table, columns) {
        ("plantings", [stems]) if stems == "stems" => {
            format!("{map}; where each row is one plant: rows = \"plants\"").into()
        }
        ("tallies", [alive]) if alive == "alive" => {
            format!(
                "{map}; where each row is one plant: rows = \"plants\", with columns = {{ \"your heading\" = \"status\" }}"
            )
            .into()
        }
        _ if columns.iter().all(|column| OF_A_FILE.contains(&column.as_str())) => {
            let each: Vec<String> = columns.iter().map(|column| format!("{column} = \"…\"")).collect();
            to_choose(
                &format!("{map}; if one holds for the whole file, in project.toml:"),
                vec![Answer::of(&format!("tables.{table}"), format!("set = {{ {} }}", each.join(", ")))],
            )
        }
        _ => map.into(),
    }
}

/// Some of many words.
pub(super) fn some(words: &[String]) -> String {
    let (shown, rest) = words.split_at(words.len().min(8));
    let named: Vec<String> = shown.iter().map(|word| format!("`{word}`")).collect();
    let more = if rest.is_empty() { String::new() } else { format!(" and {} more", rest.len()) };
    format!("{}{more}", named.join(", "))
}

/// What people write for how a plant was found.
const STATUS: [(&str, &[&str]); 4] = [
    (
        "alive",
        &[
            "up", "1", "live", "living", "l", "a", "ok", "good", "healthy", "well", "fair", "growing",
            "thriving", "standing", "present", "survived",
        ],
    ),
    ("dead", &["down", "0", "d", "dd", "died", "x", "dying", "deceased", "poor and dead", "killed"]),
    ("missing", &["m", "gone", "lost", "not found", "nf", "absent", "removed", "stolen", "disappeared"]),
    ("recruit", &["r", "self-sown", "self sown", "new", "seedling", "germinant", "volunteer"]),
];

/// A place for what each word of the column stands for, as TOML; of a plant's status what it likely does, where `known` has that.
pub(super) fn stand_for(column: &str, words: &[String], known: &[String]) -> String {
    let likely = |word: &String| {
        let folded = word.trim().to_lowercase();
        let status = STATUS.iter().find(|(_, words)| words.contains(&folded.as_str()))?.0;
        (column == "status" && known.iter().any(|known| known == status)).then_some(status)
    };
    let each: Vec<String> =
        words.iter().map(|word| format!("{} = \"{}\"", key(word), likely(word).unwrap_or("…"))).collect();
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
