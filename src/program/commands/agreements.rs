//! The documents of each agreement over a place with several: its part of the folder laid out as a folder of its own, and that built as
//! any other, so that its pack holds what its documents rest on and nothing of the others. What is wrong with a part is said of the
//! place in the whole folder that it was taken from, by `check` as by `build`.

use std::{collections::BTreeMap, io::Write as _, path::Path};

use crate::{
    audit,
    commands::{CommandError, read},
};
use hillfolio_core::{
    estimate::sources,
    intake::{self, Folder, Intake},
    problem::{Grade, Place, Problem},
    project::{Agreement, AgreementId, Payer, Project, StatementScope, slug},
    sharing::{Shares, as_at_the_end, is_silent, seen_by},
    source::Row,
};
use hillfolio_documents::{exports, forms, pack::PackError, pack::UnpackDir};

/// The part of a folder that one agreement's documents rest on, laid out.
pub(super) struct Part {
    /// The agreement's id, which is also its folder's.
    pub(super) id: String,
    /// Where it is laid out; it goes away with this.
    pub(super) laid_out: UnpackDir,
    /// The folder.
    pub(super) folder: Folder,
    /// What was read from it.
    pub(super) intake: Intake,
    /// Whether nothing of it falls into the period, so that it has no documents.
    pub(super) silent: bool,
}

/// The part of each agreement of `project`, which was read from `folder`; none where it has no more than one.
///
/// # Errors
/// [`CommandError`] if a part can't be laid out, or has errors of its own.
pub(super) fn parts(folder: &Folder, project: &Project) -> Result<Vec<Part>, CommandError> {
    if project.agreements.len() < 2 {
        return Ok(Vec::new());
    }
    let shares = Shares::of(project);
    let settings = String::from_utf8_lossy(&folder.bytes(intake::SETTINGS)?).into_owned();
    let (mut parts, mut refused) = (Vec::new(), Vec::new());
    for agreement in &project.agreements {
        match part(folder, project, &shares, &settings, agreement) {
            Ok(part) => parts.push(part),
            // What is wrong with one part is no reason to keep silent of the next.
            Err(CommandError::Folder(problems)) => refused.extend(problems),
            Err(failure) => return Err(failure),
        }
    }
    match refused.is_empty() {
        true => Ok(parts),
        false => Err(CommandError::Folder(refused)),
    }
}

fn part(
    folder: &Folder,
    project: &Project,
    shares: &Shares,
    settings: &str,
    agreement: &Agreement,
) -> Result<Part, CommandError> {
    let mut view = seen_by(project, agreement, shares);
    view.asset_shares = intake::asset_shares(project, shares, &Payer::Agreement(agreement.id.clone()));
    let mut view = as_at_the_end(view);
    for row in &mut view.spending {
        row.original = Some(format!("{}:{}", row.source.file, row.source.row));
    }
    let top = audit::INPUTS.trim_end_matches('/');
    let laid_out = UnpackDir::with(&[top])?;
    let put = |path: &str, bytes: &[u8]| -> Result<(), CommandError> {
        let path = format!("{top}/{path}");
        let mut file = laid_out.create(&path)?;
        let why = |why| PackError::Unpack { path: laid_out.path(&path), why };
        Ok(file.write_all(bytes).map_err(why)?)
    };
    let supports = agreement.areas.as_ref().is_none_or(Vec::is_empty);
    let own = intake::settings_excerpt(settings, &agreement.id.0, supports).unwrap_or_default();
    let files = exports::excerpt_files(&view);
    let originals =
        project.inputs.iter().filter(|input| files.contains(&input.path) || &*input.path == intake::SETTINGS);
    let others = match agreement.statement {
        StatementScope::AllSources => {
            sources::Place::of(project).map(|place| place.beside(agreement)).unwrap_or_default()
        }
        StatementScope::ThisGrant => Vec::new(),
    };
    let settings = own
        + &intake::originals_excerpt(originals)
        + &intake::others_excerpt(&others)
        + &intake::not_held_excerpt(&view);
    put(intake::SETTINGS, settings.as_bytes())?;
    for (path, bytes) in exports::excerpt(&view)? {
        put(&path, &bytes)?;
    }
    for input in &project.inputs {
        let path: &str = &input.path;
        let picture = view.photos.iter().any(|photo| *photo.path == *path);
        let words = is_of(path, "narrative/", &agreement.id)
            || forms::is_form(path) && is_of(path, forms::FORMS, &agreement.id);
        if picture || words || is_terrain(path, project) {
            put(path, &folder.bytes(path)?)?;
        }
    }
    let rows = exports::excerpt_rows(&view);
    let whole = |problems: Vec<Problem>| {
        let errors = problems.into_iter().filter(|problem| problem.grade() == Grade::Error);
        errors.map(|problem| in_whole(&agreement.id, &rows, problem)).collect::<Vec<Problem>>()
    };
    let folder = Folder::open(&laid_out.path(top))
        .map_err(|problem| whole(vec![problem]))?
        .with(view.receipts.clone());
    let intake = read(&folder).map_err(whole)?;
    let silent = is_silent(project, agreement, shares);
    Ok(Part { id: agreement.id.to_string(), laid_out, folder, intake, silent })
}

/// A problem of a part at the place of the whole folder from which the row was taken; where none was, of the agreement.
fn in_whole(id: &AgreementId, rows: &BTreeMap<String, Vec<Row>>, problem: Problem) -> Problem {
    let first = if problem.place.path.ends_with(".csv") { 2 } else { 1 };
    let at = problem.place.row.and_then(|row| usize::try_from(row).ok()?.checked_sub(first));
    let original = at.and_then(|at| rows.get(&*problem.place.path)?.get(at));
    let of_it = format!("agreement {id}");
    let place = match (original, problem.place.column.clone()) {
        (Some(row), Some(column)) => Place::row(row).column(column),
        (Some(row), None) => Place::row(row),
        (None, Some(column)) => Place::file(problem.place.path.clone()).column(format!("{of_it}: {column}")),
        (None, None) => Place::file(problem.place.path.clone()).column(of_it),
    };
    Problem { place, ..problem }
}

/// Whether the file at `path` in a `folder` of the project is for the agreement called `id`: right under the folder lies what is for all, in
/// a folder of its own what is for one.
pub(super) fn is_of(path: &str, folder: &str, id: &AgreementId) -> bool {
    path.strip_prefix(folder).is_some_and(|rest| match rest.split_once('/') {
        Some((whose, _)) => whose == slug(&id.0),
        None => true,
    })
}

/// What is wrong with the answers and the forms of an agreement, at its place in the whole folder: only its figures tell.
pub(super) fn of_answers(id: &str, problems: Vec<Problem>) -> Vec<Problem> {
    let of_form = |problem: &Problem| problem.kind.code().starts_with("form-");
    let is_answer = |problem: &Problem| problem.kind.code().starts_with("answer-") || of_form(problem);
    let whole = |problem: Problem| {
        let path = if of_form(&problem) { problem.place.path.clone() } else { intake::SETTINGS.into() };
        Problem { place: Place::file(path).column(format!("agreement {id}")), ..problem }
    };
    problems.into_iter().filter(is_answer).map(whole).collect()
}

/// Whether an input is the terrain model, or lies beside it and says where it is.
fn is_terrain(path: &str, project: &Project) -> bool {
    let ending =
        |path: &str| Path::new(path).extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let model =
        |path: &str| ending(path).is_some_and(|ending| ["tif", "tiff", "asc"].contains(&ending.as_str()));
    let stem = |path: &str| Path::new(path).with_extension("");
    let beside = || {
        let of_model =
            |input: &hillfolio_core::source::Input| model(&input.path) && stem(&input.path) == stem(path);
        ending(path).as_deref() == Some("prj") && project.inputs.iter().any(of_model)
    };
    model(path) || beside()
}
