//! How the part of an agreement in a shared payment was worked out, in words for its own papers: the rule, what it weighed and the share. Of
//! the others their sum alone is told, never who they are.

use chrono::NaiveDate;
use rust_decimal::{Decimal, prelude::ToPrimitive};

use crate::{
    project::{Payer, Project, ShareBasis, Spending},
    sharing::{RowShares, Settled},
    units::{day, number, percent, span},
};

/// What is told of `payer`'s part in `row`; `None` where the whole of it is its own.
#[must_use]
pub fn told(project: &Project, row: &Spending, shares: &RowShares, payer: &Payer) -> Option<String> {
    let part = shares.part(payer);
    if part == Decimal::ONE || part == Decimal::ZERO {
        return None;
    }
    let currency = &project.identity.currency;
    let sum = format!("{currency}\u{a0}{}", number(row.amount.number(), 2));
    let share = percent(part.to_f64().unwrap_or_default(), 2);
    let whole = format!("{share} of {sum}");
    let Settled::Rule { at, within } = shares.settled else {
        return Some(format!("{whole}, as the row itself says"));
    };
    let rule = project.sharing.get(at)?;
    let weight = |of: Decimal, digits| number(of.to_f64().unwrap_or_default(), digits);
    let own: Decimal = shares.of.iter().filter(|(one, _)| one == payer).map(|(_, weight)| *weight).sum();
    let all: Decimal = shares.of.iter().map(|(_, weight)| *weight).sum();
    let stated = rule.between.iter().any(|(_, share)| share.is_some());
    let (unit, digits) = match rule.by {
        _ if stated => ("parts", 2),
        ShareBasis::Area => ("ha of ground", 2),
        ShareBasis::Stems => ("stems planted", 0),
        ShareBasis::Metres => ("m", 1),
        ShareBasis::HectaresTimesVisits => ("ha times visits", 2),
        ShareBasis::ShareOfDirectCost | ShareBasis::Fixed => ("parts", 2),
    };
    let weighed = match rule.by {
        ShareBasis::Fixed => "by per cents that were agreed".to_owned(),
        // What the others spent could be told from their sum.
        ShareBasis::ShareOfDirectCost => format!("{share} of the direct cost, tax excluded,"),
        _ => format!("{} of {} {unit}", weight(own, digits), weight(all, digits)),
    };
    let days = match rule.by {
        ShareBasis::Fixed | ShareBasis::Area => String::new(),
        _ if stated => String::new(),
        _ if within.from == NaiveDate::MIN => format!(" up to {}", day(within.to)),
        // A job is shared by all that was done in its period, and not by what was done in its own days.
        _ => format!(
            " in the whole period from {}, whatever the days of this one",
            span(within.from, within.to)
        ),
    };
    let basis = rule.basis.trim().trim_end_matches('.');
    Some(format!("{whole}: {weighed}{days} ({basis}; decided {})", day(rule.decided)))
}
