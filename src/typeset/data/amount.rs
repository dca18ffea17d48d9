//! Numbers with their units, as they stand on paper.

use crate::{
    ledger::Figure,
    units::{Unit, number, percent},
};

/// The number with its unit.
pub(crate) fn text(figure: &Figure) -> String {
    with_unit(&bare(figure.value, &figure.unit), &figure.unit)
}

/// The number alone; a share as per cent.
pub(crate) fn number_text(figure: &Figure) -> String {
    bare(figure.value, &figure.unit)
}

/// The interval, such as `83.2–91.0 %`.
pub(crate) fn interval(figure: &Figure) -> Option<String> {
    figure.interval.map(|bounds| {
        let low = bare(bounds.low, &figure.unit);
        format!("{}–{}", low.trim_end_matches("\u{a0}%"), bare(bounds.high, &figure.unit))
    })
}

/// Another amount in the figure's unit, such as what a target asks.
pub(crate) fn in_unit_of(figure: &Figure, amount: f64) -> String {
    with_unit(&bare(amount, &figure.unit), &figure.unit)
}

fn bare(value: f64, unit: &Unit) -> String {
    match unit {
        Unit::Fraction => percent(value, unit.decimals()),
        _ => number(value, unit.decimals()),
    }
}

fn with_unit(bare: &str, unit: &Unit) -> String {
    match unit {
        Unit::Fraction | Unit::Count | Unit::Number => bare.to_owned(),
        Unit::Degrees => format!("{bare}°"),
        Unit::Currency(code) => format!("{code}\u{a0}{bare}"),
        _ => format!("{bare}\u{a0}{}", unit.code()),
    }
}
