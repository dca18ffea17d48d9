//! Every figure of every site in one table: as CSV for spreadsheets, as Parquet for analysts.

use std::sync::Arc;

use chrono::NaiveDate;
use parquet::errors::ParquetError;

use crate::portfolio::rollup::site::{Line, Site};
use hillfolio_core::{ledger, source::Row};
use hillfolio_documents::exports::parquet::{Cells, Column, parquet};

/// The table's name in the roll-up.
pub(crate) const NAME: &str = "sites.csv";

/// The name of the same as Parquet.
pub(crate) const PARQUET: &str = "sites.parquet";

/// Columns of the site itself, before those of its figures.
const OWN: [&str; 5] = ["project", "name", "reference", "period_from", "period_to"];

/// Where each site's figures begin in the table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    begins: Vec<usize>,
    name: Arc<str>,
}

impl Table {
    /// The table of `sites`, one after the other.
    pub(crate) fn of(sites: &[Site]) -> Table {
        let begin = |next: &mut usize, site: &Site| {
            *next += site.lines.len();
            Some(*next - site.lines.len())
        };
        Table { begins: sites.iter().scan(0, begin).collect(), name: NAME.into() }
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
    writer.write_record(OWN.iter().chain(&ledger::HEADINGS))?;
    for site in sites {
        let (from, to) = (site.from.to_string(), site.to.to_string());
        let own = [&site.path, &site.name, &site.reference].map(|text| ledger::as_text(text));
        for line in &site.lines {
            let cells = own.iter().map(|text| &**text).chain([from.as_str(), to.as_str()]).chain(&line.0);
            writer.write_record(cells)?;
        }
    }
    writer.flush()?;
    drop(writer);
    Ok(table)
}

/// A cell of a site's table without the guard that keeps spreadsheets from reading a formula.
fn plain(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| ledger::as_text(rest) != *rest).unwrap_or(text)
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
    let days = |of: fn(&Site) -> NaiveDate| Cells::Days(rows.iter().map(|(site, _)| of(site)).collect());
    let own = [
        of_site(|site| &site.path),
        of_site(|site| &site.name),
        of_site(|site| &site.reference),
        days(|site| site.from),
        days(|site| site.to),
    ];
    let of_figure = |(at, name): (usize, &&'static str)| {
        let cells = rows.iter().map(|(_, line)| plain(&line.0[at]));
        let cells = match *name {
            "value" | "low" | "high" | "confidence" => {
                Cells::Numbers(cells.map(|number| number.parse().ok()).collect())
            }
            _ => Cells::Text(cells.collect()),
        };
        Column { name, cells }
    };
    let own = OWN.into_iter().zip(own).map(|(name, cells)| Column { name, cells });
    parquet(&own.chain(ledger::HEADINGS.iter().enumerate().map(of_figure)).collect::<Vec<_>>())
}
