//! Areas, perimeters, lengths.

use std::collections::BTreeSet;

use crate::{
    estimate::site,
    ledger::{Ledger, catalogue, fill::FillContext},
    project::{Shape, Standing},
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
        let named = catalogue::LENGTH.named([kind.words().into(), standing.word().into()]);
        ledger.enter_named(named, site::length(&project.features, kind, standing));
        if standing == Standing::New && site::tells_when_made(project) {
            let named = catalogue::LENGTH_IN_PERIOD.named([kind.words().into()]);
            ledger.enter_named(named, site::made_in_period(project, kind));
        }
    }
}
