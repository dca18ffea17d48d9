//! Rain of the period and after each planting.

use std::collections::BTreeSet;

use crate::{
    estimate::rain,
    ledger::{FigureId, Ledger, fill::FillContext},
    units::{Unit, day},
};

pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let (project, rain) = (context.project, &context.project.rain);
    if rain.is_empty() {
        return;
    }
    let days = project.period.from..=project.period.to;
    let mut mm = |id: FigureId, label: String, finding| ledger.enter(id, label, Unit::Millimetres, finding);
    mm(FigureId::fixed("rain.period"), "Rain of the period".to_owned(), rain::total(rain, &days));
    let label = "Median rain of the same days in other years".to_owned();
    mm(FigureId::fixed("rain.median-of-other-years"), label, rain::median_of_other_years(rain, &days));
    let planted = project.plantings_to_date().map(|planting| planting.date);
    for date in planted.filter(|date| project.period.holds(*date)).collect::<BTreeSet<_>>() {
        let label = format!("Rain of the eight weeks after the planting of {}", day(date));
        mm(FigureId::of("rain.after-planting", &date.to_string()), label, rain::after_planting(rain, date));
    }
    let spell = rain::longest_dry_spell(rain, &days).map(|spell| spell.days);
    ledger.enter(FigureId::fixed("rain.longest-dry-spell"), "Longest dry spell, days", Unit::Count, spell);
}
