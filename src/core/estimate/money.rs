//! The budget and what was spent of it, to the last decimal.

use rust_decimal::{Decimal, prelude::ToPrimitive};

use crate::{
    estimate::{Estimate, Finding, Gap, Interval, Method},
    project::{BudgetLine, BudgetSpan, Project, Spending, TaxBasis, TaxRecorded},
    source::Sources,
    units::{Hectares, Money, Share, Stems, set_percent},
};

/// Cash or in kind; the two are never set against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purse {
    /// Money that left the account.
    Cash,
    /// Given without money.
    InKind,
}

/// Payments of the period in `purse` on the lines that `keep` takes.
///
/// # Errors
/// There is no spending table.
pub fn spent(project: &Project, purse: Purse, keep: impl Fn(&Spending) -> bool) -> Finding<Money> {
    let period = project.period;
    sum_of(project, purse, |payment| period.holds(payment.counted_on) && keep(payment))
}

/// Payments up to the period's end in `purse` on the lines that `keep` takes.
///
/// # Errors
/// There is no spending table.
pub fn spent_to_date(project: &Project, purse: Purse, keep: impl Fn(&Spending) -> bool) -> Finding<Money> {
    let to = project.period.to;
    sum_of(project, purse, |payment| payment.counted_on <= to && keep(payment))
}

/// Payments that the budget is held against: those of the period where it is by year, else all up to the period's end.
///
/// # Errors
/// There is no spending table.
pub fn held_against_budget(
    project: &Project,
    purse: Purse,
    keep: impl Fn(&Spending) -> bool,
) -> Finding<Money> {
    match project.budget_span() {
        BudgetSpan::Year => spent(project, purse, keep),
        BudgetSpan::ToDate => spent_to_date(project, purse, keep),
    }
}

/// Whether cash was spent before the period: its money is then of more than one period.
#[must_use]
pub fn spans_years(project: &Project) -> bool {
    project.spending.iter().any(|payment| payment.counted_on < project.period.from && !payment.in_kind)
}

fn sum_of(project: &Project, purse: Purse, keep: impl Fn(&Spending) -> bool) -> Finding<Money> {
    if project.spending.is_empty() {
        return Err(Gap::TableMissing("spending"));
    }
    let in_kind = purse == Purse::InKind;
    let basis = project.money.acquit;
    let payments = || project.spending.iter().filter(|payment| payment.in_kind == in_kind && keep(payment));
    let sum = payments().map(|payment| payment.counted(basis)).sum();
    let sources: Sources = payments().map(|payment| &payment.source).collect();
    let tax = TaxRecorded::of(payments());
    Ok(Estimate::counted(sum, Method::MONEY_SUM, sources).note(match (basis, tax.unrecorded()) {
        (TaxBasis::Included, _) => "tax included".to_owned(),
        (TaxBasis::Excluded, None) => "tax excluded".to_owned(),
        (TaxBasis::Excluded, Some(_)) if tax.nowhere() => {
            "tax not recorded: amounts as paid, with any tax in them".to_owned()
        }
        (TaxBasis::Excluded, Some(unrecorded)) => format!("tax excluded; {unrecorded}"),
    }))
}

/// What was approved in `purse` on `lines`.
///
/// # Errors
/// There is no budget.
pub fn approved<'a>(lines: impl IntoIterator<Item = &'a BudgetLine>, purse: Purse) -> Finding<Money> {
    let lines: Vec<&BudgetLine> = lines.into_iter().collect();
    if lines.is_empty() {
        return Err(Gap::TableMissing("budget"));
    }
    let amount = |line: &&BudgetLine| match purse {
        Purse::Cash => line.cash,
        Purse::InKind => line.in_kind,
    };
    let sources = lines.iter().map(|line| &line.source).collect();
    Ok(Estimate::counted(lines.iter().map(amount).sum(), Method::MONEY_SUM, sources))
}

/// Spent less approved; more than nothing is over.
///
/// # Errors
/// One of the two is not known.
pub fn variance(spent: &Finding<Money>, approved: &Finding<Money>) -> Finding<Money> {
    let (spent, approved) = both(spent, approved)?;
    let sources = joined(&spent.sources, &approved.sources);
    Ok(Estimate::counted(spent.value - approved.value, Method::VARIANCE, sources))
}

/// Spent less approved over approved; notes where it passes `explain_beyond`, beyond which a reason is asked for.
///
/// # Errors
/// One of the two is not known, or nothing was approved.
pub fn variance_share(
    spent: &Finding<Money>,
    approved: &Finding<Money>,
    explain_beyond: Option<f64>,
) -> Finding<f64> {
    let (spent, approved) = both(spent, approved)?;
    let share =
        (spent.value - approved.value).0.checked_div(approved.value.0).and_then(|share| share.to_f64());
    let share = share.ok_or(Gap::NothingToDivideBy("approved money"))?;
    let sources = joined(&spent.sources, &approved.sources);
    let estimate = Estimate::counted(share, Method::VARIANCE_SHARE, sources);
    Ok(match explain_beyond {
        Some(limit) if share.abs() > limit => {
            estimate.note(format!("beyond {}: the agreement asks for a reason", set_percent(limit)))
        }
        _ => estimate,
    })
}

/// Money received and not spent by the period's end.
///
/// # Errors
/// There is no spending table, or neither the money received nor a budget is known.
pub fn unspent(project: &Project) -> Finding<Money> {
    let to = project.period.to;
    let spent = sum_of(project, Purse::Cash, |payment| payment.counted_on <= to)?;
    let (received, note) = match project.money.received {
        Some(received) => (Estimate::counted(received, Method::MONEY_SUM, Sources::default()), None),
        None => (approved(&project.budget, Purse::Cash)?, Some("the approved cash is taken as received")),
    };
    let sources = joined(&spent.sources, &received.sources);
    let mut estimate = Estimate::counted(received.value - spent.value, Method::UNSPENT, sources);
    estimate.notes.extend(note.map(str::to_owned));
    if estimate.value < Money::ZERO {
        estimate = estimate.note("overspent: more was spent than was received");
    }
    let earlier = |payment: &&Spending| payment.counted_on < project.period.from && !payment.in_kind;
    Ok(match project.spending.iter().filter(earlier).count() {
        0 => estimate,
        _ => estimate.note("payments before the period are taken off too"),
    })
}

/// Cash for each planted stem that lives.
///
/// # Errors
/// One of the three is not known, or no stem lives.
pub fn per_living_stem(
    spent: &Finding<Money>,
    stems: &Finding<Stems>,
    survival: &Finding<Share>,
) -> Finding<f64> {
    let (spent, stems) = both(spent, stems)?;
    let survival = survival.as_ref().map_err(Clone::clone)?;
    let cost = |share: Share| {
        let living = Decimal::from(stems.value.0).to_f64().unwrap_or_default() * share.part();
        (living > 0.0).then(|| spent.value.number() / living)
    };
    let value = cost(survival.value).ok_or(Gap::NothingToDivideBy("living stem"))?;
    let ends = survival.interval.and_then(|ends| {
        Some(Interval { low: cost(ends.high)?, high: cost(ends.low)?, confidence: ends.confidence })
    });
    let mut sources = joined(&spent.sources, &stems.sources);
    sources.join(&survival.sources);
    Ok(Estimate {
        value,
        interval: ends,
        sample: None,
        cautious: None,
        method: Method::PER_LIVING_STEM,
        sources,
        notes: Vec::new(),
    })
}

/// Cash for each plan hectare.
///
/// # Errors
/// One of the two is not known, or there is no ground.
pub fn per_hectare(spent: &Finding<Money>, area: &Finding<Hectares>) -> Finding<f64> {
    let (spent, area) = both(spent, area)?;
    if area.value.0 <= 0.0 {
        return Err(Gap::NothingToDivideBy("planting area"));
    }
    let sources = joined(&spent.sources, &area.sources);
    Ok(Estimate::counted(spent.value.number() / area.value.0, Method::PER_HECTARE, sources))
}

fn both<'a, A, B>(
    one: &'a Finding<A>,
    other: &'a Finding<B>,
) -> Result<(&'a Estimate<A>, &'a Estimate<B>), Gap> {
    Ok((one.as_ref().map_err(Clone::clone)?, other.as_ref().map_err(Clone::clone)?))
}

fn joined(one: &Sources, other: &Sources) -> Sources {
    let mut sources = one.clone();
    sources.join(other);
    sources
}
