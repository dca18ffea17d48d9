//! Deliverables: what was asked, what there is, how it stands.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        notes::{raised, sentence},
        places::or_all,
        printed,
        printed::Printed,
    },
    is_offset,
};
use hillfolio_core::{
    ledger::{Figure, Judged, Standing, value_text},
    project::{Bound, Measure, TargetRule},
    units,
};

/// The targets, and what decides them.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Targets {
    rows: Vec<Target>,
    /// Where the line of what was asked stands on every strip, from 0 to 1.
    line: f64,
    /// Whether the value alone decides, as the agreement says.
    by_value: bool,
}

/// One target beside its figure.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Target {
    id: String,
    words: String,
    under: String,
    /// What it is of, at which age, and who decides.
    definition: Option<String>,
    area: String,
    required: String,
    /// What there is, as short as the first page needs it, and its interval.
    short: Option<String>,
    short_interval: Option<String>,
    by: Option<String>,
    figure: Printed,
    standing: &'static str,
    /// Which mark stands beside the word.
    mark: &'static str,
    because: String,
    /// What would make it stand otherwise.
    asides: Vec<String>,
    /// Why it came out so, in the folder's own words.
    reasons: Vec<String>,
    outlook: Option<Outlook>,
    range: Option<Range>,
    /// The chapter of the report that shows it.
    place: &'static str,
}

/// How a target looks that is still to come.
#[derive(Serialize, JsonSchema)]
struct Outlook {
    words: String,
    /// What is to be expected, as short as the first page has it, and its interval.
    expected: String,
    interval: Option<String>,
    /// Whether the line would lead past all or nothing, where a share ends.
    past_the_end: bool,
}

/// Where the value and its interval lie on a strip from 0 to 1 whose line of what was asked stands at [`LINE`].
#[derive(Serialize, JsonSchema)]
struct Range {
    low: f64,
    value: f64,
    high: f64,
    /// Whether the value lies beyond the strip's end.
    beyond: bool,
    /// Whether the good side is that of more.
    more_is_good: bool,
}

/// Where the line of what was asked stands on every strip.
const LINE: f64 = 0.6;

impl Targets {
    /// The targets that stand in `document`: those under the approval in the offset report, the others in the acquittal, which has
    /// all of them where it is the only document.
    pub(crate) fn of(inputs: &ReportInputs<'_>, document: Document) -> Targets {
        Targets {
            rows: judged(inputs, document).map(|judged| target(inputs, judged)).collect(),
            line: LINE,
            by_value: inputs.project.statistics.targets_by == TargetRule::Value,
        }
    }
}

/// The targets that stand in `document`, in their order.
pub(crate) fn judged<'a>(
    inputs: &ReportInputs<'a>,
    document: Document,
) -> impl Iterator<Item = &'a Judged> + use<'a> {
    let alone = !Document::due(inputs.project).contains(&Document::Offset);
    inputs.ledger.targets.iter().filter(move |judged| match document {
        Document::Offset => is_offset(&judged.target),
        Document::Acquittal | Document::Plan | Document::Sources => alone || !is_offset(&judged.target),
    })
}

/// `judged` as it stands on paper.
pub(crate) fn target(inputs: &ReportInputs<'_>, judged: &Judged) -> Target {
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
        id: asked.id.clone(),
        words: asked.words.clone().unwrap_or_else(|| figure.label.clone()),
        under: asked.under.clone(),
        definition: asked.definition(),
        area: or_all(asked.area.as_ref()),
        required: format!("{bound} {}", shortest(&required)),
        short: known.map(|figure| short(figure, bound_amount).0),
        short_interval: known.and_then(|figure| short(figure, bound_amount).1),
        by: asked.by.map(printed::day),
        standing: judged.standing.words(),
        mark: mark(judged.standing),
        because: judged.because.clone(),
        asides: judged.asides.iter().map(|aside| raised(aside)).collect(),
        outlook: judged.outlook.as_ref().and_then(|(id, outlook)| {
            let figure = inputs.ledger.figure(id.as_str())?;
            let (expected, interval) = short(figure, bound_amount);
            let past_the_end = figure.unit == units::Unit::Fraction && [0.0, 1.0].contains(&figure.value);
            Some(Outlook { words: raised(outlook.words()), expected, interval, past_the_end })
        }),
        range: known.map(|figure| {
            let (low, high) = figure.interval.map_or((figure.value, figure.value), |i| (i.low, i.high));
            let more_is_good = matches!(asked.bound, Bound::AtLeast(_));
            Range::of([low, figure.value, high], bound_amount, more_is_good)
        }),
        reasons: reasons(inputs, &asked.id),
        place: place(&asked.measure),
        figure,
    }
}

/// The mark beside a standing: the fuller the disc, the better it stands.
pub(crate) fn mark(standing: Standing) -> &'static str {
    match standing {
        Standing::Met => "full",
        Standing::ProbablyMet => "most",
        Standing::NotShown => "some",
        Standing::NotMet => "empty",
        Standing::NotDue => "later",
        Standing::NotMeasured => "unknown",
    }
}

/// `number` and its unit without the noughts behind its point: `70 %` for `70.0 %`.
pub(crate) fn shortest(text: &str) -> String {
    let digit = |letter: char| letter.is_ascii_digit();
    let Some((front, back)) = text.split_once('.').filter(|(front, _)| front.ends_with(digit)) else {
        return text.to_owned();
    };
    let end = back.find(|letter| !digit(letter)).unwrap_or(back.len());
    let kept = back[..end].trim_end_matches('0');
    let point = if kept.is_empty() { "" } else { "." };
    format!("{front}{point}{kept}{}", &back[end..])
}

/// A figure and its interval no finer than a survey knows it: shares in whole per cent, unless that would bring it to what was asked.
pub(crate) fn short(figure: &Figure, asked: f64) -> (String, Option<String>) {
    let wide = figure
        .interval
        .filter(|ends| value_text(ends.low, &figure.unit) != value_text(ends.high, &figure.unit));
    let whole = |share: f64| units::percent(share, 0);
    // Cents stand in the tables; on the first page they are shown where they decide.
    if let units::Unit::Currency(currency) = &figure.unit
        && units::number(figure.value, 0) != units::number(asked, 0)
    {
        return (format!("{currency}\u{a0}{}", units::number(figure.value, 0)), None);
    }
    if figure.unit != units::Unit::Fraction || wide.is_none() || whole(figure.value) == whole(asked) {
        return (shortest(&figure.text()), wide.and_then(|_| figure.interval_text()));
    }
    let interval = wide.map(|ends| format!("{}–{}", units::number(ends.low * 100.0, 0), whole(ends.high)));
    (whole(figure.value), interval)
}

/// What the folder says of why the target `id` came out so.
fn reasons(inputs: &ReportInputs<'_>, id: &str) -> Vec<String> {
    let about = inputs.project.reasons.iter().filter(|reason| reason.target.as_deref() == Some(id));
    about.map(|reason| sentence(&reason.words)).collect()
}

/// The chapter that shows what `measure` measures.
fn place(measure: &Measure) -> &'static str {
    match measure {
        Measure::Survival
        | Measure::Density
        | Measure::PlantedDensity
        | Measure::Recruits
        | Measure::Height { .. }
        | Measure::Cover { .. } => "survey",
        Measure::SpeciesCount => "species",
        Measure::Richness => "life",
        Measure::Stems
        | Measure::StemsInPeriod
        | Measure::Area
        | Measure::Length { .. }
        | Measure::Hours { .. }
        | Measure::Quantity { .. } => "done",
        Measure::Spend { .. } => "money",
        Measure::CarbonStock => "carbon",
        Measure::ErosionRatio => "ground",
        Measure::PhotoPairs => "photos",
    }
}

impl Range {
    /// The strip begins at nothing, so that what was asked stands on the same line for every target.
    fn of([low, value, high]: [f64; 3], asked: f64, more_is_good: bool) -> Range {
        let at = |amount: f64| match asked {
            // Of what should not be at all, any amount lies beyond the line.
            asked if asked <= 0.0 => {
                if amount <= 0.0 {
                    LINE
                } else {
                    1.0
                }
            }
            asked => (LINE * amount / asked).clamp(0.0, 1.0),
        };
        let beyond = asked > 0.0 && LINE * value > asked;
        Range { low: at(low), value: at(value), high: at(high), beyond, more_is_good }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lose_the_noughts_that_say_nothing() {
        let short =
            ["70.0\u{a0}%", "7.50\u{a0}ha", "1,400\u{a0}m", "AUD\u{a0}22,600.00", "10 species"].map(shortest);
        assert_eq!(short, ["70\u{a0}%", "7.5\u{a0}ha", "1,400\u{a0}m", "AUD\u{a0}22,600", "10 species"]);
    }

    #[test]
    fn what_was_asked_stands_on_one_line_for_every_target() {
        for asked in [0.7, 1_200.0, 7.5] {
            let kept = Range::of([asked, asked, asked], asked, true);
            assert!((kept.value - LINE).abs() < 1e-12 && !kept.beyond);
            let more = Range::of([asked * 0.5, asked * 1.2, asked * 9.0], asked, true);
            assert!(more.low < LINE && more.value > LINE && (more.high - 1.0).abs() < 1e-12);
            assert!(Range::of([0.0, asked * 2.0, 0.0], asked, false).beyond);
        }
        let none = Range::of([0.0, 0.0, 0.0], 0.0, false);
        assert!((none.value - LINE).abs() < f64::EPSILON && !none.beyond);
    }
}
