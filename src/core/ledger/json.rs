//! The ledger as `figures.json`.

use serde::Serialize;

use crate::{
    ledger::{Entry, Figure, Judged, Ledger},
    problem::{self, Problem},
    project::{Basis, Bound, Measure, Project},
};

/// Every figure, gap, target and doubt, indented and in a fixed order: the same project gives the same bytes.
#[must_use]
pub fn json(ledger: &Ledger, project: &Project, problems: &[Problem], program_version: &str) -> String {
    let book = Book {
        format: "hillfolio-figures/1",
        project: Named { name: &project.identity.name, reference: &project.identity.reference },
        period: Period { from: project.period.from.to_string(), to: project.period.to.to_string() },
        program: Program { name: "hillfolio", version: program_version },
        inputs: project.inputs.iter().map(input).collect(),
        receipts: project.receipts.iter().map(input).collect(),
        figures: figures(ledger).collect(),
        gaps: gaps(ledger).collect(),
        targets: ledger.targets.iter().map(target).collect(),
        doubts: doubts(problems),
    };
    let text = serde_json::to_string_pretty(&book);
    debug_assert!(text.is_ok(), "nothing in the book refuses to be written");
    text.map(|text| text + "\n").unwrap_or_default()
}

#[derive(Serialize)]
struct Book<'a> {
    format: &'static str,
    project: Named<'a>,
    period: Period,
    program: Program<'a>,
    inputs: Vec<Input<'a>>,
    /// Those that stay in the folder.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    receipts: Vec<Input<'a>>,
    figures: Vec<Line<'a>>,
    gaps: Vec<GapLine<'a>>,
    targets: Vec<TargetLine<'a>>,
    doubts: Vec<Doubt>,
}

#[derive(Serialize)]
struct Named<'a> {
    name: &'a str,
    reference: &'a str,
}

#[derive(Serialize)]
struct Period {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct Program<'a> {
    name: &'static str,
    version: &'a str,
}

#[derive(Serialize)]
struct Input<'a> {
    path: &'a str,
    sha256: &'a str,
    bytes: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    rows: Option<u32>,
}

#[derive(Serialize)]
struct Line<'a> {
    id: &'a str,
    label: &'a str,
    value: f64,
    unit: &'a str,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    interval: Option<Ends>,
    method: &'static str,
    sources: Vec<Source<'a>>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Ends {
    low: f64,
    high: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct Source<'a> {
    path: &'a str,
    rows: String,
}

#[derive(Serialize)]
struct GapLine<'a> {
    id: &'a str,
    label: &'a str,
    reason: &'a str,
}

#[derive(Serialize)]
struct TargetLine<'a> {
    id: &'a str,
    under: &'a str,
    measure: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<String>,
    area: &'a str,
    required: Required,
    #[serde(skip_serializing_if = "Option::is_none")]
    by: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<&'a str>,
    figure: &'a str,
    standing: &'static str,
    because: &'a str,
    /// The figure of what is to be expected on its day, where that is still to come.
    #[serde(skip_serializing_if = "Option::is_none")]
    expected: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    outlook: Option<&'static str>,
}

#[derive(Serialize)]
enum Required {
    #[serde(rename = "at_least")]
    AtLeast(f64),
    #[serde(rename = "at_most")]
    AtMost(f64),
}

#[derive(Serialize)]
struct Doubt {
    grade: &'static str,
    code: String,
    path: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    row: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<String>,
    says: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
}

fn input(input: &crate::source::Input) -> Input<'_> {
    Input { path: &input.path, sha256: &input.sha256, bytes: input.bytes, rows: input.rows }
}

fn figures(ledger: &Ledger) -> impl Iterator<Item = Line<'_>> {
    ledger.iter().filter_map(|(id, entry)| match entry {
        Entry::Figure(figure) => Some(line(id.as_str(), figure)),
        Entry::Missing(_) => None,
    })
}

fn line<'a>(id: &'a str, figure: &'a Figure) -> Line<'a> {
    Line {
        id,
        label: &figure.label,
        value: figure.value,
        unit: figure.unit.code(),
        interval: figure.interval.map(|interval| Ends {
            low: interval.low,
            high: interval.high,
            confidence: interval.confidence,
        }),
        method: figure.method.id(),
        sources: figure.sources.printed().map(|(path, rows)| Source { path, rows }).collect(),
        notes: &figure.notes,
    }
}

fn gaps(ledger: &Ledger) -> impl Iterator<Item = GapLine<'_>> {
    ledger.iter().filter_map(|(id, entry)| match entry {
        Entry::Missing(missing) => {
            Some(GapLine { id: id.as_str(), label: &missing.label, reason: &missing.reason })
        }
        Entry::Figure(_) => None,
    })
}

fn target(judged: &Judged) -> TargetLine<'_> {
    let target = &judged.target;
    let (measure, of) = measure(&target.measure);
    TargetLine {
        id: &target.id,
        under: &target.under,
        measure,
        of,
        area: target.area.as_ref().map_or("all", |area| &area.0),
        required: match target.bound {
            Bound::AtLeast(least) => Required::AtLeast(least),
            Bound::AtMost(most) => Required::AtMost(most),
        },
        by: target.by.map(|by| by.to_string()),
        words: target.words.as_deref(),
        figure: judged.figure.as_str(),
        standing: judged.standing.words(),
        because: &judged.because,
        expected: judged.outlook.as_ref().map(|(id, _)| id.as_str()),
        outlook: judged.outlook.as_ref().map(|(_, outlook)| outlook.words()),
    }
}

/// A measure as it is written in `project.toml`, and what it is a measure of.
fn measure(measure: &Measure) -> (&'static str, Option<String>) {
    match measure {
        Measure::Survival => ("survival", None),
        Measure::Density => ("density", None),
        Measure::Recruits => ("recruits", None),
        Measure::SpeciesCount => ("species-count", None),
        Measure::Stems => ("stems", None),
        Measure::StemsInPeriod => ("stems-in-period", None),
        Measure::Cover { layer, cover } => ("cover", Some(format!("{} {cover}", layer.word()))),
        Measure::Richness => ("richness", None),
        Measure::Area => ("area", None),
        Measure::Length { kind, standing } => {
            ("length", Some(format!("{} {}", standing.word(), kind.words())))
        }
        Measure::Hours { basis } => ("hours", Some(Basis::words(*basis).to_owned())),
        Measure::Quantity { task } => ("quantity", Some(task.clone())),
        Measure::Spend { line } => ("spend", line.clone()),
        Measure::CarbonStock => ("carbon-stock", None),
        Measure::ErosionRatio => ("erosion-ratio", None),
        Measure::Height { species } => ("height", Some(species.to_string())),
        Measure::PhotoPairs => ("photo-pairs", None),
    }
}

fn doubts(problems: &[Problem]) -> Vec<Doubt> {
    problem::doubts(problems)
        .into_iter()
        .map(|problem| {
            let said = problem.kind.said();
            Doubt {
                grade: said.grade.word(),
                code: said.code.into_owned(),
                path: problem.place.path.to_string(),
                row: problem.place.row,
                column: problem.place.column.clone(),
                says: said.sentence,
                help: said.help,
            }
        })
        .collect()
}
