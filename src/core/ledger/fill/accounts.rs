//! An agreement's money over its years, and cash spent to date where it began before the period.

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method,
        accounts::{Accounts, BudgetOf, YearPart},
        money::{Purse, spans_years, spent_to_date},
    },
    ledger::{Ledger, Member, Series, catalogue, fill::FillContext},
    project::{Project, VarianceTest, slug},
    source::Sources,
    units::{Money, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    let unit = Unit::Currency(project.identity.currency.clone());
    let mut money = |series: &Series, finding: Finding<Money>| {
        ledger.enter_named(series.named([]).measured_in(unit.clone()), finding);
    };
    let accounts = Accounts::of(project);
    if accounts.is_none() && !spans_years(project) {
        return;
    }
    money(&catalogue::SPENT_TO_DATE, spent_to_date(project, Purse::Cash, |_| true));
    money(&catalogue::SPENT_IN_KIND_TO_DATE, spent_to_date(project, Purse::InKind, |_| true));
    let Some(accounts) = accounts else {
        let mut lines: Vec<(String, String)> = Vec::new();
        for row in &project.spending {
            if lines.iter().all(|(code, _)| *code != slug(&row.line)) {
                lines.push((slug(&row.line), row.line.trim().to_owned()));
            }
        }
        for (code, name) in lines {
            let spent = spent_to_date(project, Purse::Cash, |row| slug(&row.line) == code);
            let named = catalogue::SPENT_TO_DATE_LINE.named([Member::new(code, name)]);
            ledger.enter_named(named.measured_in(unit.clone()), spent);
        }
        return;
    };
    let agreement = accounts.agreement;
    for (series, of) in BUDGETS {
        money(series[0], accounts.budget(of, None));
    }
    let received = accounts.received();
    money(&catalogue::RECEIVED_TO_DATE, Ok(received));
    money(&catalogue::TO_COME, accounts.to_come());
    // Interest that nobody wrote down is not stated, and not nothing.
    let no_interest = agreement.interest.is_empty();
    let interest = match no_interest {
        true => Err(Gap::NotSet("agreement.interest")),
        false => Ok(accounts.to_date(&agreement.interest)),
    };
    money(&catalogue::INTEREST_TO_DATE, interest);
    money(&catalogue::RETURNED_TO_DATE, Ok(accounts.to_date(&agreement.returned)));
    money(&catalogue::COMMITTED, Ok(accounts.to_date(&agreement.committed)));
    if agreement.unspent.is_some() {
        money(&catalogue::UNSPENT_LIMIT, accounts.unspent_limit());
    }
    for name in accounts.line_names() {
        let member = || Member::new(slug(&name), name.trim());
        for (series, of) in BUDGETS {
            let named = series[1].named([member()]).measured_in(unit.clone());
            ledger.enter_named(named, accounts.budget(of, Some(&name)));
        }
        let spent = spent_to_date(project, Purse::Cash, |row| slug(&row.line) == slug(&name));
        let named = catalogue::SPENT_TO_DATE_LINE.named([member()]).measured_in(unit.clone());
        ledger.enter_named(named, spent);
        ledger.enter_named(catalogue::TEST_LINE.named([member()]), accounts.line_change(&name));
    }
    for (series, test) in [
        (&catalogue::TEST_WHOLE_GRANT, VarianceTest::WholeGrant),
        (&catalogue::TEST_CUMULATIVE_TRANSFERS, VarianceTest::CumulativeTransfers),
        (&catalogue::TEST_NEW_LINE, VarianceTest::NewLine),
        (&catalogue::TEST_LARGEST_LINE, VarianceTest::Line),
    ] {
        ledger.enter_named(series.named([]), accounts.test(test));
    }
    for year in accounts.by_year() {
        for (series, sum, part) in [
            (&catalogue::YEAR_CARRIED_IN, year.carried_in, YearPart::CarriedIn),
            (&catalogue::YEAR_RECEIVED, year.received, YearPart::Received),
            (&catalogue::YEAR_INTEREST, year.interest, YearPart::Interest),
            (&catalogue::YEAR_SPENT, year.spent, YearPart::Spent),
            (&catalogue::YEAR_RETURNED, year.returned, YearPart::Returned),
            (&catalogue::YEAR_CARRIED_OUT, year.carried_out, YearPart::CarriedOut),
        ] {
            let member = Member::new(year.year.to_string(), accounts.years.words(year.year));
            let named = series.named([member]).measured_in(unit.clone());
            let finding: Finding<Money> = match part == YearPart::Interest && no_interest {
                true => Err(Gap::NotSet("agreement.interest")),
                false => Ok(Estimate::counted(sum, Method::CARRIED_OVER, accounts.rows_of(year.year, part))),
            };
            ledger.enter_named(named, finding);
        }
    }
    other_sources(ledger, project, &unit);
    for matter in &agreement.matters {
        let sources = || std::iter::once(&matter.source).collect();
        for (series, value, method) in [
            (&catalogue::MATTER_OWED, matter.owed, Method::STATED_BY_MATTER),
            (&catalogue::MATTER_DELIVERED, matter.delivered, Method::STATED_BY_MATTER),
            (&catalogue::MATTER_SHORTFALL, (matter.owed - matter.delivered).max(0.0), Method::SHORTFALL),
        ] {
            let member = Member::new(slug(&matter.words), matter.words.as_str());
            let named = series.named([member]).measured_in(Unit::AsRecorded(matter.unit.clone()));
            ledger.enter_named(named, Ok(Estimate::counted(value, method, sources())));
        }
    }
    let mut years: Vec<i32> = agreement.contributions.iter().map(|one| one.year).collect();
    years.sort_unstable();
    years.dedup();
    for year in years {
        let (promised, received) = accounts.contributions(year);
        for (series, sum) in [(&catalogue::PROMISED, promised), (&catalogue::CONTRIBUTED, received)] {
            let member = Member::new(year.to_string(), accounts.years.words(year));
            ledger.enter_named(series.named([member]).measured_in(unit.clone()), Ok(sum));
        }
    }
}

/// What the others spent on the place, where the agreement asks for all sources, and what all did.
fn other_sources(ledger: &mut Ledger, project: &Project, unit: &Unit) {
    if project.other_sources.is_empty() {
        return;
    }
    let own = spent_to_date(project, Purse::Cash, |_| true).map_or(Money::ZERO, |own| own.value);
    let mut rows = Sources::default();
    for one in &project.other_sources {
        rows.add(&one.source);
        let member = Member::new(slug(&one.name), one.name.as_str());
        let told = Estimate::counted(one.spent, Method::BY_SOURCE, std::iter::once(&one.source).collect());
        ledger.enter_named(catalogue::OTHER_SOURCE.named([member]).measured_in(unit.clone()), Ok(told));
    }
    let all = own + project.other_sources.iter().map(|one| one.spent).sum();
    let all = Estimate::counted(all, Method::ALL_SOURCES, rows);
    ledger.enter_named(catalogue::ALL_SOURCES.named([]).measured_in(unit.clone()), Ok(all));
}

/// The budgets: of all lines and of one, and which part of the budget each is.
const BUDGETS: [([&Series; 2], BudgetOf); 4] = [
    ([&catalogue::BUDGET_YEAR, &catalogue::BUDGET_YEAR_LINE], BudgetOf::Year),
    ([&catalogue::BUDGET_TO_DATE, &catalogue::BUDGET_TO_DATE_LINE], BudgetOf::ToDate),
    ([&catalogue::BUDGET_LIFE, &catalogue::BUDGET_LIFE_LINE], BudgetOf::WholeLife),
    ([&catalogue::BUDGET_AT_FIRST, &catalogue::BUDGET_AT_FIRST_LINE], BudgetOf::AtFirst),
];
