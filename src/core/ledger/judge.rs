//! How a target stands, and why.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    estimate::{interval::quantile, money::spans_years},
    ledger::{
        Entry, Figure, FigureId, Judged, Ledger, Member, Series, Standing, catalogue, outlook,
        print::{value_text, with_decimals},
        rival,
    },
    project::{Bound, Measure, Project, Target, TargetRule},
    units::{Unit, day, percent},
};

/// Days before the day of a target within which a survey settles it (common practice, no source).
const SETTLES: i64 = 90;

/// The chance from which a target is called probably met: three to one (judgement).
const PROBABLE: f64 = 0.75;

/// `target` beside its figure; where its day lies before the period's end, beside the figure as at that day, which is among `earlier`.
pub(crate) fn judge(
    ledger: &mut Ledger,
    project: &Project,
    target: &Target,
    earlier: &BTreeMap<NaiveDate, Ledger>,
) -> Judged {
    let mut asked = asked(project, target);
    let then = target.by.and_then(|by| earlier.get(&by));
    let (mut standing, because) = match then.map(|then| as_at(ledger, then, target, &asked)) {
        Some(AsAt::Other(figure)) => {
            asked.figure = figure;
            standing(ledger, project, target, &asked)
        }
        Some(AsAt::Missing(reason)) => (Standing::NotMeasured, reason),
        Some(AsAt::Same) | None => standing(ledger, project, target, &asked),
    };
    let mut asides = Vec::new();
    if matches!(standing, Standing::Met | Standing::ProbablyMet | Standing::NotShown | Standing::NotMet) {
        let alone = |ledger: &Ledger, figure| {
            let asked = Asked { figure, not_by_area: asked.not_by_area, unheard: asked.unheard };
            self::standing(ledger, project, target, &asked).0
        };
        asides.extend(rival::untested(ledger, target));
        asides.extend(rival::self_sown(then.unwrap_or(ledger), target, standing, alone));
        // Two accounts of one thing settle nothing while they lie on both sides of what was asked.
        if let Some(says) = rival::turned(ledger, asked.figure.as_str(), target.bound) {
            standing = no_further(standing);
            asides.push(says);
        }
    }
    let outlook =
        outlook::enter(ledger, project, target, &asked.figure).filter(|_| asked.not_by_area.is_none());
    let triggered = triggered(ledger, target, &asked);
    let because = std::iter::once(because).chain(asides.iter().cloned()).collect::<Vec<_>>().join("; ");
    Judged { target: target.clone(), figure: asked.figure, standing, because, asides, triggered, outlook }
}

/// What a figure was on the day of a target.
enum AsAt {
    /// What it is now.
    Same,
    /// Something else, which stands in the ledger under this id.
    Other(FigureId),
    /// Not known, for this reason.
    Missing(String),
}

/// The figure of `asked` as it was on the day of `target`, from the ledger of `then`.
fn as_at(ledger: &mut Ledger, then: &Ledger, target: &Target, asked: &Asked) -> AsAt {
    let Some(by) = target.by.filter(|_| asked.not_by_area.is_none()) else { return AsAt::Same };
    let id = asked.figure.as_str();
    let (now, was) = (ledger.get(id), then.get(id));
    if now == was {
        return AsAt::Same;
    }
    match was {
        Some(Entry::Figure(was)) => {
            let words = format!("{}, as at {}", was.label, day(by));
            let member = Member::new(target.id.as_str(), words.as_str());
            let id = catalogue::TARGET_AS_AT.named([member]).id;
            let figure = Figure { label: words, ..was.clone() };
            ledger.entries.insert(id.clone(), Entry::Figure(figure));
            AsAt::Other(id)
        }
        _ if matches!(now, Some(Entry::Figure(_))) => AsAt::Missing(format!(
            "nothing up to its day, {}, tells of it; what came later does not settle it",
            day(by)
        )),
        Some(Entry::Missing(missing)) => AsAt::Missing(missing.reason.clone()),
        None => AsAt::Missing(asked.unheard.to_owned()),
    }
}

/// The money that a target on spending asks about: all that was spent to date where the agreement or its spending is older than the
/// period, for a budget is of the whole grant.
fn spent(project: &Project, line: Option<&str>) -> FigureId {
    let to_date = project.only_agreement().is_some() || spans_years(project);
    match (line, to_date) {
        (None, false) => catalogue::SPENT.whole(),
        (None, true) => catalogue::SPENT_TO_DATE.whole(),
        (Some(line), false) => catalogue::SPENT_LINE.id(&[line]),
        (Some(line), true) => catalogue::SPENT_TO_DATE_LINE.id(&[line]),
    }
}

/// Whether the value, before and after the day of the target, is so far on the wrong side that action is called for.
fn triggered(ledger: &Ledger, target: &Target, asked: &Asked) -> Option<bool> {
    let at = target.trigger.as_ref()?.at;
    let figure = ledger.figure(asked.figure.as_str()).filter(|_| asked.not_by_area.is_none())?;
    Some(match target.bound {
        Bound::AtLeast(_) => figure.value < at,
        Bound::AtMost(_) => figure.value > at,
    })
}

/// The figure that a target asks about.
struct Asked {
    figure: FigureId,
    /// Why the figure can't be had for one area; `None` where it can, or where all are meant.
    not_by_area: Option<&'static str>,
    /// What to say where the ledger has never heard of the figure.
    unheard: &'static str,
}

fn asked(project: &Project, target: &Target) -> Asked {
    let area = target.area.as_ref();
    let by_area = |series: &Series, unheard| Asked { figure: series.of(area), not_by_area: None, unheard };
    let whole = |figure, not_by_area, unheard| {
        let not_by_area = target.area.as_ref().map(|_| not_by_area);
        Asked { figure, not_by_area, unheard }
    };
    let no_area = "the folder has no such area";
    match &target.measure {
        Measure::Survival => match target.terms.cohort {
            None => by_area(&catalogue::SURVIVAL, no_area),
            Some(year) => whole(
                catalogue::COHORT_SURVIVAL.id(&[&year.to_string()]),
                "survival by year of planting is kept for the whole site, not by area",
                "nothing was planted in that year",
            ),
        },
        Measure::Density => by_area(&catalogue::DENSITY, no_area),
        Measure::PlantedDensity => by_area(&catalogue::PLANTED_ALIVE_DENSITY, no_area),
        Measure::Recruits => by_area(&catalogue::RECRUITS, no_area),
        Measure::SpeciesCount => by_area(&catalogue::SPECIES_COUNT, no_area),
        Measure::Stems => by_area(&catalogue::STEMS, no_area),
        Measure::StemsInPeriod => by_area(&catalogue::STEMS_IN_PERIOD, no_area),
        Measure::Richness => by_area(&catalogue::RICHNESS, no_area),
        Measure::Area => by_area(&catalogue::AREA, no_area),
        Measure::Cover { layer, cover } => {
            let unheard = "no such cover was read by the end of the period";
            let figure = catalogue::COVER.id(&[layer.word(), cover, area.map_or("all", |area| &area.0)]);
            Asked { figure, not_by_area: None, unheard }
        }
        Measure::CarbonStock => {
            by_area(&catalogue::CARBON_STOCK, "no stem diameter was measured by the end of the period")
        }
        Measure::ErosionRatio => by_area(&catalogue::EROSION_RATIO, no_area),
        Measure::Length { kind, standing } => whole(
            catalogue::LENGTH.id(&[kind.words(), standing.word()]),
            "lengths are kept for the whole site, not by area",
            "no line of this kind is drawn among the features",
        ),
        Measure::Hours { basis } => whole(
            catalogue::HOURS.id(&[basis.words()]),
            "hours are kept for the whole site, not by area",
            "no hours were logged",
        ),
        Measure::Quantity { task } => whole(
            catalogue::QUANTITY.id(&[task]),
            "quantities are kept for the whole site, not by area",
            "no quantity of this task was logged in the period",
        ),
        Measure::Spend { line } => whole(
            spent(project, line.as_deref()),
            "money is kept for the whole site, not by area",
            "neither the budget nor the spending has such a line",
        ),
        Measure::Height { species } => whole(
            catalogue::HEIGHT.id(&[&species.0]),
            "heights are kept for the whole site, not by area",
            "no height of this species was measured by the end of the period",
        ),
        Measure::PhotoPairs => whole(
            catalogue::PHOTO_PAIRS.whole(),
            "pairs are counted for the whole site, not by area",
            "there is no photopoints table",
        ),
    }
}

fn standing(ledger: &Ledger, project: &Project, target: &Target, asked: &Asked) -> (Standing, String) {
    if let Some(by) = target.by.filter(|&by| by > project.period.to) {
        return (
            Standing::NotDue,
            format!("due by {}, after the period's end on {}", day(by), day(project.period.to)),
        );
    }
    if let Some(reason) = asked.not_by_area {
        return (Standing::NotMeasured, reason.to_owned());
    }
    let by = target.by.unwrap_or(project.period.to);
    match ledger.get(asked.figure.as_str()) {
        // Money that came in, or a bank's minus, keeps no limit.
        Some(Entry::Figure(figure))
            if matches!(target.measure, Measure::Spend { .. }) && figure.value < 0.0 =>
        {
            (Standing::NotMeasured, "the amounts come to less than nothing, which is no spending".to_owned())
        }
        Some(Entry::Figure(figure)) => {
            let (standing, because) = compare(figure, target.bound, project.statistics.targets_by);
            let surveyed = figure.sample.map(|sample| sample.round.to);
            match surveyed.filter(|&to| (by - to).num_days() > SETTLES) {
                Some(to) => {
                    let long = format!("; the survey to {} was long before its day", day(to));
                    (no_further(standing), because + &long)
                }
                None => (standing, because),
            }
        }
        Some(Entry::Missing(missing)) => (Standing::NotMeasured, missing.reason.clone()),
        None => (Standing::NotMeasured, asked.unheard.to_owned()),
    }
}

/// What can be said where something is wanting for more.
fn no_further(standing: Standing) -> Standing {
    match standing {
        Standing::Met => Standing::ProbablyMet,
        Standing::NotMet => Standing::NotShown,
        other => other,
    }
}

fn compare(figure: &Figure, bound: Bound, rule: TargetRule) -> (Standing, String) {
    let side = Side::of(bound);
    let reached = side.reached(figure.value);
    let met = if reached { Standing::Met } else { Standing::NotMet };
    let value = side.sentence("the value", figure.value, &figure.unit);
    let sampled = figure.sample.is_some() || figure.method.is_modelled();
    if figure.interval.is_none() && !sampled {
        return (met, value);
    }
    if rule == TargetRule::Value {
        return (met, format!("{value}; the agreement lets the value decide"));
    }
    let Some(interval) = figure.interval else {
        return (no_further(met), format!("{value}; nothing tells how far off it may be"));
    };
    // The end of the interval that would go wrong first, and the one that would come right last.
    let (first, last) = match bound {
        Bound::AtLeast(_) => (("the lower bound", interval.low), ("the upper bound", interval.high)),
        Bound::AtMost(_) => (("the upper bound", interval.high), ("the lower bound", interval.low)),
    };
    let end = |(name, end): (&str, f64)| side.sentence(name, end, &figure.unit);
    let (standing, because, settles) = match (reached, side.reached(first.1), side.reached(last.1)) {
        (true, true, _) => (Standing::Met, end(first), first.1),
        (true, false, _) => {
            let words = format!("{value}, {}", end(first));
            let room =
                (figure.value - side.asked).abs() / (figure.value - first.1).abs().max(f64::MIN_POSITIVE);
            return match room >= probable(interval.confidence) && !mostly_unseen(figure) {
                true => (Standing::ProbablyMet, words),
                false => (Standing::NotShown, format!("{words}; too near to be called probable")),
            };
        }
        (false, _, true) => return (Standing::NotShown, format!("{value}, {}", end(last))),
        (false, _, false) => (Standing::NotMet, end(last), last.1),
    };
    let met = standing == Standing::Met;
    match doubt(figure, settles, side, met).or_else(|| patches(figure, side).filter(|_| met)) {
        Some(doubt) if mostly_unseen(figure) => (Standing::NotShown, format!("{because}; {doubt}")),
        Some(doubt) => (no_further(standing), format!("{because}; {doubt}")),
        None => (standing, because),
    }
}

/// How much of the way from a value to the end of its interval must lie between it and what was asked for that to be called probable.
fn probable(confidence: f64) -> f64 {
    quantile::normal(PROBABLE) / quantile::normal(quantile::upper(confidence))
}

/// Whether less than half of what was asked about was looked at: then nothing is probable.
fn mostly_unseen(figure: &Figure) -> bool {
    figure.sample.is_some_and(|sample| sample.part < 0.5)
}

/// Why what lies in patches could turn a target that is met by its interval: what fell into no plot can't be seen.
fn patches(figure: &Figure, side: Side) -> Option<String> {
    let cautious = figure.cautious?;
    let end = if side.at_least { cautious.low } else { cautious.high };
    let worst = value_text(end, &figure.unit);
    (!side.reached(end)).then(|| format!("but patches that no plot met could bring it to {worst}"))
}

/// Why an end of the interval on the one side of the number does not settle a target.
fn doubt(figure: &Figure, end: f64, side: Side, met: bool) -> Option<String> {
    let sample = figure.sample?;
    if sample.plots < 2 || figure.method.rests_on_one_plot() {
        return Some("one plot can't show how plots differ".to_owned());
    }
    // What was left out could be as bad, or as good, as such a figure can be.
    let most = if figure.unit == Unit::Fraction { 1.0 } else { f64::INFINITY };
    let worst = if side.at_least == met { 0.0 } else { most };
    let whole = if sample.part < 1.0 { end * sample.part + worst * (1.0 - sample.part) } else { end };
    (side.reached(whole) != met)
        .then(|| format!("it rests on {} of what was asked about", percent(sample.part, 0)))
}

/// A target's number and the side of it that is right.
#[derive(Clone, Copy)]
struct Side {
    asked: f64,
    at_least: bool,
}

impl Side {
    fn of(bound: Bound) -> Side {
        match bound {
            Bound::AtLeast(asked) => Side { asked, at_least: true },
            Bound::AtMost(asked) => Side { asked, at_least: false },
        }
    }

    fn reached(self, value: f64) -> bool {
        if self.at_least { value >= self.asked } else { value <= self.asked }
    }

    /// `the lower bound 83.2 % is above the 80.0 % asked for`, with as many digits as tell the two apart.
    #[allow(clippy::float_cmp, reason = "equal to the last bit is what `exactly` says")]
    fn sentence(self, what: &str, value: f64, unit: &Unit) -> String {
        if value == self.asked {
            return format!("{what} is exactly the {} asked for", value_text(self.asked, unit));
        }
        let relation = if value > self.asked { "above" } else { "below" };
        let least = unit.decimals();
        let print = |number, decimals| with_decimals(number, unit, decimals);
        let decimals = (least..least + 6)
            .find(|&decimals| print(value, decimals) != print(self.asked, decimals))
            .unwrap_or(least + 6);
        format!(
            "{what} {} is {relation} the {} asked for",
            print(value, decimals),
            print(self.asked, decimals)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        estimate::{Interval, Method, Sample},
        project::Period,
        source::Sources,
    };

    fn sample(plots: usize, part: f64) -> Sample {
        let day = NaiveDate::from_ymd_opt(2026, 5, 12).unwrap();
        Sample { plots, round: Period { from: day, to: day }, part }
    }

    fn figure(value: f64, ends: Option<(f64, f64)>) -> Figure {
        Figure {
            label: String::new(),
            value,
            unit: Unit::Fraction,
            interval: ends.map(|(low, high)| Interval { low, high, confidence: 0.9 }),
            sample: ends.map(|_| sample(5, 1.0)),
            cautious: None,
            method: Method::SURVIVAL_RATIO,
            sources: Sources::default(),
            notes: Vec::new(),
        }
    }

    fn judged(value: f64, ends: Option<(f64, f64)>, bound: Bound) -> (Standing, String) {
        let (standing, because) = compare(&figure(value, ends), bound, TargetRule::Interval);
        (standing, because.replace('\u{a0}', " "))
    }

    #[test]
    fn the_interval_grades_the_standing() {
        let at_least = Bound::AtLeast(0.8);
        let (standing, because) = judged(0.871, Some((0.832, 0.91)), at_least);
        assert_eq!(standing, Standing::Met);
        assert_eq!(because, "the lower bound 83.2 % is above the 80.0 % asked for");
        assert_eq!(judged(0.83, Some((0.77, 0.88)), at_least).0, Standing::ProbablyMet);
        // Two points above what was asked and seven from the end of the interval: no three to one.
        let (near, why) = judged(0.82, Some((0.75, 0.88)), at_least);
        assert_eq!(near, Standing::NotShown);
        assert!(why.ends_with("too near to be called probable"), "{why}");
        assert_eq!(judged(0.78, Some((0.70, 0.85)), at_least).0, Standing::NotShown);
        assert_eq!(judged(0.60, Some((0.50, 0.70)), at_least).0, Standing::NotMet);
        assert_eq!(judged(0.80, Some((0.80, 0.90)), at_least).0, Standing::Met);
        let at_most = Bound::AtMost(0.3);
        assert_eq!(judged(0.2, Some((0.1, 0.25)), at_most).0, Standing::Met);
        assert_eq!(judged(0.2, Some((0.1, 0.35)), at_most).0, Standing::ProbablyMet);
        assert_eq!(judged(0.35, Some((0.25, 0.4)), at_most).0, Standing::NotShown);
        assert_eq!(judged(0.45, Some((0.4, 0.5)), at_most).0, Standing::NotMet);
    }

    #[test]
    fn a_census_is_met_or_short_and_near_values_are_told_apart() {
        assert_eq!(judged(0.8, None, Bound::AtLeast(0.8)).1, "the value is exactly the 80.0 % asked for");
        let (standing, because) = judged(0.799_96, None, Bound::AtLeast(0.8));
        assert_eq!(standing, Standing::NotMet);
        assert_eq!(because, "the value 79.996 % is below the 80.000 % asked for");
    }

    #[test]
    fn a_sample_without_an_interval_or_of_one_plot_settles_nothing() {
        let mut bare = figure(0.95, None);
        bare.sample = Some(sample(1, 1.0));
        let by_interval = |figure: &Figure, bound| compare(figure, bound, TargetRule::Interval).0;
        assert_eq!(by_interval(&bare, Bound::AtLeast(0.8)), Standing::ProbablyMet);
        assert_eq!(by_interval(&bare, Bound::AtMost(0.8)), Standing::NotShown);
        let mut one = figure(0.95, Some((0.9, 0.98)));
        one.sample = Some(sample(1, 1.0));
        assert_eq!(by_interval(&one, Bound::AtLeast(0.8)), Standing::ProbablyMet);
        assert_eq!(by_interval(&one, Bound::AtLeast(0.99)), Standing::NotShown);
    }

    #[test]
    fn what_patches_could_turn_is_no_further_than_likely() {
        let mut few = figure(0.95, Some((0.9, 0.98)));
        few.cautious = Some(Interval { low: 0.78, high: 0.99, confidence: 0.9 });
        let (standing, because) = compare(&few, Bound::AtLeast(0.8), TargetRule::Interval);
        assert_eq!(standing, Standing::ProbablyMet);
        assert!(because.ends_with("but patches that no plot met could bring it to 78.0\u{a0}%"), "{because}");
        assert_eq!(compare(&few, Bound::AtLeast(0.75), TargetRule::Interval).0, Standing::Met);
        assert_eq!(compare(&few, Bound::AtLeast(0.99), TargetRule::Interval).0, Standing::NotMet);
        let mut weeds = figure(0.02, Some((0.01, 0.04)));
        weeds.cautious = Some(Interval { low: 0.005, high: 0.06, confidence: 0.9 });
        assert_eq!(compare(&weeds, Bound::AtMost(0.05), TargetRule::Interval).0, Standing::ProbablyMet);
    }

    /// By hand: 0.9 of nine tenths is 0.81 of the whole if nothing lives in the last tenth; of a ninth it is 0.1.
    #[test]
    fn what_was_left_out_is_thought_of_at_its_worst() {
        let mut most = figure(0.95, Some((0.9, 0.98)));
        most.sample = Some(sample(9, 0.9));
        let by_interval = |figure: &Figure, bound| compare(figure, bound, TargetRule::Interval).0;
        assert_eq!(by_interval(&most, Bound::AtLeast(0.8)), Standing::Met);
        assert_eq!(by_interval(&most, Bound::AtLeast(0.85)), Standing::ProbablyMet);
        most.sample = Some(sample(9, 1.0 / 9.0));
        assert_eq!(by_interval(&most, Bound::AtLeast(0.8)), Standing::NotShown);
        let mut weeds = figure(0.02, Some((0.01, 0.03)));
        weeds.sample = Some(sample(9, 0.5));
        assert_eq!(by_interval(&weeds, Bound::AtMost(0.05)), Standing::ProbablyMet);
        assert_eq!(by_interval(&weeds, Bound::AtMost(0.6)), Standing::Met);
        assert_eq!(by_interval(&weeds, Bound::AtLeast(0.6)), Standing::NotMet);
        assert_eq!(by_interval(&weeds, Bound::AtLeast(0.4)), Standing::NotShown);
    }

    #[test]
    fn the_value_decides_where_the_agreement_says_so() {
        let figure = figure(0.82, Some((0.75, 0.88)));
        let (standing, because) = compare(&figure, Bound::AtLeast(0.8), TargetRule::Value);
        assert_eq!(standing, Standing::Met);
        assert!(because.ends_with("the agreement lets the value decide"), "{because}");
    }
}
