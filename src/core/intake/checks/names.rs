//! Names too long to be a file's name.

use crate::{
    problem::{Evidence, Place, Problem},
    project::Project,
};

/// Bytes that a name may have before the pack's files are called by its beginning; file systems count bytes, not letters.
const LONGEST: usize = 60;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let names =
        [("project.name", &project.identity.name), ("project.reference", &project.identity.reference)];
    for (key, name) in names.into_iter().filter(|(_, name)| name.len() > LONGEST) {
        let ends = |letter: &(usize, char)| letter.0 + letter.1.len_utf8() <= LONGEST;
        let short: String = name.char_indices().take_while(ends).map(|(_, letter)| letter).collect();
        let kind = Evidence::NameShortened { name: name.clone(), short };
        problems.push(Problem::new(kind, Place::file("project.toml").column(key)));
    }
}
