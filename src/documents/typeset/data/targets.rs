//! Deliverables: what was asked, what there is, how it stands.

use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{places::or_all, printed, printed::Printed},
    is_offset,
};
use hillfolio_core::{
    ledger::{Judged, Standing, value_text},
    project::{Bound, TargetRule},
};

/// The targets, and what decides them.
#[derive(Serialize)]
pub(crate) struct Targets {
    rows: Vec<Target>,
    /// Whether the value alone decides, as the agreement says.
    by_value: bool,
}

/// One target beside its figure.
#[derive(Serialize)]
struct Target {
    words: String,
    under: String,
    area: String,
    required: String,
    by: Option<String>,
    figure: Printed,
    standing: &'static str,
    /// Which mark stands beside the word.
    mark: &'static str,
    because: String,
    outlook: Option<Outlook>,
    range: Option<Range>,
}

/// How a target looks that is still to come.
#[derive(Serialize)]
struct Outlook {
    words: &'static str,
    expected: Printed,
}

/// Where the value, its interval and the requirement lie on a strip that runs from 0 to 1.
#[derive(Serialize)]
struct Range {
    low: f64,
    value: f64,
    high: f64,
    required: f64,
}

impl Targets {
    /// The targets that stand in `document`: those under the approval in the offset report, the others in the acquittal, which has
    /// all of them where it is the only document.
    pub(crate) fn of(inputs: &ReportInputs<'_>, document: Document) -> Targets {
        let alone = !Document::due(inputs.project).contains(&Document::Offset);
        let here = |judged: &&Judged| match document {
            Document::Offset => is_offset(&judged.target),
            Document::Acquittal | Document::Plan => alone || !is_offset(&judged.target),
        };
        Targets {
            rows: inputs.ledger.targets.iter().filter(here).map(|judged| target(inputs, judged)).collect(),
            by_value: inputs.project.statistics.targets_by == TargetRule::Value,
        }
    }
}

fn target(inputs: &ReportInputs<'_>, judged: &Judged) -> Target {
    let asked = &judged.target;
    let figure = Printed::of(inputs.ledger, &judged.figure);
    let (bound, bound_amount) = match asked.bound {
        Bound::AtLeast(amount) => ("at least", amount),
        Bound::AtMost(amount) => ("at most", amount),
    };
    let known = inputs.ledger.figure(judged.figure.as_str());
    let required =
        known.map_or_else(|| bound_amount.to_string(), |figure| value_text(bound_amount, &figure.unit));
    Target {
        words: asked.words.clone().unwrap_or_else(|| figure.label.clone()),
        under: asked.under.clone(),
        area: or_all(asked.area.as_ref()),
        required: format!("{bound} {required}"),
        by: asked.by.map(printed::day),
        standing: judged.standing.words(),
        mark: mark(judged.standing),
        because: judged.because.clone(),
        outlook: judged.outlook.as_ref().map(|(id, outlook)| Outlook {
            words: outlook.words(),
            expected: Printed::of(inputs.ledger, id),
        }),
        range: known.map(|figure| {
            let (low, high) = figure.interval.map_or((figure.value, figure.value), |i| (i.low, i.high));
            Range::of(
                low,
                figure.value,
                high,
                bound_amount,
                figure.unit == hillfolio_core::units::Unit::Fraction,
            )
        }),
        figure,
    }
}

/// The mark beside a standing: the fuller the disc, the better it stands.
pub(crate) fn mark(standing: Standing) -> &'static str {
    match standing {
        Standing::Met => "full",
        Standing::LikelyMet => "most",
        Standing::LikelyShort => "some",
        Standing::Short => "empty",
        Standing::NotDue => "later",
        Standing::NotMeasured => "unknown",
    }
}

impl Range {
    /// The strip ends at the whole for a share, else a little beyond the largest of the four.
    fn of(low: f64, value: f64, high: f64, required: f64, share: bool) -> Range {
        const BEYOND: f64 = 1.15;
        let largest = high.max(required).max(value);
        let end = if share && largest <= 1.0 { 1.0 } else { largest * BEYOND };
        let at = |amount: f64| if end > 0.0 { (amount / end).clamp(0.0, 1.0) } else { 0.0 };
        Range { low: at(low), value: at(value), high: at(high), required: at(required) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_shown_on_the_whole_and_a_count_on_its_own_scale() {
        let share = Range::of(0.6, 0.7, 0.8, 0.75, true);
        assert!((share.required - 0.75).abs() < 1e-12 && (share.low - 0.6).abs() < 1e-12);
        let count = Range::of(200.0, 200.0, 200.0, 100.0, false);
        assert!(count.required < count.value && count.value < 1.0);
        let nothing = Range::of(0.0, 0.0, 0.0, 0.0, false);
        assert!(nothing.value.abs() < f64::EPSILON);
    }
}
