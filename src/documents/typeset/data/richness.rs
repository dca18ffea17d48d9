//! What lives there: indices of diversity, and the species by growth form.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        places::areas_and_all,
        printed::{Printed, under},
    },
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    project::{Form, SpeciesId},
};

/// Diversity of the plots.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Richness {
    rows: Vec<Indices>,
    forms: Vec<FormRows>,
    rarefied: Vec<Printed>,
}

/// The indices of one area.
#[derive(Serialize, JsonSchema)]
struct Indices {
    area: String,
    richness: Printed,
    native: Printed,
    introduced: Printed,
    chao1: Printed,
    shannon: Printed,
    simpson: Printed,
    evenness: Printed,
}

/// The species of one growth form.
#[derive(Serialize, JsonSchema)]
struct FormRows {
    form: String,
    species: Vec<SpeciesRow>,
}

/// One species that was planted or counted.
#[derive(Serialize, JsonSchema)]
struct SpeciesRow {
    scientific: String,
    common: String,
    family: String,
    origin: &'static str,
    planted: Option<Printed>,
    survival: Option<Printed>,
    height: Option<Printed>,
}

impl Richness {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Richness {
        let ledger = inputs.ledger;
        let indices = |(area, name): (String, &str)| Indices {
            area,
            richness: Printed::about(ledger, &catalogue::RICHNESS, name),
            native: Printed::about(ledger, &catalogue::NATIVE_SPECIES, name),
            introduced: Printed::about(ledger, &catalogue::INTRODUCED_SPECIES, name),
            chao1: Printed::about(ledger, &catalogue::CHAO1, name),
            shannon: Printed::about(ledger, &catalogue::SHANNON, name),
            simpson: Printed::about(ledger, &catalogue::SIMPSON, name),
            evenness: Printed::about(ledger, &catalogue::EVENNESS, name),
        };
        let known = |row: &Indices| row.richness.text.is_some();
        Richness {
            rows: areas_and_all(inputs).map(indices).filter(known).collect(),
            forms: forms(inputs),
            rarefied: under(ledger, &catalogue::RAREFIED),
        }
    }
}

/// Every species that was planted or counted by the end of the period, by growth form.
fn forms(inputs: &ReportInputs<'_>) -> Vec<FormRows> {
    let project = inputs.project;
    let planted = project.plantings_to_date().map(|planting| &planting.species);
    let counted = project.tallies.iter().filter(|tally| tally.date <= project.period.to);
    let species: BTreeSet<&SpeciesId> = planted.chain(counted.map(|tally| &tally.species)).collect();
    let mut forms: BTreeMap<Option<Form>, Vec<SpeciesRow>> = BTreeMap::new();
    for id in species {
        let form = project.species.get(id).and_then(|species| species.form);
        forms.entry(form).or_default().push(row(inputs, id));
    }
    let name = |form: Option<Form>| {
        form.map_or_else(|| "form not recorded".to_owned(), |form| form.word().to_owned())
    };
    // Those of which nothing is known stand last.
    let mut rows: Vec<(bool, FormRows)> = forms
        .into_iter()
        .map(|(form, species)| (form.is_none(), FormRows { form: name(form), species }))
        .collect();
    rows.sort_by_key(|(unknown, _)| *unknown);
    rows.into_iter().map(|(_, rows)| rows).collect()
}

fn row(inputs: &ReportInputs<'_>, id: &SpeciesId) -> SpeciesRow {
    let species = inputs.project.species.get(id);
    let figure = |series: &Series| Printed::find(inputs.ledger, &series.id(&[&id.0]));
    SpeciesRow {
        scientific: id.to_string(),
        common: species.and_then(|species| species.common_name.clone()).unwrap_or_default(),
        family: species.and_then(|species| species.family.clone()).unwrap_or_default(),
        origin: match species.and_then(|species| species.native) {
            Some(true) => "native",
            Some(false) => "introduced",
            None => "not stated",
        },
        planted: figure(&catalogue::SPECIES_STEMS),
        survival: figure(&catalogue::SPECIES_SURVIVAL),
        height: figure(&catalogue::HEIGHT),
    }
}
