//! What the agreements over a place say of one another, and the place as its only agreement sees it.

use crate::{
    intake::{asset_shares::asset_shares, checks},
    problem::{Grade, Problem},
    project::{Payer, Project},
    sharing::{Shares, seen_by},
};

/// The project with what its agreements say of one another checked; as its agreement sees it, where it has one alone.
pub(super) fn of_place(project: Project, problems: &mut Vec<Problem>) -> Project {
    if project.agreements.is_empty() {
        return project;
    }
    let shares = Shares::of(&project);
    let faulty = problems.iter().any(|problem| problem.grade() == Grade::Error);
    let mut found = Vec::new();
    checks::funding::check(&project, &shares, &mut found);
    // Where rows are missing because they were faulty, a doubt would be about what was left out.
    problems.extend(found.into_iter().filter(|problem| !faulty || problem.grade() == Grade::Error));
    match project.only_agreement() {
        Some(agreement) => {
            let mut view = seen_by(&project, agreement, &shares);
            // What a part of a folder tells of others stands already.
            view.asset_shares.extend(asset_shares(
                &project,
                &shares,
                &Payer::Agreement(agreement.id.clone()),
            ));
            view
        }
        None => project,
    }
}
