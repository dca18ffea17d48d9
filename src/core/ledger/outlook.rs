//! Whether a target that is still to come will be met, if things go on as between the last two surveys.

use chrono::NaiveDate;

use crate::{
    estimate::{
        Finding,
        trend::{self, Found},
    },
    ledger::{Entry, FigureId, Ledger, Member, Series, catalogue},
    project::{Bound, Project, Target},
    units::{Unit, day},
};

/// How a target looks that is still to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlook {
    /// The whole interval of what is to be expected is on the right side.
    OnCourse,
    /// What is to be expected is, its interval is not.
    LikelyOnCourse,
    /// What is to be expected is not, its interval still reaches.
    LikelyBehind,
    /// The whole interval is on the wrong side.
    Behind,
}

impl Outlook {
    /// The outlook in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Outlook::OnCourse => "on course",
            Outlook::LikelyOnCourse => "likely on course",
            Outlook::LikelyBehind => "likely behind",
            Outlook::Behind => "behind",
        }
    }
}

/// Enters what is to be expected on the day of `target`, which asks about `figure`; `None` where its day is past, or fewer than
/// two surveys tell of it.
pub(crate) fn enter(
    ledger: &mut Ledger,
    project: &Project,
    target: &Target,
    figure: &FigureId,
) -> Option<(FigureId, Outlook)> {
    let by = target.by.filter(|&by| by > project.period.to)?;
    let (expected, unit) = expected(ledger, figure, by)?;
    let words = format!("{}, {}", day(by), ledger.label(figure.as_str())?);
    let named = catalogue::TARGET_EXPECTED.named([Member::new(target.id.as_str(), words)]).measured_in(unit);
    let id = named.id.clone();
    ledger.enter_named(named, expected);
    let found = ledger.figure(id.as_str())?;
    let right = |value: f64| match target.bound {
        Bound::AtLeast(asked) => value >= asked,
        Bound::AtMost(asked) => value <= asked,
    };
    let (low, high) = found.interval.map_or((found.value, found.value), |ends| (ends.low, ends.high));
    let outlook = match (right(found.value), right(low), right(high)) {
        (true, true, true) => Outlook::OnCourse,
        (true, ..) => Outlook::LikelyOnCourse,
        (false, false, false) => Outlook::Behind,
        (false, ..) => Outlook::LikelyBehind,
    };
    Some((id, outlook))
}

/// What the last two surveys before `by` lead to.
fn expected(ledger: &Ledger, figure: &FigureId, by: NaiveDate) -> Option<(Finding<f64>, Unit)> {
    let rounds = ledger.rounds(figure);
    let [.., (earlier, one), (later, two)] = rounds.as_slice() else { return None };
    let found = |date: NaiveDate, id: &FigureId| {
        let figure = ledger.figure(id.as_str())?;
        let (value, interval, sources) = (figure.value, figure.interval, figure.sources.clone());
        Some((Found { date, value, interval, sources }, figure.unit.clone()))
    };
    let ((earlier, _), (later, unit)) = (found(*earlier, one)?, found(*later, two)?);
    let range = match unit {
        Unit::Fraction => (0.0, 1.0),
        _ => (0.0, f64::INFINITY),
    };
    Some((trend::expected(&earlier, &later, by, range), unit))
}

impl Ledger {
    /// The figures of every survey that belong to `figure`, by day: those of `survival.all` are `survival.at.DAY.all`.
    #[must_use]
    pub fn rounds(&self, figure: &FigureId) -> Vec<(NaiveDate, FigureId)> {
        let Some((series, codes)) = Series::find(figure.as_str()) else { return Vec::new() };
        let dated = series.dated.into_iter().flat_map(|dated| self.of(dated));
        let of = |(dated, id, entry): (Vec<&str>, &FigureId, &Entry)| {
            let (day, rest) = dated.split_first()?;
            let is = rest == codes && matches!(entry, Entry::Figure(_));
            Some((day.parse().ok().filter(|_| is)?, id.clone()))
        };
        dated.filter_map(of).collect()
    }

    fn label(&self, id: &str) -> Option<&str> {
        Some(match self.get(id)? {
            Entry::Figure(figure) => &figure.label,
            Entry::Missing(missing) => &missing.label,
        })
    }
}
