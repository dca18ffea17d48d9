//! What to do about files, tables and cells that could not be read as they should, and how some of it is told.

use crate::problem::{
    Help,
    answer::{Answer, quoted, to_choose, to_paste},
};

/// The two orders in which days stand, the likelier first.
pub(super) fn orders(table: &str, month_first: bool) -> Vec<Answer> {
    let order =
        |means, order| Answer::meaning(means, &format!("tables.{table}"), format!("dates = \"{order}\""));
    let mut orders =
        vec![order("the day comes first", "day-first"), order("the month comes first", "month-first")];
    orders.rotate_left(usize::from(month_first));
    orders
}

/// Cells of a column that leave no choice of its order.
pub(super) fn decides(shows: usize, order: &str, example: &str) -> String {
    match shows {
        1 => format!("`{example}` in the column puts the {order} first"),
        _ => format!("{shows} others of the column put the {order} first, such as `{example}`"),
    }
}

/// Each of the files as the one that holds the table.
pub(super) fn of_files(table: &str, files: &[String]) -> Vec<Answer> {
    let named = |file: &String| Answer::of(&format!("tables.{table}"), format!("file = {}", quoted(file)));
    files.iter().map(named).collect()
}

/// Files of which nothing tells that they are what is wanted: the person knows.
pub(super) fn perhaps(wanted: &str, found: &[String]) -> Help {
    let table = wanted
        .split_once('.')
        .map(|(table, _)| table)
        .filter(|table| table.chars().all(char::is_alphanumeric));
    let Some(table) = table else {
        return format!("found here: {}; name the file in project.toml", found.join(", ")).into();
    };
    let each = |file: &String| Answer::of(&format!("tables.{table}"), format!("file = {}", quoted(file)));
    to_choose(
        "if one that is here holds it, name it in project.toml:",
        found.iter().take(8).map(each).collect(),
    )
}

/// What to do about an empty cell that must be filled. Of a column that people write once for the rows beneath, `above` is what stands above
/// it; a row without its number may hold it in another column, so that leaving it out is never proposed.
pub(super) fn empty(table: &str, column: &str, above: Option<&str>) -> Help {
    let section = format!("tables.{table}");
    let skip = |means| Answer::meaning(means, &section, format!("skip = {{ {column} = [\"\"] }}"));
    match (column, above) {
        (words, _) if words.contains(' ') || table.is_empty() => "fill it, or take the row out".into(),
        ("amount" | "stems" | "alive" | "hours" | "mm" | "percent", _) => format!(
            "fill it, or take the row out; if the number stands in another column, map that one in project.toml: [tables.{table}] columns = \
             {{ \"your heading\" = \"{}\" }}",
            if column == "amount" { "money_in" } else { column }
        )
        .into(),
        ("line", _) => to_choose(
            "fill it, take the row out, or name the line of such rows, in project.toml:",
            vec![Answer::of(&section, "blank = { line = \"…\" }")],
        ),
        (_, Some(above)) => to_choose(
            "fill it, or take the row out, or say what an empty cell means, in project.toml:",
            vec![
                Answer::meaning(
                    &format!("it is the same as above, here `{above}`"),
                    &section,
                    format!("fill_down = [{}]", quoted(column)),
                ),
                skip("rows without it are no records, and are left out"),
            ],
        ),
        (_, None) => to_choose(
            "fill it, or take the row out; if rows without it are no records, in project.toml:",
            vec![skip("")],
        ),
    }
}

/// What may stand before the decimals.
pub(super) fn marks(table: &str) -> Vec<Answer> {
    let mark =
        |means, mark| Answer::meaning(means, &format!("tables.{table}"), format!("decimals = \"{mark}\""));
    vec![mark("commas stand before the decimals", "comma"), mark("points stand before the decimals", "point")]
}

/// Lines that were most likely meant.
pub(super) fn did_you_mean_lines(lines: &str) -> Help {
    to_paste("did you mean this, in project.toml?", vec![Answer::lines(lines)])
}

/// What a correction finds in the place of what it corrects.
pub(super) fn misses(cell: &str, read: &str, holds: Option<&str>) -> String {
    match holds {
        Some(holds) => {
            format!("{cell} is to be corrected where {} stands, and holds {}", shown(read), shown(holds))
        }
        None => format!("{cell} is to be corrected, and no table that is read has such a cell"),
    }
}

/// A cell as it is told.
pub(super) fn shown(cell: &str) -> String {
    if cell.is_empty() { "an empty cell".to_owned() } else { format!("`{cell}`") }
}

/// What mends a file that is not valid `format`.
pub(super) fn mended(format: &str) -> &'static str {
    match format {
        "TOML" => {
            "text stands between quotation marks, each setting on a line of its own; `hillfolio new DIR` writes a \
             project.toml to compare with"
        }
        "ledger of figures" => "name a pack, a project folder, or the figures.json of one",
        "pack" => "name the .zip that `hillfolio build` wrote, whole and not packed anew",
        "XLSX" | "ODS" | "XLSX or ODS" => {
            "open it in a spreadsheet and save it again as XLSX or ODS, without a password, or save the sheet as CSV"
        }
        _ => "save it again in the program that made it, or save the layer as GeoJSON",
    }
}
