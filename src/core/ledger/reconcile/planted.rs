//! Stems and days of planting: the works log against the planting log.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::{
    ledger::{
        Ledger, catalogue,
        reconcile::{Difference, apart, apart_text, closing},
        rival::Rival,
    },
    problem::{Agreement, Place},
    project::{AreaId, Project, Work, slug},
    units::{number, whole},
};

/// The part by which two counts of the same plants may differ: trays are counted, not plants (common practice, no source).
const COUNTED: f64 = 0.02;

/// Days by which the two logs may differ, beside a quarter of them: plants left over go in a day later (common practice, no source).
const DAYS: usize = 1;

/// What a task of planting begins with.
const PLANTING: [&str; 3] = ["plant", "replant", "infill"];

/// Words of tasks about plants that are not their planting.
const OTHER: [&str; 6] = ["planning", "guard", "water", "deliver", "order", "collect"];

/// Units in which plants are counted.
const PLANTS: [&str; 7] = ["stem", "plant", "tree", "seedling", "tube", "tubestock", "shrub"];

pub(super) fn compare(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    let works: Vec<&Work> =
        project.works.iter().filter(|work| project.period.holds(work.date) && is_planting(work)).collect();
    stems(ledger, project, &works, found);
    days(project, &works, found);
}

fn is_planting(work: &Work) -> bool {
    let task = slug(&work.task);
    PLANTING.iter().any(|word| task.starts_with(word)) && !OTHER.iter().any(|word| task.contains(word))
}

fn in_plants(work: &Work) -> bool {
    let unit = work.unit.as_deref().map(slug).unwrap_or_default();
    PLANTS.iter().any(|word| unit == *word || unit == format!("{word}s"))
}

fn stems(ledger: &Ledger, project: &Project, works: &[&Work], found: &mut Vec<Difference>) {
    let counted: Vec<&&Work> =
        works.iter().filter(|work| work.quantity.is_some() && in_plants(work)).collect();
    // A row of planting without a count leaves the sum open.
    if counted.is_empty() || counted.len() < works.len() {
        return;
    }
    // Where every row names its area, the areas that they name are compared; else the whole site.
    let named: Option<BTreeSet<&AreaId>> = counted.iter().map(|work| work.area.as_ref()).collect();
    let holds = |area: &AreaId| named.as_ref().is_none_or(|named| named.contains(area));
    let by_works: f64 = counted.iter().filter_map(|work| work.quantity).sum();
    let plantings = project.plantings.iter().filter(|row| project.period.holds(row.date) && holds(&row.area));
    let by_log: u64 = plantings.clone().map(|row| row.stems.0).sum();
    if by_works == count(by_log) {
        return;
    }
    let whereabouts = match &named {
        Some(named) if named.len() < project.areas.len() => {
            format!(" in {}", named.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "))
        }
        _ => String::new(),
    };
    let kind = Agreement::StemsPlantedDiffer {
        works: number(by_works, 0),
        log: whole(by_log),
        whereabouts,
        apart: apart_text(by_works, count(by_log)),
        alone: match by_works > count(by_log) {
            true => closing(
                by_works - count(by_log),
                counted.iter().filter_map(|work| Some((work.quantity?, &work.source))),
            ),
            false => {
                closing(count(by_log) - by_works, plantings.map(|row| (count(row.stems.0), &row.source)))
            }
        },
    };
    let tasks: BTreeSet<String> = counted.iter().map(|work| slug(&work.task)).collect();
    let quantities: Vec<_> = tasks
        .iter()
        .map(|task| catalogue::QUANTITY.id(&[task]))
        .filter(|id| ledger.figure(id.as_str()).is_some())
        .collect();
    let mut figures = vec![catalogue::STEMS_IN_PERIOD.whole(), catalogue::STEMS.whole()];
    figures.extend(quantities.iter().cloned());
    figures.retain(|id| ledger.figure(id.as_str()).is_some());
    let more = by_works - count(by_log);
    let rivals =
        [catalogue::STEMS_IN_PERIOD.whole(), catalogue::STEMS.whole()].into_iter().filter_map(|id| {
            let value = ledger.figure(id.as_str())?.value + more;
            Some((id, Rival { of: "the works log", value }))
        });
    let mut rivals: Vec<_> = rivals.collect();
    // Of several tasks, the log does not tell which stems were whose.
    if let [only] = quantities.as_slice() {
        rivals.push((only.clone(), Rival { of: "the planting log", value: count(by_log) }));
    }
    let place = Place::row(&counted[0].source).column("quantity");
    let doubt = (apart(by_works, count(by_log)) > COUNTED).then_some((kind, place));
    found.push(Difference { doubt, figures, rivals });
}

fn days(project: &Project, works: &[&Work], found: &mut Vec<Difference>) {
    let by_works: BTreeSet<NaiveDate> = works.iter().map(|work| work.date).collect();
    let plantings = project.plantings.iter().filter(|row| project.period.holds(row.date));
    let by_log: BTreeSet<NaiveDate> = plantings.clone().map(|row| row.date).collect();
    let (log, worked) = (by_log.len(), by_works.len());
    let Some(first) = plantings.into_iter().next().filter(|_| worked > 0) else { return };
    // A works log may put several days into one row; days of work without a planting are what can't be.
    if worked > log + DAYS + log / 4 {
        let kind = Agreement::PlantingDaysDiffer { log, works: worked };
        let place = Place::row(&first.source).column("date");
        let figures = vec![catalogue::STEMS_IN_PERIOD.whole()];
        found.push(Difference { doubt: Some((kind, place)), figures, rivals: Vec::new() });
    }
}

#[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
fn count(stems: u64) -> f64 {
    stems as f64
}
