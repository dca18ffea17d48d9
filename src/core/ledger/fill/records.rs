//! Works and photo points.

use crate::{
    estimate::{photos, works},
    ledger::{Ledger, Member, catalogue},
    project::{Basis, Project, slug},
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, project: &Project) {
    for basis in Basis::ALL {
        ledger.enter_named(catalogue::HOURS.named([basis.words().into()]), works::hours(project, basis));
    }
    for (task, rows) in works::by_task(project, slug) {
        let name = rows.first().map_or(task.as_str(), |work| work.task.trim());
        let named = catalogue::QUANTITY.named([Member::new(task.as_str(), name)]);
        match works::quantity(&rows) {
            Ok((quantity, unit)) => {
                ledger.enter_named(named.measured_in(Unit::AsRecorded(unit)), Ok(quantity))
            }
            Err(gap) => {
                ledger.enter_named::<f64>(named, Err(gap));
            }
        }
    }
    let currency = Unit::Currency(project.identity.currency.clone());
    let volunteers = works::in_period(project).any(|work| work.basis == Basis::Volunteer);
    if volunteers || project.money.volunteer_rate.is_some() {
        let named = catalogue::VOLUNTEER_VALUE.named([]).measured_in(currency);
        ledger.enter_named(named, works::volunteer_value(project));
    }
    ledger.enter_named(catalogue::PHOTO_POINTS.named([]), photos::points(project));
    ledger.enter_named(catalogue::PHOTO_PAIRS.named([]), photos::pairs(project));
}
