//! Shapes that the settings leave out of a layer: by what stands in their properties, as rows are left out of a table.

use std::collections::BTreeSet;

use geo::MultiPolygon;

use crate::{
    geometry,
    intake::{
        layers::{drawn::Drawn, file::LayerFile},
        mapping::Mapping,
    },
    problem::{Place, Problem, Reading},
    units::Hectares,
};

/// The shapes of `layer` that are taken; what is left out is told with the ground that it encloses. The property called `named` is also
/// found as `name`.
pub(super) fn without(
    drawn: Vec<Drawn>,
    layer: &LayerFile,
    named: &str,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Drawn> {
    if mapping.skip.is_empty() && mapping.only.is_empty() {
        return drawn;
    }
    let shapes = drawn.len();
    let (mut by, mut met) = (BTreeSet::new(), BTreeSet::new());
    let mut leaves = |one: &Drawn| {
        let chosen = [("skip", &mapping.skip, "is"), ("only", &mapping.only, "is not")];
        let mut out = false;
        for (setting, columns, is) in chosen {
            for (column, patterns) in columns {
                let text = one.property(column).or_else(|| one.property(named)).unwrap_or_default();
                let found = patterns.iter().find(|pattern| pattern.found(text).is_some());
                met.extend(found.map(|pattern| (column.clone(), pattern.told())));
                if found.is_some() == (setting == "skip") {
                    let told: Vec<String> = patterns.iter().map(|pattern| pattern.told()).collect();
                    by.insert(format!("{column} {is} {}", told.join(" or ")));
                    out = true;
                }
            }
        }
        out
    };
    let (out, taken): (Vec<Drawn>, Vec<Drawn>) = drawn.into_iter().partition(|one| leaves(one));
    let place = || Place::file(layer.path.as_str());
    if !out.is_empty() {
        let polygons = out.iter().filter_map(|one| one.parts().ok()).flat_map(|parts| parts.polygons);
        let hectares = Hectares::from(geometry::area(&MultiPolygon(polygons.collect()))).0;
        let holds = if out.len() == 1 { "it holds" } else { "they hold" };
        let held = if hectares > 0.0 { format!("; {holds} {hectares:.2} ha") } else { String::new() };
        let by = by.into_iter().collect::<Vec<_>>().join(", or ");
        problems
            .push(Problem::new(Reading::RowsLeftOut { left: out.len(), rows: shapes, by, held }, place()));
    }
    for (column, patterns) in mapping.skip.iter().chain(&mapping.only) {
        for pattern in patterns.iter().filter(|pattern| !met.contains(&(column.clone(), pattern.told()))) {
            let kind = Reading::ChoiceOfNothing { column: column.clone(), value: pattern.told() };
            problems.push(Problem::new(kind, place()));
        }
    }
    taken
}
