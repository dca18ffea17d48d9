//! The ledger as `figures.json`: one schema for who writes it and for all who read it back.

use serde::{Deserialize, Serialize};

use crate::{
    ledger::{Entry, Figure, Judged, Ledger},
    problem::{self, Problem},
    project::{Basis, Bound, Measure, Period, Project},
    source::Input,
};

/// The form in which ledgers are written.
const FORMAT: &str = "hillfolio-figures/1";

/// A ledger as it is written. Of one that is read, keys that are not known are passed over and lists that are not there are
/// empty, so that other versions' ledgers can be compared.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LedgerRecord {
    format: String,
    /// Whose figures they are.
    pub project: ProjectRecord,
    /// The period.
    pub period: Period,
    /// What worked them out.
    pub program: ProgramRecord,
    /// What was read.
    #[serde(default)]
    pub inputs: Vec<Input>,
    /// Receipts that were there and stay in the folder.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub receipts: Vec<Input>,
    /// The files of the whole folder from which the inputs were taken, where these are the part of one agreement.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub originals: Vec<Input>,
    /// The figures.
    pub figures: Vec<FigureRecord>,
    /// What could not be given.
    #[serde(default)]
    pub gaps: Vec<GapRecord>,
    /// The targets.
    #[serde(default)]
    pub targets: Vec<TargetRecord>,
    /// The doubts.
    #[serde(default)]
    pub doubts: Vec<DoubtRecord>,
}

/// A project's name and reference.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ProjectRecord {
    /// Its name.
    pub name: String,
    /// Its reference.
    pub reference: String,
}

/// The program that wrote the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ProgramRecord {
    /// Its name.
    #[serde(default)]
    pub name: String,
    /// Its version.
    pub version: String,
}

/// A figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FigureRecord {
    /// Its id.
    pub id: String,
    /// What it is called on paper.
    pub label: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// The unit's sign.
    pub unit: String,
    /// The interval's lower end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// The interval's upper end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// The interval's confidence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<f64>,
    /// How it was worked out.
    pub method: String,
    /// The rows it came from.
    #[serde(default)]
    pub sources: Vec<SourceRecord>,
    /// What a reader must know.
    #[serde(default)]
    pub notes: Vec<String>,
}

/// Rows of a file, as printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceRecord {
    /// The file.
    pub path: String,
    /// Its rows, such as `2-97, 99`.
    pub rows: String,
}

/// A figure that could not be given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct GapRecord {
    /// Its id.
    pub id: String,
    /// What it would be called.
    pub label: String,
    /// Why there is none.
    pub reason: String,
}

/// A target and how it stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TargetRecord {
    /// Its id.
    pub id: String,
    /// The instrument that it stands under.
    #[serde(default)]
    pub under: String,
    /// What it measures, as in `project.toml`.
    #[serde(default)]
    pub measure: String,
    /// What that is a measure of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// Its area, or `all`.
    #[serde(default)]
    pub area: String,
    /// What it requires.
    #[serde(default)]
    pub required: Required,
    /// Its day, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The words of the instrument.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
    /// The figure that it is judged by.
    #[serde(default)]
    pub figure: String,
    /// Its standing, in words.
    pub standing: String,
    /// Why.
    #[serde(default)]
    pub because: String,
    /// The figure of what is to be expected on its day, where that is still to come.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expected: Option<String>,
    /// What that leads to expect, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outlook: Option<String>,
}

/// The bound of a target: one of the two.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Required {
    /// No less than this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// No more than this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
}

/// A doubt as it was said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DoubtRecord {
    /// Its grade, in a word.
    #[serde(default)]
    pub grade: String,
    /// Its stable name.
    pub code: String,
    /// The file.
    pub path: String,
    /// The row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub row: Option<u32>,
    /// The column.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<String>,
    /// The sentence.
    pub says: String,
    /// What to do about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}

/// Why bytes are no ledger.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecordError {
    /// They are no JSON, or not of a ledger's shape.
    #[error("it is no ledger of figures: {0}")]
    Shape(String),
    /// They are a ledger of another form.
    #[error("it is a ledger in the form `{0}`; this version reads `{FORMAT}`")]
    Form(String),
}

/// A ledger that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the ledger could not be written: {0}")]
pub enum WriteError {
    /// As a table.
    Table(#[from] csv::Error),
    /// As a record.
    Record(#[from] serde_json::Error),
}

impl FigureRecord {
    /// Both ends of its interval, where it has one.
    #[must_use]
    pub fn ends(&self) -> Option<(f64, f64)> {
        self.low.zip(self.high)
    }
}

impl LedgerRecord {
    /// Every figure, gap, target and doubt, in a fixed order: the same project gives the same record.
    #[must_use]
    pub fn of(
        ledger: &Ledger,
        project: &Project,
        problems: &[Problem],
        program_version: &str,
    ) -> LedgerRecord {
        let (mut figures, mut gaps) = (Vec::new(), Vec::new());
        for (id, entry) in ledger.iter() {
            let id = id.as_str().to_owned();
            match entry {
                Entry::Figure(found) => figures.push(figure(id, found)),
                Entry::Missing(missing) => {
                    gaps.push(GapRecord { id, label: missing.label.clone(), reason: missing.reason.clone() })
                }
            }
        }
        LedgerRecord {
            format: FORMAT.to_owned(),
            project: ProjectRecord {
                name: project.identity.name.clone(),
                reference: project.identity.reference.clone(),
            },
            period: project.period,
            program: ProgramRecord { name: "hillfolio".to_owned(), version: program_version.to_owned() },
            inputs: project.inputs.clone(),
            receipts: project.receipts.clone(),
            originals: project.originals.clone(),
            figures,
            gaps,
            targets: ledger.targets.iter().map(target).collect(),
            doubts: problem::doubts(problems).into_iter().map(doubt).collect(),
        }
    }

    /// The ledger in `bytes`, by whichever version wrote it.
    ///
    /// # Errors
    /// [`RecordError`]: the bytes are no ledger, or one in another form.
    pub fn read(bytes: &[u8]) -> Result<LedgerRecord, RecordError> {
        let record: LedgerRecord =
            serde_json::from_slice(bytes).map_err(|why| RecordError::Shape(why.to_string()))?;
        match record.format == FORMAT {
            true => Ok(record),
            false => Err(RecordError::Form(record.format.chars().take(60).collect())),
        }
    }

    /// The text of `figures.json`, indented.
    ///
    /// # Errors
    /// The record could not be written.
    pub fn json(&self) -> Result<String, WriteError> {
        Ok(serde_json::to_string_pretty(self)? + "\n")
    }
}

fn figure(id: String, figure: &Figure) -> FigureRecord {
    let sources = figure.sources.printed();
    FigureRecord {
        id,
        label: figure.label.clone(),
        value: figure.value,
        unit: figure.unit.code().to_owned(),
        low: figure.interval.map(|interval| interval.low),
        high: figure.interval.map(|interval| interval.high),
        confidence: figure.interval.map(|interval| interval.confidence),
        method: figure.method.id().to_owned(),
        sources: sources.map(|(path, rows)| SourceRecord { path: path.to_owned(), rows }).collect(),
        notes: figure.notes.clone(),
    }
}

fn target(judged: &Judged) -> TargetRecord {
    let target = &judged.target;
    let (measure, of) = measure(&target.measure);
    TargetRecord {
        id: target.id.clone(),
        under: target.under.clone(),
        measure: measure.to_owned(),
        of,
        area: target.area.as_ref().map_or_else(|| "all".to_owned(), |area| area.0.to_string()),
        required: match target.bound {
            Bound::AtLeast(least) => Required { at_least: Some(least), at_most: None },
            Bound::AtMost(most) => Required { at_least: None, at_most: Some(most) },
        },
        by: target.by.map(|by| by.to_string()),
        words: target.words.clone(),
        figure: judged.figure.as_str().to_owned(),
        standing: judged.standing.words().to_owned(),
        because: judged.because.clone(),
        expected: judged.outlook.as_ref().map(|(id, _)| id.as_str().to_owned()),
        outlook: judged.outlook.as_ref().map(|(_, outlook)| outlook.words().to_owned()),
    }
}

/// A measure as it is written in `project.toml`, and what it is a measure of.
fn measure(measure: &Measure) -> (&'static str, Option<String>) {
    match measure {
        Measure::Survival => ("survival", None),
        Measure::Density => ("density", None),
        Measure::PlantedDensity => ("planted-density", None),
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

fn doubt(problem: &Problem) -> DoubtRecord {
    let message = problem.message();
    DoubtRecord {
        grade: message.grade.word().to_owned(),
        code: message.code.into_owned(),
        path: problem.place.path.to_string(),
        row: problem.place.row,
        column: problem.place.column.clone(),
        says: message.sentence,
        help: message.help,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::{collection::vec, option, prelude::*};

    const LEAST: &str = r#"{"format":"hillfolio-figures/1","project":{"name":"A","reference":"B"},
        "period":{"from":"2025-07-01","to":"2026-06-30"},"program":{"name":"hillfolio","version":"9"},"figures":[
        {"id":"survival.all","label":"Alive","value":0.9,"unit":"fraction","low":0.8,"high":0.95,"method":"m","new":1}]}"#;

    #[test]
    fn a_ledger_is_read_back_whatever_a_later_version_added() {
        let record = LedgerRecord::read(LEAST.as_bytes()).unwrap();
        assert_eq!((record.figures[0].low, record.figures[0].high), (Some(0.8), Some(0.95)));
        assert!(record.targets.is_empty() && record.inputs.is_empty());
        let other = LEAST.replace("figures/1", "figures/2");
        let refused = LedgerRecord::read(other.as_bytes());
        assert_eq!(refused, Err(RecordError::Form("hillfolio-figures/2".to_owned())));
        let is_no_ledger = |bytes: &[u8]| matches!(LedgerRecord::read(bytes), Err(RecordError::Shape(_)));
        assert!(is_no_ledger(b"{}"));
        assert!(is_no_ledger(LEAST.replace("0.9,", "1e999,").as_bytes()));
        assert!(is_no_ledger("[".repeat(100_000).as_bytes()));
    }

    /// Numbers that a reader of JSON gives back to the last digit.
    fn number() -> impl Strategy<Value = f64> {
        (-1_000_000_000_000_i64..1_000_000_000_000).prop_map(|thousandths| thousandths as f64 / 1_000.0)
    }

    fn text() -> impl Strategy<Value = String> {
        r#"[a-z"\\\n é=]{0,8}"#
    }

    prop_compose! {
        fn any_figure()(
            id in text(), label in text(), value in number(), unit in text(), method in text(),
            (low, high, confidence) in (option::of(number()), option::of(number()), option::of(number())),
            sources in vec((text(), text()), 0..3), notes in vec(text(), 0..3),
        ) -> FigureRecord {
            let sources = sources.into_iter().map(|(path, rows)| SourceRecord { path, rows }).collect();
            FigureRecord { id, label, value, unit, low, high, confidence, method, sources, notes }
        }
    }

    prop_compose! {
        fn any_target()(
            (id, under, measure, area, figure) in (text(), text(), text(), text(), text()),
            (standing, because) in (text(), text()),
            (of, by, words) in (option::of(text()), option::of(text()), option::of(text())),
            (expected, outlook) in (option::of(text()), option::of(text())),
            (at_least, at_most) in (option::of(number()), option::of(number())),
        ) -> TargetRecord {
            let required = Required { at_least, at_most };
            TargetRecord {
                id, under, measure, of, area, required, by, words, figure, standing, because, expected, outlook,
            }
        }
    }

    prop_compose! {
        fn any_doubt()(
            (grade, code, path, says) in (text(), text(), text(), text()),
            row: Option<u32>, column in option::of(text()), help in option::of(text()),
        ) -> DoubtRecord {
            DoubtRecord { grade, code, path, row, column, says, help }
        }
    }

    prop_compose! {
        fn any_input()(path in text(), sha256 in text(), bytes: u64, rows: Option<u32>) -> Input {
            Input { path: path.into(), sha256, bytes, rows }
        }
    }

    prop_compose! {
        fn any_record()(
            names in [text(), text(), text(), text()],
            days in [0_u64..60_000, 0_u64..60_000],
            inputs in vec(any_input(), 0..3), receipts in vec(any_input(), 0..3),
            originals in vec(any_input(), 0..3),
            figures in vec(any_figure(), 0..3), targets in vec(any_target(), 0..3),
            gaps in vec((text(), text(), text()), 0..3), doubts in vec(any_doubt(), 0..3),
        ) -> LedgerRecord {
            let [name, reference, program, version] = names;
            let [from, to] = days.map(|days| chrono::NaiveDate::default() + chrono::Days::new(days));
            let gap = |(id, label, reason)| GapRecord { id, label, reason };
            LedgerRecord {
                format: FORMAT.to_owned(),
                project: ProjectRecord { name, reference },
                period: Period { from, to },
                program: ProgramRecord { name: program, version },
                gaps: gaps.into_iter().map(gap).collect(),
                inputs, receipts, originals, figures, targets, doubts,
            }
        }
    }

    proptest! {
        #[test]
        fn any_ledger_is_read_back_as_it_was_written(record in any_record()) {
            let text = record.json().unwrap();
            let read = LedgerRecord::read(text.as_bytes()).unwrap();
            prop_assert_eq!(&read, &record);
            prop_assert_eq!(read.json().unwrap(), text);
        }

        #[test]
        fn a_spoilt_ledger_is_read_or_refused(at in 0usize..400, byte: u8) {
            let mut bytes = LEAST.as_bytes().to_vec();
            let at = at % bytes.len();
            bytes[at] = byte;
            let _ = LedgerRecord::read(&bytes);
        }
    }
}
