//! Every figure of every site in one table: as CSV for spreadsheets, as Parquet for analysts.

use std::sync::Arc;

use parquet::errors::ParquetError;

use crate::portfolio::rollup::site::{Line, Site};
use hillfolio_core::source::Row;
use hillfolio_documents::exports::parquet::{Cells, Column, parquet};

/// The table's name in the roll-up.
pub(crate) const NAME: &str = "sites.csv";

/// The name of the same as Parquet.
pub(crate) const PARQUET: &str = "sites.parquet";

const HEADINGS: [&str; 15] = [
    "project",
    "name",
    "reference",
    "period_from",
    "period_to",
    "id",
    "label",
    "value",
    "unit",
    "low",
    "high",
    "confidence",
    "method",
    "sources",
    "notes",
];

/// Columns of the site itself, before those of its figures.
const OWN: usize = 5;

/// Where each site's figures begin in the table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    begins: Vec<usize>,
    name: Arc<str>,
}

impl Table {
    /// The table of `sites`, one after the other.
    pub(crate) fn of(sites: &[Site]) -> Table {
        let mut next = 0;
        let begins = sites
            .iter()
            .map(|site| {
                let begin = next;
                next += site.lines.len();
                begin
            })
            .collect();
        Table { begins, name: NAME.into() }
    }

    /// The row of a site's line, as a spreadsheet counts.
    pub(crate) fn row(&self, site: usize, line: usize) -> Row {
        let at = self.begins.get(site).copied().unwrap_or_default() + line + 2;
        Row { file: Arc::clone(&self.name), row: u32::try_from(at).unwrap_or(u32::MAX) }
    }
}

/// The table as CSV. Cells are those of the sites' own tables, digit for digit.
pub(crate) fn as_csv(sites: &[Site]) -> csv::Result<Vec<u8>> {
    let mut table = Vec::new();
    let mut writer = csv::Writer::from_writer(&mut table);
    writer.write_record(HEADINGS)?;
    for site in sites {
        let (from, to) = (site.from.to_string(), site.to.to_string());
        let own = [&site.path, &site.name, &site.reference].map(|text| guarded(text));
        for line in &site.lines {
            let cells = own.iter().map(String::as_str).chain([from.as_str(), to.as_str()]).chain(cells(line));
            writer.write_record(cells)?;
        }
    }
    writer.flush()?;
    drop(writer);
    Ok(table)
}

fn cells(line: &Line) -> [&str; 10] {
    [
        &line.id,
        &line.label,
        &line.value,
        &line.unit,
        &line.low,
        &line.high,
        &line.confidence,
        &line.method,
        &line.sources,
        &line.notes,
    ]
}

/// `text` as no spreadsheet takes it for a formula.
fn guarded(text: &str) -> String {
    if begins_formula(text) { format!("'{text}") } else { text.to_owned() }
}

fn begins_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// A cell of a site's table without the guard that keeps spreadsheets from reading a formula.
fn plain(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| begins_formula(rest)).unwrap_or(text)
}

/// The table as Parquet: text as text, days as days, numbers as doubles, which hold every digit of the CSV; a number that is not
/// there is null.
///
/// # Errors
/// More than the format can hold.
pub(crate) fn as_parquet(sites: &[Site]) -> Result<Vec<u8>, ParquetError> {
    let rows: Vec<(&Site, &Line)> =
        sites.iter().flat_map(|site| site.lines.iter().map(move |line| (site, line))).collect();
    let of_site = |of: fn(&Site) -> &str| Cells::Text(rows.iter().map(|(site, _)| of(site)).collect());
    let cells = |(at, name): (usize, &'static str)| {
        let text = |at: usize| rows.iter().map(move |(_, line)| plain(cells(line)[at]));
        let cells = match name {
            "project" => of_site(|site| &site.path),
            "name" => of_site(|site| &site.name),
            "reference" => of_site(|site| &site.reference),
            "period_from" => Cells::Days(rows.iter().map(|(site, _)| site.from).collect()),
            "period_to" => Cells::Days(rows.iter().map(|(site, _)| site.to).collect()),
            "value" | "low" | "high" | "confidence" => {
                Cells::Numbers(text(at - OWN).map(|number| number.parse().ok()).collect())
            }
            _ => Cells::Text(text(at - OWN).collect()),
        };
        Column { name, cells }
    };
    parquet(&HEADINGS.into_iter().enumerate().map(cells).collect::<Vec<_>>())
}
