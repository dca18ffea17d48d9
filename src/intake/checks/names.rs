//! Names too long to be a file's name.

use crate::{
    problem::{Evidence, Place, Problem},
    project::Project,
};

/// Letters that a name may have before the pack's files are called by its beginning.
const LONGEST: usize = 60;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let names =
        [("project.name", &project.identity.name), ("project.reference", &project.identity.reference)];
    for (key, name) in names.into_iter().filter(|(_, name)| name.chars().count() > LONGEST) {
        let short: String = name.chars().take(LONGEST).collect();
        let kind = Evidence::NameShortened { name: name.clone(), short };
        problems.push(Problem::new(kind, Place::file("project.toml").column(key)));
    }
}
