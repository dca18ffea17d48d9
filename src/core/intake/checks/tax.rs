//! Tax that is a rate and no money, and tax that is worked out of the whole amount as if it were the price without it.

use rust_decimal::Decimal;

use crate::{
    intake::{
        checks::{money, say_of},
        suppliers::supplier,
    },
    problem::{Change, Problem, SecondReading, Slips},
    project::{Project, Spending},
    source::Row,
    units::{Money, as_written, number},
};

/// Standard rates of tax on sales by currency, per cent of the price without it (each country's revenue office; from memory).
const RATES: [(&str, i64); 7] =
    [("AUD", 10), ("NZD", 15), ("GBP", 20), ("ZAR", 15), ("FJD", 15), ("PGK", 10), ("JPY", 10)];

/// Payments from which one and the same tax is no chance, and how many times the least of them the largest must be (common practice,
/// no source).
const ENOUGH: usize = 3;
const APART: i64 = 2;

/// The highest rate that a tax on sales has, per cent: Hungary's 27 (European Commission, *VAT rates applied in the Member States*;
/// from memory).
const HIGHEST: i64 = 27;

/// One in so many payments may have another rate than the usual one (judgement).
const MOST_ALIKE: usize = 4;

/// What rounding to the cent may add to a sum of tax, in the currency.
const ROUNDED: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let taxed: Vec<(&Spending, Decimal)> = project
        .spending
        .iter()
        .filter_map(|payment| Some((payment, payment.tax?.0)))
        .filter(|(payment, tax)| tax.is_sign_positive() && !tax.is_zero() && payment.amount.0 > *tax)
        .collect();
    if !rate_for_money(project, &taxed, problems) {
        of_the_whole(project, &taxed, problems);
        if let Some(rate) = usual_rate(&taxed) {
            out_of_line(project, &taxed, rate, problems);
            left_out(project, &taxed, rate, problems);
        }
    }
}

/// The rate of tax, as a part of the price without it, that nearly all payments have; `None` where too few do.
fn usual_rate(taxed: &[(&Spending, Decimal)]) -> Option<Decimal> {
    let rate_of = |(payment, tax): &(&Spending, Decimal)| *tax / (payment.amount.0 - *tax);
    let (like, rate) = taxed
        .iter()
        .map(rate_of)
        .map(|rate| (taxed.iter().filter(|one| is_at(one, rate)).count(), rate))
        .max_by_key(|(like, _)| *like)?;
    let most = taxed.len() - taxed.len() / MOST_ALIKE;
    (like >= ENOUGH && like >= most).then(|| rate.round_dp(3))
}

/// Whether the tax of a payment is of `rate`, but for rounding to the cent on either side.
fn is_at((payment, tax): &(&Spending, Decimal), rate: Decimal) -> bool {
    let price = payment.amount.0 - *tax;
    (price * rate - *tax).abs() <= ROUNDED * Decimal::from(2) + price * Decimal::new(5, 4)
}

/// A tax of another rate than all the others: the amount or the tax has slipped.
fn out_of_line(
    project: &Project,
    taxed: &[(&Spending, Decimal)],
    rate: Decimal,
    problems: &mut Vec<Problem>,
) {
    let whole = Decimal::ONE;
    for one in taxed.iter().filter(|one| !is_at(one, rate)) {
        let (payment, tax) = *one;
        let price = payment.amount.0 - tax;
        // Tax of the whole amount has a word of its own.
        if (payment.amount.0 * rate - tax).abs() <= ROUNDED {
            continue;
        }
        let meant = tax * (whole + rate) / rate;
        let kind = Slips::TaxOutOfLine {
            tax: money(project, tax).into(),
            amount: money(project, payment.amount.0).into(),
            here: percent(tax / price),
            others: of_payments(taxed.len() - 1),
            rate: percent(rate),
            then: format!(
                "{} of this amount, or an amount of {}",
                money(project, (payment.amount.0 * rate / (whole + rate)).round_dp(2)),
                money(project, meant.round_dp(2))
            )
            .into(),
        };
        say_of(kind, [&payment.source], "tax", None, problems);
    }
}

/// No tax on a receipt of a payee who charged it on every other.
fn left_out(project: &Project, taxed: &[(&Spending, Decimal)], rate: Decimal, problems: &mut Vec<Problem>) {
    let named = |payment: &Spending| payment.payee.as_deref().map(supplier);
    let free = |row: &&Spending| row.tax.is_some_and(|tax| tax.0.is_zero()) && !row.in_kind;
    let free_of_tax = project.spending.iter().filter(free).count();
    for payment in &project.spending {
        let without = payment.tax.is_some_and(|tax| tax.0.is_zero()) && payment.amount.0.is_sign_positive();
        let Some(payee) = named(payment).filter(|_| without && !payment.in_kind) else { continue };
        let charged = taxed.iter().filter(|(other, _)| named(other).as_ref() == Some(&payee)).count();
        let free = project.spending.iter().filter(|other| {
            named(other).as_ref() == Some(&payee)
                && other.tax.is_some_and(|tax| tax.0.is_zero())
                && !other.in_kind
        });
        // The one payment of all without tax stands out too, whoever was paid.
        let only = taxed.len() >= MANY && free_of_tax == 1;
        if charged == 0 && !only || free.count() > 1 {
            continue;
        }
        let others = match charged {
            0 => format!("all {} others have tax in them, at", taxed.len()).into(),
            1 => "another payment to the same payee has it, at".into(),
            charged => format!("{charged} others to the same payee have it, at").into(),
        };
        let kind = Slips::TaxLeftOut {
            amount: money(project, payment.amount.0).into(),
            payee: payment.payee.clone().unwrap_or_default().into(),
            rate: percent(rate),
            others,
            then: money(project, (payment.amount.0 * (Decimal::ONE + rate)).round_dp(2)).into(),
        };
        say_of(kind, [&payment.source], "tax", None, problems);
    }
}

/// Payments with tax beside which a single one without it stands out (common practice, no source).
const MANY: usize = 8;

fn percent(part: Decimal) -> Box<str> {
    (part * Decimal::from(100)).round_dp(1).normalize().to_string().into()
}

fn of_payments(count: usize) -> Box<str> {
    match count {
        1 => "another payment".into(),
        count => format!("{count} others").into(),
    }
}

/// The same number beside every amount. Says whether it is so.
fn rate_for_money(project: &Project, taxed: &[(&Spending, Decimal)], problems: &mut Vec<Problem>) -> bool {
    let amounts = || taxed.iter().map(|(payment, _)| payment.amount.0);
    let (Some(least), Some(most), Some((_, tax))) = (amounts().min(), amounts().max(), taxed.first()) else {
        return false;
    };
    let same = taxed.iter().all(|(_, other)| other == tax);
    let rate = if *tax < Decimal::ONE { *tax * Decimal::from(100) } else { *tax };
    if taxed.len() < ENOUGH || !same || most < least * Decimal::from(APART) || rate > Decimal::from(HIGHEST) {
        return false;
    }
    let part = rate / (Decimal::from(100) + rate);
    let kind = Slips::TaxIsARate {
        written: tax.normalize().to_string().into(),
        count: taxed.len(),
        least: money(project, least).into(),
        most: money(project, most).into(),
        rate: rate.normalize().to_string().into(),
        as_rate: money(project, amounts().map(|amount| amount * part).sum()).into(),
        as_money: money(project, tax * Decimal::from(taxed.len())).into(),
    };
    let rate = Money(rate).number();
    tell(kind, Change::TaxAtRate(rate), taxed.iter().map(|(payment, _)| &payment.source), problems);
    true
}

/// Tax of the rate that is usual with the currency, but of the whole amount.
fn of_the_whole(project: &Project, taxed: &[(&Spending, Decimal)], problems: &mut Vec<Problem>) {
    let Some((_, rate)) = RATES.iter().find(|(currency, _)| *currency == project.identity.currency) else {
        return;
    };
    let part = Decimal::from(*rate) / Decimal::from(100);
    let inside = Decimal::from(*rate) / Decimal::from(100 + rate);
    // Of an amount so small that rounding hides the difference nothing can be said.
    let of_whole: Vec<&(&Spending, Decimal)> = taxed
        .iter()
        .filter(|(payment, tax)| {
            let amount = payment.amount.0;
            (amount * part - tax).abs() <= ROUNDED && (amount * (part - inside)) > ROUNDED * Decimal::from(5)
        })
        .collect();
    if of_whole.is_empty() {
        return;
    }
    let sum: Decimal = of_whole.iter().map(|(payment, _)| payment.amount.0).sum();
    let tax: Decimal = of_whole.iter().map(|(_, tax)| *tax).sum();
    let kind = Slips::TaxOfTheWhole {
        count: of_whole.len(),
        rate: as_written(Money(Decimal::from(*rate)).number()),
        inside: number(Money(inside).number() * 100.0, 2),
        as_read: format!("{} without tax and {}", money(project, sum - tax), money(project, sum)),
        as_price: format!("{} without and {} with it", money(project, sum), money(project, sum + tax)),
    };
    tell(kind, Change::TaxOnTop, of_whole.iter().map(|(payment, _)| &payment.source), problems);
}

fn tell<'a>(
    kind: Slips,
    change: Change,
    rows: impl Iterator<Item = &'a Row> + Clone,
    problems: &mut Vec<Problem>,
) {
    let other = SecondReading::of(change, rows.clone());
    say_of(kind, rows, "tax", Some(&other), problems);
}
