//! The tables of the folder, opened: those of its own files, each as its mapping says, and beside them the sheets of field books, which
//! have headings of their own and no mapping.

use std::{collections::BTreeMap, sync::Arc};

use rayon::prelude::*;

use crate::{
    intake::{
        choice::{Wanted, is_field_book, is_layer},
        corrected::{self, Corrections},
        folder::Folder,
        glyphs::{self, Printable},
        mapping::Mapping,
        nearest::same,
        reader::Reader,
        records::LAYOUTS,
        settings::FIELD_BOOK,
        table::{Layout, Raw, Table, is_workbook},
    },
    problem::{Grade, Place, Problem},
};

/// Problems that are shown with their row: beyond them nobody reads each.
const SHOWN: usize = 2_000;

/// A table, and which of its records stands in each row of one file.
type Numbered<'a> = (&'a Table, BTreeMap<u32, usize>);

/// The tables whose headers were understood, by name.
#[derive(Default)]
pub(crate) struct Tables {
    own: BTreeMap<&'static str, Table>,
    field: BTreeMap<&'static str, Table>,
}

impl Tables {
    /// One table alone.
    #[cfg(test)]
    pub(crate) fn one(name: &'static str, table: Table) -> Tables {
        Tables { own: BTreeMap::from([(name, table)]), field: BTreeMap::new() }
    }

    /// The table in the folder's own files.
    pub(crate) fn get(&self, name: &str) -> Option<&Table> {
        self.own.get(name)
    }

    /// The table in the folder's own files, then in field books.
    pub(crate) fn each(&self, name: &str) -> impl Iterator<Item = &Table> {
        self.own.get(name).into_iter().chain(self.field.get(name))
    }

    /// Whether any file holds the table.
    pub(crate) fn holds(&self, name: &str) -> bool {
        self.each(name).next().is_some()
    }

    /// Gives each problem that is about a row of a table that row to show, with the heading of its column as it stands there.
    pub(crate) fn show(&self, problems: &mut [Problem]) {
        let bare = |problem: &&mut Problem| problem.place.excerpt.is_none() && problem.place.row.is_some();
        let mut rows: BTreeMap<Arc<str>, Option<Numbered<'_>>> = BTreeMap::new();
        for problem in problems.iter_mut().filter(bare).take(SHOWN) {
            let place = &problem.place;
            let found =
                rows.entry(Arc::clone(&place.path)).or_insert_with_key(|path| self.rows_of(path.as_ref()));
            let Some((table, rows)) = found else { continue };
            let Some(record) = place.row.and_then(|row| table.rows().get(*rows.get(&row)?)) else { continue };
            let at = place.column.as_deref().and_then(|column| table.position(column));
            if place.column.is_some() && at.is_none() {
                continue;
            }
            let shown = table.place(record, at.map_or(0, |(at, _)| at));
            let column = at.and(shown.column);
            problem.place = Place { column, ..shown };
        }
    }

    /// The table with a part at `path`, and which of its records stands in each row there.
    fn rows_of(&self, path: &str) -> Option<Numbered<'_>> {
        let mut tables = self.own.values().chain(self.field.values());
        let table = tables.find(|table| table.parts().any(|(part, _)| part == path))?;
        let mut rows = BTreeMap::new();
        for (at, record) in table.rows().iter().enumerate() {
            if &**table.path_of(record) == path {
                rows.entry(record.row).or_insert(at);
            }
        }
        Some((table, rows))
    }
}

/// Every table of the folder whose header could be understood.
pub(crate) fn tables(
    folder: &Folder,
    reader: &Reader<'_>,
    (mappings, budget): (&BTreeMap<String, Mapping>, &[String]),
    printable: Printable<'_>,
    problems: &mut Vec<Problem>,
) -> Tables {
    let corrections = corrected::read(folder.files(), reader, problems);
    let opened = LAYOUTS.par_iter().map(|layout| {
        let mut problems = Vec::new();
        let mapping = mappings.get(layout.table);
        let files = Wanted::table(layout.table).files(folder, mapping, &mut problems);
        let files = files.into_iter().filter(|path| !is_layer(path));
        let (books, files): (Vec<String>, Vec<String>) = files.partition(|path| is_field_book(path));
        let mut open = |files: &[String], mapping: Option<&Mapping>| {
            let corrections = Corrections::clone(&corrections);
            let budget = budget.to_vec();
            let mapping = Mapping { corrections, budget, ..mapping.cloned().unwrap_or_default() };
            let table = table(layout, files, reader, &mapping, &mut problems)?;
            // Sheets of a workbook are counted together.
            for (path, rows) in table.parts() {
                let file = files.iter().find(|file| path.starts_with(file.as_str()));
                reader.rows(file.map_or(path, String::as_str), rows);
            }
            glyphs::doubt_table(&table, printable, &mut problems);
            Some(table)
        };
        let field = mappings.get(FIELD_BOOK).cloned().map(|mut mapping| {
            mapping.blank.retain(|column, _| layout.columns().any(|ours| same(ours, column)));
            mapping
        });
        let both = [open(&files, mapping), open(&books, field.as_ref())];
        (layout.table, both, problems)
    });
    let opened: Vec<_> = opened.collect();
    let all = opened.iter().flat_map(|(_, both, _)| both.iter().flatten()).flat_map(Table::parts);
    let paths: Vec<Arc<str>> = all.map(|(path, _)| path.into()).collect();
    // A table that can't be read has its own error.
    if opened.iter().all(|(.., said)| said.iter().all(|problem| problem.grade() != Grade::Error)) {
        problems.extend(corrected::unmet(&corrections, &paths));
    }
    let mut tables = Tables::default();
    for (name, [own, field], said) in opened {
        problems.extend(said);
        tables.own.extend(own.map(|table| (name, table)));
        tables.field.extend(field.map(|table| (name, table)));
    }
    tables
}

/// The table in the files at `paths`, whatever kind of files they are; none where one of them can't be read.
fn table(
    layout: &'static Layout,
    paths: &[String],
    reader: &Reader<'_>,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Option<Table> {
    let mut raws = Vec::new();
    for path in paths {
        if is_field_book(path) {
            let bytes = reader.bytes(path).map_err(|problem| problems.push(problem)).ok()?;
            raws.extend(Raw::field_sheet(layout, path, bytes, problems));
        } else if is_workbook(path) {
            let bytes = reader.bytes(path).map_err(|problem| problems.push(problem)).ok()?;
            raws.extend(Raw::workbook(layout, path, bytes, mapping, problems));
        } else {
            let text = reader.text_in(path, mapping.encoding, problems)?;
            raws.push(Raw::text(layout, path, &text, mapping, problems)?);
        }
    }
    // A field book that nobody has filled in yet holds no row of the table.
    if raws.is_empty() && paths.iter().all(|path| is_field_book(path)) {
        return None;
    }
    Table::of(layout, raws, mapping, problems)
}
