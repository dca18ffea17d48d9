//! `species`: what is known of the species; the built-in list has the same columns.

use std::collections::BTreeMap;

use crate::{
    intake::{
        built_in::BUILT_IN,
        cell::Cells,
        nearest::folded,
        species_names::{SpeciesNames, names_a_group},
        table::Table,
    },
    problem::{Plausibility, Problem, Records},
    project::{Form, Origin, Role, Species, SpeciesId, SpeciesList, Tolerance},
};

/// Lighter than balsa and heavier than lignum vitae, g/cm³.
const WOOD: (f64, f64) = (0.08, 1.4);

/// Taller than any tree that stands, m.
const TALLEST: f64 = 130.0;

/// The built-in list.
pub(crate) fn built_in() -> SpeciesList {
    BUILT_IN.list.clone()
}

/// A row of the built-in list.
pub(crate) fn built_in_row(row: &mut Cells<'_>) -> Option<Species> {
    species(row, None, Origin::BuiltIn)
}

/// Puts the folder's own species on top of `list`: new ones are added, known ones corrected where a cell is filled.
pub(crate) fn read(table: &Table, list: &mut SpeciesList, problems: &mut Vec<Problem>) {
    let names = SpeciesNames::of(list, true);
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    let own = table.each(problems, |row| {
        let name = row.raw("species")?;
        let known = names.get(name).and_then(|id| list.get(&id));
        let species = species(row, known, Origin::Folder)?;
        let (name, number) = (folded(&species.id.0), row.source().row);
        if let Some(&first) = seen.get(&name) {
            row.say("species", Records::IdTwice { what: "species", id: species.id.0.to_string(), first });
        } else {
            seen.insert(name, number);
        }
        if names_a_group(&species.id.0) && row.raw("group").is_none() {
            row.say("species", Plausibility::GroupAsSpecies { found: species.id.0.to_string() });
        }
        Some(species)
    });
    own.into_iter().for_each(|species| list.put(species));
}

/// A row on top of what is known already.
fn species(row: &mut Cells<'_>, known: Option<&Species>, origin: Origin) -> Option<Species> {
    let name = row.raw("species")?.split_whitespace().collect::<Vec<_>>().join(" ");
    let id = known.map_or_else(|| SpeciesId(name.into()), |known| known.id.clone());
    let text = |row: &Cells<'_>, column, known: Option<&Option<String>>| {
        row.text(column).or_else(|| known.and_then(Option::clone))
    };
    let tolerance = |row: &mut Cells<'_>, column, known: Option<Tolerance>| {
        row.word(column, &Tolerance::ALL, Tolerance::word).or(known).unwrap_or_default()
    };
    let facts =
        [row.text("wood_density_source").map(|source| format!("wood density: {source}")), row.text("source")];
    let facts: Vec<String> = facts.into_iter().flatten().collect();
    let fact_source = (!facts.is_empty()).then(|| facts.join("; "));
    let wood = "a wood density from 0.08 to 1.4 g/cm³";
    Some(Species {
        id,
        authority: text(row, "authority", known.map(|known| &known.authority)),
        common_name: text(row, "common_name", known.map(|known| &known.common_name)),
        family: text(row, "family", known.map(|known| &known.family)),
        form: row.word("form", &Form::ALL, Form::word).or(known.and_then(|known| known.form)),
        role: row.word("role", &Role::ALL, Role::word).or(known.and_then(|known| known.role)),
        allometry: text(row, "allometry", known.map(|known| &known.allometry)),
        wood_density: row
            .number("wood_density_g_cm3", WOOD, wood)
            .or(known.and_then(|known| known.wood_density)),
        frost: tolerance(row, "frost", known.map(|known| known.frost)),
        drought: tolerance(row, "drought", known.map(|known| known.drought)),
        waterlogging: tolerance(row, "waterlogging", known.map(|known| known.waterlogging)),
        mature_height: row.length("mature_height_m", TALLEST).or(known.and_then(|known| known.mature_height)),
        group: row.yes("group").or(known.map(|known| known.group)).unwrap_or_default(),
        native: row.yes("native").or(known.and_then(|known| known.native)),
        fact_source: fact_source.or_else(|| known.and_then(|known| known.fact_source.clone())),
        confidence: text(row, "confidence", known.map(|known| &known.confidence)),
        origin,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{
        built_in::{BuiltIn, LAYOUT},
        mapping::Mapping,
    };

    #[test]
    fn the_built_in_list_has_no_problem() {
        let mut problems = Vec::new();
        let list = BuiltIn::read(&mut problems).list;
        assert_eq!(problems, []);
        assert_eq!((list.iter().count(), built_in().iter().count()), (800, 800));
        assert!(built_in().iter().all(|species| species.form.is_some() && species.fact_source.is_some()));
        let blackwood = built_in().get(&SpeciesId("Acacia melanoxylon".into())).cloned().unwrap();
        assert_eq!((blackwood.wood_density, blackwood.mature_height), (Some(0.574), Some(30.0)));
        assert_eq!((blackwood.frost, blackwood.role), (Tolerance::Tolerant, Some(Role::Pioneer)));
    }

    #[test]
    fn the_folder_adds_and_corrects() {
        let text = "Species,Common name,Frost,mature_height_cm,source\n\
                    acacia melanoxylon R.Br.,,sensitive,,Own trial 2024\n\
                    Nothofagus moorei,Antarctic beech,,5000,\n";
        let mut problems = Vec::new();
        let table = Table::open(&LAYOUT, "species.csv", text, &Mapping::default(), &mut problems).unwrap();
        let mut list = built_in();
        read(&table, &mut list, &mut problems);
        assert_eq!(problems, []);
        let blackwood = list.get(&SpeciesId("Acacia melanoxylon".into())).unwrap();
        assert_eq!((blackwood.frost, blackwood.wood_density), (Tolerance::Sensitive, Some(0.574)));
        assert_eq!(blackwood.fact_source.as_deref(), Some("Own trial 2024"));
        assert_eq!((blackwood.origin, blackwood.common_name.as_deref()), (Origin::Folder, Some("Blackwood")));
        let beech = list.get(&SpeciesId("Nothofagus moorei".into())).unwrap();
        assert_eq!((beech.mature_height, beech.wood_density), (Some(50.0), None));
    }
}
