//! What a rule of sharing weighs: hectares, stems, metres, visits, other costs.

use std::collections::BTreeMap;

use rust_decimal::{Decimal, prelude::FromPrimitive};

use crate::{
    project::{Payer, Project, ShareBasis, Sharing, Work, slug},
    sharing::{RowShares, ground, owner_of},
};

/// What rules count.
pub(super) struct Counted<'a> {
    pub(super) project: &'a Project,
    pub(super) plantings: &'a [RowShares],
    pub(super) works: &'a [RowShares],
}

/// The payers of `rule` with their weights; `None` where they have none, or where the weights are costs that are not known yet.
pub(super) fn of(
    rule: &Sharing,
    counted: &Counted<'_>,
    costs: Option<&[(Payer, Decimal)]>,
) -> Option<Vec<(Payer, Decimal)>> {
    let measured = rule.between.iter().any(|(_, share)| share.is_some());
    let mut of: Vec<(Payer, Decimal)> = match rule.by {
        ShareBasis::ShareOfDirectCost if !measured => {
            let costs = costs?;
            let cost = |payer: &Payer| {
                costs.iter().find(|(one, _)| one == payer).map_or(Decimal::ZERO, |(_, sum)| *sum)
            };
            rule.between.iter().map(|(payer, _)| (payer.clone(), cost(payer))).collect()
        }
        _ if measured => {
            rule.between.iter().map(|(payer, share)| (payer.clone(), share.unwrap_or_default())).collect()
        }
        by => {
            let weight =
                |payer: &Payer| Decimal::from_f64(quantity(rule, by, counted, payer)).unwrap_or_default();
            rule.between.iter().map(|(payer, _)| (payer.clone(), weight(payer))).collect()
        }
    };
    let sum: Decimal = of.iter().map(|(_, weight)| weight).sum();
    if rule.by == ShareBasis::Fixed && sum < Decimal::ONE_HUNDRED {
        of.push((Payer::Unclaimed, Decimal::ONE_HUNDRED - sum));
    }
    (sum > Decimal::ZERO).then_some(of)
}

/// What `payer` has of what the rule counts, in the rule's days.
fn quantity(rule: &Sharing, by: ShareBasis, counted: &Counted<'_>, payer: &Payer) -> f64 {
    let project = counted.project;
    let works = || {
        let rows = project.works.iter().zip(counted.works);
        rows.filter(|(work, _)| rule.holds(work.date) && counts(rule, work))
    };
    match by {
        ShareBasis::Area => ground::hectares_of(project, payer).0,
        ShareBasis::Stems => {
            let rows = project.plantings.iter().zip(counted.plantings);
            let own = rows.filter(|(row, shares)| rule.holds(row.date) && shares.owner() == payer);
            #[allow(clippy::cast_precision_loss, reason = "stems are far fewer than a float holds exactly")]
            own.map(|(row, _)| row.stems.0 as f64).sum()
        }
        ShareBasis::Metres => works()
            .filter(|(work, shares)| is_metres(work) && shares.owner() == payer)
            .filter_map(|(work, _)| work.quantity)
            .sum(),
        ShareBasis::HectaresTimesVisits => {
            // A row a visit; of one that names no ground nobody knows how much was gone over.
            let visits = works().filter_map(|(work, _)| {
                let area = work.area.as_ref().and_then(|area| project.area(area))?;
                (owner_of(project, &area.id) == *payer).then(|| ground::hectares(area))
            });
            visits.sum()
        }
        ShareBasis::ShareOfDirectCost | ShareBasis::Fixed => 0.0,
    }
}

fn counts(rule: &Sharing, work: &Work) -> bool {
    let tasks = if rule.count.is_empty() { &rule.tasks } else { &rule.count };
    tasks.is_empty() || tasks.iter().any(|task| slug(task) == slug(&work.task))
}

/// Whether a work's quantity is in metres.
pub(super) fn is_metres(work: &Work) -> bool {
    let unit = work.unit.as_deref().unwrap_or_default().trim().to_lowercase();
    ["m", "metre", "metres", "meter", "meters"].contains(&unit.as_str())
}

/// The costs that each payer bears directly: of rows that are shared by no rule of costs, without tax.
pub(super) fn direct_costs(project: &Project, shares: &[RowShares]) -> Vec<(Payer, Decimal)> {
    let mut costs: BTreeMap<Payer, Decimal> = BTreeMap::new();
    for (row, shares) in project.spending.iter().zip(shares) {
        // A row that waits for this sum stands as nobody's until then.
        let waits = |rule: &Sharing| {
            rule.by == ShareBasis::ShareOfDirectCost
                && rule.holds(row.date)
                && crate::sharing::is_for(&rule.lines, &rule.tasks, &row.line)
                && row.claims.is_empty()
        };
        if row.in_kind || project.sharing.iter().any(waits) {
            continue;
        }
        for part in &shares.of {
            let net = row.amount - row.tax.unwrap_or_default();
            *costs.entry(part.0.clone()).or_default() += net.0 * shares.part(&part.0);
        }
    }
    costs.into_iter().collect()
}
