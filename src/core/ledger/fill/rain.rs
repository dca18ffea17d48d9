//! Rain of the period and after each planting.

use std::collections::BTreeSet;

use crate::{
    estimate::rain,
    ledger::{Ledger, catalogue, fill::FillContext},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let (project, rain) = (context.project, &context.project.rain);
    if rain.is_empty() {
        return;
    }
    let days = project.period.from..=project.period.to;
    ledger.enter_named(catalogue::RAIN.named([]), rain::total(rain, &days));
    ledger.enter_named(catalogue::RAIN_MEDIAN.named([]), rain::median_of_other_years(rain, &days));
    let planted = project.plantings_to_date().map(|planting| planting.date);
    for date in planted.filter(|date| project.period.holds(*date)).collect::<BTreeSet<_>>() {
        let named = catalogue::RAIN_AFTER_PLANTING.named([date.into()]);
        ledger.enter_named(named, rain::after_planting(rain, date));
    }
    let spell = rain::longest_dry_spell(rain, &days).map(|spell| spell.days);
    ledger.enter_named(catalogue::DRY_SPELL.named([]), spell);
}
