//! The statement by source: what each agreement and the landholder gave, spent, and has to show for it.

use crate::{
    estimate::{Estimate, Finding, Gap, Method, Quantity, sources::Place},
    ledger::{Ledger, Member, Series, catalogue, fill::FillContext},
    project::{Basis, Payer, Project, TaxBasis, slug},
    units::{Hectares, Hours, Money, Stems, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    let Some(place) = Place::of(project) else { return };
    let unit = Unit::Currency(project.identity.currency.clone());
    let payers = place.payers();
    let everybody = all_columns(&place);
    // What a payer has by its own rule of tax, and what all have by each rule that is asked for.
    let mut each = |series: &Series, line: Option<&str>, of: &dyn Fn(&Payer, TaxBasis) -> Estimate<Money>| {
        let named = |member: Member| match line {
            Some(line) => series.named([Member::new(slug(line), line), member]),
            None => series.named([member]),
        };
        for payer in &payers {
            let part = of(payer, place.basis(payer));
            ledger.enter_named(named(member(project, payer)).measured_in(unit.clone()), Ok(part));
        }
        let mut sums = Vec::new();
        for (all, basis) in &everybody {
            let parts: Vec<Estimate<Money>> = payers.iter().map(|payer| of(payer, *basis)).collect();
            let sum = total(&parts, Money(parts.iter().map(|part| part.value.0).sum()));
            sums.push((*basis, sum.value));
            ledger.enter_named(named(all.clone()).measured_in(unit.clone()), Ok(sum));
        }
        sums
    };
    each(&catalogue::SOURCE_RECEIVED, None, &|payer, _| place.received(payer).0);
    let cash = each(&catalogue::SOURCE_SPENT, None, &|payer, basis| place.spent_by(payer, None, basis));
    let kind = each(&catalogue::SOURCE_IN_KIND, None, &|payer, basis| place.in_kind(payer, basis));
    for line in place.lines() {
        each(&catalogue::SOURCE_SPENT_LINE, Some(&line), &|payer, basis| {
            place.spent_by(payer, Some(&line), basis)
        });
    }
    unspent(ledger, project, &place, &payers);
    interest(ledger, project, &place, &payers);
    let value = place.volunteer_value();
    let hours = value.as_ref().map_or(Money::ZERO, |value| value.value);
    ledger.enter_named(catalogue::SOURCE_VOLUNTEERS.named([]).measured_in(unit.clone()), value);
    ledger.enter_named(catalogue::SOURCE_OUTSIDE.named([]).measured_in(unit), Ok(place.outside()));
    // Parts make the whole only if all count alike: by the only rule of tax there is, else by the place's own.
    let by = place.only_basis().unwrap_or(project.money.acquit);
    let whole = |sums: &[(TaxBasis, Money)]| {
        sums.iter().find(|(basis, _)| *basis == by).map_or(Money::ZERO, |(_, sum)| *sum)
    };
    let (cash, given) = (whole(&cash), whole(&kind) + hours);
    for payer in &payers {
        let of_cash = place.part_of(payer, by, cash, "all cash");
        ledger.enter_named(catalogue::SOURCE_PART_OF_CASH.named([member(project, payer)]), of_cash);
        let of_all = place.part_of(payer, by, cash + given, "all cash and all given in kind");
        ledger.enter_named(catalogue::SOURCE_PART_OF_ALL.named([member(project, payer)]), of_all);
    }
    let part = place.given_of(given, cash + given);
    let member = Member::new("given", "in kind and by volunteers");
    ledger.enter_named(catalogue::SOURCE_PART_OF_ALL.named([member]), part);
    for basis in Basis::ALL {
        let parts: Vec<Estimate<Hours>> = payers.iter().map(|payer| place.hours(payer, basis)).collect();
        let all = total(&parts, Hours(parts.iter().map(|part| part.value.0).sum()));
        outputs(ledger, &catalogue::SOURCE_HOURS, Some(basis), project, &payers, parts, all);
    }
    let stems: Vec<Estimate<Stems>> = payers.iter().map(|payer| place.stems(payer)).collect();
    let all = total(&stems, Stems(stems.iter().map(|part| part.value.0).sum()));
    outputs(ledger, &catalogue::SOURCE_STEMS, None, project, &payers, stems, all);
    let ground: Vec<Estimate<Hectares>> = payers.iter().map(|payer| place.hectares(payer)).collect();
    let all = total(&ground, Hectares(ground.iter().map(|part| part.value.0).sum()));
    outputs(ledger, &catalogue::SOURCE_HECTARES, None, project, &payers, ground, all);
}

fn outputs<Q: Quantity>(
    ledger: &mut Ledger,
    series: &Series,
    basis: Option<Basis>,
    project: &Project,
    payers: &[Payer],
    parts: Vec<Estimate<Q>>,
    all: Estimate<Q>,
) {
    let named = |payer: Member| match basis {
        Some(basis) => series.named([basis.words().into(), payer]),
        None => series.named([payer]),
    };
    for (payer, part) in payers.iter().zip(parts) {
        ledger.enter_named(named(member(project, payer)), Ok(part));
    }
    let all: Finding<Q> = Ok(all);
    ledger.enter_named(named(everybody()), all);
}

/// What each payer has left, and what all have where they count by one rule of tax.
fn unspent(ledger: &mut Ledger, project: &Project, place: &Place<'_>, payers: &[Payer]) {
    let unit = Unit::Currency(project.identity.currency.clone());
    let parts: Vec<Estimate<Money>> = payers.iter().map(|payer| place.unspent(payer)).collect();
    if place.only_basis().is_some() {
        let all = total(&parts, Money(parts.iter().map(|part| part.value.0).sum()));
        let named = catalogue::SOURCE_UNSPENT.named([everybody()]).measured_in(unit.clone());
        ledger.enter_named(named, Ok(all));
    }
    for (payer, part) in payers.iter().zip(parts) {
        let named = catalogue::SOURCE_UNSPENT.named([member(project, payer)]).measured_in(unit.clone());
        let named = named.overspent(part.value < Money::ZERO);
        ledger.enter_named(named, Ok(part));
    }
}

/// The interest of each payer, and of all: of whom nobody wrote any down it is not stated.
fn interest(ledger: &mut Ledger, project: &Project, place: &Place<'_>, payers: &[Payer]) {
    let unit = Unit::Currency(project.identity.currency.clone());
    let stated = |payer: &Payer| match payer {
        Payer::Agreement(id) => project.agreement(id).is_some_and(|one| !one.interest.is_empty()),
        Payer::Own | Payer::Unclaimed => false,
    };
    let mut enter = |member: Member, finding: Finding<Money>| {
        ledger.enter_named(catalogue::SOURCE_INTEREST.named([member]).measured_in(unit.clone()), finding);
    };
    let unknown = || Gap::NotSet("agreement.interest");
    let mut parts = Vec::new();
    for payer in payers {
        let found = if stated(payer) { Ok(place.received(payer).1) } else { Err(unknown()) };
        parts.extend(found.clone());
        enter(member(project, payer), found);
    }
    let all = || match parts.is_empty() {
        true => Err(unknown()),
        false => Ok(total(&parts, Money(parts.iter().map(|part| part.value.0).sum()))),
    };
    for (member, _) in all_columns(place) {
        enter(member, all());
    }
}

/// The columns of all payers together: one, or where some count with tax and some without, one by each rule.
fn all_columns(place: &Place<'_>) -> Vec<(Member, TaxBasis)> {
    match place.only_basis() {
        Some(basis) => vec![(everybody(), basis)],
        None => vec![
            (Member::new("all-without-tax", "all sources, tax excluded"), TaxBasis::Excluded),
            (Member::new("all-with-tax", "all sources, tax included"), TaxBasis::Included),
        ],
    }
}

/// All parts together.
fn total<Q>(parts: &[Estimate<Q>], sum: Q) -> Estimate<Q> {
    let mut sources = crate::source::Sources::default();
    parts.iter().for_each(|part| sources.join(&part.sources));
    Estimate::counted(sum, Method::ALL_SOURCES, sources)
}

fn everybody() -> Member {
    Member::new("all", "all sources")
}

/// The payer as the ledger calls it: an agreement by its funder where that is known.
fn member(project: &Project, payer: &Payer) -> Member {
    let words = match payer {
        Payer::Agreement(id) => {
            let funder = project.agreement(id).and_then(|one| one.funder.clone());
            funder.map_or_else(|| id.to_string(), |funder| format!("{funder} ({id})"))
        }
        Payer::Own => "the landholder’s own".to_owned(),
        Payer::Unclaimed => "unclaimed".to_owned(),
    };
    Member::new(payer.code(), words)
}
