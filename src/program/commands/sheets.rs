//! `sheets`: the field book of a project, to be printed and as a workbook that is read back.

use std::path::{Path, PathBuf};

use crate::{
    VERSION,
    commands::{CommandError, DIFFERS, Outcome, listed, read},
};
use hillfolio_core::intake::Folder;
use hillfolio_documents::{exports, pack, typeset::Engine};

/// The workbook's name; one that begins so is read as a field book.
const BOOK: &str = "field-book.xlsx";

pub(super) fn run(folder: &Path, out: Option<&Path>, quiet: bool) -> Outcome {
    match sheets(folder, out) {
        Ok(_) if quiet => Outcome::default(),
        Ok(made) => Outcome::done(format!(
            "made {0}: print field-book.pdf, or fill in {BOOK} and put it into the folder\n",
            made.display()
        )),
        Err(CommandError::Folder(problems)) => {
            Outcome { err: listed(&problems), code: DIFFERS, ..Outcome::default() }
        }
        Err(failure) => failure.not_written(),
    }
}

/// Writes the field book of the project in `folder` into the new folder `out`, beside the project's if left out. Gives where it stands.
///
/// # Errors
/// [`CommandError`] if the folder has errors, the sheets can't be made, or something stands there already.
pub fn sheets(folder: &Path, out: Option<&Path>) -> Result<PathBuf, CommandError> {
    let open = Folder::open(folder)?;
    let project = read(&open)?.project;
    let sheets = project.field_sheets();
    let book = exports::field_book_xlsx(&sheets, project.period.to)?;
    let printed = Engine::new(&[]).field_book(&project, &sheets, VERSION)?;
    let beside = || open.root().with_file_name(format!("{}-field-book", open.name()));
    let out = out.map_or_else(beside, Path::to_owned);
    pack::write_new(&out, &[("field-book.pdf", printed.bytes.as_slice()), (BOOK, book.as_slice())])?;
    Ok(out)
}
