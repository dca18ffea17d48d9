//! Sheets of a workbook that hold a table and that nothing reads.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    intake::{
        folder::Folder,
        mapping::{Mapping, Sheets},
        nearest::same,
        opened::Tables,
        records::LAYOUTS,
        table::{self, Line, is_workbook},
    },
    problem::{Kind, Place, Problem, Reading},
};

/// Rows and filled cells of each from which a sheet is a table and no note (common practice, no source).
const ROWS: usize = 3;
const CELLS: usize = 3;

/// Says which sheets of the workbooks that are read hold rows that no table has, unless the settings name the sheets.
pub(crate) fn doubt(
    folder: &Folder,
    tables: &Tables,
    mappings: &BTreeMap<String, Mapping>,
    problems: &mut Vec<Problem>,
) {
    let mut books: BTreeMap<&str, (&'static str, BTreeSet<&str>, bool)> = BTreeMap::new();
    for layout in LAYOUTS.iter() {
        let Some(table) = tables.get(layout.table) else { continue };
        let named =
            mappings.get(layout.table).is_some_and(|mapping| !matches!(mapping.sheets, Sheets::Likely));
        for (path, _) in table.parts() {
            let file = path.split('[').next().unwrap_or(path);
            if is_workbook(file) {
                let book = books.entry(file).or_insert((layout.table, BTreeSet::new(), false));
                book.1.extend(table.sheets());
                book.2 |= named;
            }
        }
    }
    let told: Vec<(String, String)> = problems
        .iter()
        .filter_map(|problem| match &problem.kind {
            Kind::Reading(Reading::SheetsLeft { left, .. }) => Some((problem.place.path.to_string(), left)),
            _ => None,
        })
        .flat_map(|(path, left)| left.iter().map(move |(sheet, _)| (path.clone(), sheet.clone())))
        .collect();
    for (file, (table, taken, named)) in books {
        let (Some(layout), Ok(bytes)) = (LAYOUTS.first(), folder.bytes(file)) else { continue };
        if named {
            continue;
        }
        for (sheet, lines) in table::in_view(layout, file, bytes) {
            let is_told = told.iter().any(|(path, told)| path == file && same(told, &sheet));
            let rows: Vec<&Line> = lines.iter().filter(|(_, cells)| filled(cells).count() >= CELLS).collect();
            if is_told || taken.contains(sheet.as_str()) || rows.len() < ROWS {
                continue;
            }
            let kind = Reading::SheetNotRead {
                sheet,
                rows: rows.len() - 1,
                headings: filled(&rows[0].1).take(5).collect::<Vec<_>>().join(", "),
                table,
                taken: taken.iter().map(|sheet| (*sheet).to_owned()).collect(),
            };
            problems.push(Problem::new(kind, Place { row: Some(rows[0].0), ..Place::file(file) }));
        }
    }
}

fn filled(cells: &[String]) -> impl Iterator<Item = &str> {
    cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty())
}
