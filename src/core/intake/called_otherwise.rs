//! Areas that the tables call by another property of the shapes than the one by which these are read.

use std::collections::BTreeSet;

use crate::{
    intake::{choice::Wanted, folder::Folder, layers, mapping::Mapping, nearest::folded, reader::Reader},
    problem::{Ground, Kind, Place, Problem, Records},
    project::Project,
};

/// Says once, in the place of every name that no area bears, that all of them stand under another property of the shapes.
pub(crate) fn say(
    folder: &Folder,
    reader: &Reader<'_>,
    (grid, mapping): (Option<u16>, Option<&Mapping>),
    project: &Project,
    problems: &mut Vec<Problem>,
) {
    let unknown = |problem: &Problem| match &problem.kind {
        Kind::Records(Records::IdUnknown { what: "area", found, .. }) => Some(found.clone()),
        _ => None,
    };
    let found: BTreeSet<String> = problems.iter().filter_map(unknown).collect();
    // Names that are known must stand there too.
    let known = project.plantings.iter().map(|planting| planting.area.0.to_string());
    let names = found.iter().cloned().chain(known).map(|name| folded(&name)).collect();
    let Some(example) = found.first() else { return };
    let paths = Wanted::layer("areas").files(folder, mapping, &mut Vec::new());
    let open = |path: &String| layers::open(path, grid, folder, reader, &mut Vec::new());
    let layers: Vec<_> = paths.iter().filter_map(open).collect();
    let (Some(property), Some(path)) = (
        layers::property_of(&layers, mapping.unwrap_or(&Mapping::default()), &names, &project.areas),
        paths.first(),
    ) else {
        return;
    };
    let cells = problems.iter().filter(|problem| unknown(problem).is_some()).count();
    let kind = Ground::CalledOtherwise { property, example: example.clone(), cells };
    problems.retain(|problem| unknown(problem).is_none());
    problems.push(Problem::new(kind, Place::file(path.as_str())));
}
