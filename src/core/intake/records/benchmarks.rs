//! `benchmarks`: what a reference stand holds.

use crate::{
    intake::{cell::Cells, records::Known, table::Table},
    problem::{Problem, Reading},
    project::{Attribute, Benchmark, CoverKind, Form, FormGroup, Layer, Scoring, SetAttribute},
};

/// More than any attribute holds, in its own unit.
const MOST: f64 = 1_000_000.0;

/// What the `attribute` column names; the other columns tell which form, cover or species is meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Richness,
    NativeRichness,
    FormRichness,
    Cover,
    Density,
    Recruits,
    Height,
    NativeForm,
    OfSet(SetAttribute),
}

const KINDS: [(Kind, &str); 12] = [
    (Kind::Richness, "richness"),
    (Kind::NativeRichness, "native richness"),
    (Kind::FormRichness, "form richness"),
    (Kind::Cover, "cover"),
    (Kind::Density, "density"),
    (Kind::Recruits, "recruits"),
    (Kind::Height, "height"),
    (Kind::NativeForm, "native form richness"),
    (Kind::OfSet(SetAttribute::CanopyHeight), "canopy height"),
    (Kind::OfSet(SetAttribute::StemClasses), "stem classes"),
    (Kind::OfSet(SetAttribute::RecruitingTrees), "recruiting trees"),
    (Kind::OfSet(SetAttribute::Cover(CoverKind::Exotic)), "exotic cover"),
];

/// Every benchmark.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Benchmark> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let kind = row.named("attribute", &KINDS);
        let attribute = kind.and_then(|kind| attribute(row, kind, known));
        let most = if attribute.as_ref().is_some_and(Attribute::in_per_cent) { 100.0 } else { MOST };
        let wanted = "what a reference stand holds: species, per cent of cover, stems on a hectare or metres";
        let value = row.number("benchmark", (0.0, most), wanted);
        let area = row.area_or_site("area", known);
        let scoring = row.word("scored_as", &Scoring::ALL, Scoring::words);
        Some(Benchmark {
            attribute: attribute?,
            area,
            value: value?,
            reference: row.text("source")?,
            scoring,
            note: row.text("note"),
            source: row.source(),
        })
    })
}

fn attribute(row: &mut Cells<'_>, kind: Kind, known: &Known) -> Option<Attribute> {
    let mut needed = |column: &str| {
        if row.raw(column).is_none() {
            row.say(column, Reading::CellEmpty { table: "", column: column.to_owned(), above: None });
        }
    };
    match kind {
        Kind::FormRichness | Kind::NativeForm => needed("form"),
        Kind::Cover => ["layer", "cover"].into_iter().for_each(needed),
        Kind::Height => needed("species"),
        Kind::Richness | Kind::NativeRichness | Kind::Density | Kind::Recruits | Kind::OfSet(_) => {}
    }
    Some(match kind {
        Kind::Richness => Attribute::Richness,
        Kind::NativeRichness => Attribute::NativeRichness,
        Kind::FormRichness => Attribute::FormRichness(row.word("form", &Form::ALL, Form::word)?),
        Kind::Cover => {
            let layer = row.word("layer", &[Layer::Canopy, Layer::Shrub, Layer::Ground], Layer::word)?;
            Attribute::Cover { layer, cover: row.text("cover")? }
        }
        Kind::Density => Attribute::Density,
        Kind::Recruits => Attribute::Recruits,
        Kind::Height => Attribute::Height(row.species("species", known)?),
        Kind::NativeForm => {
            let group = row.word("form", &FormGroup::ALL, FormGroup::word)?;
            Attribute::OfSet(SetAttribute::NativeSpecies(group))
        }
        Kind::OfSet(attribute) => Attribute::OfSet(attribute),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{intake::records::LAYOUTS, project::TableRow};
    use crate::{
        intake::{ids::Ids, mapping::Mapping, records::species, species_names::SpeciesNames},
        project::SpeciesList,
    };

    fn read_text(text: &str) -> (Vec<Benchmark>, Vec<String>) {
        let list: SpeciesList = species::built_in();
        let known = Known {
            areas: Ids::new("area", ["North face"], true),
            plots: Ids::new("plot", [], true),
            species: SpeciesNames::of(&list, true),
            grid: None,
            currency: "AUD".to_owned(),
            targets: Vec::new(),
            agreements: Vec::new(),
        };
        let mut problems = Vec::new();
        let table = Table::open(
            LAYOUTS.iter().find(|layout| layout.table == Benchmark::TABLE).unwrap(),
            "benchmarks.csv",
            text,
            &Mapping::default(),
            &mut problems,
        )
        .unwrap();
        let benchmarks = read(&table, &known, &mut problems);
        let said = |problem: &Problem| format!("{}: {}", problem.kind.code(), problem.place);
        (benchmarks, problems.iter().map(said).collect())
    }

    #[test]
    fn each_attribute_is_read_with_what_it_needs() {
        let (benchmarks, problems) = read_text(
            "attribute,area,form,layer,cover,species,benchmark,source,scored_as\n\
             native richness,all,,,,,22,Remnant 2025,\n\
             form richness,North face,shrub,,,,6,Remnant 2025,BioCondition richness\n\
             cover,,,canopy,native,,60,Remnant 2025,BAM growth form\n\
             height,,,,,Acacia melanoxylon,18,Remnant 2025,BioCondition canopy height\n",
        );
        assert_eq!(problems, Vec::<String>::new());
        let attributes: Vec<String> = benchmarks.iter().map(|benchmark| benchmark.attribute.id()).collect();
        assert_eq!(
            attributes,
            ["native-richness", "richness-of.shrub", "cover.canopy.native", "height.acacia-melanoxylon"]
        );
        assert_eq!((benchmarks[0].area.as_ref(), benchmarks[1].area.is_some()), (None, true));
        assert_eq!(benchmarks[2].scoring, Some(Scoring::GrowthForm));
    }

    #[test]
    fn what_is_wanting_or_wrong_is_said_at_its_cell() {
        let (benchmarks, problems) = read_text(
            "attribute,layer,cover,form,species,area,benchmark,source,scored_as\n\
             cover,canopy,,,,,60,Remnant,\n\
             form richness,,,,,,6,Remnant,\n\
             height,,,,,,18,Remnant,\n\
             cover,canopy,native,,,,160,Remnant,\n\
             biomass,,,,,,1,Remnant,\n\
             density,,,,,South face,1,Remnant,\n\
             richness,,,,,,9,Remnant,my own\n",
        );
        assert_eq!(
            benchmarks.len(),
            2,
            "an error stops the build in any case; an unknown scoring leaves the comparison"
        );
        assert_eq!(
            problems,
            [
                "cell-empty: benchmarks.csv:2 (cover)",
                "cell-empty: benchmarks.csv:3 (form)",
                "cell-empty: benchmarks.csv:4 (species)",
                "out-of-range: benchmarks.csv:5 (benchmark)",
                "words-unknown: benchmarks.csv:6 (attribute)",
                "id-unknown: benchmarks.csv:7 (area)",
                "words-unknown: benchmarks.csv:8 (scored_as)",
            ]
        );
    }
}
