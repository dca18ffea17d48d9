//! Works and photo points.

use crate::{
    estimate::{photos, works},
    ledger::{FigureId, Ledger},
    project::{Basis, Project, slug},
    units::Unit,
};

pub(crate) fn enter(ledger: &mut Ledger, project: &Project) {
    for basis in Basis::ALL {
        let id = FigureId::of("works.hours", basis.words());
        let label = format!("Hours worked, {}", basis.words());
        ledger.enter(id, label, Unit::Hours, works::hours(project, basis));
    }
    for (task, rows) in works::by_task(project, slug) {
        let id = FigureId::of("works.quantity", &task);
        let label = rows.first().map_or(task.as_str(), |work| work.task.trim()).to_owned();
        match works::quantity(&rows) {
            Ok((quantity, unit)) => ledger.enter(id, label, Unit::AsRecorded(unit), Ok(quantity)),
            Err(gap) => {
                ledger.enter::<f64>(id, label, Unit::Number, Err(gap));
            }
        }
    }
    let currency = Unit::Currency(project.identity.currency.clone());
    let volunteers = works::in_period(project).any(|work| work.basis == Basis::Volunteer);
    if volunteers || project.money.volunteer_rate.is_some() {
        let id = FigureId::fixed("works.volunteer-value");
        ledger.enter(id, "Value of volunteers' hours", currency, works::volunteer_value(project));
    }
    ledger.enter(FigureId::fixed("photos.points"), "Photo points", Unit::Count, photos::points(project));
    let label = "Photo points with an earlier and a later picture";
    ledger.enter(FigureId::fixed("photos.pairs"), label, Unit::Count, photos::pairs(project));
}
