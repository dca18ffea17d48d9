//! Receipts: the files that the spending table names. They stay in the folder; of each the digest is kept, so that what is
//! shown to an auditor later can be told from another.

use std::collections::BTreeMap;

use crate::{intake::folder::Folder, problem::Problem, project::Spending, source::Input};

/// Endings by which a receipt's cell is known to name a file and not a number.
const ENDINGS: [&str; 7] = [".pdf", ".jpg", ".jpeg", ".png", ".heic", ".tif", ".eml"];

/// Whether a cell names a file.
pub(crate) fn names_a_file(cell: &str) -> bool {
    let lower = cell.to_lowercase();
    ENDINGS.iter().any(|ending| lower.ends_with(ending))
}

/// The file that a receipt's cell names, with its folder or without.
pub(crate) fn file<'f>(name: &str, files: &'f [String]) -> Option<&'f String> {
    let within = |file: &&String| file.strip_suffix(name).is_some_and(|folder| folder.ends_with('/'));
    files.iter().find(|file| *file == name).or_else(|| files.iter().find(within))
}

/// The digest of every receipt that is there, in order of path.
pub(crate) fn kept(spending: &[Spending], folder: &Folder, problems: &mut Vec<Problem>) -> Vec<Input> {
    let named = spending.iter().filter_map(|spending| spending.receipt.as_deref());
    let mut kept = BTreeMap::new();
    for path in named.filter(|name| names_a_file(name)).filter_map(|name| file(name, folder.files())) {
        if !kept.contains_key(path) {
            match folder.digest(path) {
                Ok(input) => drop(kept.insert(path.clone(), input)),
                Err(problem) => problems.push(problem),
            }
        }
    }
    kept.into_values().collect()
}
