//! Agreements of which nothing falls into their reporting period: ended before it, or not begun.

use crate::{
    intake::checks::funding::name,
    problem::{Funding, Place, Problem},
    project::Project,
    sharing::{Shares, is_silent},
    units::{day, span},
};

pub(super) fn check(project: &Project, shares: &Shares, problems: &mut Vec<Problem>) {
    for agreement in project.agreements.iter().filter(|_| project.agreements.len() > 1) {
        let period = agreement.period_beside(project.period);
        let (agreement_name, days) = (name(&agreement.id), span(period.from, period.to));
        let ended = agreement.term.to < period.from;
        let when = match ended {
            true => format!("ended on {}", day(agreement.term.to)),
            false => format!("begins on {}", day(agreement.term.from)),
        };
        let kind = match (is_silent(project, agreement, shares), ended) {
            (true, _) => Funding::NothingDue { agreement: agreement_name, when, period: days },
            (false, true) => Funding::MovedAfterEnd { agreement: agreement_name, when, period: days },
            (false, false) => continue,
        };
        problems.push(Problem::new(kind, Place::row(&agreement.source).column("to")));
    }
}
