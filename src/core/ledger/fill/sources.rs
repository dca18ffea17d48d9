//! The statement by source: what each agreement and the landholder gave, spent, and has to show for it.

use crate::{
    estimate::{Estimate, Finding, Method, Quantity, sources::Place},
    ledger::{Ledger, Member, Series, catalogue, fill::FillContext},
    project::{Basis, Payer, Project, slug},
    units::{Hectares, Hours, Money, Stems, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    let Some(place) = Place::of(project) else { return };
    let unit = Unit::Currency(project.identity.currency.clone());
    let payers = place.payers();
    let mut each = |series: &Series, of: &dyn Fn(&Payer) -> Estimate<Money>| -> Money {
        let parts: Vec<Estimate<Money>> = payers.iter().map(of).collect();
        let all = total(&parts, Money(parts.iter().map(|part| part.value.0).sum()));
        let sum = all.value;
        for (payer, part) in payers.iter().zip(parts) {
            ledger.enter_named(series.named([member(project, payer)]).measured_in(unit.clone()), Ok(part));
        }
        ledger.enter_named(series.named([everybody()]).measured_in(unit.clone()), Ok(all));
        sum
    };
    each(&catalogue::SOURCE_RECEIVED, &|payer| place.received(payer).0);
    each(&catalogue::SOURCE_INTEREST, &|payer| place.received(payer).1);
    let cash = each(&catalogue::SOURCE_SPENT, &|payer| place.spent(payer, None));
    each(&catalogue::SOURCE_UNSPENT, &|payer| place.unspent(payer));
    let kind = each(&catalogue::SOURCE_IN_KIND, &|payer| place.in_kind(payer));
    for line in place.lines() {
        let parts: Vec<Estimate<Money>> =
            payers.iter().map(|payer| place.spent(payer, Some(&line))).collect();
        let all = total(&parts, Money(parts.iter().map(|part| part.value.0).sum()));
        let named = |member: Member| {
            let line = Member::new(slug(&line), line.as_str());
            catalogue::SOURCE_SPENT_LINE.named([line, member]).measured_in(unit.clone())
        };
        for (payer, part) in payers.iter().zip(parts) {
            ledger.enter_named(named(member(project, payer)), Ok(part));
        }
        ledger.enter_named(named(everybody()), Ok(all));
    }
    let value = place.volunteer_value();
    let given = kind + value.as_ref().map_or(Money::ZERO, |value| value.value);
    ledger.enter_named(catalogue::SOURCE_VOLUNTEERS.named([]).measured_in(unit.clone()), value);
    ledger.enter_named(catalogue::SOURCE_OUTSIDE.named([]).measured_in(unit), Ok(place.outside()));
    for payer in &payers {
        let of_cash = place.part_of(payer, cash, "all cash");
        ledger.enter_named(catalogue::SOURCE_PART_OF_CASH.named([member(project, payer)]), of_cash);
        let of_all = place.part_of(payer, cash + given, "all cash and all given in kind");
        ledger.enter_named(catalogue::SOURCE_PART_OF_ALL.named([member(project, payer)]), of_all);
    }
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
