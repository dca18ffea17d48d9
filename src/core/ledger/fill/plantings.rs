//! Stems and species planted.

use crate::{
    estimate::plantings::Planted,
    ledger::{FigureId, Ledger, catalogue, fill::FillContext},
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let log = &context.log;
    for scope in context.areas() {
        let total = log.of_area(scope.area, Planted::total);
        ledger.enter_series(&catalogue::STEMS, scope, total);
        let in_period = log.of_area(scope.area, Planted::in_period);
        ledger.enter_series(&catalogue::STEMS_IN_PERIOD, scope, in_period);
        let species = log.of_area(scope.area, Planted::species_count);
        ledger.enter_series(&catalogue::SPECIES_COUNT, scope, species);
        if log.whole.infill > 0 {
            let infill = log.of_area(scope.area, Planted::infill);
            ledger.enter_series(&catalogue::INFILL_STEMS, scope, infill);
        }
    }
    for (species, planted) in &log.species {
        let id = FigureId::of("plantings.species-stems", &species.0);
        ledger.enter(id, format!("Stems planted, {species}"), Unit::Stems, Ok(planted.total()));
        let id = FigureId::of("plantings.species-stems-in-period", &species.0);
        let label = format!("Stems planted in the period, {species}");
        ledger.enter(id, label, Unit::Stems, Ok(planted.in_period()));
    }
    for (year, planted) in &log.cohorts {
        let id = FigureId::of("plantings.cohort-stems", &year.to_string());
        ledger.enter(id, format!("Stems planted in {year}"), Unit::Stems, Ok(planted.total()));
    }
}
