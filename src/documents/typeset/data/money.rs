//! Money: budget and spending by line, in kind and volunteers apart.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        notes::sentence,
        printed::{self, Printed},
    },
};
use hillfolio_core::{
    estimate::accounts::Accounts,
    ledger::{FigureId, Ledger, Series, catalogue},
    project::{Basis, BudgetSpan, Project, TaxBasis, TaxRecorded, VarianceTest, slug},
    units,
};

/// The money chapter.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Money {
    currency: String,
    tax: String,
    /// `to date` or `this year`: which spending stands beside the budget.
    span: &'static str,
    budget_words: &'static str,
    spent_words: &'static str,
    lines: Vec<Line>,
    total: Line,
    unspent: Printed,
    per_stem: Printed,
    per_hectare: Printed,
    budget_in_kind: Printed,
    spend_in_kind: Printed,
    volunteer: Option<Volunteer>,
    /// When a line needs a reason: `None` where the agreement asks for none.
    asked: Option<String>,
    /// That the budget is of a term that has not ended.
    whole_term: Option<String>,
    /// Lines that need a reason and have none.
    to_explain: Vec<Flagged>,
    /// Lines that the table does not have, of other years of the budget or of no budget, of which a reason is asked or given.
    beside: Vec<Beside>,
}

/// A line beside the table.
#[derive(Serialize, JsonSchema)]
struct Beside {
    name: String,
    /// Its change to date, where there is one.
    change: Option<String>,
    /// Whether a reason is asked for.
    asked: bool,
    /// Why it came out so, in the folder's own words.
    reasons: Vec<String>,
}

/// One budget line.
#[derive(Serialize, JsonSchema)]
struct Line {
    name: String,
    budget: Printed,
    spent: Printed,
    variance: Printed,
    share: Printed,
    flagged: bool,
    /// Budget and spending in whole units of the currency.
    whole_budget: Option<String>,
    whole_spent: Option<String>,
    /// The same beside the largest sum of any line, from 0 to 1.
    budget_bar: f64,
    spent_bar: f64,
    /// Why it came out so, in the folder's own words.
    reasons: Vec<String>,
}

/// A line whose variance needs a reason.
#[derive(Serialize, JsonSchema)]
struct Flagged {
    name: String,
    share: String,
}

/// What the volunteers' hours are worth.
#[derive(Serialize, JsonSchema)]
struct Volunteer {
    rate: String,
    source: Option<String>,
    hours: Printed,
    value: Printed,
}

impl Money {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Money {
        let (project, ledger) = (inputs.project, inputs.ledger);
        let beyond = project.money.beyond();
        let held = ledger.held();
        let accounts = Accounts::of(project);
        let names = line_names(inputs);
        let sums = names
            .iter()
            .flat_map(|name| [&catalogue::BUDGET_LINE, held.spent_line].map(|series| series.id(&[name])));
        let sums = sums.filter_map(|id| Some(ledger.figure(id.as_str())?.value));
        let most = sums.fold(1.0, f64::max);
        let row = |series: [&Series; 4], name: Option<&str>| {
            let [budget, spent, variance, share] = series.map(|series| series.id(name.as_slice()));
            let over = ledger.figure(share.as_str()).map(|figure| figure.value.abs());
            let sum = |id: &FigureId| ledger.figure(id.as_str()).map(|figure| figure.value);
            let whole = |id: &FigureId| sum(id).map(|sum| units::number(sum, 0));
            let bar = |id: &FigureId| sum(id).map_or(0.0, |sum| (sum / most).clamp(0.0, 1.0));
            Line {
                whole_budget: whole(&budget),
                whole_spent: whole(&spent),
                budget_bar: bar(&budget),
                spent_bar: bar(&spent),
                reasons: name.map_or_else(Vec::new, |name| reasons(project, name)),
                name: name.unwrap_or("Total").to_owned(),
                budget: Printed::of(ledger, &budget),
                spent: Printed::of(ledger, &spent),
                variance: Printed::of(ledger, &variance),
                share: Printed::of(ledger, &share),
                flagged: match (&accounts, name) {
                    // What the agreement asks for is asked, and nothing else; of all lines together nobody asks.
                    (Some(accounts), name) => name.is_some_and(|name| accounts.asks_reason(name)),
                    (None, _) => over.map_or_else(
                        || name.is_some() && unapproved(ledger, &budget, &spent),
                        |over| over > beyond,
                    ),
                },
            }
        };
        let of_line = [
            &catalogue::BUDGET_LINE,
            held.spent_line,
            &catalogue::VARIANCE_LINE,
            &catalogue::VARIANCE_LINE_SHARE,
        ];
        let total = [&catalogue::BUDGET, held.spent, &catalogue::VARIANCE, &catalogue::VARIANCE_SHARE];
        let lines: Vec<Line> = names.iter().map(|name| row(of_line, Some(name))).collect();
        let beside = beside(project, ledger, accounts.as_ref(), &names);
        let to_explain = lines.iter().filter(|line| line.flagged && line.reasons.is_empty()).map(|line| {
            // Of an agreement the change is told that its test is of.
            let share = match accounts {
                Some(_) => change(ledger, &line.name),
                None => line.share.text.clone(),
            };
            let share = share.unwrap_or_else(|| "nothing approved".to_owned());
            Flagged { name: line.name.clone(), share }
        });
        let of_others = beside.iter().filter(|one| one.asked && one.reasons.is_empty()).map(|one| {
            let share = one.change.clone().unwrap_or_else(|| "nothing approved".to_owned());
            Flagged { name: one.name.clone(), share }
        });
        let of = |series: &Series| Printed::of(ledger, &series.whole());
        Money {
            currency: project.identity.currency.clone(),
            tax: tax(project),
            span: held.span,
            budget_words: held.budget_words,
            spent_words: held.spent_words,
            to_explain: to_explain.chain(of_others).collect(),
            beside,
            lines,
            total: row(total, None),
            unspent: of(&catalogue::UNSPENT),
            per_stem: of(&catalogue::COST_PER_LIVING_STEM),
            per_hectare: of(&catalogue::COST_PER_HECTARE),
            budget_in_kind: of(&catalogue::BUDGET_IN_KIND),
            spend_in_kind: of(held.in_kind),
            volunteer: project.money.volunteer_rate.as_ref().map(|rate| Volunteer {
                rate: format!("{}\u{a0}{:.2}", project.identity.currency, rate.per_hour.0),
                source: rate.source.clone(),
                hours: Printed::about(ledger, &catalogue::HOURS, Basis::Volunteer.words()),
                value: of(&catalogue::VOLUNTEER_VALUE),
            }),
            asked: asked(accounts.as_ref(), beyond),
            whole_term: accounts.as_ref().filter(|accounts| !accounts.is_due()).map(|accounts| {
                format!(
                    "The budget is of the whole term, which ends on {}: what is not spent yet is no variance.",
                    printed::day(accounts.agreement.term.to)
                )
            }),
        }
    }
}

/// The change of a line to date against its budget, in words.
fn change(ledger: &Ledger, line: &str) -> Option<String> {
    let change = ledger.figure(catalogue::TEST_LINE.id(&[line]).as_str())?;
    Some(format!("{} to date", change.text()))
}

/// Lines that are not among `names` and of which the agreement asks for a reason, or the folder gives one.
fn beside(
    project: &Project,
    ledger: &Ledger,
    accounts: Option<&Accounts<'_>>,
    names: &[String],
) -> Vec<Beside> {
    let given = project.reasons.iter().filter_map(|reason| reason.line.clone());
    let all = accounts.map(Accounts::line_names).unwrap_or_default().into_iter().chain(given);
    let mut found: Vec<Beside> = Vec::new();
    for name in all {
        let known = |one: &String| slug(one) == slug(&name);
        if names.iter().any(known) || found.iter().any(|one| known(&one.name)) {
            continue;
        }
        let asked = accounts.is_some_and(|accounts| accounts.asks_reason(&name));
        let reasons = reasons(project, &name);
        if asked || !reasons.is_empty() {
            found.push(Beside { change: change(ledger, &name), asked, reasons, name });
        }
    }
    found
}

/// Whether money went out on a line for which none was approved.
fn unapproved(ledger: &Ledger, budget: &FigureId, spent: &FigureId) -> bool {
    let sum = |id: &FigureId| ledger.figure(id.as_str()).map(|figure| figure.value);
    sum(budget) == Some(0.0) && sum(spent).is_some_and(|spent| spent != 0.0)
}

/// When a line needs a reason, as a clause behind "a reason is asked for": by the agreement's tests, or by the folder's own share.
fn asked(accounts: Option<&Accounts<'_>>, beyond: f64) -> Option<String> {
    let Some(accounts) = accounts else {
        return Some(format!(
            "where a line is off by more than {} of its budget",
            units::set_percent(beyond)
        ));
    };
    let tests = accounts.agreement.explain.iter().map(|one| {
        let over = units::set_percent(one.over);
        match one.test {
            VarianceTest::Line if accounts.is_due() => {
                format!("where a line is off by more than {over} of its budget to date")
            }
            VarianceTest::Line => format!("where a line is over its budget by more than {over}"),
            VarianceTest::WholeGrant => format!("where a line rises by more than {over} of the money paid"),
            VarianceTest::CumulativeTransfers => {
                format!("where all rises together make more than {over} of the approved money")
            }
            VarianceTest::NewLine if one.over > 0.0 => {
                format!("where lines without a budget make more than {over} of the approved money")
            }
            VarianceTest::NewLine => "where money went out on a line without a budget".to_owned(),
        }
    });
    let tests: Vec<String> = tests.collect();
    (!tests.is_empty()).then(|| tests.join(", and "))
}

/// The lines that stray further than the agreement lets them, or on which nothing was approved, and of which the folder gives no reason.
pub(crate) fn unexplained(inputs: &ReportInputs<'_>) -> Vec<String> {
    let (project, ledger) = (inputs.project, inputs.ledger);
    let beyond = project.money.beyond();
    let held = ledger.held();
    if let Some(accounts) = Accounts::of(project) {
        let asked = |name: &String| reasons(project, name).is_empty() && accounts.asks_reason(name);
        // A line of other years is asked about as those of this one are.
        let mut names = line_names(inputs);
        for name in accounts.line_names() {
            if !names.iter().any(|known| slug(known) == slug(&name)) {
                names.push(name);
            }
        }
        return names.into_iter().filter(asked).collect();
    }
    let strays = |name: &String| match ledger.figure(catalogue::VARIANCE_LINE_SHARE.id(&[name]).as_str()) {
        Some(share) => share.value.abs() > beyond,
        None => unapproved(ledger, &catalogue::BUDGET_LINE.id(&[name]), &held.spent_line.id(&[name])),
    };
    line_names(inputs).into_iter().filter(|name| reasons(project, name).is_empty() && strays(name)).collect()
}

/// What the folder says of why the line came out so.
fn reasons(project: &Project, line: &str) -> Vec<String> {
    let about = project.reasons.iter().filter(|reason| reason.line.as_deref().map(slug) == Some(slug(line)));
    about.map(|reason| sentence(&reason.words)).collect()
}

/// Whether the tax is in the amounts, and how far that is known: nothing is said that nobody stated.
fn tax(project: &Project) -> String {
    let counted = project.spending.iter().filter(|payment| payment.counted_on <= project.period.to);
    let tax = TaxRecorded::of(counted);
    let (included, without) = ("Amounts include the tax in them", "Amounts are without the tax in them");
    let agreement = project.only_agreement();
    let asks = agreement.is_some_and(|agreement| agreement.tax_stated);
    let claims = agreement.and_then(|agreement| agreement.claims_tax_back);
    let words = match (project.money.acquit, agreement.is_some(), claims) {
        (TaxBasis::Included, false, _) | (TaxBasis::Included, _, Some(false)) => {
            format!("{included}: the grantee can’t claim it back.")
        }
        (TaxBasis::Included, _, Some(true)) => {
            format!("{included}, as the agreement asks, although the grantee claims it back.")
        }
        (TaxBasis::Included, _, None) => format!("{included}, as the agreement asks."),
        (TaxBasis::Excluded, _, _) if tax.nowhere() => {
            "The spending records no tax: amounts are as paid, with any tax in them.".to_owned()
        }
        (TaxBasis::Excluded, false, _) | (TaxBasis::Excluded, _, Some(true)) => {
            format!("{without}: the grantee claims it back.")
        }
        (TaxBasis::Excluded, _, Some(false)) => {
            format!("{without}, as the agreement asks: the grantee can’t claim it back, and bears it.")
        }
        (TaxBasis::Excluded, _, None) if asks => format!("{without}, as the agreement asks."),
        (TaxBasis::Excluded, _, None) => {
            format!("{without}; whether the agreement counts it is not stated.")
        }
    };
    let rest = match project.money.acquit {
        TaxBasis::Excluded if !tax.nowhere() => tax.unrecorded(),
        _ => None,
    };
    let rest = rest.map(|rest| format!(" {rest}.")).unwrap_or_default();
    // Of an agreement the budget is by the same rule, or the two could not be held against one another.
    let alike = if agreement.is_some() { " Budget and spending are taken alike." } else { "" };
    format!("{words}{rest}{alike}")
}

/// The budget's lines in their order, then lines that were spent on without a budget.
fn line_names(inputs: &ReportInputs<'_>) -> Vec<String> {
    let project = inputs.project;
    let budget = project.budget.iter().map(|line| &line.line);
    let spent = project
        .spending
        .iter()
        .filter(|spending| !spending.in_kind)
        .filter(|spending| match project.budget_span() {
            BudgetSpan::Year => project.period.holds(spending.counted_on),
            BudgetSpan::ToDate => spending.counted_on <= project.period.to,
        })
        .map(|spending| &spending.line);
    let mut names: Vec<String> = Vec::new();
    for name in budget.chain(spent) {
        if !names.iter().any(|known| slug(known) == slug(name)) {
            names.push(name.clone());
        }
    }
    names
}
