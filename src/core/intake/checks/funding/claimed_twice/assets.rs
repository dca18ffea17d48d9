//! Assets: one that two agreements list, one that no payment bought, one bought outside the term.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::{
    intake::{
        checks::funding::{name, place, sum},
        nearest::folded,
        suppliers::receipt_number,
    },
    problem::{Funding, Place, Problem},
    project::{Agreement, Asset, Payer, Project, TaxBasis},
    sharing::{Cost, Shares},
    units::{day, span},
};

/// Days between buying a thing and paying for it within which a payment of its price is taken for it (judgement: a quarter).
const DAYS: i64 = 92;

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    twice(project, problems);
    for agreement in &project.agreements {
        let payer = Payer::Agreement(agreement.id.clone());
        let costs: Vec<Cost<'_>> = shares.costs(project, &payer).filter(|cost| !cost.row.in_kind).collect();
        // What is bought later is of the next period, and so are its payments.
        let until = agreement.period_beside(project.period).to;
        for asset in agreement.assets.iter().filter(|asset| asset.on <= until) {
            problems.extend(outside(agreement, asset));
            problems.extend(unnamed(project, agreement, asset, &costs));
            if !costs.iter().any(|cost| bought(asset, cost)) {
                let kind = Funding::AssetWithoutPayment {
                    asset: called(asset),
                    price: sum(project, asset.price),
                    agreement: name(&agreement.id),
                    by: match &asset.receipt {
                        Some(receipt) => format!("no payment of it has the receipt {receipt} and that sum"),
                        None => {
                            format!("no payment of it within {DAYS} days of {} is of that sum", day(asset.on))
                        }
                    },
                };
                problems.push(Problem::new(kind, Place::row(&asset.source).column("price")));
            }
        }
    }
}

/// An asset in words.
fn called(asset: &Asset) -> String {
    match &asset.serial {
        Some(serial) => format!("{} ({serial})", asset.words),
        None => asset.words.clone(),
    }
}

/// Whether a payment bought the asset: by the number of its receipt, on which it may be one thing of several; else by its price and day.
pub(crate) fn bought(asset: &Asset, cost: &Cost<'_>) -> bool {
    let row = cost.row;
    let sums = [row.amount, row.counted(TaxBasis::Excluded), cost.paid, cost.by(TaxBasis::Excluded)];
    match &asset.receipt {
        Some(receipt) => {
            let known = |number: &str| receipt_number(number).unwrap_or_else(|| folded(number));
            row.receipt.as_deref().map(known) == Some(known(receipt))
                && sums.iter().any(|sum| asset.price <= *sum)
        }
        None => sums.contains(&asset.price) && days_between(row.date, asset.on) <= DAYS,
    }
}

/// An asset that names no receipt, and the payment with one that fits its price and day.
fn unnamed(project: &Project, agreement: &Agreement, asset: &Asset, costs: &[Cost<'_>]) -> Option<Problem> {
    if asset.receipt.is_some() {
        return None;
    }
    let numbered = |cost: &&Cost<'_>| cost.row.receipt.as_ref().is_some_and(|one| !one.trim().is_empty());
    let row = costs.iter().filter(|cost| bought(asset, cost)).find(numbered)?.row;
    let receipt = row.receipt.as_deref().unwrap_or_default().trim().to_owned();
    let payee = row.payee.as_ref().map(|payee| format!(" of {}", payee.trim())).unwrap_or_default();
    let kind = Funding::AssetReceiptUnnamed {
        asset: called(asset),
        price: sum(project, asset.price),
        agreement: name(&agreement.id),
        payment: format!("receipt {receipt}{payee} in {}", place(&row.source)),
        receipt,
    };
    Some(Problem::new(kind, Place::row(&asset.source).column("receipt")))
}

fn days_between(one: NaiveDate, other: NaiveDate) -> i64 {
    (one - other).num_days().abs()
}

fn outside(agreement: &Agreement, asset: &Asset) -> Option<Problem> {
    let side = match (asset.on < agreement.term.from, asset.on > agreement.term.to) {
        (true, _) => "before",
        (_, true) => "after",
        _ => return None,
    };
    let kind = Funding::AssetOutsideTerm {
        asset: called(asset),
        day: day(asset.on),
        side,
        agreement: name(&agreement.id),
        term: format!("{}, in {}", span(agreement.term.from, agreement.term.to), place(&agreement.source)),
    };
    Some(Problem::new(kind, Place::row(&asset.source).column("on")))
}

/// One thing in two registers, or twice in one: by its serial number; without one, under two agreements, by its words, day and price, or by
/// its receipt, day and price.
fn twice(project: &Project, problems: &mut Vec<Problem>) {
    let mut serials: BTreeMap<String, (&Agreement, &Asset)> = BTreeMap::new();
    let mut things: BTreeMap<_, (&Agreement, &Asset)> = BTreeMap::new();
    let mut receipts: BTreeMap<_, (&Agreement, &Asset)> = BTreeMap::new();
    let assets = project.agreements.iter().flat_map(|one| one.assets.iter().map(move |asset| (one, asset)));
    for (agreement, asset) in assets {
        let serial: Option<String> = asset
            .serial
            .as_deref()
            .map(|serial| folded(serial).chars().filter(|letter| letter.is_alphanumeric()).collect());
        let this = (agreement, asset);
        let number = asset.receipt.as_deref().and_then(receipt_number);
        let bought = number.and_then(|number| known(&mut receipts, (number, asset.on, asset.price), this));
        let earlier = match serial {
            // Two serial numbers are two things, and were bought together.
            Some(serial) if !serial.is_empty() => known(&mut serials, serial, this)
                .or(bought.filter(|(first, other)| other.serial.is_none() && first.id != agreement.id)),
            _ => known(&mut things, (folded(&asset.words), asset.on, asset.price), this)
                .or(bought)
                .filter(|(first, _)| first.id != agreement.id),
        };
        if let Some((first, other)) = earlier {
            let kind = Funding::AssetListedTwice {
                asset: called(asset),
                by: format!("by {} here and by {} in {}", agreement.id, first.id, place(&other.source)),
            };
            problems.push(Problem::new(kind, Place::row(&asset.source).column("serial")));
        }
    }
}

/// What stands under `key` already; `this` if nothing does from now on.
fn known<'a, K: Ord>(
    all: &mut BTreeMap<K, (&'a Agreement, &'a Asset)>,
    key: K,
    this: (&'a Agreement, &'a Asset),
) -> Option<(&'a Agreement, &'a Asset)> {
    let before = all.get(&key).copied();
    all.entry(key).or_insert(this);
    before
}
