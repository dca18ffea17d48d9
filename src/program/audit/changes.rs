//! What changed from one ledger to the next: figures, targets, rows of tables. Two intervals are said to overlap or to stand
//! apart, and nothing is concluded from that.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::{
    Book, Ends,
    book::{Entry, TargetLine},
};

/// Two values whose difference is smaller than this part of them are the same: another machine's or version's rounding.
const ROUNDING: f64 = 1e-9;

/// What stands under an id in one ledger.
#[derive(Debug, Clone, PartialEq)]
pub enum State {
    /// A figure.
    Figure {
        /// Its value.
        value: f64,
        /// The sign of its unit.
        unit: String,
        /// Its interval, where it has one.
        ends: Option<Ends>,
        /// The confidence of that.
        confidence: Option<f64>,
        /// How it was worked out.
        method: String,
    },
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
pub fn changes(then: &Book, now: &Book) -> Changes {
    let mut found = Changes { cautions: cautions(then, now), ..Changes::default() };
    let (before, after) = (then.entries(), now.entries());
    let ids: BTreeSet<&str> = before.keys().chain(after.keys()).copied().collect();
    for id in ids {
        let (one, other) = (before.get(id), after.get(id));
        let change = Change {
            id: id.to_owned(),
            label: other.or(one).map(label).unwrap_or_default(),
            then: state(one),
            now: state(other),
            ranges: Ranges::NotComparable,
        };
        match (&change.then, &change.now) {
            (State::Figure { .. }, State::Figure { .. }) => match is_same(&change.then, &change.now) {
                true => found.same += 1,
                false => {
                    let ranges = ranges(&change.then, &change.now);
                    found.changed.push(Change { ranges, ..change });
                }
            },
            (_, State::Figure { .. }) => found.new.push(change),
            (State::Figure { .. }, _) => found.gone.push(change),
            // A figure that neither could give is no change.
            _ => {}
        }
    }
    turn(then, now, &mut found);
    found.tables = tables(then, now);
    found
}

fn label(entry: &Entry<'_>) -> String {
    match entry {
        Entry::Figure(line) => line.label.clone(),
        Entry::Gap(gap) => gap.label.clone(),
    }
}

fn state(entry: Option<&Entry<'_>>) -> State {
    match entry {
        None => State::Absent,
        Some(Entry::Gap(gap)) => State::NotGiven(gap.reason.clone()),
        Some(Entry::Figure(line)) => State::Figure {
            value: line.value,
            unit: line.unit.clone(),
            ends: line.ends(),
            confidence: line.confidence,
            method: line.method.clone(),
        },
    }
}

fn is_same(one: &State, other: &State) -> bool {
    let (
        State::Figure { value, unit, ends, confidence, .. },
        State::Figure { value: value_2, unit: unit_2, ends: ends_2, confidence: confidence_2, .. },
    ) = (one, other)
    else {
        return one == other;
    };
    let ends_alike = match (ends, ends_2) {
        (Some(one), Some(other)) => alike(one.low, other.low) && alike(one.high, other.high),
        (None, None) => true,
        _ => false,
    };
    unit == unit_2 && alike(*value, *value_2) && ends_alike && confidence == confidence_2
}

/// Whether two values are one but for rounding.
fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= ROUNDING * one.abs().max(other.abs())
}

fn ranges(then: &State, now: &State) -> Ranges {
    let (
        State::Figure { unit, ends: Some(one), confidence, .. },
        State::Figure { unit: unit_2, ends: Some(other), confidence: confidence_2, .. },
    ) = (then, now)
    else {
        return Ranges::NotComparable;
    };
    match unit == unit_2 && confidence == confidence_2 {
        false => Ranges::NotComparable,
        true if one.low <= other.high && other.low <= one.high => Ranges::Overlap,
        true => Ranges::Apart,
    }
}

fn turn(then: &Book, now: &Book, found: &mut Changes) {
    let by_id = |book: &'_ Book| -> BTreeMap<String, TargetLine> {
        book.targets.iter().map(|target| (target.id.clone(), target.clone())).collect()
    };
    let (before, after) = (by_id(then), by_id(now));
    for id in before.keys().chain(after.keys()).collect::<BTreeSet<_>>() {
        let (one, other) = (before.get(id), after.get(id));
        let standing = |target: Option<&TargetLine>| target.map(|target| target.standing.clone());
        if standing(one) == standing(other) {
            found.same_targets += 1;
            continue;
        }
        found.targets.push(Turn {
            id: id.clone(),
            then: standing(one),
            now: standing(other),
            because: other.map(|target| target.because.clone()).filter(|because| !because.is_empty()),
        });
    }
}

fn tables(then: &Book, now: &Book) -> Vec<RowCount> {
    let rows = |book: &'_ Book| -> BTreeMap<String, u32> {
        book.inputs.iter().filter_map(|input| Some((input.path.clone(), input.rows?))).collect()
    };
    let (before, after) = (rows(then), rows(now));
    let paths: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let count = |path: &String| RowCount {
        path: path.clone(),
        then: before.get(path).copied(),
        now: after.get(path).copied(),
    };
    paths.into_iter().map(count).filter(|count| count.then != count.now).collect()
}

/// What keeps two ledgers from being like and like.
fn cautions(then: &Book, now: &Book) -> Vec<String> {
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
    let methods = |book: &'_ Book| -> BTreeMap<String, String> {
        book.figures.iter().map(|line| (line.id.clone(), line.method.clone())).collect()
    };
    let (before, after) = (methods(then), methods(now));
    let other_way = before.iter().filter(|(id, method)| after.get(*id).is_some_and(|now| now != *method));
    let ids: Vec<&str> = other_way.map(|(id, _)| id.as_str()).collect();
    if !ids.is_empty() {
        cautions.push(format!("by another method than before: {}", ids.join(", ")));
    }
    cautions
}

#[cfg(test)]
mod tests {
    use super::*;

    fn book(figures: &str, targets: &str, inputs: &str) -> Book {
        let text = format!(
            r#"{{"format":"hillfolio-figures/1","project":{{"name":"A","reference":"B"}},
            "period":{{"from":"2025-07-01","to":"2026-06-30"}},"program":{{"version":"1"}},
            "figures":[{figures}],"gaps":[{{"id":"g","label":"G","reason":"no plots"}}],"targets":[{targets}],"inputs":[{inputs}]}}"#
        );
        Book::of(text.as_bytes()).unwrap()
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
            &[target("t", "short"), target("u", "met")].join(","),
            &[input("p", 5), input("q", 4)].join(","),
        );
        let found = changes(&then, &now);
        let turned = Turn {
            id: "t".into(),
            then: Some("met".into()),
            now: Some("short".into()),
            because: Some("so".into()),
        };
        assert_eq!((found.targets, found.same_targets), (vec![turned], 1));
        assert_eq!(found.tables, [RowCount { path: "p".into(), then: Some(3), now: Some(5) }]);
    }
}
