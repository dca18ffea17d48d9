//! `spending`: money out, as receipts have it or as a bank does.

use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::{
    intake::{
        cell::Cells,
        mapping::{MoneyIn, Sign, Tax},
        records::{Known, came_in::CameIn, direction},
        table::Table,
    },
    problem::{Evidence, Place, Problem},
    project::Spending,
    units::Money,
};

/// What the sums of the table come to, by their sign.
#[derive(Default)]
struct Signs {
    above: (usize, Decimal),
    below: (usize, Decimal),
    /// The row of the first sum below nothing.
    first: Option<Place>,
}

/// Every payment. Money that came in is none, unless the settings say that it was paid back.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Spending> {
    table.doubt_repeats(problems);
    let currency = known.currency.as_str();
    let (sign, money_in) = (table.mapping.sign, table.mapping.money_in);
    let (mut signs, mut came_in) = (Signs::default(), CameIn::default());
    let rule = table.mapping.tax;
    let mut payments = table.each_of(
        problems,
        None,
        |row| !is_nothing(row, "amount") || is_nothing(row, "money_in"),
        |row| {
            let (date, written) = (row.day("date"), row.money("amount", currency));
            let tax = row.money("tax", currency);
            let Money(written) = written?;
            signs.add(written, || row.place("amount"));
            let amount = if sign == Some(Sign::OutIsNegative) { -written } else { written };
            // Among receipts a sum below nothing was most likely paid back.
            let otherwise = (sign != Some(Sign::OutIsNegative)).then_some(MoneyIn::Refunds);
            if amount < Decimal::ZERO
                && came_in.take(row, -amount, &table.mapping, otherwise) != Some(MoneyIn::Refunds)
            {
                return None;
            }
            // A bank's minus before the sum stands for the tax in it too.
            let told = tax.map(|Money(tax)| match sign {
                Some(Sign::OutIsNegative) if amount < Decimal::ZERO => -tax.abs(),
                Some(Sign::OutIsNegative) => tax.abs(),
                Some(Sign::OutIsPositive) | None => tax,
            });
            payment(row, known, date, amount, told.or_else(|| rule.map(|rule| within(amount, rule))))
        },
    );
    if table.position("money_in").is_some() {
        let credited = table.each_of(
            problems,
            Some("amount"),
            |row| is_nothing(row, "amount") && !is_nothing(row, "money_in"),
            |row| {
                let (date, Money(sum)) = (row.day("date"), row.money("money_in", currency)?);
                let amount = -sum.abs();
                let is = came_in.take(row, -amount, &table.mapping, None);
                let tax = rule.map(|rule| within(amount, rule));
                (is == Some(MoneyIn::Refunds)).then(|| payment(row, known, date, amount, tax)).flatten()
            },
        );
        payments.extend(credited);
        payments.sort_by(|one, other| one.source.cmp(&other.source));
    }
    let place = || Place { path: std::sync::Arc::clone(&table.path), ..Place::default() };
    problems.extend(came_in.ask(&payments, currency, &place()));
    if signs.below.0 == 0 && table.position("money_in").is_none() {
        problems.extend(direction::unread(table, currency));
    }
    if sign.is_none() && money_in != Some(MoneyIn::LeftOut) && table.mapping.money_in_by.is_empty() {
        problems.extend(signs.doubt(currency));
    }
    payments
}

/// Whether a cell is empty or holds a sum of nothing.
fn is_nothing(row: &Cells<'_>, column: &str) -> bool {
    let nothing = |text: &str| {
        let digits = || text.chars().filter(char::is_ascii_digit);
        digits().next().is_some() && digits().all(|digit| digit == '0')
    };
    row.raw(column).is_none_or(nothing)
}

/// The payment in a row.
fn payment(
    row: &mut Cells<'_>,
    known: &Known,
    date: Option<NaiveDate>,
    amount: Decimal,
    tax: Option<Decimal>,
) -> Option<Spending> {
    let in_kind = row.yes("in_kind").unwrap_or(false);
    let receipt_total = row.money("receipt_total", &known.currency);
    let (invoiced, delivered, claims) = (row.day("invoiced"), row.day("delivered"), row.claims(known));
    Some(Spending {
        date: date?,
        invoiced,
        delivered,
        line: row.text("line")?,
        amount: Money(amount),
        tax: tax.map(Money),
        payee: row.text("payee"),
        receipt: row.text("receipt"),
        receipt_total,
        in_kind,
        note: row.text("note"),
        claims,
        counted_on: date?,
        evidence: row.text("evidence"),
        shared: row.text("shared"),
        original: row.text("original_row"),
        source: row.source(),
    })
}

/// The tax within a payment, to the cent.
fn within(amount: Decimal, Tax(part, whole): Tax) -> Decimal {
    (amount * part / whole).round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
}

impl Signs {
    fn add(&mut self, sum: Decimal, place: impl FnOnce() -> Place) {
        let side = match sum {
            sum if sum < Decimal::ZERO => {
                self.first.get_or_insert_with(place);
                &mut self.below
            }
            _ => &mut self.above,
        };
        *side = (side.0 + 1, side.1 + sum);
    }

    /// What is to be asked or said of sums below nothing.
    fn doubt(self, currency: &str) -> Option<Problem> {
        let (below, above) = (self.below, self.above);
        let kind = match below.0 >= above.0 {
            true => Evidence::SignUnclear {
                below: below.0,
                sums: below.0 + above.0,
                as_written: said(below.1 + above.1, currency),
                out: said(-below.1, currency),
                came_in: said(above.1, currency),
            },
            false => Evidence::Refunds { rows: below.0, sum: said(-below.1, currency) },
        };
        Some(Problem::new(kind, self.first?))
    }
}

fn said(sum: Decimal, currency: &str) -> String {
    format!("{currency} {:.2}", sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        intake::{
            ids::Ids,
            mapping::Mapping,
            records::{LAYOUTS, species::built_in},
            species_names::SpeciesNames,
        },
        project::TableRow as _,
    };

    fn spent(text: &str, mapping: &Mapping) -> (Vec<String>, Vec<String>) {
        let known = Known {
            areas: Ids::new("area", [], true),
            plots: Ids::new("plot", [], true),
            species: SpeciesNames::of(&built_in(), true),
            grid: None,
            currency: "AUD".to_owned(),
            targets: Vec::new(),
            agreements: Vec::new(),
        };
        let layout = LAYOUTS.iter().find(|layout| layout.table == Spending::TABLE).unwrap();
        let mut problems = Vec::new();
        let table = Table::open(layout, "bank.csv", text, mapping, &mut problems).unwrap();
        let payments = read(&table, &known, &mut problems);
        let sums = payments.iter().map(|payment| {
            let tax = payment.tax.map(|tax| format!(" with {}", tax.0)).unwrap_or_default();
            format!("{}{tax}", payment.amount.0)
        });
        (sums.collect(), problems.iter().map(|problem| problem.kind.code().into_owned()).collect())
    }

    const BANK: &str =
        "date,line,amount\n2025-03-01,Plants,-110.00\n2025-03-02,Plants,-5.50\n2025-03-03,Grant,900\n";

    #[test]
    fn a_banks_minus_is_asked_about_and_read_as_it_is_said() {
        assert_eq!(spent(BANK, &Mapping::default()).1, ["sign-unclear"]);
        let sign = Some(Sign::OutIsNegative);
        let (sums, said) = spent(BANK, &Mapping { sign, ..Mapping::default() });
        assert_eq!((sums, said), (vec!["110.00".to_owned(), "5.50".to_owned()], vec!["money-in".to_owned()]));
        let (sums, said) =
            spent(BANK, &Mapping { sign, money_in: Some(MoneyIn::Refunds), ..Mapping::default() });
        assert_eq!((sums, said.len()), (vec!["110.00".to_owned(), "5.50".to_owned(), "-900".to_owned()], 1));
        let receipts = "date,line,amount\n2025-03-01,a,5\n2025-03-01,b,6\n2025-03-01,c,-1\n";
        assert_eq!(spent(receipts, &Mapping::default()).1, ["refunds"]);
    }

    #[test]
    fn money_in_has_a_column_of_its_own() {
        let text = "date,line,amount,money_in\n2025-03-01,a,5,\n2025-03-02,b,,40.10\n2025-03-03,c,6,0.00\n2025-03-04,d,0.00,1\n";
        let (sums, said) = spent(text, &Mapping::default());
        assert_eq!((sums, said), (vec!["5".to_owned(), "6".to_owned()], vec!["money-in".to_owned()]));
        let (sums, _) = spent(text, &Mapping { money_in: Some(MoneyIn::Refunds), ..Mapping::default() });
        assert_eq!(sums, ["5", "-40.10", "6", "-1"]);
    }

    #[test]
    fn each_row_that_came_in_is_what_its_words_say() {
        let text = "date,line,amount,payee\n2025-03-01,a,-2400.50,Nursery\n2025-03-02,a,4000,Catchment grant\n2025-03-03,a,121,Refund Nursery\n";
        let with = |money_in, by: &[(&str, MoneyIn)]| {
            let money_in_by = by.iter().map(|(words, is)| ((*words).to_owned(), *is)).collect();
            let sign = Some(Sign::OutIsNegative);
            spent(text, &Mapping { sign, money_in, money_in_by, ..Mapping::default() })
        };
        assert_eq!(with(None, &[]), (vec!["2400.50".to_owned()], vec!["money-in".to_owned()]));
        let all = vec!["2400.50".to_owned(), "-4000".to_owned(), "-121".to_owned()];
        assert_eq!(with(Some(MoneyIn::Refunds), &[]), (all, vec!["income-as-refund".to_owned()]));
        let one = vec!["2400.50".to_owned(), "-121".to_owned()];
        let by = [("grant", MoneyIn::LeftOut), ("REFUND", MoneyIn::Refunds)];
        assert_eq!(with(None, &by), (one, vec![]));
        assert_eq!(with(None, &by[1..]).1, ["money-in"], "of the grant nothing is said");
    }

    #[test]
    fn tax_is_stated_reckoned_or_not_known() {
        let text = "date,line,amount,GST\n2025-03-01,a,110,10\n2025-03-02,b,5.50,\n";
        assert_eq!(spent(text, &Mapping::default()).0, ["110 with 10", "5.50"]);
        let tax = Some(Tax(Decimal::ONE, Decimal::from(11)));
        assert_eq!(spent(text, &Mapping { tax, ..Mapping::default() }).0, ["110 with 10", "5.50 with 0.50"]);
    }
}
