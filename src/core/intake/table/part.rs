//! One file or one sheet of a table: read, its headings found, its rows laid out as the mapping says.

use std::{collections::BTreeSet, sync::Arc};

use crate::{
    intake::{
        cell::number::Mark,
        corrected, limits,
        mapped::Pattern,
        mapping::{Blank, DateOrder, Mapping, Sheets},
        nearest::folded,
        table::{
            Layout, Line, Record,
            choose::{self, Met},
            empty, field, fill,
            grid::{Grid, Heading},
            header,
            heading::{meant, mentioned, named},
            held::{self, Held},
            joined_position, made, sheets, split, surplus, totals, wide,
            workbook::{self, Sheet},
            wrapped,
        },
    },
    problem::{Excerpt, Kind, Place, Problem, Reading},
};

/// What is remembered of a file or a sheet whose rows a table holds.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    /// Path inside the project folder; of one of several sheets with its name behind.
    pub(crate) path: Arc<str>,
    /// The name of the sheet; empty of a text.
    pub(crate) sheet: String,
    /// The row of the headings.
    pub(crate) header: u32,
    /// What stands before the decimals of its numbers.
    pub(crate) mark: Mark,
    /// Whether it counts days from 1904.
    pub(crate) from_1904: bool,
    /// How its days are written.
    pub(crate) dates: DateOrder,
}

impl Part {
    /// The place of a cell, with its row and the headings to show.
    pub(crate) fn place(&self, grid: &Grid, row: &Record, at: usize) -> Place {
        let header: Vec<String> = grid.headings.iter().map(|heading| heading.text.clone()).collect();
        let column = header.get(at).cloned();
        let excerpt = Excerpt { header, cells: row.texts(), at, made: false };
        Place { path: Arc::clone(&self.path), row: Some(row.row), column, excerpt: Some(Box::new(excerpt)) }
    }
}

/// A file or a sheet as rows, of which nothing is understood yet.
pub(crate) struct Raw {
    path: Arc<str>,
    records: Vec<Record>,
    /// What stands between its cells, where it is text.
    delimiter: Option<u8>,
    sheet: Sheet,
}

impl Raw {
    /// The rows of `text`; `None` where there are none to go by.
    pub(crate) fn text(
        layout: &Layout,
        path: &str,
        text: &str,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<Raw> {
        if text.trim().is_empty() {
            problems.push(Problem::new(Reading::FileEmpty { table: layout.table }, Place::file(path)));
            return None;
        }
        let filled = |line: &&str| !line.trim().is_empty();
        if text.split(['\n', '\r']).filter(filled).nth(limits::ROWS).is_some() {
            let kind = Reading::TooManyRows { limit: limits::ROWS };
            problems.push(Problem::new(kind, Place::file(path)));
            return None;
        }
        let delimiter = header::delimiter(text, layout, mapping);
        let records = split::records(text, delimiter).map_err(|unclosed| {
            let place = Place { row: Some(unclosed.row), ..Place::file(path) };
            problems.push(Problem::new(Reading::QuoteUnclosed, place));
        });
        if mapping.sheets != Sheets::Likely && mapping.files.len() < 2 {
            let place = header::setting(layout.table, "sheet");
            problems.push(Problem::new(Reading::SheetOfNothing { file: path.to_owned() }, place));
        }
        Some(Raw {
            path: path.into(),
            records: records.ok()?,
            delimiter: Some(delimiter),
            sheet: Sheet::default(),
        })
    }

    /// The rows of each sheet of the workbook `bytes` that holds the table.
    pub(crate) fn workbook(
        layout: &'static Layout,
        path: &str,
        bytes: Vec<u8>,
        mapping: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Vec<Raw> {
        let several = matches!(mapping.sheets, Sheets::These(_) | Sheets::All);
        let sheets = workbook::sheets(layout, path, bytes, mapping, problems);
        let raw = |mut sheet: Sheet| {
            if sheet.records.is_empty() {
                problems.push(Problem::new(Reading::FileEmpty { table: layout.table }, Place::file(path)));
                return None;
            }
            let path = if several { format!("{path}[{}]", sheet.name) } else { path.to_owned() };
            let records = std::mem::take(&mut sheet.records);
            Some(Raw { path: path.into(), records, delimiter: None, sheet })
        };
        sheets.into_iter().filter_map(raw).collect()
    }

    /// The rows of the field book `bytes` that somebody has filled in; none where its sheet of the table was not used.
    pub(crate) fn field_sheet(
        layout: &'static Layout,
        path: &str,
        bytes: Vec<u8>,
        problems: &mut Vec<Problem>,
    ) -> Option<Raw> {
        let sheets = Sheets::These(vec![layout.table.to_owned()]);
        let only = Mapping { sheets, ..Mapping::default() };
        let mut said = Vec::new();
        let raw = Raw::workbook(layout, path, bytes, &only, &mut said).into_iter().next();
        // A book need not have a sheet of every table.
        let absent = |problem: &Problem| {
            matches!(problem.kind, Kind::Reading(Reading::SheetMissing { .. } | Reading::FileEmpty { .. }))
        };
        problems.extend(said.into_iter().filter(|problem| !absent(problem)));
        let mut raw = raw?;
        raw.records = field::filled(layout, raw.records)?;
        Some(raw)
    }

    /// The cells of the rows in which the headings may stand.
    pub(crate) fn first_rows(self) -> Vec<Vec<String>> {
        self.records.iter().take(header::TITLES).map(Record::texts).collect()
    }

    /// The name of its sheet.
    pub(crate) fn sheet(&self) -> &str {
        &self.sheet.name
    }

    /// Every row with its cells.
    pub(crate) fn lines(self) -> Vec<Line> {
        self.records.iter().map(|record| (record.row, record.texts())).collect()
    }

    /// The part, laid out as the mapping says; `number` is its own among the parts. `None` where there are no headings to go by.
    pub(crate) fn shaped(
        self,
        number: u16,
        layout: &'static Layout,
        mapping: &Mapping,
        told: &mut Shaping,
        problems: &mut Vec<Problem>,
    ) -> Option<(Part, Grid)> {
        let Raw { path, mut records, delimiter, sheet } = self;
        records.iter_mut().for_each(|record| record.part = number);
        let (mut grid, header) = header::found(layout, &path, records, &sheet.merges, mapping, problems)?;
        let (from_1904, dates) = (sheet.from_1904, mapping.dates);
        let name = sheet.name.clone();
        let mut part = Part { path, sheet: name, header, mark: Mark::Point, from_1904, dates };
        // A total beside the cells is not counted once more.
        let wide = |heading: &str| {
            let fits = |(pattern, _): &&(Pattern, String)| pattern.found(heading).is_some();
            mapping.wide.iter().find(fits).filter(|_| !totals::says_total(heading))
        };
        let counts = |heading: &str| match meant(heading, layout, mapping) {
            Some(meant) => Some(meant.column),
            None => wide(heading).and_then(|(_, column)| Some(named(column, layout)?.column)),
        };
        let holds = |headings: &[Heading], row: &Record| {
            let mut held = Vec::new();
            let headings = headings.iter().map(|heading| (&*heading.text, counts(&heading.text)));
            held::add(&mut held, layout.table, std::slice::from_ref(row), headings, Mark::Unclear);
            held::told(&held, 1)
        };
        let out = corrected::correct(&mapping.corrections, &part, &mut grid, holds, problems);
        let said = problems.len();
        told.typed.extend(grid.headings.iter().map(|heading| heading.text.clone()));
        let of = |heading: &Heading| meant(&heading.text, layout, mapping);
        let used = |heading: &Heading| of(heading).is_some() || mentioned(&heading.text, mapping);
        let places: Vec<usize> = (0..grid.headings.len()).filter(|&at| used(&grid.headings[at])).collect();
        let needed: Vec<usize> = (0..grid.headings.len())
            .filter(|&at| of(&grid.headings[at]).is_some_and(|meant| layout.required.contains(&meant.column)))
            .collect();
        part.mark = mark(&grid, delimiter, &places, mapping);
        let filled: Vec<usize> =
            mapping.fill_down.iter().filter_map(|column| grid.at(column, mapping)).collect();
        surplus::refuse_long_rows(&part, &grid, problems);
        totals::leave_out(&part, &mut grid, &needed, problems);
        let excused = sheets::doubt(layout.table, &part, &grid, &sheet, (&places, &filled), problems);
        told.excused.extend(excused.into_iter().map(|row| (number, row)));
        if let Some(at) = mapping.wrapped.as_ref().and_then(|column| grid.at(column, mapping)) {
            wrapped::joined(&mut grid, at);
        }
        for (row, at, cells) in fill::dittos(&mut grid) {
            let kind = Reading::Dittos { mark: row.cell(at).to_owned(), cells };
            problems.push(Problem::new(kind, part.place(&grid, &row, at)));
        }
        fill::down(&mut grid, &filled);
        corrected::leave_out(&out, &part, &mut grid, said, problems);
        told.rows += grid.rows.len();
        let out = choose::chosen(&mut grid, mapping, &mut told.met);
        // Of what is left out nothing is asked.
        forget(out.left.iter().chain(&out.again), &part, said, problems);
        if !out.left.is_empty() || !out.again.is_empty() {
            told.left_in.push(Arc::clone(&part.path));
        }
        for (rows, (left, held)) in [(&out.left, &mut told.left), (&out.again, &mut told.again)] {
            let headings = grid.headings.iter().map(|heading| (&*heading.text, counts(&heading.text)));
            held::add(held, layout.table, rows, headings, part.mark);
            *left += rows.len();
        }
        if !mapping.wide.is_empty() {
            let empty = |cell: &str| cell.is_empty() || empty::is_word(cell, mapping);
            let keeps = |column: &str| {
                let of = |(name, blank): (&String, &Blank)| {
                    folded(name) == folded(column) && matches!(blank, Blank::Text(_))
                };
                mapping.blank.iter().any(of)
            };
            let before = grid.headings.len();
            let places = wide::places(&grid, mapping, used);
            for (row, at, total, made) in totals::unlike(&grid, &places, part.mark) {
                let kind = Reading::TotalDiffers { total: total.to_string(), made: made.to_string() };
                problems.push(Problem::new(kind, part.place(&grid, &row, at)));
            }
            let without;
            (grid, without) = wide::long(grid, mapping, used, empty, keeps);
            told.wide |= grid.headings.len() != before + 1 + mapping.wide.len();
            told.without += without;
        }
        joined_position::split(&mut grid, layout, mapping);
        for heading in made::with(&mut grid, mapping) {
            if !told.lacking.contains(&heading) {
                told.lacking.push(heading);
            }
        }
        Some((part, grid))
    }
}

/// Takes back what was said, since the first `said` problems, of cells of rows that are left out.
fn forget<'a>(out: impl Iterator<Item = &'a Record>, part: &Part, said: usize, problems: &mut Vec<Problem>) {
    let out: BTreeSet<u32> = out.map(|row| row.row).collect();
    let of_cell = |problem: &Problem| {
        let kind = &problem.kind;
        matches!(kind, Kind::Reading(Reading::RowTooLong { .. } | Reading::NotComputed { .. }))
    };
    let is_out = |problem: &Problem| {
        problem.place.path == part.path && problem.place.row.is_some_and(|row| out.contains(&row))
    };
    let kept: Vec<Problem> =
        problems.split_off(said).into_iter().filter(|one| !of_cell(one) || !is_out(one)).collect();
    problems.extend(kept);
}

/// What laying out the parts of a table did, to be told once for all of them.
#[derive(Debug, Default)]
pub(crate) struct Shaping {
    /// Every heading as it is typed.
    pub(crate) typed: Vec<String>,
    /// Rows in which a formula was never computed, which has been said: by part and row.
    pub(crate) excused: Vec<(u16, u32)>,
    /// Rows before any was left out.
    pub(crate) rows: usize,
    /// How many rows each value of `skip` and `only` met.
    pub(crate) met: Met,
    /// The files and sheets in which rows were left out by them, or because what they tell stood in an earlier one.
    pub(crate) left_in: Vec<Arc<str>>,
    /// How many rows were left out by them, and what these hold.
    pub(crate) left: (usize, Vec<Held>),
    /// How many were left out because what they tell stood in an earlier one, and what these hold.
    pub(crate) again: (usize, Vec<Held>),
    /// Whether any heading held values.
    pub(crate) wide: bool,
    /// Empty cells of a wide table, which made no row.
    pub(crate) without: usize,
    /// Headings that `set` asks for and a part lacks.
    pub(crate) lacking: Vec<String>,
}

/// What stands before the decimals: as the mapping says, else as the cells that leave no choice do. Commas between the cells speak
/// for points in them.
fn mark(grid: &Grid, delimiter: Option<u8>, used: &[usize], mapping: &Mapping) -> Mark {
    if let Some(mark) = mapping.decimals {
        return mark;
    }
    let all = grid.rows.iter().flat_map(|row| &row.cells).map(|cell| cell.as_str());
    let read = grid.rows.iter().flat_map(|row| used.iter().map(|&at| row.cell(at)));
    match delimiter {
        Some(b';') => Mark::of(all),
        Some(_) if Mark::of(read) == Mark::Comma => Mark::Comma,
        _ => Mark::Point,
    }
}
