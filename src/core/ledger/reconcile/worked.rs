//! Fences and ground that were worked, against the map.

use crate::{
    estimate::site,
    ledger::{
        Ledger, catalogue,
        reconcile::{Difference, apart, apart_text, closing},
        rival::Rival,
    },
    problem::{Agreement, Place},
    project::{Feature, FeatureKind, Project, Standing, Work, slug},
    source::Row,
    units::{as_written, number},
};

/// The part by which metres of fence on the ground and on the map may differ: wire is paced or taped on the slope (common practice,
/// no source).
const PACED: f64 = 0.08;

/// The part by which work may pass the hectares of its area: edges are gone over too (common practice, no source).
const EDGES: f64 = 0.10;

/// Words of work on fences that are there already.
const REPAIRS: [&str; 8] = ["repair", "mainten", "maintain", "remov", "check", "mend", "inspect", "clear"];

pub(super) fn compare(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    fence(ledger, project, found);
    ground(ledger, project, found);
}

fn is_new_fence(work: &Work) -> bool {
    let task = slug(&work.task);
    task.split('-').any(|word| word.starts_with("fenc")) && !REPAIRS.iter().any(|word| task.contains(word))
}

/// Metres in one of the unit in which a length of work is written.
fn metres(work: &Work) -> Option<f64> {
    let factor = match slug(work.unit.as_deref()?).as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" | "lm" | "lin-m" | "linear-metres" => 1.0,
        "km" | "kilometre" | "kilometres" => 1_000.0,
        _ => return None,
    };
    Some(work.quantity? * factor)
}

fn fence(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    // The map shows what was put up at any time, so work before the period counts here.
    let works: Vec<&Work> =
        project.works.iter().filter(|work| work.date <= project.period.to && is_new_fence(work)).collect();
    let measured: Vec<f64> = works.iter().filter_map(|work| metres(work)).collect();
    let id = catalogue::LENGTH.id(&[FeatureKind::Fence.words(), Standing::New.word()]);
    let Some(drawn) = ledger.figure(id.as_str()).filter(|_| !measured.is_empty()) else { return };
    let (by_works, by_map) = (measured.iter().sum::<f64>(), drawn.value);
    if number(by_works, 0) == number(by_map, 0) {
        return;
    }
    let kind = Agreement::FenceDiffers {
        works: number(by_works, 0),
        map: number(by_map, 0),
        apart: apart_text(by_works, by_map),
        alone: match by_works > by_map {
            true => closing(
                by_works - by_map,
                works.iter().filter_map(|work| Some((metres(work)?, &work.source))),
            ),
            false => closing(by_map - by_works, drawn_rows(project)),
        },
    };
    let Some(first) = works.iter().find(|work| metres(work).is_some()) else { return };
    let quantities = works.iter().map(|work| catalogue::QUANTITY.id(&[&slug(&work.task)]));
    let mut quantities: Vec<_> = quantities.filter(|id| ledger.figure(id.as_str()).is_some()).collect();
    quantities.sort();
    quantities.dedup();
    let mut rivals = vec![(id.clone(), Rival { of: "the works log", value: by_works })];
    // Of several tasks, the map does not tell which part was whose.
    if let [only] = quantities.as_slice() {
        rivals.push((only.clone(), Rival { of: "the map", value: by_map }));
    }
    let figures = std::iter::once(id).chain(quantities).collect();
    let place = Place::row(&first.source).column("quantity");
    let doubt = (apart(by_works, by_map) > PACED).then_some((kind, place));
    found.push(Difference { doubt, figures, rivals });
}

/// The new fences on the map, each with its metres.
fn drawn_rows(project: &Project) -> impl Iterator<Item = (f64, &Row)> {
    let alone = |feature: &Feature| {
        site::length(std::slice::from_ref(feature), FeatureKind::Fence, Standing::New).ok()
    };
    project.features.iter().filter_map(move |feature| Some((alone(feature)?.value.0, &feature.source)))
}

fn ground(ledger: &Ledger, project: &Project, found: &mut Vec<Difference>) {
    for work in project.works.iter().filter(|work| project.period.holds(work.date)) {
        let in_hectares = work
            .unit
            .as_deref()
            .map(slug)
            .is_some_and(|unit| ["ha", "hectare", "hectares"].contains(&unit.as_str()));
        let Some(quantity) = work.quantity.filter(|_| in_hectares) else { continue };
        let Some(area) = work.area.as_ref().and_then(|area| project.area(area)) else { continue };
        let Ok(hectares) = site::area([area]).map(|found| found.value.0) else { continue };
        if quantity <= hectares * (1.0 + EDGES) {
            continue;
        }
        let kind = Agreement::WorkBeyondArea {
            task: work.task.trim().to_owned(),
            quantity: as_written(quantity),
            area: area.id.to_string(),
            hectares: number(hectares, 2),
        };
        let id = catalogue::QUANTITY.id(&[&slug(&work.task)]);
        let figures = if ledger.figure(id.as_str()).is_some() { vec![id] } else { Vec::new() };
        let place = Place::row(&work.source).column("quantity");
        found.push(Difference { doubt: Some((kind, place)), figures, rivals: Vec::new() });
    }
}
