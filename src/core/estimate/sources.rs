//! The whole place by source: what each payer gave, spent, and has to show for it.

use std::collections::BTreeSet;

use rust_decimal::prelude::ToPrimitive;

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{Agreement, AgreementKind, Area, Basis, Payer, Project, TaxBasis, slug},
    sharing::{Cost, RowShares, Settled, Shares, hectares, owner_of},
    source::{Row, Sources},
    units::{Hectares, Hours, Money, Stems},
};

/// A place with several agreements, every row of it shared out.
#[derive(Debug)]
pub struct Place<'a> {
    project: &'a Project,
    shares: Shares,
}

impl<'a> Place<'a> {
    /// That of `project`, where it has more than one agreement.
    #[must_use]
    pub fn of(project: &'a Project) -> Option<Place<'a>> {
        (project.agreements.len() > 1).then(|| Place { project, shares: Shares::of(project) })
    }

    /// Everybody who pays by the period's end: the agreements that have begun or have something by then, in their order, the landholder, and nobody where shares leave something over.
    #[must_use]
    pub fn payers(&self) -> Vec<Payer> {
        let (project, until) = (self.project, self.project.period.to);
        let spending = project.spending.iter().map(|row| row.date);
        let spending = spending.zip(self.shares.spending.iter().map(|(of, _)| of));
        let works = project.works.iter().map(|row| row.date).zip(&self.shares.works);
        let plantings = project.plantings.iter().map(|row| row.date).zip(&self.shares.plantings);
        let rows = spending.chain(works).chain(plantings).filter(|(date, _)| *date <= until);
        let bear: BTreeSet<&Payer> = rows.flat_map(|(_, of)| &of.of).map(|(payer, _)| payer).collect();
        let unclaimed = bear.contains(&Payer::Unclaimed);
        let agreements = project.agreements.iter().filter_map(|one| {
            let payer = Payer::Agreement(one.id.clone());
            let has =
                one.term.from <= until || one.received_by(until).next().is_some() || bear.contains(&payer);
            has.then_some(payer)
        });
        agreements.chain([Payer::Own]).chain(unclaimed.then_some(Payer::Unclaimed)).collect()
    }

    /// Lines of budgets and of spending, in the order in which they are first named.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let payers = self.payers();
        let of_payers = |one: &&Agreement| payers.iter().any(|payer| payer.is(&one.id));
        let agreements = self.project.agreements.iter().filter(of_payers);
        let budgets = agreements.flat_map(|one| &one.budget).map(|line| &line.line.line);
        let until = self.project.period.to;
        let by_then = self.project.spending.iter().filter(|row| row.date <= until);
        let spent = by_then.map(|row| &row.line);
        let (mut seen, mut lines) = (BTreeSet::new(), Vec::new());
        for line in budgets.chain(spent) {
            if seen.insert(slug(line)) {
                lines.push(line.trim().to_owned());
            }
        }
        lines
    }

    /// Whether the rule at this place of the list shares a row of a day up to the period's end.
    #[must_use]
    pub fn is_shared_by(&self, at: usize) -> bool {
        let until = self.project.period.to;
        let by_it = |of: &RowShares| matches!(of.settled, Settled::Rule { at: by, .. } if by == at);
        let paid = self.project.spending.iter().zip(&self.shares.spending);
        let worked = self.project.works.iter().zip(&self.shares.works);
        paid.into_iter().any(|(row, (of, _))| row.date <= until && by_it(of))
            || worked.into_iter().any(|(row, of)| row.date <= until && by_it(of))
    }

    /// The rule of tax by which `payer` counts.
    #[must_use]
    pub fn basis(&self, payer: &Payer) -> TaxBasis {
        match payer {
            Payer::Agreement(id) => self.project.agreement(id).map_or(TaxBasis::default(), |one| one.tax),
            Payer::Own | Payer::Unclaimed => self.project.money.acquit,
        }
    }

    /// The only rule of tax by which all payers count; `None` where some count with tax and some without.
    #[must_use]
    pub fn only_basis(&self) -> Option<TaxBasis> {
        let payers = self.payers();
        let basis = self.basis(payers.first()?);
        payers.iter().all(|payer| self.basis(payer) == basis).then_some(basis)
    }

    /// The other sources beside `agreement`, as its documents may tell of them: who, whether by name, and the cash that it spent to date by the
    /// agreement's rule of tax. Those that may not be named stand together by what they are.
    #[must_use]
    pub fn beside(&self, agreement: &Agreement) -> Vec<(String, bool, Money)> {
        let mut others: Vec<(String, bool, Money)> = Vec::new();
        let payers = self.payers();
        let unnamed = |kind: AgreementKind| {
            let of_kind = |one: &&Agreement| {
                one.kind == kind
                    && one.id != agreement.id
                    && !(one.may_be_named && one.funder.is_some())
                    && payers.iter().any(|payer| payer.is(&one.id))
            };
            self.project.agreements.iter().filter(of_kind).count()
        };
        for payer in payers.iter().filter(|payer| !payer.is(&agreement.id)) {
            let spent = self.spent_by(payer, None, agreement.tax).value;
            let of = match payer {
                Payer::Agreement(id) => self.project.agreement(id),
                Payer::Own | Payer::Unclaimed => None,
            };
            let named = of.filter(|of| of.may_be_named).and_then(|of| of.funder.clone());
            let is_named = named.is_some();
            let name = named.unwrap_or_else(|| {
                match (payer, of.map(|of| of.kind)) {
                    (Payer::Own, _) => "the landholder’s own",
                    (_, Some(AgreementKind::Offset)) if unnamed(AgreementKind::Offset) == 1 => {
                        "another offset"
                    }
                    (_, Some(AgreementKind::Offset)) => "other offsets",
                    (_, Some(AgreementKind::Grant)) if unnamed(AgreementKind::Grant) == 1 => "another grant",
                    (_, Some(AgreementKind::Grant)) => "other grants",
                    (_, None) => "nobody, what shares leave over",
                }
                .to_owned()
            });
            match others.iter_mut().find(|(known, _, _)| *known == name) {
                Some((_, _, sum)) => *sum = *sum + spent,
                None => others.push((name, is_named, spent)),
            }
        }
        others
    }

    fn costs(&self, payer: &Payer, in_kind: bool, line: Option<&str>, basis: TaxBasis) -> Estimate<Money> {
        let until = self.project.period.to;
        let fits = |cost: &Cost<'_>| {
            cost.row.in_kind == in_kind
                && cost.day <= until
                && line.is_none_or(|line| slug(&cost.row.line) == slug(line))
        };
        let mut sum = Money::ZERO;
        let mut rows: Vec<&Row> = Vec::new();
        let costs: Vec<Cost<'_>> = self.shares.costs(self.project, payer).filter(fits).collect();
        for cost in costs.iter().filter(|cost| cost.admitted) {
            sum = sum + cost.by(basis);
            rows.push(&cost.row.source);
        }
        let outside: Money = costs.iter().filter(|cost| !cost.admitted).map(|cost| cost.by(basis)).sum();
        let estimate =
            Estimate::counted(sum, Method::BY_SOURCE, rows.into_iter().collect()).note(match basis {
                TaxBasis::Included => "tax included",
                TaxBasis::Excluded => "tax excluded",
            });
        match outside == Money::ZERO {
            true => estimate,
            false => estimate.note(format!("without {:.2} dated outside its term", outside.0)),
        }
    }

    /// Cash that `payer` spent to date, on one line or on all, by its own rule of tax.
    #[must_use]
    pub fn spent(&self, payer: &Payer, line: Option<&str>) -> Estimate<Money> {
        self.spent_by(payer, line, self.basis(payer))
    }

    /// The same by any rule of tax.
    #[must_use]
    pub fn spent_by(&self, payer: &Payer, line: Option<&str>, basis: TaxBasis) -> Estimate<Money> {
        self.costs(payer, false, line, basis)
    }

    /// What was given in kind under `payer` to date, by the spending table and any rule of tax.
    #[must_use]
    pub fn in_kind(&self, payer: &Payer, basis: TaxBasis) -> Estimate<Money> {
        self.costs(payer, true, None, basis)
    }

    /// Cash spent that its agreements name and do not admit, as it was paid: dated outside their terms.
    #[must_use]
    pub fn outside(&self) -> Estimate<Money> {
        let (mut sum, mut rows) = (Money::ZERO, Vec::new());
        let payers = self.payers();
        for payer in &payers {
            for cost in self.shares.costs(self.project, payer) {
                if !cost.admitted && !cost.row.in_kind && cost.day <= self.project.period.to {
                    sum = sum + cost.paid;
                    rows.push(&cost.row.source);
                }
            }
        }
        Estimate::counted(sum, Method::BY_SOURCE, rows.into_iter().collect()).note("tax included")
    }

    /// Cash received of `payer` to date, and the interest on it.
    #[must_use]
    pub fn received(&self, payer: &Payer) -> (Estimate<Money>, Estimate<Money>, Money) {
        let until = self.project.period.to;
        let mut came: Vec<(Money, &Row)> = Vec::new();
        let mut earned: Vec<(Money, &Row)> = Vec::new();
        let mut back = Money::ZERO;
        match payer {
            Payer::Agreement(id) => {
                if let Some(one) = self.project.agreement(id) {
                    came.extend(one.received_by(until).map(|one| (one.amount, &one.source)));
                    let interest = one.interest.iter().filter(|one| one.on <= until);
                    earned.extend(interest.map(|one| (one.amount, &one.source)));
                    back = one.returned.iter().filter(|one| one.on <= until).map(|one| one.amount).sum();
                }
            }
            Payer::Own => {
                let own = self.project.own_cash.iter().filter(|one| one.on <= until);
                came.extend(own.map(|one| (one.amount, &one.source)));
            }
            Payer::Unclaimed => {}
        }
        (summed(&came), summed(&earned), back)
    }

    /// Received with interest, less spent and given back.
    #[must_use]
    pub fn unspent(&self, payer: &Payer) -> Estimate<Money> {
        let (received, interest, back) = self.received(payer);
        let spent = self.spent(payer, None);
        let mut sources = received.sources;
        sources.join(&interest.sources);
        sources.join(&spent.sources);
        let sum = received.value + interest.value - spent.value - back;
        Estimate::counted(sum, Method::UNSPENT_BY_SOURCE, sources)
    }

    /// Person hours on `basis` that `payer` bears, to date.
    #[must_use]
    pub fn hours(&self, payer: &Payer, basis: Basis) -> Estimate<Hours> {
        let (mut sum, mut rows) = (0.0, Vec::new());
        for (row, of) in self.project.works.iter().zip(&self.shares.works) {
            let bears = of.of.iter().any(|(one, _)| one == payer);
            if let Some(hours) = row.hours
                && bears
                && row.basis == basis
                && row.date <= self.project.period.to
            {
                sum += of.hours(payer, hours).0 * f64::from(row.people);
                rows.push(&row.source);
            }
        }
        Estimate::counted(Hours(sum), Method::HOURS_BY_SOURCE, rows.into_iter().collect())
    }

    /// Stems that `payer` owns, to date.
    #[must_use]
    pub fn stems(&self, payer: &Payer) -> Estimate<Stems> {
        let rows = self.project.plantings.iter().zip(&self.shares.plantings);
        let own: Vec<_> = rows
            .filter(|(row, of)| of.owner() == payer && row.date <= self.project.period.to)
            .map(|(row, _)| row)
            .collect();
        let sources = own.iter().map(|row| &row.source).collect();
        Estimate::counted(Stems(own.iter().map(|row| row.stems.0).sum()), Method::OWNED_ONCE, sources)
    }

    /// Plan hectares of the ground that `payer` reports.
    #[must_use]
    pub fn hectares(&self, payer: &Payer) -> Estimate<Hectares> {
        // Ground of an agreement that has not begun is still the landholder's.
        let payers = self.payers();
        let owner =
            |area: &Area| Some(owner_of(self.project, &area.id)).filter(|owner| payers.contains(owner));
        let own = self.project.areas.iter().filter(|area| owner(area).unwrap_or(Payer::Own) == *payer);
        let sources: Sources = own.clone().map(|area| &area.source).collect();
        Estimate::counted(Hectares(own.map(hectares).sum()), Method::OWNED_ONCE, sources)
    }

    /// What volunteers' hours to date are worth at the place's own rate.
    ///
    /// # Errors
    /// No rate is set.
    pub fn volunteer_value(&self) -> Finding<Money> {
        let rate = self.project.money.volunteer_rate.as_ref().ok_or(Gap::NotSet("money.volunteer_rate"))?;
        let rows = self
            .project
            .works
            .iter()
            .filter(|row| row.basis == Basis::Volunteer && row.date <= self.project.period.to);
        let hours: rust_decimal::Decimal =
            rows.clone().filter_map(|row| rust_decimal::Decimal::try_from(row.person_hours().0).ok()).sum();
        let sources = rows.map(|row| &row.source).collect();
        let value = Money((hours * rate.per_hour.0).round_dp(2));
        Ok(Estimate::counted(value, Method::VOLUNTEER_VALUE, sources))
    }

    /// The part of `whole` that was `given` without cash.
    ///
    /// # Errors
    /// There is nothing to divide by.
    pub fn given_of(&self, given: Money, whole: Money) -> Finding<f64> {
        let part = given.0.checked_div(whole.0).and_then(|part| part.to_f64());
        let part = part.ok_or(Gap::NothingToDivideBy("all cash and all given in kind"))?;
        let rows = self.project.spending.iter().filter(|row| row.in_kind).map(|row| &row.source);
        let of = "of all cash and all given in kind";
        Ok(Estimate::counted(part, Method::PART_OF_ALL_SOURCES, rows.collect()).note(of))
    }

    /// The part of `whole` that `payer`'s cash is, both by one rule of tax.
    ///
    /// # Errors
    /// There is nothing to divide by.
    pub fn part_of(&self, payer: &Payer, basis: TaxBasis, whole: Money, of: &'static str) -> Finding<f64> {
        let spent = self.spent_by(payer, None, basis);
        let part = spent.value.0.checked_div(whole.0).and_then(|part| part.to_f64());
        let part = part.ok_or(Gap::NothingToDivideBy(of))?;
        Ok(Estimate::counted(part, Method::PART_OF_ALL_SOURCES, spent.sources).note(format!(
            "of {of}, tax {}",
            if basis == TaxBasis::Excluded { "excluded" } else { "included" }
        )))
    }
}

fn summed(rows: &[(Money, &Row)]) -> Estimate<Money> {
    let sources = rows.iter().map(|(_, row)| *row).collect();
    Estimate::counted(rows.iter().map(|(sum, _)| *sum).sum(), Method::STATED_SUM, sources)
}
