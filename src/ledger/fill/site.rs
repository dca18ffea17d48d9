//! Areas, perimeters, lengths, slopes.

use std::collections::BTreeSet;

use crate::{
    estimate::{Finding, Gap, site, slope},
    ledger::{
        FigureId, Ledger,
        fill::{Scope, Sorted},
    },
    project::{Shape, Standing},
    units::{Degrees, Unit},
};

pub(crate) fn enter(ledger: &mut Ledger, sorted: &Sorted<'_>) {
    let project = sorted.project;
    for scope in sorted.areas() {
        let areas = || project.areas.iter().filter(move |area| scope.holds(&area.id));
        ledger.enter_scope("site.area", "Plan area", scope, Unit::Hectares, site::area(areas()));
        let rings = site::perimeter(areas());
        ledger.enter_scope("site.perimeter", "Perimeter", scope, Unit::Metres, rings);
        ledger.enter_scope("terrain.slope.mean", "Mean slope", scope, Unit::Degrees, mean(sorted, scope));
        let steepest = steepest(sorted, scope);
        ledger.enter_scope("terrain.slope.max", "Steepest slope", scope, Unit::Degrees, steepest);
    }
    let lines: BTreeSet<_> = project
        .features
        .iter()
        .filter(|feature| matches!(feature.shape, Shape::Lines(_)))
        .map(|feature| (feature.kind, feature.standing))
        .collect();
    for (kind, standing) in lines {
        let id =
            FigureId::of(&format!("site.length.{}", crate::project::slug(kind.words())), standing.word());
        let label = match standing {
            Standing::New => format!("Length of new {}", kind.words()),
            Standing::Existing => format!("Length of existing {}", kind.words()),
        };
        ledger.enter(id, label, Unit::Metres, site::length(&project.features, kind, standing));
    }
}

fn mean(sorted: &Sorted<'_>, scope: Scope<'_>) -> Finding<Degrees> {
    let slopes = &sorted.project.slopes;
    match scope.area {
        Some(area) => slope::mean(slopes, area),
        None => {
            let means = sorted.grounds.iter();
            let means: Vec<_> =
                means.map(|(&area, ground)| (area, ground.plan, slope::mean(slopes, area))).collect();
            slope::joint_mean(&means)
        }
    }
}

fn steepest(sorted: &Sorted<'_>, scope: Scope<'_>) -> Finding<Degrees> {
    let slopes = &sorted.project.slopes;
    match scope.area {
        Some(area) => slope::steepest(slopes, area),
        None => sorted
            .project
            .areas
            .iter()
            .filter_map(|area| slope::steepest(slopes, &area.id).ok())
            .reduce(|one, other| if other.value > one.value { other } else { one })
            .ok_or(Gap::NoSlope),
    }
}
