//! The plants of the plan: species with their letters, the order, the days of the nursery.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::printed::{self, Printed},
};
use hillfolio_core::{
    ledger::catalogue,
    plan::{self, Plan},
    project::{Role, SpeciesId, Tolerance},
    units::{number, whole},
};

/// One species of the plan.
#[derive(Serialize, JsonSchema)]
pub(super) struct SpeciesRow {
    letter: String,
    scientific: String,
    common: String,
    form: &'static str,
    role: &'static str,
    stems: Printed,
    cautions: Vec<&'static str>,
    /// Why its stems are not its share, where they are not.
    note: Option<String>,
}

/// One line of the order.
#[derive(Serialize, JsonSchema)]
pub(super) struct OrderRow {
    species: String,
    /// Stock and provenance, as the stock table says or as they were planted before.
    stock: String,
    /// The month by which it is with the nursery.
    by: String,
    planned: String,
    infill: String,
    spares: String,
    in_hand: String,
    order: Printed,
    trays: String,
    seeds: String,
    grams: String,
}

/// The days of the nursery.
#[derive(Serialize, JsonSchema)]
pub(super) struct Nursery {
    order: String,
    sow: String,
    plant: String,
    /// Months from the order to planting.
    months: String,
    /// The month of an earlier window that the order comes too late for.
    missed: Option<String>,
}

/// What the deal of species could not do.
#[derive(Serialize, JsonSchema)]
pub(super) struct Deal {
    /// Neighbours in a row that are of one species, because nothing else would do.
    alike: Option<String>,
    /// Words of the pattern that no species answers to.
    unanswered: Vec<String>,
    /// Stems at places of a word that they do not answer to.
    off_pattern: Option<String>,
}

pub(super) fn assignment(plan: &Plan) -> Option<Deal> {
    let dealt = plan.assignment.as_ref()?;
    let some = |stems: u64| (stems > 0).then(|| whole(stems));
    Some(Deal {
        alike: some(dealt.alike),
        unanswered: dealt.unanswered.clone(),
        off_pattern: some(dealt.off_pattern),
    })
}

pub(super) fn species(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<SpeciesRow> {
    let letters = plan::letters(plan);
    let Some(dealt) = &plan.assignment else { return Vec::new() };
    let mut rows: Vec<(u64, SpeciesRow)> = dealt
        .totals
        .iter()
        .filter(|(_, stems)| stems.0 > 0)
        .map(|(id, stems)| (stems.0, species_row(inputs, id, letters.get(id).copied())))
        .collect();
    rows.sort_by_key(|(stems, _)| std::cmp::Reverse(*stems));
    rows.into_iter().map(|(_, row)| row).collect()
}

fn species_row(inputs: &ReportInputs<'_>, id: &SpeciesId, letter: Option<char>) -> SpeciesRow {
    let known = inputs.project.species.get(id);
    let sensitive = known.into_iter().flat_map(|species| {
        [
            (species.frost, "not where frost settles"),
            (species.drought, "not on ground that dries out"),
            (species.waterlogging, "not in wet ground"),
        ]
    });
    SpeciesRow {
        letter: letter.map(String::from).unwrap_or_default(),
        scientific: id.to_string(),
        common: known.and_then(|species| species.common_name.clone()).unwrap_or_default(),
        form: known.and_then(|species| species.form).map_or("", |form| form.word()),
        role: match known.and_then(|species| species.role) {
            Some(Role::Pioneer) => "pioneer: comes first, grows fast, shades out grass",
            Some(Role::Secondary) => "second: follows the pioneers, feeds and shelters",
            Some(Role::Late) => "late: long-lived tree of the grown forest",
            Some(Role::Ground) => "ground layer: holds the soil between the trees",
            None => "not recorded",
        },
        stems: Printed::about(inputs.ledger, &catalogue::SPECIES_PLANNED_STEMS, &id.0),
        note: inputs
            .ledger
            .figure_of(&catalogue::SPECIES_PLANNED_STEMS, &[&id.0])
            .map(|figure| figure.notes.join("; "))
            .filter(|notes| !notes.is_empty()),
        cautions: sensitive
            .filter(|(bears, _)| *bears == Tolerance::Sensitive)
            .map(|(_, words)| words)
            .collect(),
    }
}

pub(super) fn order(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<OrderRow> {
    let lines = plan.order.iter().filter(|line| line.planned.0 + line.infill.0 > 0);
    lines
        .map(|line| OrderRow {
            species: line.species.to_string(),
            stock: stock(inputs, &line.species),
            by: line.order_by.map(|day| day.format("%b %Y").to_string()).unwrap_or_default(),
            planned: whole(line.planned.0),
            infill: if line.infill.0 > 0 { whole(line.infill.0) } else { String::new() },
            spares: whole(line.spares.0),
            in_hand: whole(line.in_hand.0),
            order: Printed::about(inputs.ledger, &catalogue::PLANT_ORDER, &line.species.0),
            trays: line.trays.map(whole).unwrap_or_default(),
            seeds: line.seeds.map(whole).unwrap_or_default(),
            grams: line.grams.map(|grams| number(grams, 1)).unwrap_or_default(),
        })
        .collect()
}

/// Stock and provenance: those asked for, else those of the last planting of the species that says them, marked as such.
fn stock(inputs: &ReportInputs<'_>, species: &SpeciesId) -> String {
    let asked = inputs.project.stock.iter().find(|line| &line.species == species);
    let before = inputs.project.plantings_to_date().filter(|planting| &planting.species == species).last();
    let as_before = |words: &str| format!("{words} (as planted before)");
    let kind = asked.and_then(|line| line.stock).map(|stock| stock.words().to_owned());
    let kind =
        kind.or_else(|| before.and_then(|planting| planting.stock).map(|stock| as_before(stock.words())));
    let from = asked.and_then(|line| line.provenance.clone());
    let from = from.or_else(|| before.and_then(|planting| planting.provenance.as_deref()).map(as_before));
    let said =
        [kind.unwrap_or("stock to be named".to_owned()), from.unwrap_or("provenance to be named".to_owned())];
    said.join("; ")
}

/// The sums of the order: new rows, infill, spares, to hand, to order.
pub(super) fn totals(plan: &Plan) -> Vec<String> {
    let sum = |of: fn(&plan::OrderLine) -> u64| whole(plan.order.iter().map(of).sum());
    vec![
        sum(|line| line.planned.0),
        sum(|line| line.infill.0),
        sum(|line| line.spares.0),
        sum(|line| line.in_hand.0),
        sum(|line| line.order.0),
    ]
}

pub(super) fn nursery(plan: &Plan) -> Option<Nursery> {
    let dates = plan.nursery_dates()?;
    let planting = plan.planting?;
    Some(Nursery {
        order: printed::day(dates.order),
        sow: printed::day(dates.sow),
        plant: printed::day(planting),
        months: plan.lead.order_months.to_string(),
        missed: plan.missed.map(|day| day.format("%B %Y").to_string()),
    })
}
