//! What a rule of sharing weighs in the days in which a row falls: hectares, stems, metres, visits, other costs.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::{Decimal, prelude::FromPrimitive};

use crate::{
    project::{Payer, Period, Project, ShareBasis, Sharing, Work, slug},
    sharing::{
        RowShares, Settled, ground, is_for, owner_of,
        span::{self, Falling},
    },
};

/// What rules count, and what they counted already.
pub(super) struct Scale<'a> {
    project: &'a Project,
    plantings: &'a [RowShares],
    works: &'a [RowShares],
    /// Direct costs; `None` while they are not known.
    pub(super) costs: Option<Vec<DirectCost>>,
    /// Of a rule, a payer and days.
    known: BTreeMap<(usize, Payer, NaiveDate, NaiveDate), Decimal>,
}

/// A cost that a payer bears directly, without tax, on the day that counts for it.
pub(super) struct DirectCost {
    payer: Payer,
    day: NaiveDate,
    net: Decimal,
}

impl<'a> Scale<'a> {
    pub(super) fn new(project: &'a Project, plantings: &'a [RowShares], works: &'a [RowShares]) -> Scale<'a> {
        Scale { project, plantings, works, costs: None, known: BTreeMap::new() }
    }

    /// The shares by `rule`, which stands at `at`, of a row that falls so; `None` where nobody has any weight, or where the weights are costs
    /// that are not known yet.
    pub(super) fn shares(&mut self, at: usize, rule: &Sharing, falling: &Falling) -> Option<RowShares> {
        let measured = rule.between.iter().any(|(_, share)| share.is_some());
        // What was agreed in per cents stands, and what falls outside a term is listed there; what is measured is of those in force.
        let shares = |payer: &Payer| rule.by == ShareBasis::Fixed || falling.payers.contains(payer);
        let mut of = Vec::new();
        for (payer, stated) in rule.between.iter().filter(|(payer, _)| shares(payer)) {
            let weight = match (measured, rule.by) {
                (true, _) => stated.unwrap_or_default(),
                (false, ShareBasis::ShareOfDirectCost) => self.direct(payer, falling.within)?,
                (false, _) => self.weight(at, rule, payer, falling.within),
            };
            of.push((payer.clone(), weight));
        }
        let sum: Decimal = of.iter().map(|(_, weight)| weight).sum();
        if rule.by == ShareBasis::Fixed && sum < Decimal::ONE_HUNDRED {
            of.push((Payer::Unclaimed, Decimal::ONE_HUNDRED - sum));
        }
        let settled = Settled::Rule { at, within: falling.within };
        (sum > Decimal::ZERO).then_some(RowShares { of, settled })
    }

    fn direct(&self, payer: &Payer, within: Period) -> Option<Decimal> {
        let costs = self.costs.as_ref()?.iter();
        let own = costs.filter(|cost| cost.payer == *payer && within.holds(cost.day));
        // A refund of more than was paid weighs nothing.
        Some(own.map(|cost| cost.net).sum::<Decimal>().max(Decimal::ZERO))
    }

    fn weight(&mut self, at: usize, rule: &Sharing, payer: &Payer, within: Period) -> Decimal {
        let within = match payer {
            Payer::Agreement(id) => self.project.agreement(id).map_or(within, |agreement| {
                span::overlap(within, Period { from: agreement.earliest(), to: agreement.term.to })
            }),
            Payer::Own | Payer::Unclaimed => within,
        };
        let key = (at, payer.clone(), within.from, within.to);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let weight = Decimal::from_f64(self.quantity(rule, payer, within)).unwrap_or_default();
        self.known.insert(key, weight);
        weight
    }

    /// What `payer` has of what the rule counts, in those days.
    fn quantity(&self, rule: &Sharing, payer: &Payer, within: Period) -> f64 {
        let project = self.project;
        let works = || {
            let rows = project.works.iter().zip(self.works);
            rows.filter(|(work, _)| within.holds(work.date) && counts(rule, work))
        };
        match rule.by {
            ShareBasis::Area => ground::hectares_of(project, payer).0,
            ShareBasis::Stems => {
                let rows = project.plantings.iter().zip(self.plantings);
                let own = rows.filter(|(row, shares)| within.holds(row.date) && shares.owner() == payer);
                #[allow(
                    clippy::cast_precision_loss,
                    reason = "stems are far fewer than a float holds exactly"
                )]
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

/// The costs that each payer bears directly and may count: of rows that are shared by no rule of costs, without tax.
pub(super) fn direct_costs(project: &Project, shares: &[RowShares]) -> Vec<DirectCost> {
    let mut costs = Vec::new();
    for (row, shares) in project.spending.iter().zip(shares) {
        // A row that waits for these sums stands as nobody's until then.
        let waits = |rule: &Sharing| {
            rule.by == ShareBasis::ShareOfDirectCost
                && rule.holds(row.date)
                && is_for(&rule.lines, &rule.tasks, &row.line)
                && row.claims.is_empty()
        };
        if row.in_kind || project.sharing.iter().any(waits) {
            continue;
        }
        let net = row.amount - row.tax.unwrap_or_default();
        for (payer, _) in &shares.of {
            let day = match payer {
                Payer::Agreement(id) => project.agreement(id).and_then(|agreement| {
                    Some(agreement.dates.day(row)).filter(|day| agreement.admits(*day))
                }),
                Payer::Own | Payer::Unclaimed => Some(row.date),
            };
            if let Some(day) = day {
                costs.push(DirectCost { payer: payer.clone(), day, net: net.0 * shares.part(payer) });
            }
        }
    }
    costs
}
