//! Areas, perimeters, lengths.

use std::collections::BTreeSet;

use crate::{
    estimate::site,
    ledger::{FigureId, Ledger, catalogue, fill::FillContext},
    project::{Shape, Standing},
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    for scope in context.areas() {
        let areas = || project.areas.iter().filter(move |area| scope.holds(&area.id));
        ledger.enter_series(&catalogue::AREA, scope, site::area(areas()));
        let rings = site::perimeter(areas());
        ledger.enter_series(&catalogue::PERIMETER, scope, rings);
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
