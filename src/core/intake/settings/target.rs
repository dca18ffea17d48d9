//! `[[target]]`: what the grant or the approval asks for, and what it asks it of.

use chrono::{Datelike as _, Months, NaiveDate};

use crate::{
    intake::{
        nearest::{nearest, same},
        settings::{Settings, section::Section},
    },
    problem::{self, Place, Problem},
    project::{
        Area, AreaId, Basis, Bound, BudgetLine, FeatureKind, Layer, Measure, Planting, SpeciesId,
        SpeciesList, Standing, Target, Terms, Trigger,
    },
    source::Row,
};

/// A target whose area, species and budget line are still names.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RawTarget {
    id: String,
    under: String,
    measure: Measure,
    area: Option<String>,
    bound: Bound,
    by: Option<NaiveDate>,
    words: Option<String>,
    trigger: Option<Trigger>,
    terms: Terms,
    source: Row,
    area_place: Place,
    name_place: Place,
}

/// The words for a measure in `project.toml`.
const MEASURES: [&str; 18] = [
    "survival",
    "density",
    "planted-density",
    "recruits",
    "species-count",
    "stems",
    "stems-in-period",
    "cover",
    "richness",
    "area",
    "length",
    "hours",
    "quantity",
    "spend",
    "carbon-stock",
    "erosion-ratio",
    "height",
    "photo-pairs",
];

/// The keys that only some measures have a use for.
const OWN_KEYS: [&str; 10] =
    ["area", "layer", "cover", "kind", "status", "basis", "task", "line", "species", "cohort"];

/// Those of `OWN_KEYS` that a target on `measure` has a use for.
fn own_keys(measure: &str) -> &'static [&'static str] {
    match measure {
        "survival" => &["area", "cohort"],
        "cover" => &["area", "layer", "cover"],
        "length" => &["kind", "status"],
        "hours" => &["basis"],
        "quantity" => &["task"],
        "spend" => &["line"],
        "height" => &["species"],
        "photo-pairs" => &[],
        _ => &["area"],
    }
}

/// Every `[[target]]`.
pub(crate) fn raw_targets(root: &mut Section) -> Vec<RawTarget> {
    raw_targets_under(root, None)
}

/// Every `[[target]]` of `section`; those that do not say under which agreement they stand stand `under` this one.
pub(crate) fn raw_targets_under(root: &mut Section, under: Option<&'static str>) -> Vec<RawTarget> {
    let mut ids: Vec<String> = Vec::new();
    root.each("target", |section| {
        let id = section.text_needed("id", "id = \"survival-y1\"").unwrap_or_default();
        if !id.is_empty() && ids.iter().any(|earlier| same(earlier, &id)) {
            section.say("id", problem::Settings::NameTwice { what: "targets", name: id.clone() });
        }
        ids.push(id.clone());
        raw_target(section, id, under)
    })
}

fn raw_target(section: &mut Section, id: String, under: Option<&'static str>) -> Option<RawTarget> {
    let under = match under {
        Some(word) => Some(word.to_owned()),
        None => section.text_needed("under", "under = \"grant\""),
    };
    if !section.has("measure") {
        section.missing("measure", "measure = \"survival\"");
    }
    let name = section.choice("measure", &MEASURES.map(|word| (word, word)));
    let bound = bound(section, &id, name);
    let by = section.day("by");
    let words = section.text("words");
    let trigger = trigger(section, name);
    let terms = terms(section, name);
    let area_place = section.place_of("area");
    let area = section.text("area").filter(|area| !same(area, "all"));
    let measure = match name {
        Some(name) => measure(section, &id, name),
        // Without the measure nobody knows which keys it has a use for: they are read, and not judged.
        None => {
            OWN_KEYS.iter().for_each(|key| section.pass_over(key));
            None
        }
    };
    let name_place = section.place_of(name.and_then(|name| own_keys(name).last()).unwrap_or(&"measure"));
    let source = section.row();
    let (under, measure, bound) = (under?, measure?, bound?);
    Some(RawTarget {
        id,
        under,
        measure,
        area,
        bound,
        by,
        words,
        trigger,
        terms,
        source,
        area_place,
        name_place,
    })
}

/// What a number of the measure may be, at the most and in words.
fn range(measure: Option<&str>) -> (f64, &'static str) {
    match measure {
        Some("survival" | "cover") => (1.0, "a part of the whole from 0 to 1: 0.80 for 80 %"),
        _ => (f64::MAX, "a number, 0 or more"),
    }
}

/// Of which planting, at which age and by whom a target is judged.
fn terms(section: &mut Section, measure: Option<&str>) -> Terms {
    let age = "the age of the planting in years, from 0.1 to 200: 5 for the fifth year";
    let age_years = section.number("age_years", 0.1, 200.0, age);
    let decides = section.text("decides");
    let wanted = "the calendar year of planting, such as 2024";
    let cohort = match measure {
        Some("survival") => section.number("cohort", 1900.0, 2200.0, wanted),
        _ => None,
    };
    if cohort.is_some_and(|year| year.fract() != 0.0) {
        section.wrong("cohort", wanted, None);
    }
    #[allow(clippy::cast_possible_truncation, reason = "a year within the range above")]
    Terms { cohort: cohort.map(|year| year as i32), age_years, decides }
}

fn trigger(section: &mut Section, measure: Option<&str>) -> Option<Trigger> {
    let (high, wanted) = range(measure);
    let at = section.number("trigger", 0.0, high, wanted);
    let response = section.text("response");
    if response.is_some() && !section.has("trigger") {
        section.missing("trigger", "trigger = 0.60");
    }
    Some(Trigger { at: at?, response })
}

fn bound(section: &mut Section, id: &str, measure: Option<&str>) -> Option<Bound> {
    let (high, wanted) = range(measure);
    let least = section.number("at_least", 0.0, high, wanted);
    let most = section.number("at_most", 0.0, high, wanted);
    if section.has("at_least") == section.has("at_most") {
        section.say("at_most", problem::Settings::TargetWithoutBound { id: id.to_owned() });
        return None;
    }
    least.map(Bound::AtLeast).or(most.map(Bound::AtMost))
}

fn measure(section: &mut Section, id: &str, name: &'static str) -> Option<Measure> {
    let used = own_keys(name);
    for key in OWN_KEYS.iter().filter(|key| !used.contains(key)) {
        if !section.has(key) {
            continue;
        }
        section.pass_over(key);
        section.say(key, problem::Settings::TargetKeyUnused { id: id.to_owned(), measure: name, key });
    }
    // An area may be left out, and so may the line of spending and the year of planting: they then mean all.
    for key in used.iter().filter(|key| !matches!(**key, "area" | "line" | "cohort")) {
        if section.has(key) {
            continue;
        }
        section.say(key, problem::Settings::TargetLacks { id: id.to_owned(), measure: name, key });
    }
    Some(match name {
        "survival" => Measure::Survival,
        "density" => Measure::Density,
        "planted-density" => Measure::PlantedDensity,
        "recruits" => Measure::Recruits,
        "species-count" => Measure::SpeciesCount,
        "stems" => Measure::Stems,
        "stems-in-period" => Measure::StemsInPeriod,
        "richness" => Measure::Richness,
        "area" => Measure::Area,
        "carbon-stock" => Measure::CarbonStock,
        "erosion-ratio" => Measure::ErosionRatio,
        "photo-pairs" => Measure::PhotoPairs,
        "cover" => {
            let layers = [Layer::Canopy, Layer::Shrub, Layer::Ground].map(|layer| (layer.word(), layer));
            let (layer, cover) = (section.choice("layer", &layers), section.text("cover"));
            Measure::Cover { layer: layer?, cover: cover? }
        }
        "length" => {
            let kind = section.choice("kind", &FeatureKind::ALL.map(|kind| (kind.words(), kind)));
            let standings = [Standing::Existing, Standing::New].map(|standing| (standing.word(), standing));
            let standing = section.choice("status", &standings);
            Measure::Length { kind: kind?, standing: standing? }
        }
        "hours" => Measure::Hours {
            basis: section.choice("basis", &Basis::ALL.map(|basis| (basis.words(), basis)))?,
        },
        "quantity" => Measure::Quantity { task: section.text("task")? },
        "spend" => Measure::Spend { line: section.text("line").filter(|line| !same(line, "all")) },
        "height" => Measure::Height { species: SpeciesId(section.text("species")?.into()) },
        _ => return None,
    })
}

/// The targets with their names resolved; one that names nothing is a problem and left out.
pub(crate) fn targets(
    settings: &Settings,
    areas: &[Area],
    species: &SpeciesList,
    problems: &mut Vec<Problem>,
) -> Vec<Target> {
    let lines: Vec<&BudgetLine> = settings.budget.iter().collect();
    resolved_under(&settings.targets, &lines, areas, species, problems)
}

/// The targets `raws` with their names resolved, those of budget lines among `lines`.
pub(crate) fn resolved_under(
    raws: &[RawTarget],
    lines: &[&BudgetLine],
    areas: &[Area],
    species: &SpeciesList,
    problems: &mut Vec<Problem>,
) -> Vec<Target> {
    raws.iter().filter_map(|raw| resolved(raw, lines, areas, species, problems)).collect()
}

fn resolved(
    raw: &RawTarget,
    lines: &[&BudgetLine],
    areas: &[Area],
    species: &SpeciesList,
    problems: &mut Vec<Problem>,
) -> Option<Target> {
    let mut nothing = |what: &'static str, name: &str, known: Vec<&str>, place: &Place| {
        let nearest = nearest(name, known);
        let kind =
            problem::Settings::TargetOnNothing { id: raw.id.clone(), what, name: name.to_owned(), nearest };
        problems.push(Problem::new(kind, place.clone()));
    };
    let area = match &raw.area {
        None => Some(None),
        Some(name) => {
            let area = areas.iter().find(|area| same(&area.id.0, name)).map(|area| Some(area.id.clone()));
            // Where no area could be read, that has been said already.
            if area.is_none() && !areas.is_empty() {
                nothing("area", name, areas.iter().map(|area| &*area.id.0).collect(), &raw.area_place);
            }
            area
        }
    };
    let measure = match &raw.measure {
        Measure::Height { species: SpeciesId(name) } => {
            let known = species.iter().find(|one| same(&one.id.0, name));
            if known.is_none() {
                nothing("species", name, species.iter().map(|one| &*one.id.0).collect(), &raw.name_place);
            }
            known.map(|one| Measure::Height { species: one.id.clone() })
        }
        Measure::Spend { line: Some(name) } => {
            let known = lines.iter().find(|budget| same(&budget.line, name));
            if known.is_none() {
                let lines = lines.iter().map(|budget| &*budget.line).collect();
                nothing("budget line", name, lines, &raw.name_place);
            }
            known.map(|budget| Measure::Spend { line: Some(budget.line.clone()) })
        }
        other => Some(other.clone()),
    };
    let area: Option<AreaId> = area?;
    let RawTarget { id, under, bound, by, words, trigger, terms, source, .. } = raw.clone();
    Some(Target { id, under, measure: measure?, area, bound, by, words, trigger, terms, source })
}

/// Gives each target that says an age and no day its day: the first planting that it is of, so much later.
pub(crate) fn aged(targets: &mut [Target], plantings: &[Planting]) {
    for target in targets.iter_mut().filter(|target| target.by.is_none()) {
        let Some(age) = target.terms.age_years else { continue };
        let meant = plantings.iter().filter(|row| {
            target.area.as_ref().is_none_or(|area| row.area == *area)
                && target.terms.cohort.is_none_or(|year| row.date.year() == year)
        });
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred months")]
        let months = Months::new((age * 12.0).round() as u32);
        target.by = meant.map(|row| row.date).min().and_then(|day| day.checked_add_months(months));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{project::Claims, units::Stems};

    #[test]
    fn a_target_at_an_age_falls_due_so_long_after_its_planting_and_says_what_it_is_of() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap_or_default();
        let planted = |on: &str, area: &str| Planting {
            date: day(on),
            area: AreaId(area.into()),
            species: SpeciesId("Acacia dealbata".into()),
            stems: Stems(10),
            stock: None,
            provenance: None,
            supplier: None,
            row: None,
            batch: None,
            guard: None,
            replaces: None,
            note: None,
            claims: Claims::default(),
            source: Row { file: "plantings.csv".into(), row: 2 },
        };
        let plantings =
            [planted("2023-09-05", "Gully"), planted("2024-08-31", "Gully"), planted("2022-07-01", "Ridge")];
        let target = |cohort, area: Option<&str>| Target {
            id: "t".to_owned(),
            under: "grant".to_owned(),
            measure: Measure::Survival,
            area: area.map(|area| AreaId(area.into())),
            bound: Bound::AtLeast(0.8),
            by: None,
            words: None,
            trigger: None,
            terms: Terms { cohort, age_years: Some(1.5), decides: Some("the council".to_owned()) },
            source: Row { file: "project.toml".into(), row: 1 },
        };
        let mut targets = [
            target(Some(2024), None),
            target(None, Some("Gully")),
            target(None, None),
            target(Some(1999), None),
        ];
        aged(&mut targets, &plantings);
        let days = targets.each_ref().map(|target| target.by);
        let expected = ["2026-02-28", "2025-03-05", "2024-01-01"].map(|on| Some(day(on)));
        assert_eq!(days[..3], expected);
        assert_eq!(days[3], None);
        let of = "share alive of the stems planted in 2024, at the age of 1.5 years, the council decides";
        assert_eq!(targets[0].definition().as_deref(), Some(of));
    }
}
