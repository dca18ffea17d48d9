//! `new`: a project folder with starter files, each explained, or a folder of templates to change.

use std::path::Path;

use crate::commands::Outcome;
use hillfolio_documents::{pack, typeset};

pub(super) fn run(folder: &Path, quiet: bool) -> Outcome {
    match pack::write_new(folder, pack::starter()) {
        Ok(()) if quiet => Outcome::default(),
        Ok(()) => {
            let folder = folder.display();
            Outcome::done(format!("made {folder}; fill it, then: hillfolio check {folder}\n"))
        }
        Err(failure) => Outcome::not_written(&failure, failure.help()),
    }
}

/// Copies the built-in templates, and the page on what they find, into the new folder `folder`.
pub(super) fn templates(folder: &Path, quiet: bool) -> Outcome {
    let fields = typeset::fields_page();
    let mut files: Vec<(&str, &[u8])> =
        typeset::templates().iter().map(|&(path, text)| (path, text.as_bytes())).collect();
    files.push(("FIELDS.md", fields.as_bytes()));
    match pack::write_new(folder, &files) {
        Ok(()) if quiet => Outcome::default(),
        Ok(()) => {
            let folder = folder.display();
            Outcome::done(format!(
                "made {folder}; keep the templates that you change, then: hillfolio build FOLDER --templates {folder}\n"
            ))
        }
        Err(failure) => Outcome::not_written(&failure, failure.help()),
    }
}
