//! Who pays for what: each row of the records shared out among the agreements, once.
//!
//! A row that names its payers is theirs. One that names none is shared out by the first rule that fits it, else it is of the
//! only agreement in whose ground and term it lies, else the landholder's own. A rule weighs what was done in the reporting period in
//! which the row falls, among those in force then, so that rows of a later year change nothing of an earlier. Money is shared out to
//! the cent, hours by the same shares; what is counted (stems, hectares, metres) has one owner, who holds the largest share.

mod as_at;
mod budget;
mod cents;
mod ground;
mod silent;
mod span;
mod told;
mod told_of;
mod view;
mod weights;
mod years;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::{
    project::{
        Agreement, AgreementKind, AreaId, Claims, Payer, Period, Planting, Project, Sharing, Spending, Work,
        slug,
    },
    source::Row,
    units::{Hours, Money},
};

pub use as_at::as_at_the_end;
pub use budget::{BudgetOf, budget_lines};
pub use cents::shared_out;
pub(crate) use ground::hectares;
pub use ground::{hectares_of, owner_of};
pub use silent::is_silent;
pub use told::told;
pub use told_of::{binds, plans, tells_of, told_to};
pub(crate) use view::concerns;
pub use view::seen_by;
pub use years::{Cost, FinancialYears, YearAccount, accounts};

/// How it was settled who pays for a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Settled {
    /// The row says so.
    Named,
    /// By a rule.
    Rule {
        /// Its place in the list.
        at: usize,
        /// The days of what it counted.
        within: Period,
    },
    /// By the only agreement that it lies in.
    Only,
    /// It lies in no agreement.
    Nobody,
    /// It lies in several, and nothing says which.
    Unclear(Vec<Payer>),
}

/// The shares of one row: payers in the order of `project.toml`, each with its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct RowShares {
    /// Payers and weights; only their proportions count.
    pub of: Vec<(Payer, Decimal)>,
    /// How it was settled.
    pub settled: Settled,
}

/// The part of one payment that a payer bears.
#[derive(Debug, Clone, PartialEq)]
pub struct PaidShare {
    /// Who.
    pub payer: Payer,
    /// The amount, tax in it.
    pub amount: Money,
    /// The tax in it; `None` where the payment records none.
    pub tax: Option<Money>,
    /// Whether its day lies where the agreement admits costs; those of others are listed and not counted.
    pub admitted: bool,
}

/// Who pays for every row of a project.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shares {
    /// Of each payment, in the order of the table.
    pub spending: Vec<(RowShares, Vec<PaidShare>)>,
    /// Of each work.
    pub works: Vec<RowShares>,
    /// Of each planting.
    pub plantings: Vec<RowShares>,
}

impl Shares {
    /// The shares of `project`, whose rows name its agreements; none where it has no agreement.
    #[must_use]
    pub fn of(project: &Project) -> Shares {
        if project.agreements.is_empty() {
            return Shares::default();
        }
        let plantings: Vec<RowShares> =
            project.plantings.iter().map(|row| of_planting(project, row)).collect();
        let mut works: Vec<RowShares> = project.works.iter().map(|row| of_work(project, row, None)).collect();
        let first = works.clone();
        let mut scale = weights::Scale::new(project, &plantings, &first);
        for (at, row) in project.works.iter().enumerate() {
            works[at] = of_work(project, row, Some(&mut scale));
        }
        let mut scale = weights::Scale::new(project, &plantings, &works);
        let direct: Vec<RowShares> =
            project.spending.iter().map(|row| of_payment(project, row, &mut scale)).collect();
        scale.costs = Some(weights::direct_costs(project, &direct));
        let mut spending = Vec::with_capacity(project.spending.len());
        for row in &project.spending {
            let shares = of_payment(project, row, &mut scale);
            let paid = paid(project, row, &shares);
            spending.push((shares, paid));
        }
        Shares { spending, works, plantings }
    }
}

impl RowShares {
    fn alone(payer: Payer, settled: Settled) -> RowShares {
        RowShares { of: vec![(payer, Decimal::ONE)], settled }
    }

    /// Who owns what can't be shared out: the largest share, of equal ones the first.
    #[must_use]
    pub fn owner(&self) -> &Payer {
        let mut largest: Option<&(Payer, Decimal)> = None;
        for share in &self.of {
            if largest.is_none_or(|(_, most)| share.1 > *most) {
                largest = Some(share);
            }
        }
        largest.map_or(&Payer::Own, |(payer, _)| payer)
    }

    /// The part of the whole that `payer` bears, 0 to 1.
    #[must_use]
    pub fn part(&self, payer: &Payer) -> Decimal {
        let total: Decimal = self.of.iter().map(|(_, weight)| weight).sum();
        let own: Decimal = self.of.iter().filter(|(one, _)| one == payer).map(|(_, weight)| weight).sum();
        own.checked_div(total).unwrap_or_default()
    }

    /// The hours of `whole` that `payer` bears: shared out to the hundredth, as cents are, so that the parts make the whole.
    #[must_use]
    pub fn hours(&self, payer: &Payer, whole: Hours) -> Hours {
        let Ok(sum) = Decimal::try_from(whole.0) else { return Hours(0.0) };
        let weights: Vec<Decimal> = self.of.iter().map(|(_, weight)| *weight).collect();
        let parts = shared_out(Money(sum), &weights);
        let own = self.of.iter().zip(parts).filter(|((one, _), _)| one == payer);
        Hours(own.map(|(_, part)| part).sum::<Money>().number())
    }
}

/// The shares that a row claims, with what they leave over.
fn named(claims: &Claims) -> Option<RowShares> {
    if claims.is_empty() {
        return None;
    }
    let mut of = claims.0.clone();
    let left = Decimal::ONE_HUNDRED - claims.sum();
    if left > Decimal::ZERO {
        of.push((Payer::Unclaimed, left));
    }
    Some(RowShares { of, settled: Settled::Named })
}

/// The only one of `candidates`, or what is unclear.
fn only(candidates: Vec<&Agreement>) -> RowShares {
    let payer = |agreement: &&Agreement| Payer::Agreement(agreement.id.clone());
    match candidates.as_slice() {
        [] => RowShares::alone(Payer::Own, Settled::Nobody),
        [one] => RowShares::alone(payer(one), Settled::Only),
        several => RowShares::alone(Payer::Own, Settled::Unclear(several.iter().map(payer).collect())),
    }
}

/// Agreements in whose term and ground a row lies. A row of the whole site lies in the ground of those that have all of it, else of any.
fn holding<'p>(project: &'p Project, day: NaiveDate, area: Option<&AreaId>) -> Vec<&'p Agreement> {
    let admitting = || project.agreements.iter().filter(|agreement| agreement.admits(day));
    match area {
        Some(area) => admitting().filter(|agreement| agreement.covers(area)).collect(),
        None => admitting().collect(),
    }
}

fn of_planting(project: &Project, row: &Planting) -> RowShares {
    named(&row.claims).unwrap_or_else(|| only(holding(project, row.date, Some(&row.area))))
}

fn rule(project: &Project, fits: impl Fn(&Sharing) -> bool) -> Option<(usize, &Sharing)> {
    project.sharing.iter().enumerate().find(|(_, rule)| fits(rule))
}

/// A row that names nobody, whose rule finds nothing to weigh in the days in which it falls, or nobody in force.
#[derive(Debug, Clone, Copy)]
pub struct Unweighed<'p> {
    /// The rule that fits it.
    pub rule: &'p Sharing,
    /// Where the row stands.
    pub source: &'p Row,
    /// Its line or task.
    pub name: &'p str,
    /// The days that were looked at.
    pub within: Period,
    /// Whether any payer of the rule was in force.
    pub in_force: bool,
}

/// Every such row of `project`, whose shares these are.
pub fn unweighed<'p>(project: &'p Project, shares: &'p Shares) -> impl Iterator<Item = Unweighed<'p>> {
    let unruled = |of: &RowShares| !matches!(of.settled, Settled::Rule { .. } | Settled::Named);
    let spending = project.spending.iter().zip(&shares.spending);
    let spending = spending.filter(move |(_, (of, _))| unruled(of)).filter_map(|(row, _)| {
        let fits = |rule: &Sharing| is_for(&rule.lines, &rule.tasks, &row.line) && rule.holds(row.date);
        let (_, rule) = rule(project, fits)?;
        Some((rule, &row.source, &*row.line, span::of_payment(project, rule, row)))
    });
    let works = project.works.iter().zip(&shares.works);
    let works = works.filter(move |(_, of)| unruled(of)).filter_map(|(row, _)| {
        let fits = |rule: &Sharing| is_for(&rule.tasks, &rule.lines, &row.task) && rule.holds(row.date);
        let (_, rule) = rule(project, fits)?;
        Some((rule, &row.source, &*row.task, span::of_day(project, rule, row.date)))
    });
    spending.chain(works).map(|(rule, source, name, falling)| Unweighed {
        rule,
        source,
        name,
        within: falling.within,
        in_force: !falling.payers.is_empty(),
    })
}

fn is_for(names: &[String], others: &[String], name: &str) -> bool {
    names.iter().any(|one| slug(one) == slug(name)) || names.is_empty() && others.is_empty()
}

fn of_work(project: &Project, row: &Work, scale: Option<&mut weights::Scale<'_>>) -> RowShares {
    if let Some(shares) = named(&row.claims) {
        return shares;
    }
    if let Some(scale) = scale
        && let Some((at, rule)) =
            rule(project, |rule| is_for(&rule.tasks, &rule.lines, &row.task) && rule.holds(row.date))
        && let Some(shares) = scale.shares(at, rule, &span::of_day(project, rule, row.date))
    {
        return shares;
    }
    only(holding(project, row.date, row.area.as_ref()))
}

fn of_payment(project: &Project, row: &Spending, scale: &mut weights::Scale<'_>) -> RowShares {
    if let Some(shares) = named(&row.claims) {
        return shares;
    }
    if let Some((at, rule)) =
        rule(project, |rule| is_for(&rule.lines, &rule.tasks, &row.line) && rule.holds(row.date))
        && let Some(shares) = scale.shares(at, rule, &span::of_payment(project, rule, row))
    {
        return shares;
    }
    let mut candidates = holding(project, row.date, None);
    candidates.retain(|agreement| agreement.admits(agreement.dates.day(row)));
    // An agreement that has a budget pays on its lines; an offset without one pays for nothing that does not name it.
    let budgeted = |agreement: &&Agreement| {
        agreement.budget.iter().any(|line| slug(&line.line.line) == slug(&row.line))
            || agreement.budget.is_empty() && agreement.kind == AgreementKind::Grant
    };
    candidates.retain(|agreement| budgeted(agreement));
    only(candidates)
}

/// The parts of a payment. Tax and what is without it are shared out apart, so that both come out to the cent.
fn paid(project: &Project, row: &Spending, shares: &RowShares) -> Vec<PaidShare> {
    let weights: Vec<Decimal> = shares.of.iter().map(|(_, weight)| *weight).collect();
    let net = shared_out(row.amount - row.tax.unwrap_or_default(), &weights);
    let tax = row.tax.map(|tax| shared_out(tax, &weights));
    let parts = shares.of.iter().enumerate();
    parts
        .map(|(at, (payer, _))| {
            let tax = tax.as_ref().map(|tax| tax[at]);
            let admitted = match payer {
                Payer::Agreement(id) => {
                    project.agreement(id).is_some_and(|agreement| agreement.admits(agreement.dates.day(row)))
                }
                Payer::Own | Payer::Unclaimed => true,
            };
            PaidShare { payer: payer.clone(), amount: net[at] + tax.unwrap_or_default(), tax, admitted }
        })
        .collect()
}
