//! Stems and species planted.

use crate::{
    estimate::plantings::Planted,
    ledger::{Ledger, catalogue, fill::FillContext},
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
        ledger.enter_named(catalogue::SPECIES_STEMS.named([(*species).into()]), Ok(planted.total()));
        let in_period = catalogue::SPECIES_STEMS_IN_PERIOD.named([(*species).into()]);
        ledger.enter_named(in_period, Ok(planted.in_period()));
    }
    for (year, planted) in &log.cohorts {
        ledger.enter_named(catalogue::COHORT_STEMS.named([(*year).into()]), Ok(planted.total()));
    }
}
