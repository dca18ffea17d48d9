//! The funder's own forms: DOCX and XLSX files under `forms/`, which go along as inputs and are filled once the figures are known.

use crate::{intake::folder::Folder, problem::Problem, source::Input};

/// The folder of forms.
pub(crate) const FORMS: &str = "forms/";

/// Endings of forms.
const ENDINGS: [&str; 4] = [".docx", ".docm", ".xlsx", ".xlsm"];

/// The digest of every form, in order of path.
pub(crate) fn kept(folder: &Folder, problems: &mut Vec<Problem>) -> Vec<Input> {
    let is_form = |path: &&String| {
        let lower = path.to_lowercase();
        path.starts_with(FORMS)
            && ENDINGS.iter().any(|ending| lower.ends_with(ending))
            && !lower.contains("/~$")
    };
    let mut kept = Vec::new();
    for path in folder.files().iter().filter(is_form) {
        match folder.digest(path) {
            Ok(input) => kept.push(input),
            Err(problem) => problems.push(problem),
        }
    }
    kept
}
