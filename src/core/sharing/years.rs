//! Money by financial year: what came, what it earned, what was spent of it, and what was carried from one year into the next.

use chrono::{Datelike as _, Days, NaiveDate};

use crate::{
    project::{Agreement, DateBasis, Payer, Period, Project, Spending, TaxBasis},
    sharing::Shares,
    units::Money,
};

/// A part of a payment that a payer bears, as it counts for it.
#[derive(Debug, Clone, Copy)]
pub struct Cost<'a> {
    /// The payment.
    pub row: &'a Spending,
    /// The day that counts.
    pub day: NaiveDate,
    /// The sum that counts, with or without tax as its agreement has it.
    pub amount: Money,
    /// The part of the payment that is borne, as it was paid.
    pub paid: Money,
    /// The part of it that is tax, where the payment records any.
    pub tax: Option<Money>,
    /// Whether the agreement admits a cost of that day.
    pub admitted: bool,
}

impl Cost<'_> {
    /// The sum by another rule of tax than the payer's; tax that is not recorded stays in it.
    #[must_use]
    pub fn by(&self, basis: TaxBasis) -> Money {
        match basis {
            TaxBasis::Included => self.paid,
            TaxBasis::Excluded => self.paid - self.tax.unwrap_or_default(),
        }
    }
}

impl Shares {
    /// What `payer` bears, in the order of the table.
    pub fn costs<'a>(
        &'a self,
        project: &'a Project,
        payer: &'a Payer,
    ) -> impl Iterator<Item = Cost<'a>> + 'a {
        let (basis, days) = match payer {
            Payer::Agreement(id) => project.agreement(id).map_or_else(usual, |one| (one.tax, one.dates)),
            Payer::Own | Payer::Unclaimed => (project.money.acquit, DateBasis::Paid),
        };
        project.spending.iter().zip(&self.spending).flat_map(move |(row, (_, parts))| {
            parts.iter().filter(move |part| part.payer == *payer).map(move |part| Cost {
                row,
                day: days.day(row),
                amount: match basis {
                    TaxBasis::Included => part.amount,
                    TaxBasis::Excluded => part.amount - part.tax.unwrap_or_default(),
                },
                paid: part.amount,
                tax: part.tax,
                admitted: part.admitted,
            })
        })
    }
}

fn usual() -> (TaxBasis, DateBasis) {
    (TaxBasis::default(), DateBasis::default())
}

/// Financial years, which begin where the reporting period does. Each is called by the calendar year in which it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FinancialYears {
    month: u32,
    day: u32,
}

impl FinancialYears {
    /// Those of `agreement` over a place with this `period`.
    #[must_use]
    pub fn of(agreement: &Agreement, period: Period) -> FinancialYears {
        FinancialYears::beginning(agreement.period_beside(period).from)
    }

    /// Those that begin on the month and day of `first`.
    #[must_use]
    pub fn beginning(first: NaiveDate) -> FinancialYears {
        // A leap day has no fellow in other years.
        FinancialYears {
            month: first.month(),
            day: if first.month() == 2 { first.day().min(28) } else { first.day() },
        }
    }

    /// The year in which `day` lies.
    #[must_use]
    pub fn year(self, day: NaiveDate) -> i32 {
        if (day.month(), day.day()) < (self.month, self.day) { day.year() - 1 } else { day.year() }
    }

    /// First and last day of `year`.
    #[must_use]
    pub fn span(self, year: i32) -> Period {
        let first = |year| NaiveDate::from_ymd_opt(year, self.month, self.day).unwrap_or_default();
        let last = first(year + 1).checked_sub_days(Days::new(1)).unwrap_or_default();
        Period { from: first(year), to: last }
    }

    /// `year` in words: `2025–26`, or `2025` where it is a calendar year.
    #[must_use]
    pub fn words(self, year: i32) -> String {
        match (self.month, self.day) {
            (1, 1) => year.to_string(),
            _ => format!("{year}–{:02}", (year + 1).rem_euclid(100)),
        }
    }
}

/// One financial year of an agreement's money.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct YearAccount {
    /// The calendar year in which it begins.
    pub year: i32,
    /// Carried into it.
    pub carried_in: Money,
    /// Instalments that came in it.
    pub received: Money,
    /// Interest of it.
    pub interest: Money,
    /// Cash spent in it.
    pub spent: Money,
    /// Money given back in it.
    pub returned: Money,
    /// Carried out of it: all that came less all that went.
    pub carried_out: Money,
}

/// The years of `agreement` from its first to that of `until`, with what was spent up to then.
#[must_use]
pub fn accounts(
    agreement: &Agreement,
    years: FinancialYears,
    until: NaiveDate,
    costs: &[(NaiveDate, Money)],
) -> Vec<YearAccount> {
    let came = agreement.received_by(until).map(|one| (one.day(), one.amount));
    let came: Vec<(NaiveDate, Money)> = came.collect();
    let dated = |sums: &[crate::project::DatedSum]| -> Vec<(NaiveDate, Money)> {
        sums.iter().map(|one| (one.on, one.amount)).collect()
    };
    let (interest, returned) = (dated(&agreement.interest), dated(&agreement.returned));
    let days = came.iter().chain(&interest).chain(&returned).chain(costs).map(|(day, _)| *day);
    let first = days
        .filter(|day| *day <= until)
        .min()
        .map_or(agreement.term.from, |day| day.min(agreement.term.from));
    let mut carried = Money::ZERO;
    let mut accounts = Vec::new();
    for year in years.year(first)..=years.year(until.min(agreement.term.to.max(first))) {
        let span = years.span(year);
        let sum = |sums: &[(NaiveDate, Money)]| -> Money {
            sums.iter().filter(|(day, _)| span.holds(*day) && *day <= until).map(|(_, sum)| *sum).sum()
        };
        let (received, interest) = (sum(&came), sum(&interest));
        let (spent, returned) = (sum(costs), sum(&returned));
        let carried_out = carried + received + interest - spent - returned;
        accounts.push(YearAccount {
            year,
            carried_in: carried,
            received,
            interest,
            spent,
            returned,
            carried_out,
        });
        carried = carried_out;
    }
    accounts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_is_called_by_the_one_in_which_it_begins() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap_or_default();
        let years = FinancialYears::beginning(day("2025-07-01"));
        assert_eq!(years.year(day("2026-06-30")), 2025);
        assert_eq!(years.year(day("2026-07-01")), 2026);
        assert_eq!(years.span(2025), Period { from: day("2025-07-01"), to: day("2026-06-30") });
        assert_eq!(years.words(2099), "2099–00");
        assert_eq!(FinancialYears::beginning(day("2025-01-01")).words(2025), "2025");
    }
}
