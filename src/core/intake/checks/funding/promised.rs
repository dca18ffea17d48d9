//! Promises and sums over the years: contributions that have not come, money carried over, changes of the budget, claims so far.

use chrono::NaiveDate;

use crate::{
    geometry,
    intake::checks::funding::{name, place, sum},
    problem::{Funding, Place, Problem},
    project::{Agreement, Payer, Project, Variation, YearBudget, slug},
    sharing::{Cost, FinancialYears, Shares, accounts, hectares_of},
    units::{Money, day, number, whole},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in &project.agreements {
        let payer = Payer::Agreement(agreement.id.clone());
        let cash = |cost: &Cost<'_>| cost.admitted && !cost.row.in_kind;
        let costs: Vec<Cost<'_>> = shares.costs(project, &payer).filter(cash).collect();
        contributions(project, agreement, problems);
        carried(project, agreement, &costs, problems);
        variations(project, agreement, &costs, problems);
        reported(project, shares, agreement, problems);
    }
}

/// Contributions of years that are over by the period's end and that have not come.
fn contributions(project: &Project, agreement: &Agreement, problems: &mut Vec<Problem>) {
    let years = FinancialYears::of(agreement, project.period);
    let until = agreement.period_beside(project.period).to;
    for promise in &agreement.contributions {
        if years.span(promise.year).to <= until && promise.received_by(until) < promise.promised {
            let kind = Funding::ContributionOutstanding {
                who: promise.who.clone(),
                promised: sum(project, promise.promised),
                agreement: format!("{} for {}", agreement.id, years.words(promise.year)),
                received: sum(project, promise.received_by(until)),
            };
            problems.push(Problem::new(kind, Place::row(&promise.source).column("received")));
        }
    }
}

fn carried(project: &Project, agreement: &Agreement, costs: &[Cost<'_>], problems: &mut Vec<Problem>) {
    let years = FinancialYears::of(agreement, project.period);
    let until = agreement.period_beside(project.period).to;
    for one in &agreement.carried {
        let next = agreement.carried.iter().find(|next| next.year == one.year + 1);
        if let Some((out, next, carried_in)) =
            one.carried_out.zip(next).and_then(|(out, next)| Some((out, next, next.carried_in?)))
            && out != carried_in
        {
            let kind = Funding::CarriedDiffers {
                agreement: name(&agreement.id),
                out: format!(
                    "{} out of {} in {}",
                    sum(project, out),
                    years.words(one.year),
                    place(&one.source)
                ),
                carried_in: format!("{} into {}", sum(project, carried_in), years.words(next.year)),
            };
            problems.push(Problem::new(kind, Place::row(&next.source).column("in")));
        }
    }
    let dated: Vec<(NaiveDate, Money)> = costs.iter().map(|cost| (cost.day, cost.amount)).collect();
    if agreement.instalments.is_empty() {
        return;
    }
    for account in accounts(agreement, years, until, &dated) {
        let said = agreement.carried.iter().find(|one| one.year == account.year);
        if years.span(account.year).to <= until
            && let Some((said, one)) = said.and_then(|one| Some((one.carried_out?, one)))
            && said != account.carried_out
        {
            let kind = Funding::CarriedUnlikeRecords {
                agreement: name(&agreement.id),
                said: sum(project, said),
                year: years.words(account.year),
                worked_out: sum(project, account.carried_out),
            };
            problems.push(Problem::new(kind, Place::row(&one.source).column("out")));
        }
    }
}

/// Lines that had cost more than was approved at the time, where a variation was asked for.
fn variations(project: &Project, agreement: &Agreement, costs: &[Cost<'_>], problems: &mut Vec<Problem>) {
    let until = agreement.period_beside(project.period).to;
    for variation in &agreement.variations {
        let Some(line) = &variation.line else { continue };
        problems.extend(unlike_budget(project, agreement, variation, line));
        if variation.after.zip(variation.before).is_some_and(|(after, before)| after <= before) {
            continue;
        }
        let before_it =
            variation.approved.and_then(|approved| approved.pred_opt()).unwrap_or(until).min(until);
        let lines = agreement.budget_on(before_it);
        let approved: Money =
            lines.iter().filter(|one| slug(&one.line.line) == slug(line)).map(|one| one.line.cash).sum();
        let spent: Money = costs
            .iter()
            .filter(|cost| slug(&cost.row.line) == slug(line) && cost.day <= before_it)
            .map(|cost| cost.amount)
            .sum();
        let last = costs.iter().rfind(|cost| slug(&cost.row.line) == slug(line) && cost.day <= before_it);
        if spent > approved
            && let Some(last) = last
        {
            let kind = Funding::VariationBeforeApproval {
                line: format!("{line} of {}", agreement.id),
                spent: format!("{} by {}", sum(project, spent), day(last.day)),
                before: sum(project, approved),
                variation: format!(
                    "{} in {} {}",
                    variation.number,
                    place(&variation.source),
                    match variation.approved {
                        Some(on) => format!("was approved on {}", day(on)),
                        None => "is not approved".to_owned(),
                    }
                ),
            };
            problems.push(Problem::new(kind, Place::row(&last.row.source).column("amount")));
        }
    }
}

/// A change of a line from another sum than was approved for it when the change was asked for.
fn unlike_budget(
    project: &Project,
    agreement: &Agreement,
    variation: &Variation,
    line: &str,
) -> Option<Problem> {
    let before = variation.before?;
    let years = FinancialYears::of(agreement, project.period);
    let since = variation.approved.or(variation.asked);
    let until = agreement.period_beside(project.period).to;
    if since.is_some_and(|day| day > until) {
        return None;
    }
    let lines = agreement.budget_on(since.and_then(|day| day.pred_opt()).unwrap_or(until));
    let is_it = |one: &&YearBudget| {
        slug(&one.line.line) == slug(line) && (variation.year.is_none() || variation.year == one.year)
    };
    let those: Vec<&YearBudget> = lines.iter().filter(is_it).collect();
    let approved: Money = those.iter().map(|one| one.line.cash).sum();
    // Of a line that is new by the change nothing was approved, and nothing is what it is changed from.
    if before == approved {
        return None;
    }
    let of_year = variation.year.map(|year| format!(" of {}", years.words(year))).unwrap_or_default();
    let kind = Funding::VariationUnlikeBudget {
        variation: variation.number.clone(),
        line: format!("{line}{of_year} of {}", agreement.id),
        before: sum(project, before),
        approved: sum(project, approved),
        at: place(those.first().map_or(&agreement.source, |one| &one.line.source)),
    };
    Some(Problem::new(kind, Place::row(&variation.source).column("before")))
}

/// What an agreement has reported beside what is its own up to the end of its period.
fn reported(project: &Project, shares: &Shares, agreement: &Agreement, problems: &mut Vec<Problem>) {
    let payer = Payer::Agreement(agreement.id.clone());
    let until = agreement.period_beside(project.period).to;
    let planted = || project.plantings.iter().zip(&shares.plantings).filter(|(row, _)| row.date <= until);
    let own: u64 = planted().filter(|(_, of)| *of.owner() == payer).map(|(row, _)| row.stems.0).sum();
    let all: u64 = planted().map(|(row, _)| row.stems.0).sum();
    let every: f64 = project.areas.iter().map(|area| geometry::area(&area.boundary).0 / 10_000.0).sum();
    let ground = hectares_of(project, &payer).0;
    let mut say = |what: &'static str, claimed: String, there: String| {
        let kind = Funding::ReportedBeyondOwn { agreement: name(&agreement.id), claimed, what, there };
        problems.push(Problem::new(kind, Place::row(&agreement.source).column("reported")));
    };
    if let Some(claimed) = agreement.reported.stems.filter(|claimed| *claimed > whole_part(own)) {
        say("stems", number(claimed, 0), format!("{} of the {} planted", whole(own), whole(all)));
    }
    // Hectares are reported with two digits.
    if let Some(claimed) = agreement.reported.hectares.filter(|claimed| *claimed > ground + 0.005) {
        say(
            "hectares",
            number(claimed, 2),
            format!("{} of the {} of the place", number(ground, 2), number(every, 2)),
        );
    }
}

#[allow(clippy::cast_precision_loss, reason = "stems are far fewer than a float holds exactly")]
fn whole_part(stems: u64) -> f64 {
    stems as f64
}
