//! An agreement's money over its years: budget and spending of the year, to date and of the whole life, what was carried over, and
//! the tests of variances that agreements ask for.

use chrono::NaiveDate;
use rust_decimal::prelude::ToPrimitive;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method,
        money::{Purse, spent_to_date},
    },
    project::{Agreement, BudgetLine, BudgetSpan, DatedSum, Project, VarianceTest, slug},
    sharing::{FinancialYears, YearAccount, accounts, budget_lines},
    source::{Row, Sources},
    units::{Money, day, set_percent},
};

pub use crate::sharing::BudgetOf;

/// A part of a year's account.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YearPart {
    /// Carried into it, of all years before.
    CarriedIn,
    /// Instalments.
    Received,
    /// Interest.
    Interest,
    /// Cash spent.
    Spent,
    /// Given back.
    Returned,
    /// Carried out of it, of all years up to it.
    CarriedOut,
}

/// The accounts of the only agreement of a project.
#[derive(Debug, Clone, Copy)]
pub struct Accounts<'a> {
    project: &'a Project,
    /// The agreement.
    pub agreement: &'a Agreement,
    /// Its financial years.
    pub years: FinancialYears,
}

impl<'a> Accounts<'a> {
    /// Those of `project`, where one agreement is all there is.
    #[must_use]
    pub fn of(project: &'a Project) -> Option<Accounts<'a>> {
        let agreement = project.only_agreement()?;
        Some(Accounts { project, agreement, years: FinancialYears::of(agreement, project.period) })
    }

    fn until(&self) -> NaiveDate {
        self.project.period.to
    }

    /// Whether any of the budget is by financial year.
    #[must_use]
    pub fn has_years(&self) -> bool {
        self.agreement.budget.iter().any(|line| line.year.is_some())
    }

    fn lines(&self, of: BudgetOf) -> Vec<BudgetLine> {
        budget_lines(self.agreement, self.project.period, of)
    }

    /// The approved cash of `line`, or of all lines.
    ///
    /// # Errors
    /// There is no budget, or none by year where a year is asked for.
    pub fn budget(&self, of: BudgetOf, line: Option<&str>) -> Finding<Money> {
        let lacks_years = match of {
            BudgetOf::Year => self.agreement.budget_span() != BudgetSpan::Year,
            BudgetOf::ToDate => !self.has_years(),
            BudgetOf::WholeLife | BudgetOf::AtFirst => false,
        };
        if lacks_years && !self.agreement.budget.is_empty() {
            return Err(Gap::NotSet("year of agreement.budget"));
        }
        self.approved(of, line)
    }

    fn approved(&self, of: BudgetOf, line: Option<&str>) -> Finding<Money> {
        if self.agreement.budget.is_empty() {
            return Err(Gap::TableMissing("budget"));
        }
        let lines = self.lines(of);
        let of_line = |one: &&BudgetLine| line.is_none_or(|line| slug(&one.line) == slug(line));
        let lines: Vec<&BudgetLine> = lines.iter().filter(of_line).collect();
        let sum = lines.iter().map(|line| line.cash).sum();
        let sources = lines.iter().map(|line| &line.source).collect();
        Ok(Estimate::counted(sum, Method::APPROVED_BUDGET, sources))
    }

    /// What spending to date is held against: the budget to date where there is one by year, else that of the whole life.
    ///
    /// # Errors
    /// There is no budget.
    pub fn held_against(&self, line: Option<&str>) -> Finding<Money> {
        self.approved(BudgetOf::ToDate, line)
    }

    /// Names of all lines: of the budget in its order, then of spending.
    #[must_use]
    pub fn line_names(&self) -> Vec<String> {
        let budget = self.lines(BudgetOf::WholeLife).into_iter().map(|line| line.line);
        let spent = self.project.spending.iter().filter(|row| row.counted_on <= self.until() && !row.in_kind);
        let mut names: Vec<String> = Vec::new();
        for name in budget.chain(spent.map(|row| row.line.clone())) {
            if !names.iter().any(|known| slug(known) == slug(&name)) {
                names.push(name);
            }
        }
        names
    }

    fn spent(&self, line: &str) -> Money {
        let found = spent_to_date(self.project, Purse::Cash, |row| slug(&row.line) == slug(line));
        found.map_or(Money::ZERO, |estimate| estimate.value)
    }

    /// Each financial year up to the period's end.
    #[must_use]
    pub fn by_year(&self) -> Vec<YearAccount> {
        let basis = self.agreement.tax;
        let cash = self.project.spending.iter().filter(|row| !row.in_kind);
        let costs: Vec<(NaiveDate, Money)> = cash.map(|row| (row.counted_on, row.counted(basis))).collect();
        accounts(self.agreement, self.years, self.until(), &costs)
    }

    /// The rows that a part of a year's account rests on.
    #[must_use]
    pub fn rows_of(&self, year: i32, part: YearPart) -> Sources {
        let span = self.years.span(year);
        let cash =
            self.project.spending.iter().filter(|row| !row.in_kind).map(|row| (row.counted_on, &row.source));
        let came = self.agreement.received_by(self.until()).map(|one| (one.day(), &one.source));
        let dated = |sums: &'a [DatedSum]| sums.iter().map(|one| (one.on, &one.source));
        let of =
            |wanted: YearPart| part == wanted || matches!(part, YearPart::CarriedIn | YearPart::CarriedOut);
        let all = cash
            .filter(|_| of(YearPart::Spent))
            .chain(came.filter(|_| of(YearPart::Received)))
            .chain(dated(&self.agreement.interest).filter(|_| of(YearPart::Interest)))
            .chain(dated(&self.agreement.returned).filter(|_| of(YearPart::Returned)));
        let when = |day: NaiveDate| match part {
            YearPart::CarriedIn => day < span.from,
            YearPart::CarriedOut => day <= span.to,
            _ => span.holds(day),
        };
        all.filter(|(day, _)| when(*day) && *day <= self.until()).map(|(_, row)| row).collect()
    }

    /// Instalments that came by the period's end, without interest.
    #[must_use]
    pub fn received(&self) -> Estimate<Money> {
        let came = self.agreement.received_by(self.until());
        let rows: Vec<(Money, &Row)> = came.map(|one| (one.amount, &one.source)).collect();
        summed(&rows)
    }

    /// What of the approved cash the funder had not paid by the period's end.
    ///
    /// # Errors
    /// There is no budget.
    pub fn to_come(&self) -> Finding<Money> {
        let (approved, paid) = (self.approved(BudgetOf::WholeLife, None)?, self.received());
        let mut sources = approved.sources;
        sources.join(&paid.sources);
        let left = (approved.value - paid.value).max(Money::ZERO);
        Ok(Estimate::counted(left, Method::TO_COME, sources))
    }

    /// The sums of `dated` up to the period's end.
    #[must_use]
    pub fn to_date(&self, dated: &'a [DatedSum]) -> Estimate<Money> {
        let rows: Vec<(Money, &Row)> =
            dated.iter().filter(|one| one.on <= self.until()).map(|one| (one.amount, &one.source)).collect();
        summed(&rows)
    }

    /// What was promised by others for `year`, and what has come of it.
    #[must_use]
    pub fn contributions(&self, year: i32) -> (Estimate<Money>, Estimate<Money>) {
        let of_year = || self.agreement.contributions.iter().filter(|one| one.year == year);
        let promised: Vec<(Money, &Row)> = of_year().map(|one| (one.promised, &one.source)).collect();
        let received: Vec<(Money, &Row)> = of_year().map(|one| (one.received, &one.source)).collect();
        (summed(&promised), summed(&received))
    }

    /// How much may stay unspent without anybody being asked: the lesser of a share of all money paid and a sum.
    ///
    /// # Errors
    /// The agreement says nothing of it.
    pub fn unspent_limit(&self) -> Finding<Money> {
        let rule = self.agreement.unspent.ok_or(Gap::NotSet("agreement.unspent"))?;
        let paid = self.received();
        let share = rule.of_paid.and_then(|share| rust_decimal::Decimal::try_from(share).ok());
        let of_paid = share.map(|share| Money((paid.value.0 * share).round_dp(2)));
        let limit = match (of_paid, rule.at_most) {
            (Some(one), Some(other)) => one.min(other),
            (one, other) => one.or(other).ok_or(Gap::NotSet("agreement.unspent.at_most"))?,
        };
        Ok(Estimate::counted(limit, Method::UNSPENT_LIMIT, paid.sources))
    }

    /// One of the tests of variances, of the whole grant: rises are spending to date over what it is held against.
    ///
    /// # Errors
    /// There is no budget, or nothing to divide by.
    pub fn test(&self, test: VarianceTest) -> Finding<f64> {
        let names = self.line_names();
        let mut sources = Sources::default();
        let mut rises: Vec<Money> = Vec::new();
        for name in &names {
            let approved = self.held_against(Some(name))?;
            sources.join(&approved.sources);
            rises.push(Money((self.spent(name) - approved.value).0.max(rust_decimal::Decimal::ZERO)));
        }
        let found = |part: Money, whole: Money, of: &'static str| {
            let share = part.0.checked_div(whole.0).and_then(|share| share.to_f64());
            share.ok_or(Gap::NothingToDivideBy(of))
        };
        let (value, method) = match test {
            VarianceTest::WholeGrant => {
                let paid = self.received().value;
                let largest = rises.into_iter().max().unwrap_or(Money::ZERO);
                (found(largest, paid, "money paid")?, Method::TEST_WHOLE_GRANT)
            }
            VarianceTest::CumulativeTransfers => {
                let approved = self.held_against(None)?.value;
                (
                    found(rises.into_iter().sum(), approved, "approved money")?,
                    Method::TEST_CUMULATIVE_TRANSFERS,
                )
            }
            VarianceTest::Line => {
                let changes = names.iter().filter_map(|name| self.line_change(name).ok());
                let counts = |change: f64| if self.is_due() { change.abs() } else { change };
                let largest = changes.map(|change| counts(change.value)).fold(0.0, f64::max);
                (largest, Method::TEST_LINE)
            }
            VarianceTest::NewLine => {
                let new = names
                    .iter()
                    .filter(|name| self.held_against(Some(name)).is_ok_and(|one| one.value == Money::ZERO));
                let spent: Money = new.map(|name| self.spent(name)).sum();
                let approved = self.held_against(None)?.value;
                (found(spent, approved, "approved money")?, Method::TEST_NEW_LINE)
            }
        };
        Ok(self.judged(test, Estimate::counted(value, method, sources)))
    }

    /// Spending to date less what it is held against over it, of one line.
    ///
    /// # Errors
    /// Nothing was approved for the line.
    pub fn line_change(&self, line: &str) -> Finding<f64> {
        let approved = self.held_against(Some(line))?;
        let change = (self.spent(line) - approved.value).0.checked_div(approved.value.0);
        let change =
            change.and_then(|share| share.to_f64()).ok_or(Gap::NothingToDivideBy("approved money"))?;
        Ok(self.judged(VarianceTest::Line, Estimate::counted(change, Method::TEST_LINE, approved.sources)))
    }

    /// Whether the budget that spending is held against is due: that of years that are over, or of a term that has ended. Of a budget of the
    /// whole term only what goes beyond it can be told before.
    #[must_use]
    pub fn is_due(&self) -> bool {
        self.agreement.budget_span() == BudgetSpan::Year || self.agreement.has_ended(self.until())
    }

    /// Whether the agreement asks for a reason why `line` came out so: its own tests say, and nothing else. A test of all lines is about
    /// those that rose.
    #[must_use]
    pub fn asks_reason(&self, line: &str) -> bool {
        let Ok(approved) = self.held_against(Some(line)) else { return false };
        let rise = self.spent(line) - approved.value;
        self.agreement.explain.iter().any(|one| {
            let beyond = |found: Finding<f64>| found.is_ok_and(|found| found.value.abs() > one.over);
            match one.test {
                VarianceTest::Line => beyond(self.line_change(line)) && (self.is_due() || rise > Money::ZERO),
                VarianceTest::NewLine => {
                    approved.value == Money::ZERO && rise > Money::ZERO && beyond(self.test(one.test))
                }
                VarianceTest::WholeGrant => {
                    let share = rise.0.checked_div(self.received().value.0).and_then(|share| share.to_f64());
                    rise > Money::ZERO && share.is_some_and(|share| share > one.over)
                }
                VarianceTest::CumulativeTransfers => rise > Money::ZERO && beyond(self.test(one.test)),
            }
        })
    }

    /// With a note where the agreement's test is passed; one that it does not ask for says so.
    fn judged(&self, test: VarianceTest, estimate: Estimate<f64>) -> Estimate<f64> {
        let estimate = match self.is_due() || test != VarianceTest::Line {
            true => estimate,
            false => estimate.note(format!(
                "against the budget of the whole term, which ends on {}: what is not spent yet counts as no change",
                day(self.agreement.term.to)
            )),
        };
        if test == VarianceTest::Line && !self.is_due() && estimate.value < 0.0 {
            return estimate;
        }
        match self.agreement.explain.iter().find(|one| one.test == test) {
            None => estimate.note("not stated in the agreement"),
            Some(one) if estimate.value.abs() > one.over => {
                estimate.note(format!("beyond {}: the agreement asks for a reason", set_percent(one.over)))
            }
            Some(one) if one.over == 0.0 => estimate.note("none: the agreement asks for a reason for any"),
            Some(one) => {
                estimate.note(format!("within the {} that the agreement allows", set_percent(one.over)))
            }
        }
    }
}

fn summed(rows: &[(Money, &Row)]) -> Estimate<Money> {
    let sources = rows.iter().map(|(_, row)| *row).collect();
    Estimate::counted(rows.iter().map(|(sum, _)| *sum).sum(), Method::STATED_SUM, sources)
}
