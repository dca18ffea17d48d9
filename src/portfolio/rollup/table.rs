//! Every figure of every site in one table.

use std::sync::Arc;

use crate::{
    portfolio::rollup::site::{Line, Site},
    source::Row,
};

/// The table's name in the roll-up.
pub(crate) const NAME: &str = "sites.csv";

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
pub(crate) fn as_csv(sites: &[Site]) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut written = writer.write_record(HEADINGS);
    for site in sites {
        let (from, to) = (site.from.to_string(), site.to.to_string());
        let own = [&site.path, &site.name, &site.reference].map(|text| guarded(text));
        for line in &site.lines {
            let cells = own.iter().map(String::as_str).chain([from.as_str(), to.as_str()]).chain(cells(line));
            written = written.and_then(|()| writer.write_record(cells));
        }
    }
    debug_assert!(written.is_ok(), "memory takes every write");
    writer.into_inner().unwrap_or_default()
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
