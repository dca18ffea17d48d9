//! Copies of tables in which some rows keep only what may be known.

use crate::{
    intake::{cell::number::Mark, table::Table},
    problem::Problem,
};

/// The table anew: every row where it stood, so that its number still holds, and of the `hidden` rows only the cells of the `open`
/// columns. Title rows above the header, which may name the place, are blank.
pub(crate) fn copy(table: &Table, open: &[&str], hidden: &[u32]) -> Vec<u8> {
    let comma = table.rows().first().is_some_and(|row| table.mark(row) == Mark::Comma);
    let delimiter = if comma { b';' } else { b',' };
    let open: Vec<usize> = open.iter().filter_map(|column| Some(table.position(column)?.0)).collect();
    let first = table.rows().first().map_or(2, |row| row.row);
    let mut copy = Vec::new();
    let mut line = 1;
    let mut put = |at: u32, cells: &[&str]| {
        while line < at {
            copy.push(b'\n');
            line += 1;
        }
        let mut writer = csv::WriterBuilder::new().delimiter(delimiter).from_writer(Vec::new());
        // Writing into memory can't fail, and all records of one writer are one record.
        if writer.write_record(cells).is_ok()
            && let Ok(written) = writer.into_inner()
        {
            copy.extend(written);
        }
        line += 1;
    };
    let headings: Vec<&str> = table.headings().collect();
    put(first.saturating_sub(1).max(1), &headings);
    for row in table.rows() {
        let shown = |at: usize| !hidden.contains(&row.row) || open.contains(&at);
        let cells: Vec<&str> =
            (0..headings.len()).map(|at| if shown(at) { row.cell(at) } else { "" }).collect();
        put(row.row, &cells);
    }
    copy
}

/// Takes the cells out of what was said of the `hidden` rows of the file at `path`.
pub(crate) fn silence(path: &str, hidden: &[u32], problems: &mut [Problem]) {
    for problem in problems.iter_mut().filter(|problem| &*problem.place.path == path) {
        if problem.place.row.is_some_and(|row| hidden.contains(&row)) {
            problem.place.excerpt = None;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;
    use crate::intake::{mapping::Mapping, table::Layout};

    static SEEN: LazyLock<Layout> = LazyLock::new(|| Layout {
        table: "seen",
        required: vec!["date", "species"],
        optional: vec!["sensitive", "longitude", "note"],
    });

    fn open(text: &str) -> Table {
        Table::open(&SEEN, "seen.csv", text, &Mapping::default(), &mut Vec::new()).unwrap()
    }

    #[test]
    fn hidden_rows_keep_their_number_and_lose_their_place() {
        let text = "Owls of Secret Gully;;;;;\n\nDate;Species;Sensitive;Longitude;Note;Own\n\
                    2025-03-01;Powerful owl;yes;152,6;by the \"big\" tree;x\n\n2025-03-02;Lyrebird;;152,7;a; b\n";
        let table = open(text);
        let copied = String::from_utf8(copy(&table, &["date", "species", "sensitive"], &[4])).unwrap();
        assert!(
            !copied.contains("152,6") && !copied.contains("big") && !copied.contains("Secret"),
            "{copied}"
        );
        let again = open(&copied);
        assert!(again.headings().eq(table.headings()));
        let numbers = |table: &Table| table.rows().iter().map(|row| row.row).collect::<Vec<_>>();
        assert_eq!(numbers(&again), numbers(&table));
        assert_eq!(again.rows()[1].cells[3], "152,7");
        assert_eq!(again.mark(&again.rows()[0]), table.mark(&table.rows()[0]));
    }
}
