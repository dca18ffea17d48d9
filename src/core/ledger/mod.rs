//! Every number that a document prints, under a stable id, with its unit, interval, method and rows.
//!
//! A template asks the ledger by id and prints; no formula stands here and none in a template.

mod answers;
pub mod catalogue;
mod cells;
mod csv;
mod explain;
mod fill;
mod held;
mod id;
mod judge;
mod outlook;
mod print;
mod rain_curve;
mod reconcile;
mod record;
mod rival;
mod second_readings;
mod series;

use std::collections::BTreeMap;

use rival::Rival;

use bytes::Bytes;

use crate::{
    estimate::{Finding, Gap, Interval, Method, Quantity, Sample},
    problem::{self, Problem},
    project::{Project, Target},
    source::Sources,
    units::Unit,
};

pub use answers::{Answer, NOT_RECORDED, answers, not_of_period};
pub use cells::{CellFigures, CellLoss};
pub use csv::{HEADINGS, as_text, csv};
pub use explain::{Explanation, Rows, explain, nearest, nearest_of};
pub use fill::{Filled, attribute_figure, enter_plan, fill, fill_but_plan, fill_with, observed};
pub use held::Held;
pub use id::FigureId;
pub use outlook::Outlook;
pub use print::value_text;
pub use rain_curve::{CumulativeRain, cumulative_rain};
pub use record::{
    DoubtRecord, FigureRecord, GapRecord, LedgerRecord, ProgramRecord, ProjectRecord, RecordError, Required,
    SourceRecord, TargetRecord, WriteError,
};
pub use series::{Dimension, Member, Named, Series};

/// One number with everything an auditor asks of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is called on paper.
    pub label: String,
    /// The number, unrounded, in `unit`.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// Its interval, in the same unit; absent where it is a count or a census, or where nothing tells how far off it may be.
    pub interval: Option<Interval<f64>>,
    /// The survey that it rests on; absent where everything was counted.
    pub sample: Option<Sample>,
    /// The interval that a verdict has to hold to, where it is another; not written down.
    pub cautious: Option<Interval<f64>>,
    /// How it was worked out.
    pub method: Method,
    /// The rows it came from.
    pub sources: Sources,
    /// What a reader must know.
    pub notes: Vec<String>,
}

/// A number that can't be given.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// What it would be called on paper.
    pub label: String,
    /// Why it can't be given.
    pub reason: String,
}

/// What stands under an id.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// A figure.
    Figure(Figure),
    /// The reason why there is none.
    Missing(Missing),
}

/// How a target stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// The whole interval is on the right side, whatever patches of loss or what was not looked at could do.
    Met,
    /// By three chances to one or better, but not surely.
    ProbablyMet,
    /// Neither met nor not met.
    NotShown,
    /// The whole interval is on the wrong side.
    NotMet,
    /// Its date lies after the period's end.
    NotDue,
    /// There is no figure to judge.
    NotMeasured,
}

impl Standing {
    /// Every standing, the best first.
    pub const ALL: [Standing; 6] = [
        Standing::Met,
        Standing::ProbablyMet,
        Standing::NotShown,
        Standing::NotMet,
        Standing::NotDue,
        Standing::NotMeasured,
    ];

    /// The standing in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Met => "met",
            Standing::ProbablyMet => "probably met",
            Standing::NotShown => "not shown",
            Standing::NotMet => "not met",
            Standing::NotDue => "not due",
            Standing::NotMeasured => "not measured",
        }
    }
}

/// A target beside the figure that judges it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The target.
    pub target: Target,
    /// The figure it is about.
    pub figure: FigureId,
    /// How it stands.
    pub standing: Standing,
    /// Why, in one sentence without its full stop.
    pub because: String,
    /// What would make it stand otherwise, a few words each: another account of the same thing, or fewer of the stems counted.
    pub asides: Vec<String>,
    /// Whether its trigger for action is passed; `None` where it has none, or no figure to judge it by.
    pub triggered: Option<bool>,
    /// What the surveys lead to expect on its day, where that is still to come.
    pub outlook: Option<(FigureId, Outlook)>,
}

/// Every figure of a project, in order of id, and how its targets stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    entries: BTreeMap<FigureId, Entry>,
    /// The targets, in the order of `project.toml`.
    pub targets: Vec<Judged>,
    /// What two tables say of the same thing, where they differ.
    pub doubts: Vec<Problem>,
    /// The doubts that stand at each figure.
    doubtful: BTreeMap<FigureId, Vec<String>>,
    /// What another account makes of figures.
    rivals: BTreeMap<FigureId, Rival>,
}

impl Ledger {
    /// Enters what an estimator found.
    pub fn enter<Q: Quantity>(
        &mut self,
        id: FigureId,
        label: impl Into<String>,
        unit: Unit,
        finding: Finding<Q>,
    ) {
        let label = label.into();
        let entry = match finding {
            Ok(estimate) if estimate.value.number().is_finite() => Entry::Figure(Figure {
                label,
                value: plain(estimate.value.number()),
                unit,
                interval: estimate.interval.and_then(ordered),
                sample: estimate.sample,
                cautious: estimate.cautious.and_then(ordered),
                method: estimate.method,
                sources: estimate.sources,
                notes: estimate.notes,
            }),
            Ok(_) => Entry::Missing(Missing { label, reason: Gap::NoNumber.to_string() }),
            Err(gap) => Entry::Missing(Missing { label, reason: gap.to_string() }),
        };
        self.entries.insert(id, entry);
    }

    /// Enters what an estimator found of a figure of the catalogue.
    pub fn enter_named<Q: Quantity>(&mut self, named: Named, finding: Finding<Q>) {
        self.enter(named.id, named.label, named.unit, finding);
    }

    /// What stands under `id`.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Entry> {
        self.entries.get(id)
    }

    /// The figure under `id`, where there is one.
    #[must_use]
    pub fn figure(&self, id: &str) -> Option<&Figure> {
        match self.entries.get(id) {
            Some(Entry::Figure(figure)) => Some(figure),
            _ => None,
        }
    }

    /// Every entry whose id begins with `stem` and a dot, or is it, in order of id.
    fn beginning_with(&self, stem: &'static str) -> impl Iterator<Item = (&FigureId, &Entry)> {
        let from = FigureId::fixed(stem);
        self.entries.range(from..).take_while(move |(id, _)| id.as_str().starts_with(stem))
    }

    /// The doubts about the figure under `id`, each a sentence without its full stop.
    #[must_use]
    pub fn doubts_of(&self, id: &str) -> &[String] {
        self.doubtful.get(id).map(Vec::as_slice).unwrap_or_default()
    }

    /// What another account makes of the figure under `id`, such as `1,506 m by the map`.
    #[must_use]
    pub fn other_account(&self, id: &str) -> Option<String> {
        let (figure, rival) = (self.figure(id)?, self.rivals.get(id)?);
        Some(format!("{} by {}", value_text(rival.value, &figure.unit), rival.of))
    }

    /// Puts a doubt beside the figure under `id`: among its notes, and where it is printed.
    fn doubt(&mut self, id: &FigureId, says: &str) {
        let Some(Entry::Figure(figure)) = self.entries.get_mut(id) else { return };
        let doubts = self.doubtful.entry(id.clone()).or_default();
        if !doubts.iter().any(|known| known == says) {
            doubts.push(says.to_owned());
            figure.notes.push(format!("doubtful: {says}"));
        }
    }

    /// Every entry, in order of id.
    pub fn iter(&self) -> impl Iterator<Item = (&FigureId, &Entry)> {
        self.entries.iter()
    }
}

/// `value` without the minus sign that floating-point arithmetic may leave before nothing.
fn plain(value: f64) -> f64 {
    if value == 0.0 { 0.0 } else { value }
}

/// The interval as plain numbers, the lower end first; `None` where an end is no number.
fn ordered<Q: Quantity>(interval: Interval<Q>) -> Option<Interval<f64>> {
    let (one, other) = (plain(interval.low.number()), plain(interval.high.number()));
    (one.is_finite() && other.is_finite()).then(|| Interval {
        low: one.min(other),
        high: one.max(other),
        confidence: interval.confidence,
    })
}

/// Says of every doubtful row what its other reading would change, and puts the problems in the order in which they are listed.
pub fn finish_doubts(project: &Project, problems: &mut [Problem]) {
    second_readings::work_out(project, problems);
    problem::list(problems);
}

/// The doubts about `project` that only its figures tell: what two tables say of the same thing. What would not differ if days that were
/// told to be swapped (in `told`) were put right has had its word.
#[must_use]
pub fn doubts(project: &Project, told: &[Problem]) -> Vec<Problem> {
    let mut doubts = fill::fill_but_soil(project).doubts;
    let swapped = Problem::swapped_rows(told);
    if !swapped.is_empty() && !doubts.is_empty() {
        let then = fill::fill_but_soil(&project.with_days_for_months(|row| swapped.contains(row))).doubts;
        doubts.retain(|doubt| then.iter().any(|other| other.is_like(doubt)));
    }
    doubts
}

/// The ledger as the data files of the pack, which the documents carry too: name and bytes.
///
/// # Errors
/// One of them could not be written.
pub fn files(
    ledger: &Ledger,
    project: &Project,
    problems: &[Problem],
    program_version: &str,
) -> Result<[(String, Bytes); 2], WriteError> {
    let record = || LedgerRecord::of(ledger, project, problems, program_version).json();
    let (csv, json) = rayon::join(|| csv(ledger), record);
    Ok([("figures.csv".to_owned(), csv?.into()), ("figures.json".to_owned(), json?.into())])
}
