//! The approval and what was promised under it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        printed::{self, Printed},
        targets::{Target, mark, target},
    },
};
use hillfolio_core::{
    ledger::{Series, Standing, catalogue},
    project::{Commitment, Compliance, Matter, slug},
    units::{as_written, number},
};

/// The approval block and the table of commitments.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ApprovalBlock {
    facts: Vec<Fact>,
    area: Printed,
    approved_hectares: Option<String>,
    commitments: Vec<Condition>,
    /// What is owed and delivered, a row a matter.
    matters: Vec<MatterRow>,
    /// Words to be signed, as the authority gives them.
    declaration: Option<String>,
}

/// One fact with its name.
#[derive(Serialize, JsonSchema)]
struct Fact {
    name: &'static str,
    says: String,
}

/// One condition or commitment.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Condition {
    number: String,
    words: String,
    clause: String,
    due: String,
    status: &'static str,
    mark: &'static str,
    /// How the target stands that leaves it undetermined.
    standing: Option<&'static str>,
    /// Why, where a target decides.
    because: Option<String>,
    /// The target that decides.
    target: Option<Target>,
    evidence: String,
    responsible: Option<String>,
    comment: Option<String>,
}

impl Condition {
    /// Every one, in the order of its table.
    pub(crate) fn all(inputs: &ReportInputs<'_>) -> Vec<Condition> {
        inputs.project.commitments.iter().map(|commitment| row(inputs, commitment)).collect()
    }
}

impl ApprovalBlock {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> ApprovalBlock {
        let project = inputs.project;
        let approval = project.approval.clone().unwrap_or_default();
        let day = |day: Option<chrono::NaiveDate>| day.map(printed::day).unwrap_or_default();
        let given = Option::unwrap_or_default;
        let facts = [
            ("Approval", given(approval.reference)),
            ("Authority", given(approval.authority)),
            ("Holder", given(approval.holder)),
            ("Company number", given(approval.holder_number)),
            ("Matter", given(approval.matter)),
            ("Approved", day(approval.approved)),
            ("Expires", day(approval.expires)),
            ("Action began", day(approval.started)),
            ("Management plan", given(approval.plan)),
            ("Version of the plan", given(approval.plan_version)),
            ("Land secured by", given(approval.security)),
            ("Report follows", given(approval.guideline)),
        ];
        ApprovalBlock {
            facts: facts
                .into_iter()
                .filter(|(_, says)| !says.trim().is_empty())
                .map(|(name, says)| Fact { name, says })
                .collect(),
            area: Printed::of(inputs.ledger, &catalogue::AREA.whole()),
            approved_hectares: approval.hectares.map(|hectares| format!("{}\u{a0}ha", number(hectares.0, 2))),
            matters: matters(inputs),
            commitments: Condition::all(inputs),
            declaration: approval.declaration,
        }
    }
}

/// Loss and gain of one matter.
#[derive(Serialize, JsonSchema)]
struct MatterRow {
    name: String,
    unit: String,
    lost: String,
    owed: Printed,
    secured: String,
    delivered: Printed,
    shortfall: Printed,
    due: String,
}

fn matters(inputs: &ReportInputs<'_>) -> Vec<MatterRow> {
    let listed = inputs.project.only_agreement().map(|one| one.matters.as_slice()).unwrap_or_default();
    let of = |matter: &Matter| {
        // In its own digits: units of loss and gain are counted to a hundredth and finer.
        let about = |series: &Series| {
            let printed = Printed::about(inputs.ledger, series, &slug(&matter.words));
            let figure = inputs.ledger.figure_of(series, &[&slug(&matter.words)]);
            Printed { number: figure.map(|figure| as_written(figure.value)), ..printed }
        };
        let lost = [
            matter.lost_hectares.map(|area| format!("{} ha", as_written(area))),
            matter.lost.map(as_written),
        ];
        let lost: Vec<String> = lost.into_iter().flatten().collect();
        let since = matter.secured_on.map(|day| format!(", {}", printed::short_day(day))).unwrap_or_default();
        let by = matter.instrument.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
        MatterRow {
            name: matter.words.clone(),
            unit: matter.unit.clone(),
            lost: if lost.is_empty() { "not stated".to_owned() } else { lost.join(", ") },
            owed: about(&catalogue::MATTER_OWED),
            secured: matter.secured.map_or_else(
                || "not stated".to_owned(),
                |secured| format!("{}{by}{since}", as_written(secured)),
            ),
            delivered: about(&catalogue::MATTER_DELIVERED),
            shortfall: about(&catalogue::MATTER_SHORTFALL),
            due: matter.due.map_or_else(|| "not stated".to_owned(), printed::short_day),
        }
    };
    listed.iter().map(of).collect()
}

fn row(inputs: &ReportInputs<'_>, commitment: &Commitment) -> Condition {
    let judged =
        inputs.ledger.targets.iter().find(|judged| Some(&judged.target.id) == commitment.target.as_ref());
    let (status, mark, because) = match (commitment.status, judged) {
        (Some(status), _) => (status.words(), said(status), None),
        (None, Some(judged)) => {
            (verdict(judged.standing), mark(judged.standing), Some(judged.because.clone()))
        }
        (None, None) => (UNDETERMINED, mark(Standing::NotMeasured), None),
    };
    Condition {
        number: commitment.number.clone(),
        words: commitment.words.clone(),
        clause: commitment.clause.clone().unwrap_or_default(),
        due: commitment.due.map(printed::short_day).unwrap_or_default(),
        status,
        mark,
        standing: judged.map(|judged| judged.standing.words()).filter(|_| status == UNDETERMINED),
        because,
        target: judged.filter(|_| commitment.status.is_none()).map(|judged| target(inputs, judged)),
        evidence: commitment.evidence.clone().unwrap_or_default(),
        responsible: commitment.responsible.clone(),
        comment: commitment.comment.clone(),
    }
}

/// What a condition is of which its target settles nothing.
pub(crate) const UNDETERMINED: &str = "undetermined";

/// Whether a condition is kept that a target decides.
pub(crate) fn verdict(standing: Standing) -> &'static str {
    match standing {
        Standing::Met => Compliance::Compliant.words(),
        Standing::NotMet => Compliance::NonCompliant.words(),
        Standing::NotDue => Compliance::NotYetDue.words(),
        Standing::ProbablyMet | Standing::NotShown | Standing::NotMeasured => UNDETERMINED,
    }
}

/// Whether conditions stand in `document`: in an acquittal where there is no offset report.
pub(crate) fn stand_in(inputs: &ReportInputs<'_>, document: Document) -> bool {
    document == Document::Offset || !Document::due(inputs.project).contains(&Document::Offset)
}

/// How the commitments stand, in the words of the report.
pub(crate) fn statuses(inputs: &ReportInputs<'_>) -> Vec<&'static str> {
    inputs.project.commitments.iter().map(|commitment| row(inputs, commitment).status).collect()
}

/// The mark beside what the holder says.
fn said(status: Compliance) -> &'static str {
    match status {
        Compliance::Compliant => mark(Standing::Met),
        Compliance::NonCompliant => mark(Standing::NotMet),
        Compliance::NotYetDue => mark(Standing::NotDue),
        Compliance::NotApplicable => mark(Standing::NotMeasured),
    }
}
