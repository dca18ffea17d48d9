//! `spending`: money out, as receipts have it or as a bank does.

use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::{
    intake::{
        cell::Cells,
        mapping::{MoneyIn, Sign, Tax},
        records::{Known, balances, came_in::CameIn, direction, signs::Signs},
        table::{Held, Table},
    },
    problem::{Evidence, Kind, Place, Problem, Reading},
    project::{Spending, TableRow as _},
    units::Money,
};

/// Every payment. Money that came in is none, unless the settings say that it was paid back; of rows that are left out nothing is asked.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Spending> {
    let currency = known.currency.as_str();
    let brought = balances::without(table, currency, problems);
    let table = brought.as_ref().unwrap_or(table);
    let (signs, came_in) = seen(table, currency);
    let unclear = signs.unclear(table, currency);
    let is_unclear = unclear.is_some();
    let left = if is_unclear { Default::default() } else { came_in.left_out() };
    let kept = (!left.is_empty()).then(|| table.without(&left));
    let table = kept.as_ref().unwrap_or(table);
    table.doubt_repeats(problems);
    let payments = payments(table, known, is_unclear, problems);
    let place = || Place { path: std::sync::Arc::clone(&table.path), ..Place::default() };
    problems.extend(unclear);
    problems.extend(signs.against_balance(table, currency));
    if !is_unclear {
        let refunds = signs.refunds(table, came_in.spent(), currency);
        problems.extend(came_in.ask(refunds.is_none(), currency, &place()));
        problems.extend(refunds);
    }
    if table.position("money_in").is_none() {
        let unread = direction::unread(table, currency);
        if let Some(Kind::Evidence(Evidence::DirectionUnread { heading, .. })) =
            unread.as_ref().map(|problem| &problem.kind)
        {
            // The heading needs no other word.
            used_after_all(heading, problems);
        }
        problems.extend(unread);
    }
    let (sign, spent) = (table.mapping.sign, came_in.spent());
    problems.extend(table.rows_left(|held| match is_unclear {
        true => String::new(),
        false => came_to(held, spent, sign, currency),
    }));
    payments
}

/// Takes back that the table has no use for the column headed so.
fn used_after_all(heading: &str, problems: &mut Vec<Problem>) {
    problems.retain_mut(|problem| match &mut problem.kind {
        Kind::Reading(Reading::ColumnsUnused { table, columns }) if *table == Spending::TABLE => {
            columns.retain(|column| column != heading);
            !columns.is_empty()
        }
        _ => true,
    });
}

/// What the sums of the table come to by their sign, and the rows in which money came in. What is wrong with a cell is said when its row is
/// read.
fn seen(table: &Table, currency: &str) -> (Signs, CameIn) {
    let (sign, mapping) = (table.mapping.sign, &table.mapping);
    let (mut signs, mut came_in) = (Signs::default(), CameIn::default());
    table.each(&mut Vec::new(), |row| {
        if is_nothing(row, "amount") && !is_nothing(row, "money_in") {
            let Money(sum) = row.money("money_in", currency)?;
            came_in.take(row, sum.abs(), mapping, None);
            return Some(());
        }
        let Money(written) = row.money("amount", currency)?;
        if row.came_in() {
            came_in.take(row, written.abs(), mapping, None);
            return Some(());
        }
        signs.add(written, || row.place("amount"));
        let amount = turned(written, sign);
        // Among receipts a sum below nothing was most likely paid back.
        let otherwise = (sign != Some(Sign::OutIsNegative)).then_some(MoneyIn::Refunds);
        match amount < Decimal::ZERO {
            true => came_in.take(row, -amount, mapping, otherwise),
            false => came_in.paid(row, amount, mapping),
        }
        Some(())
    });
    (signs, came_in)
}

/// The payments in the rows that are kept; of the line of one nothing is asked where it is not known yet which rows are payments.
fn payments(table: &Table, known: &Known, unclear: bool, problems: &mut Vec<Problem>) -> Vec<Spending> {
    let (currency, sign, rule) = (known.currency.as_str(), table.mapping.sign, table.mapping.tax);
    let mut payments = table.each_of(
        problems,
        unclear.then_some("line"),
        |row| !is_nothing(row, "amount") || is_nothing(row, "money_in"),
        |row| {
            if !is_nothing(row, "amount") && !is_nothing(row, "money_in") {
                let cell = |column| row.raw(column).unwrap_or_default().to_owned();
                let kind = Evidence::OutAndIn { out: cell("amount"), came_in: cell("money_in") };
                row.say("money_in", kind);
            }
            let (date, written) = (row.day("date"), row.money("amount", currency));
            let tax = row.money("tax", currency);
            let amount = match row.came_in() {
                true => -written?.0.abs(),
                false => turned(written?.0, sign),
            };
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
                payment(row, known, date, amount, rule.map(|rule| within(amount, rule)))
            },
        );
        payments.extend(credited);
        payments.sort_by(|one, other| one.source.cmp(&other.source));
    }
    payments
}

/// A sum as it is written, above nothing where it was paid.
fn turned(written: Decimal, sign: Option<Sign>) -> Decimal {
    if sign == Some(Sign::OutIsNegative) { -written } else { written }
}

/// What the spending would be if the money that rows hold which the settings leave out was paid, and if it was paid back.
fn came_to(held: &[Held], spent: Decimal, sign: Option<Sign>, currency: &str) -> String {
    let sum =
        |column: &str| -> Decimal { held.iter().filter(|one| one.column == column).map(|one| one.sum).sum() };
    let (paid, came_in) = (turned(sum("amount"), sign), sum("money_in").abs());
    let with = spent + paid - came_in;
    let back = spent - paid.abs() - came_in;
    let said = |sum: Decimal| format!("{currency} {sum:.2}");
    match with == back {
        true => format!("; spent are {} without them, {} if they were paid back", said(spent), said(back)),
        false => format!(
            "; spent are {} without them, {} with them, {} if what they hold was paid back",
            said(spent),
            said(with),
            said(back)
        ),
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{
        ids::Ids,
        mapping::Mapping,
        records::{LAYOUTS, species::built_in},
        species_names::SpeciesNames,
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
        // Before that is settled nothing is worked out of it, whatever becomes of money that came in.
        for money_in in [Some(MoneyIn::LeftOut), Some(MoneyIn::Refunds)] {
            assert_eq!(spent(BANK, &Mapping { money_in, ..Mapping::default() }).1, ["sign-unclear"]);
        }
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
        let told = vec!["money-left-out".to_owned(), "paid-back".to_owned()];
        assert_eq!(with(None, &by), (one, told));
        assert_eq!(with(None, &by[1..]).1, ["money-in", "paid-back"], "of the grant nothing is said");
    }

    #[test]
    fn of_a_row_that_is_left_out_nothing_is_asked() {
        let text = "date,line,amount,payee\n2025-03-01,a,-2400.50,Nursery\n2025-03-02,,4000,Catchment\nsoon,,121,Nursery\n";
        let sign = Some(Sign::OutIsNegative);
        let left_out = Mapping { sign, money_in: Some(MoneyIn::LeftOut), ..Mapping::default() };
        assert_eq!(spent(text, &left_out), (vec!["2400.50".to_owned()], vec!["money-left-out".to_owned()]));
        let asked = spent(text, &Mapping { sign, ..Mapping::default() });
        assert_eq!(asked.1, ["money-in"]);
    }

    #[test]
    fn a_row_with_money_out_and_in_is_refused() {
        let text = "date,line,amount,money_in\n2025-03-01,a,5,3\n2025-03-02,b,6,0.00\n";
        assert_eq!(spent(text, &Mapping::default()).1, ["out-and-in"]);
    }

    #[test]
    fn money_in_rows_that_the_settings_leave_out_is_told_with_what_comes_of_it() {
        let text = "date,line,amount,kind\n2025-03-01,a,100,\n2025-03-02,b,40,private\n";
        let skip = [("kind".to_owned(), vec![crate::intake::mapped::Pattern::of("private")])].into();
        assert_eq!(
            spent(text, &Mapping { skip, ..Mapping::default() }),
            (vec!["100".to_owned()], vec!["rows-left-out".to_owned()])
        );
    }

    #[test]
    fn tax_is_stated_reckoned_or_not_known() {
        let text = "date,line,amount,GST\n2025-03-01,a,110,10\n2025-03-02,b,5.50,\n";
        assert_eq!(spent(text, &Mapping::default()).0, ["110 with 10", "5.50"]);
        let tax = Some(Tax(Decimal::ONE, Decimal::from(11)));
        assert_eq!(spent(text, &Mapping { tax, ..Mapping::default() }).0, ["110 with 10", "5.50 with 0.50"]);
    }
}
