//! What changed from one ledger to the next: figures, targets, rows of tables. Two intervals are said to overlap or to stand
//! apart, and nothing is concluded from that.

use std::collections::BTreeMap;

use crate::audit::side_by_side::side_by_side;
use hillfolio_core::ledger::{FigureRecord, GapRecord, LedgerRecord, TargetRecord};

/// Two values whose difference is smaller than this part of them are the same: another machine's or version's rounding.
const ROUNDING: f64 = 1e-9;

/// What stands under an id in one ledger.
#[derive(Debug, Clone, PartialEq)]
pub enum State {
    /// A figure.
    Figure(FigureRecord),
    /// A figure that could not be given, and why.
    NotGiven(String),
    /// Nothing.
    Absent,
}

/// How the intervals of a figure lie to one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ranges {
    /// They have a value in common.
    Overlap,
    /// They have none.
    Apart,
    /// One of the two has none, or they are in different units or of different confidence.
    NotComparable,
}

/// A figure that is not what it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Its id.
    pub id: String,
    /// What it is called on paper, as the later ledger says.
    pub label: String,
    /// What it was.
    pub then: State,
    /// What it is.
    pub now: State,
    /// How its intervals lie to one another.
    pub ranges: Ranges,
}

/// A target that stands otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Turn {
    /// Its id.
    pub id: String,
    /// How it stood; `None` where there was none.
    pub then: Option<String>,
    /// How it stands; `None` where there is none.
    pub now: Option<String>,
    /// Why, in the later ledger's words.
    pub because: Option<String>,
}

/// A table or layer with another number of rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowCount {
    /// Its path.
    pub path: String,
    /// Its rows then; `None` where it was not there.
    pub then: Option<u32>,
    /// Its rows now; `None` where it is not there.
    pub now: Option<u32>,
}

/// Everything that changed between two ledgers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Changes {
    /// Figures that were not there, or not given, and are now.
    pub new: Vec<Change>,
    /// Figures that were given and are no longer.
    pub gone: Vec<Change>,
    /// Figures with another value, interval or unit.
    pub changed: Vec<Change>,
    /// How many figures are the same.
    pub same: usize,
    /// Targets whose standing turned, came or went.
    pub targets: Vec<Turn>,
    /// How many targets stand as they stood.
    pub same_targets: usize,
    /// Tables and layers whose rows are more or fewer, came or went.
    pub tables: Vec<RowCount>,
    /// What keeps the two from being like and like, in sentences.
    pub cautions: Vec<String>,
}

impl Changes {
    /// Whether nothing changed.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.new.is_empty()
            && self.gone.is_empty()
            && self.changed.is_empty()
            && self.targets.is_empty()
            && self.tables.is_empty()
    }
}

/// What changed from `then` to `now`, in order of id and path.
#[must_use]
pub fn changes(then: &LedgerRecord, now: &LedgerRecord) -> Changes {
    let mut found = Changes { cautions: cautions(then, now), ..Changes::default() };
    let gaps = pairs(&then.gaps, &now.gaps, |gap| &gap.id);
    // A figure that neither could give is no change.
    for (id, (was, is)) in pairs(&then.figures, &now.figures, |figure| &figure.id) {
        let (ranges, list) = match (was, is) {
            (Some(one), Some(other)) if is_same(one, other) => {
                found.same += 1;
                continue;
            }
            (Some(one), Some(other)) => (ranges(one, other), &mut found.changed),
            (None, _) => (Ranges::NotComparable, &mut found.new),
            (Some(_), None) => (Ranges::NotComparable, &mut found.gone),
        };
        let (gap, gap_now) = gaps.get(id).copied().unwrap_or_default();
        list.push(Change {
            id: id.to_owned(),
            label: label(is, gap_now).or_else(|| label(was, gap)).unwrap_or_default(),
            then: State::of(was, gap),
            now: State::of(is, gap_now),
            ranges,
        });
    }
    for (id, (one, other)) in pairs(&then.targets, &now.targets, |target| &target.id) {
        let standing = |target: Option<&TargetRecord>| target.map(|target| target.standing.clone());
        if standing(one) == standing(other) {
            found.same_targets += 1;
            continue;
        }
        let because = other.map(|target| target.because.clone()).filter(|words| !words.is_empty());
        found.targets.push(Turn { id: id.to_owned(), then: standing(one), now: standing(other), because });
    }
    for (path, (then, now)) in side_by_side(rows(then), rows(now)) {
        if then != now {
            found.tables.push(RowCount { path: path.to_owned(), then, now });
        }
    }
    found
}

/// What `then` and `now` hold, by id.
fn pairs<'a, T>(
    then: &'a [T],
    now: &'a [T],
    id: fn(&T) -> &str,
) -> BTreeMap<&'a str, (Option<&'a T>, Option<&'a T>)> {
    let by_id = |list: &'a [T]| list.iter().map(move |one| (id(one), one));
    side_by_side(by_id(then), by_id(now))
}

fn rows(ledger: &LedgerRecord) -> impl Iterator<Item = (&str, u32)> {
    ledger.inputs.iter().filter_map(|input| Some((&*input.path, input.rows?)))
}

fn label(figure: Option<&FigureRecord>, gap: Option<&GapRecord>) -> Option<String> {
    figure.map(|figure| &figure.label).or_else(|| gap.map(|gap| &gap.label)).cloned()
}

impl State {
    fn of(figure: Option<&FigureRecord>, gap: Option<&GapRecord>) -> State {
        match (figure, gap) {
            (Some(figure), _) => State::Figure(figure.clone()),
            (None, Some(gap)) => State::NotGiven(gap.reason.clone()),
            (None, None) => State::Absent,
        }
    }
}

fn is_same(one: &FigureRecord, other: &FigureRecord) -> bool {
    let ends_alike = match (one.ends(), other.ends()) {
        (Some(one), Some(other)) => alike(one.0, other.0) && alike(one.1, other.1),
        (one, other) => one == other,
    };
    one.unit == other.unit
        && alike(one.value, other.value)
        && ends_alike
        && one.confidence == other.confidence
}

/// Whether two values are one but for rounding.
fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= ROUNDING * one.abs().max(other.abs())
}

fn ranges(then: &FigureRecord, now: &FigureRecord) -> Ranges {
    match (then.ends(), now.ends()) {
        (Some((low, high)), Some((low_now, high_now)))
            if then.unit == now.unit && then.confidence == now.confidence =>
        {
            if low <= high_now && low_now <= high { Ranges::Overlap } else { Ranges::Apart }
        }
        _ => Ranges::NotComparable,
    }
}

/// What keeps two ledgers from being like and like.
fn cautions(then: &LedgerRecord, now: &LedgerRecord) -> Vec<String> {
    let mut cautions = Vec::new();
    let (one, other) = (&then.project, &now.project);
    if one.name != other.name {
        cautions.push(format!("these are two projects: {} and {}", one.name, other.name));
    }
    if then.program.version != now.program.version {
        cautions.push(format!(
            "they were worked out by two versions of the program, {} and {}: a method may have changed",
            then.program.version, now.program.version
        ));
    }
    if then.period.from > now.period.from {
        cautions.push("the first of the two is the later one".to_owned());
    }
    let methods =
        pairs(&then.figures, &now.figures, |figure| &figure.id).into_iter().filter_map(|(id, pair)| {
            let (one, other) = (pair.0?, pair.1?);
            (one.method != other.method).then_some(id)
        });
    let ids: Vec<&str> = methods.collect();
    if !ids.is_empty() {
        cautions.push(format!("by another method than before: {}", ids.join(", ")));
    }
    cautions
}

#[cfg(test)]
mod tests {
    use super::*;

    fn book(figures: &str, targets: &str, inputs: &str) -> LedgerRecord {
        let text = format!(
            r#"{{"format":"hillfolio-figures/1","project":{{"name":"A","reference":"B"}},
            "period":{{"from":"2025-07-01","to":"2026-06-30"}},"program":{{"version":"1"}},
            "figures":[{figures}],"gaps":[{{"id":"g","label":"G","reason":"no plots"}}],"targets":[{targets}],"inputs":[{inputs}]}}"#
        );
        LedgerRecord::read(text.as_bytes()).unwrap()
    }

    fn line(id: &str, value: f64, low: f64, high: f64) -> String {
        format!(
            r#"{{"id":"{id}","label":"L","value":{value},"unit":"fraction","low":{low},"high":{high},"confidence":0.9,"method":"m"}}"#
        )
    }

    #[test]
    fn figures_come_go_change_and_their_intervals_overlap_or_not() {
        let then = [
            line("a", 0.5, 0.4, 0.6),
            line("b", 0.5, 0.4, 0.6),
            line("c", 0.5, 0.4, 0.6),
            line("d", 0.1, 0.0, 0.2),
        ];
        let now = [
            line("a", 0.55, 0.45, 0.65),
            line("b", 0.8, 0.7, 0.9),
            line("c", 0.5, 0.4, 0.6),
            line("g", 1.0, 1.0, 1.0),
        ];
        let found = changes(&book(&then.join(","), "", ""), &book(&now.join(","), "", ""));
        let ids = |list: &[Change]| list.iter().map(|change| change.id.clone()).collect::<Vec<_>>();
        assert_eq!(
            (ids(&found.new), ids(&found.gone), ids(&found.changed)),
            (vec!["g".to_owned()], vec!["d".to_owned()], vec!["a".to_owned(), "b".to_owned()])
        );
        assert_eq!(found.new[0].then, State::NotGiven("no plots".to_owned()));
        assert_eq!(
            found.changed.iter().map(|change| change.ranges).collect::<Vec<_>>(),
            [Ranges::Overlap, Ranges::Apart]
        );
        assert_eq!((found.same, found.is_none()), (1, false));
        assert!(changes(&book(&now.join(","), "", ""), &book(&now.join(","), "", "")).is_none());
    }

    #[test]
    fn intervals_of_other_units_or_confidence_are_not_held_against_one_another() {
        let then = book(&line("a", 0.5, 0.4, 0.6), "", "");
        for (plain, other) in [("fraction", "ha"), ("0.9,", "0.95,")] {
            let now = book(&line("a", 0.8, 0.7, 0.85).replace(plain, other), "", "");
            assert_eq!(changes(&then, &now).changed[0].ranges, Ranges::NotComparable);
        }
    }

    #[test]
    fn targets_turn_and_tables_grow() {
        let target =
            |id: &str, standing: &str| format!(r#"{{"id":"{id}","standing":"{standing}","because":"so"}}"#);
        let input =
            |path: &str, rows: u32| format!(r#"{{"path":"{path}","sha256":"","bytes":1,"rows":{rows}}}"#);
        let then = book(
            "",
            &[target("t", "met"), target("u", "met")].join(","),
            &[input("p", 3), input("q", 4)].join(","),
        );
        let now = book(
            "",
            &[target("t", "not met"), target("u", "met")].join(","),
            &[input("p", 5), input("q", 4)].join(","),
        );
        let found = changes(&then, &now);
        let turned = Turn {
            id: "t".into(),
            then: Some("met".into()),
            now: Some("not met".into()),
            because: Some("so".into()),
        };
        assert_eq!((found.targets, found.same_targets), (vec![turned], 1));
        assert_eq!(found.tables, [RowCount { path: "p".into(), then: Some(3), now: Some(5) }]);
    }
}
