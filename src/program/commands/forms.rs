//! The funder's own forms of a folder filled, each under its own name among the outputs; and what they ask for and can't have.

use std::collections::BTreeSet;

use crate::commands::{CommandError, agreements::is_of};
use hillfolio_core::{
    intake::Folder,
    ledger::{self, Ledger},
    plan,
    problem::{Place, Problem},
    project::{AgreementId, Project, slug},
    sharing::{Shares, seen_by},
};
use hillfolio_documents::{
    draw::{self, Sheets},
    forms::{self, FORMS, Shot, Values},
    pack::File,
    typeset::PrintPicture,
};

/// The forms of `project` filled, and what could not be; none where several agreements have their own.
///
/// # Errors
/// A form can no longer be read from the folder.
pub(super) fn filled(
    folder: &Folder,
    project: &Project,
    ledger: &Ledger,
    sheets: &Sheets,
    pictures: &[PrintPicture],
) -> Result<(Vec<File>, Vec<Problem>), CommandError> {
    let paths: Vec<&str> =
        project.inputs.iter().map(|input| &*input.path).filter(|path| forms::is_form(path)).collect();
    if paths.is_empty() || project.agreements.len() > 1 {
        return Ok((Vec::new(), Vec::new()));
    }
    let shot = |picture: &PrintPicture| Shot {
        name: format!("photo.{}", picture.path.strip_prefix("photos/").unwrap_or(&picture.path)),
        jpeg: picture.jpeg.clone(),
        size: (picture.width, picture.height),
    };
    let shots: Vec<Shot> = pictures.iter().map(shot).collect();
    let values = Values::of(project, ledger, sheets, &shots);
    let own = project.only_agreement().map(|agreement| format!("{FORMS}{}/", slug(&agreement.id.0)));
    let (mut files, mut problems, mut taken) = (Vec::new(), Vec::new(), BTreeSet::new());
    for path in paths {
        let made = forms::fill(path, folder.bytes(path)?, &values, project.period.to);
        problems.extend(made.problems);
        let short =
            own.as_deref().and_then(|own| path.strip_prefix(own)).map(|rest| format!("{FORMS}{rest}"));
        let name = short.filter(|short| !project.inputs.iter().any(|input| *input.path == **short));
        let name = name.unwrap_or_else(|| path.to_owned());
        if let Some(bytes) = made.bytes
            && taken.insert(name.clone())
        {
            files.push(File { path: name, bytes: bytes.into() });
        }
    }
    Ok((files, problems))
}

/// What the forms of `project` ask for and can't have, as its documents would be made of `folder` now.
pub(super) fn unfilled(folder: &Folder, project: &Project) -> Vec<Problem> {
    let paths: Vec<&str> =
        project.inputs.iter().map(|input| &*input.path).filter(|path| forms::is_form(path)).collect();
    if paths.is_empty() {
        return Vec::new();
    }
    if project.agreements.len() < 2 {
        return unfilled_in(folder, project, &paths, None);
    }
    let shares = Shares::of(project);
    let of_each = project.agreements.iter().map(|agreement| {
        let own: Vec<&str> = paths.iter().copied().filter(|path| is_of(path, FORMS, &agreement.id)).collect();
        match own.is_empty() {
            true => Vec::new(),
            false => unfilled_in(folder, &seen_by(project, agreement, &shares), &own, Some(&agreement.id)),
        }
    });
    of_each.flatten().collect()
}

fn unfilled_in(folder: &Folder, view: &Project, paths: &[&str], of: Option<&AgreementId>) -> Vec<Problem> {
    let mut filled = ledger::fill_but_plan(view);
    let mut sheets = draw::sheets_but_plan(view, &filled);
    if let Some(plan) = plan::make(view) {
        ledger::enter_plan(&mut filled.ledger, view, &plan);
        sheets.add_plan(view, &plan, &filled.ledger);
    }
    // Of a picture its name is asked here, and not what it shows.
    let shot = |path: &str| Shot {
        name: format!("photo.{}", path.strip_prefix("photos/").unwrap_or(path)),
        jpeg: Vec::new().into(),
        size: (1, 1),
    };
    let shots: Vec<Shot> = view.photos.iter().map(|photo| shot(&photo.path)).collect();
    let values = Values::of(view, &filled.ledger, &sheets, &shots);
    let mut problems = Vec::new();
    for path in paths {
        // A file that can no longer be read has been told of.
        let Ok(bytes) = folder.bytes(path) else { continue };
        let found = forms::fill(path, bytes, &values, view.period.to).problems;
        problems.extend(found.into_iter().map(|problem| match of {
            Some(id) => {
                let place = Place::file(problem.place.path.clone()).column(format!("agreement {id}"));
                Problem { place, ..problem }
            }
            None => problem,
        }));
    }
    problems
}
