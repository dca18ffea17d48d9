//! Hours that were given, and stand a second time as a sum: as a receipt in kind, or as one that was paid.

use rust_decimal::Decimal;

use crate::{
    intake::{
        checks::money,
        nearest::folded,
        suppliers::{one_supplier, supplier},
    },
    problem::{Evidence, Place, Problem},
    project::{Basis, Project, Spending, Work},
    units::{day, number},
};

/// Days between work and the receipt for it (judgement).
const WEEKS: i64 = 31;

/// Letters that a word must have to tell a supplier from others (judgement).
const TELLING: usize = 4;

/// Words of trades that tell no supplier from another (common practice, no source).
const TRADES: [&str; 21] = [
    "contractor",
    "contractors",
    "contracting",
    "crew",
    "farm",
    "fencing",
    "group",
    "landcare",
    "nursery",
    "nurseries",
    "operator",
    "planting",
    "plants",
    "seed",
    "seedlings",
    "services",
    "sons",
    "spraying",
    "team",
    "trees",
    "volunteers",
];

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let valued = project.money.volunteer_rate.is_some()
        || project.agreements.iter().any(|of| of.volunteer_rate.is_some());
    let given = |row: &&Work| row.basis == Basis::Volunteer && row.person_hours().0 > 0.0;
    for receipt in &project.spending {
        if receipt.in_kind {
            let work = project.works.iter().filter(given).find(|work| is_value_of(project, receipt, work));
            if let Some(work) = work.filter(|_| valued) {
                let kind = Evidence::HoursValuedTwice {
                    receipt: called(receipt),
                    sum: money(project, receipt.amount.0),
                    hours: number(work.person_hours().0, 1),
                    task: folded(&work.task),
                    day: day(work.date),
                    at: Place::row(&work.source).to_string(),
                };
                problems.push(Problem::new(kind, Place::row(&receipt.source).column("amount")));
            }
        } else if let Some(work) =
            project.works.iter().filter(given).find(|work| is_paid_by(project, receipt, work))
        {
            let kind = Evidence::VolunteerAlsoPaid {
                who: work.person.as_deref().or(work.note.as_deref()).unwrap_or_default().trim().to_owned(),
                task: folded(&work.task),
                day: day(work.date),
                receipt: called(receipt),
                sum: money(project, receipt.amount.0),
                at: Place::row(&receipt.source).to_string(),
            };
            problems.push(Problem::new(kind, Place::row(&work.source).column("basis")));
        }
    }
}

/// A receipt in words.
fn called(row: &Spending) -> String {
    let payee = row.payee.as_deref().map(str::trim).filter(|payee| !payee.is_empty());
    let number = row.receipt.as_deref().map(str::trim).filter(|number| !number.is_empty());
    match (number, payee) {
        (Some(number), Some(payee)) => format!("receipt {number} of {payee}"),
        (Some(number), None) => format!("receipt {number}"),
        (None, Some(payee)) => format!("the payment to {payee}"),
        (None, None) => "the payment".to_owned(),
    }
}

/// Whether a receipt in kind is likely the value of hours that the works log has: of that many hours by its words, or by a rate for
/// volunteers, within a month.
fn is_value_of(project: &Project, receipt: &Spending, work: &Work) -> bool {
    let hours = work.person_hours().0;
    let rates = project.agreements.iter().filter_map(|of| of.volunteer_rate.as_ref());
    let mut rates = rates.chain(&project.money.volunteer_rate);
    let mut by_rate = || {
        let hours = Decimal::try_from(hours).unwrap_or_default();
        rates.any(|rate| (rate.per_hour.0 * hours).round_dp(2) == receipt.amount.0)
    };
    let words = [&receipt.note, &receipt.payee, &receipt.receipt];
    let by_words = || {
        let told = words.into_iter().flatten().filter_map(|words| hours_in(words));
        told.into_iter().any(|told| (told - hours).abs() < 0.005)
    };
    (receipt.date - work.date).num_days().abs() <= WEEKS && (by_words() || by_rate())
}

/// The hours that words tell: `10 h at 34`, `two days, 16 hours`.
fn hours_in(words: &str) -> Option<f64> {
    let folded = folded(words);
    let words: Vec<&str> =
        folded.split([' ', ',', ';', '(', ')', '×']).filter(|word| !word.is_empty()).collect();
    let is_hours = |word: &str| ["h", "hr", "hrs", "hour", "hours"].contains(&word.trim_end_matches('.'));
    let number = |word: &str| word.parse::<f64>().ok().filter(|hours| *hours > 0.0);
    words.iter().enumerate().find_map(|(at, word)| {
        let digits = word.trim_end_matches(|letter: char| !letter.is_ascii_digit());
        let unit = word.strip_prefix(digits).unwrap_or_default();
        let beside = words.get(at + 1).copied().unwrap_or_default();
        // `6 person hours` and `6 volunteer hours` have a word between.
        let behind = words
            .get(at + 2)
            .copied()
            .filter(|_| beside.starts_with("person") || beside.starts_with("volunteer"));
        let told = is_hours(unit) || unit.is_empty() && (is_hours(beside) || behind.is_some_and(is_hours));
        number(digits).filter(|_| told)
    })
}

/// Whether hours entered as given are likely those that a receipt was paid for: its supplier is named at them, on its day; a person whose
/// whole name the receipt bears, within a month.
fn is_paid_by(project: &Project, receipt: &Spending, work: &Work) -> bool {
    let Some(payee) = receipt.payee.as_deref().filter(|payee| !supplier(payee).is_empty()) else {
        return false;
    };
    let days = [Some(receipt.date), receipt.invoiced, receipt.delivered];
    let apart = days.into_iter().flatten().map(|day| (day - work.date).num_days().abs()).min();
    let person = work.person.as_deref().filter(|person| supplier(person).contains(' '));
    if person.is_some_and(|person| one_supplier(person, payee)) && apart.is_some_and(|days| days <= WEEKS) {
        return true;
    }
    let identity = &project.identity;
    let place = [&*identity.name, &*identity.landholder, &*identity.locality].map(str::to_owned);
    let place = place
        .into_iter()
        .chain(identity.grantee.clone())
        .chain(project.areas.iter().map(|area| area.id.to_string()));
    let place = folded(&place.collect::<Vec<_>>().join(" "));
    let place: Vec<&str> = place.split(|letter: char| !letter.is_alphanumeric()).collect();
    let told = [&work.person, &work.note]
        .into_iter()
        .flatten()
        .map(|words| supplier(words))
        .collect::<Vec<_>>()
        .join(" ");
    let named = |word: &str| {
        word.chars().count() >= TELLING
            && !TRADES.contains(&word)
            && !place.contains(&word)
            && told.split(' ').any(|other| other == word)
    };
    apart == Some(0) && supplier(payee).split(' ').any(named)
}

#[cfg(test)]
mod tests {
    use crate::intake::checks::given::hours_in;

    #[test]
    fn hours_are_told_in_words() {
        assert_eq!(hours_in("10 h at 34"), Some(10.0));
        assert_eq!(hours_in("Volunteers, 42 person hours"), Some(42.0));
        assert_eq!(hours_in("7.5h"), Some(7.5));
        assert_eq!(hours_in("Loan of the tractor and the water tank, four days"), None);
        assert_eq!(hours_in("40 horses"), None);
    }
}
