//! `new`: a project folder with starter files, each explained.

use std::path::Path;

use crate::commands::Outcome;
use hillfolio_documents::pack;

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
