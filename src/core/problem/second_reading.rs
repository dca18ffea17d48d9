//! Second reading: another way in which rows could be taken, and what it would change in the figures.

use std::{fmt, sync::Arc};

use crate::source::{Row, Sources};

/// What else rows could say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A measure is to be multiplied.
    Times {
        /// What is measured.
        of: Measured,
        /// By what.
        factor: f64,
    },
    /// Day and month stand in each other's place.
    DayForMonth,
    /// The rows do not count.
    LeftOut,
    /// Readings of rain are totals that run on.
    RunningTotals,
    /// Tax is so many per cent of the price without it.
    TaxAtRate(f64),
    /// The amounts are without the tax that stands beside them.
    TaxOnTop,
    /// The rows are gifts.
    InKind,
    /// Living and lost stems of a tally stand under each other's name.
    AliveForLost,
    /// Ground that an earlier area has too is cut from the areas.
    CutBack,
}

/// A measure whose unit may be another than its column says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measured {
    /// Stem diameters.
    Diameter,
    /// Stem heights.
    Height,
    /// Cover in per cent.
    Cover,
    /// Benchmarks of cover, in per cent.
    Benchmark,
    /// The sides or the radius of plots.
    PlotSide,
    /// Hours of each person.
    Hours,
    /// Sums of money, with their tax.
    Amount,
    /// Rain of a day.
    Rain,
}

/// A figure that would be another, or a target that would stand otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Effect {
    /// The id of the target, where it is how a target stands.
    pub target: Option<String>,
    /// What the figure or the target is called on paper.
    pub label: String,
    /// As the rows are read; nothing where it can't be given.
    pub now: Option<String>,
    /// As it would be.
    pub then: Option<String>,
}

/// Another reading of some rows. The figures that it would change are worked out by the ledger, after the folder was checked.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondReading {
    /// What else the rows could say.
    pub change: Change,
    /// The rows.
    pub rows: Arc<Sources>,
    /// What it would change, the weightiest first.
    pub effects: Vec<Effect>,
}

impl SecondReading {
    /// Another reading of `rows`, its effects not yet known.
    pub fn of<'a>(change: Change, rows: impl IntoIterator<Item = &'a Row>) -> SecondReading {
        SecondReading { change, rows: Arc::new(rows.into_iter().collect()), effects: Vec::new() }
    }
}

impl fmt::Display for SecondReading {
    /// `; so Planted stems alive, all areas would be 91.0 % and not 82.0 %`; nothing where no figure changes.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, Effect { target, label, now, then }) in self.effects.iter().enumerate() {
            f.write_str(if at == 0 { "; so " } else { ", " })?;
            match (now, then) {
                (Some(now), Some(then)) if target.is_some() => {
                    write!(f, "“{label}”, {now} as it stands, would be {then}")?
                }
                (Some(now), Some(then)) => write!(f, "{label} would be {then} and not {now}")?,
                (Some(now), None) => write!(f, "{label}, {now} as it stands, could not be given")?,
                (None, Some(then)) => {
                    write!(f, "{label}, which can't be given as it stands, would be {then}")?
                }
                (None, None) => write!(f, "{label} would change")?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn effects_are_said_in_one_breath() {
        let effect = |label: &str, now: Option<&str>, then: Option<&str>| Effect {
            target: None,
            label: label.to_owned(),
            now: now.map(str::to_owned),
            then: then.map(str::to_owned),
        };
        let mut reading = SecondReading::of(Change::LeftOut, []);
        assert_eq!(reading.to_string(), "");
        reading.effects =
            vec![effect("Alive", Some("82 %"), Some("91 %")), effect("Carbon", Some("3 t"), None)];
        assert_eq!(
            reading.to_string(),
            "; so Alive would be 91 % and not 82 %, Carbon, 3 t as it stands, could not be given"
        );
        let verdict = effect("New fence", Some("not met"), Some("met"));
        reading.effects = vec![Effect { target: Some("fence".to_owned()), ..verdict }];
        assert_eq!(reading.to_string(), "; so “New fence”, not met as it stands, would be met");
    }
}
