//! The funder's own forms of a folder filled, each under its own name among the outputs; and what they ask for and can't have.

use std::collections::BTreeSet;

use crate::commands::CommandError;
use hillfolio_core::{
    intake::Folder,
    ledger::{self, Ledger},
    plan,
    problem::Problem,
    project::{Project, slug},
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

/// What the questions and the forms of `project` ask for and can't have, as its documents would be made of `folder` now.
pub(super) fn unanswered(folder: &Folder, project: &Project) -> Vec<Problem> {
    let paths: Vec<&str> =
        project.inputs.iter().map(|input| &*input.path).filter(|path| forms::is_form(path)).collect();
    let asks = project.only_agreement().is_some_and(|agreement| !agreement.questions.is_empty());
    if project.agreements.len() > 1 || paths.is_empty() && !asks {
        return Vec::new();
    }
    let mut filled = ledger::fill_but_plan(project);
    let mut sheets = draw::sheets_but_plan(project, &filled);
    if let Some(plan) = plan::make(project) {
        ledger::enter_plan(&mut filled.ledger, project, &plan);
        sheets.add_plan(project, &plan, &filled.ledger);
    }
    let mut problems = ledger::answers(&filled.ledger, project).1;
    // Of a picture its name is asked here, and not what it shows.
    let shot = |path: &str| Shot {
        name: format!("photo.{}", path.strip_prefix("photos/").unwrap_or(path)),
        jpeg: Vec::new().into(),
        size: (1, 1),
    };
    let shots: Vec<Shot> = project.photos.iter().map(|photo| shot(&photo.path)).collect();
    let values = Values::of(project, &filled.ledger, &sheets, &shots);
    for path in paths {
        // A file that can no longer be read has been told of.
        let Ok(bytes) = folder.bytes(path) else { continue };
        problems.extend(forms::fill(path, bytes, &values, project.period.to).problems);
    }
    problems
}
