//! The sheets of the workbook: each table as it was understood, then the figures, the targets and the doubts.

use hillfolio_core::{
    ledger::{Entry, Ledger, Series, catalogue},
    problem::{self, Problem},
    project::{Cell, Project},
};

use crate::exports::sheet::Sheet;

/// Every sheet that has a row.
pub(super) fn sheets<'a>(
    project: &'a Project,
    ledger: &'a Ledger,
    problems: &'a [Problem],
) -> Vec<Sheet<'a>> {
    let of_tables = project.tables().into_iter().map(Sheet::of_table);
    let head = [figures(ledger), targets(ledger), sources(ledger)];
    let all = head.into_iter().chain(of_tables).chain([doubts(problems)]);
    all.filter_map(Sheet::filled).collect()
}

fn figures(ledger: &Ledger) -> Sheet<'_> {
    let columns = ["id", "label", "value", "unit", "low", "high", "confidence", "method", "notes"];
    Sheet::of("figures", &columns, ledger.iter(), |(id, entry)| match entry {
        Entry::Figure(figure) => vec![
            id.as_str().into(),
            figure.label.as_str().into(),
            figure.value.into(),
            figure.unit.code().into(),
            figure.interval.map(|interval| interval.low).into(),
            figure.interval.map(|interval| interval.high).into(),
            figure.interval.map(|interval| interval.confidence).into(),
            figure.method.id().into(),
            figure.notes.join("; ").into(),
        ],
        Entry::Missing(missing) => vec![
            id.as_str().into(),
            missing.label.as_str().into(),
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            missing.reason.as_str().into(),
        ],
    })
}

fn targets(ledger: &Ledger) -> Sheet<'_> {
    let columns = ["target", "under", "words", "by", "figure", "standing", "because"];
    Sheet::of("targets", &columns, &ledger.targets, |judged| {
        vec![
            judged.target.id.as_str().into(),
            judged.target.under.as_str().into(),
            judged.target.words.as_deref().into(),
            judged.target.by.into(),
            judged.figure.as_str().into(),
            judged.standing.words().into(),
            judged.because.as_str().into(),
        ]
    })
}

/// The statement by source, a row for each figure of each payer; empty where a folder has no more than one agreement.
fn sources(ledger: &Ledger) -> Sheet<'_> {
    let columns = ["what", "of", "payer", "value", "unit"];
    let rows = SOURCES.iter().flat_map(move |series| {
        ledger.figures_of(series).map(move |(codes, figure)| {
            let (payer, of) = codes
                .split_last()
                .map_or(("", ""), |(payer, of)| (*payer, of.first().copied().unwrap_or_default()));
            (series.stem, of.to_owned(), payer.to_owned(), figure)
        })
    });
    Sheet::of("statement by source", &columns, rows.collect::<Vec<_>>(), |(what, of, payer, figure)| {
        vec![
            what.trim_start_matches("sources.").into(),
            of.as_str().into(),
            payer.as_str().into(),
            figure.value.into(),
            figure.unit.code().into(),
        ]
    })
}

/// The series of the statement by source that are by payer, in the order of the sheet.
const SOURCES: [&Series; 9] = [
    &catalogue::SOURCE_RECEIVED,
    &catalogue::SOURCE_INTEREST,
    &catalogue::SOURCE_SPENT_LINE,
    &catalogue::SOURCE_SPENT,
    &catalogue::SOURCE_UNSPENT,
    &catalogue::SOURCE_IN_KIND,
    &catalogue::SOURCE_HOURS,
    &catalogue::SOURCE_STEMS,
    &catalogue::SOURCE_HECTARES,
];

fn doubts(problems: &[Problem]) -> Sheet<'_> {
    let columns = ["file", "row", "column", "code", "says", "help"];
    Sheet::of("doubts", &columns, problem::doubts(problems), |problem| {
        let message = problem.message();
        vec![
            (&*problem.place.path).into(),
            problem.place.row.into(),
            problem.place.column.as_deref().into(),
            message.code.into_owned().into(),
            message.sentence.into(),
            message.help.into(),
        ]
    })
}
