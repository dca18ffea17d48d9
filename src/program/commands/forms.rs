//! The funder's own forms of a folder filled, each under its own name among the outputs.

use std::collections::BTreeSet;

use crate::commands::CommandError;
use hillfolio_core::{
    intake::Folder,
    ledger::Ledger,
    problem::Problem,
    project::{Project, slug},
};
use hillfolio_documents::{
    draw::Sheets,
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
