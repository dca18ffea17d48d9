//! The layer of activities of an agreement: what was done and what is planned on which ground, with the fields that funders ask for, as
//! its profile names and orders them.
//!
//! Ground is claimed once, whatever was done on it: the first activity of an area claims its hectares, the others claim none, and `plan_ha`
//! says of each on how much ground it was.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use geojson::{Feature, GeometryValue, JsonObject, JsonValue};

use crate::exports::{
    ExportError,
    layers::{Layer, feature, rounded},
};
use hillfolio_core::{
    geometry,
    ledger::{Ledger, catalogue},
    project::{Agreement, Area, LAYER_FIELDS, LayerColumn, Planting, Project, Shape, Standing, Work, slug},
    source::{Row, Sources},
};

/// Longitude and latitude on WGS 84, as all layers are written.
const CRS: &str = "EPSG:4326";

/// What is known of one activity, by field.
type Fields = BTreeMap<&'static str, JsonValue>;

/// The layer of the only agreement of `project`; nothing where a folder has none or nothing was done.
pub(super) fn layer(project: &Project, ledger: &Ledger) -> Option<Layer> {
    let agreement = project.only_agreement()?;
    let columns = columns(agreement);
    let features: Vec<Feature> = activities(project, ledger)
        .into_iter()
        .map(|(shape, mut fields)| {
            common(project, agreement, &mut fields);
            let value = |column: &LayerColumn| fields.get(column.field).cloned().unwrap_or(JsonValue::Null);
            let properties: JsonObject =
                columns.iter().map(|column| (column.name.clone(), value(column))).collect();
            Feature { properties: Some(properties), ..feature(shape, []) }
        })
        .collect();
    let named = columns.iter().find(|column| ["area_id", "activity"].contains(&column.field));
    let title = named.map(|column| column.name.clone()).unwrap_or_default();
    let names = columns.into_iter().map(|column| column.name).collect();
    (!features.is_empty()).then(|| Layer::of_columns("activities", "activity", features, title, names))
}

/// The same as a table, its columns in the order of the profile, which a layer of text does not keep.
pub(super) fn table(layer: &Layer) -> Result<(String, Vec<u8>), ExportError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&layer.columns)?;
    for feature in &layer.features {
        let cell = |name: &String| match feature.property(name) {
            None | Some(JsonValue::Null) => String::new(),
            Some(JsonValue::String(text)) => text.clone(),
            Some(other) => other.to_string(),
        };
        writer.write_record(layer.columns.iter().map(cell))?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok((format!("layers/{}.csv", layer.name), bytes))
}

fn columns(agreement: &Agreement) -> Vec<LayerColumn> {
    agreement.layer_columns.clone().unwrap_or_else(|| {
        LAYER_FIELDS.iter().map(|field| LayerColumn { field, name: (*field).to_owned() }).collect()
    })
}

fn activities(project: &Project, ledger: &Ledger) -> Vec<(GeometryValue, Fields)> {
    let mut found = Vec::new();
    for area in &project.areas {
        let shape = || GeometryValue::from(&rounded(&area.boundary));
        let hectares = ledger
            .figure_of(&catalogue::AREA, &[&area.id.0])
            .map_or(JsonValue::Null, |figure| rounded_to(figure.value, 1e4));
        let mut claimed = false;
        let mut add = |mut fields: Fields| {
            fields.insert("area_id", (&*area.id.0).into());
            fields.insert("plan_ha", hectares.clone());
            let done = fields.get("status").and_then(JsonValue::as_str) == Some("done");
            let first = done && !std::mem::replace(&mut claimed, true);
            fields.insert("claim_ha", if first { hectares.clone() } else { 0.into() });
            found.push((shape(), fields));
        };
        planted(project, area, hectares.as_f64()).into_iter().for_each(&mut add);
        worked(project, area).into_iter().for_each(&mut add);
        planned(project, area).into_iter().for_each(&mut add);
    }
    for (at, line) in project.features.iter().filter(|one| one.standing == Standing::New).enumerate() {
        let Shape::Lines(lines) = &line.shape else { continue };
        let mut fields = line.made.map_or_else(Fields::new, |day| dated(std::iter::once(day), "", ""));
        let name = line.name.clone().unwrap_or_else(|| format!("{} {}", line.kind.words(), at + 1));
        fields.insert("area_id", name.into());
        fields.insert("activity", line.kind.words().into());
        fields.insert("status", "done".into());
        fields.insert("evid_no", evidence(std::iter::once(&line.source)));
        fields.insert("len_m", rounded_to(geometry::length(lines).0, 10.0));
        found.push(((&rounded(lines)).into(), fields));
    }
    found
}

/// Plantings of an area by the year in which they were set, up to the period's end.
fn planted(project: &Project, area: &Area, hectares: Option<f64>) -> Vec<Fields> {
    use chrono::Datelike as _;
    let mut years: BTreeMap<i32, Vec<&Planting>> = BTreeMap::new();
    for row in project.plantings_to_date().filter(|row| row.area == area.id) {
        years.entry(row.date.year()).or_default().push(row);
    }
    let of_year = |(year, rows): (i32, Vec<&Planting>)| {
        let stems: u64 = rows.iter().map(|row| row.stems.0).sum();
        let species: BTreeSet<_> = rows.iter().map(|row| &row.species).collect();
        let mut fields = dated(rows.iter().map(|row| row.date), "planting", "done");
        fields.insert("stems", stems.into());
        #[allow(clippy::cast_precision_loss, reason = "stems are far fewer than a float holds exactly")]
        let dense = hectares.filter(|hectares| *hectares > 0.0).map(|hectares| stems as f64 / hectares);
        fields.insert("stems_ha", dense.map_or(JsonValue::Null, |dense| rounded_to(dense, 1.0)));
        fields.insert("species_n", species.len().into());
        fields.insert("cohort", year.into());
        fields.insert("evid_no", evidence(rows.iter().map(|row| &row.source)));
        fields
    };
    years.into_iter().map(of_year).collect()
}

/// Works of an area by task, within the period.
fn worked(project: &Project, area: &Area) -> Vec<Fields> {
    let mut tasks: BTreeMap<String, Vec<&Work>> = BTreeMap::new();
    for row in project.works.iter().filter(|row| project.period.holds(row.date)) {
        // Planting stands in the planting book.
        if row.area.as_ref() == Some(&area.id) && slug(&row.task) != "planting" {
            tasks.entry(slug(&row.task)).or_default().push(row);
        }
    }
    let of_task = |rows: Vec<&Work>| {
        let task = rows.first().map(|row| row.task.trim().to_owned()).unwrap_or_default();
        let mut fields = dated(rows.iter().map(|row| row.date), &task, "done");
        fields.insert("evid_no", evidence(rows.iter().map(|row| &row.source)));
        fields
    };
    tasks.into_values().map(of_task).collect()
}

/// What is planned for an area.
fn planned(project: &Project, area: &Area) -> Vec<Fields> {
    let rows = project.programme.iter().filter(|row| row.area.as_ref() == Some(&area.id));
    rows.map(|row| {
        let mut fields = dated(std::iter::once(row.from).chain(row.to), &row.task, "planned");
        fields.insert("evid_no", evidence(std::iter::once(&row.source)));
        fields
    })
    .collect()
}

fn dated(days: impl Iterator<Item = NaiveDate>, activity: &str, status: &'static str) -> Fields {
    let days: Vec<NaiveDate> = days.collect();
    let text = |day: Option<&NaiveDate>| day.map_or(JsonValue::Null, |day| day.to_string().into());
    Fields::from([
        ("start", text(days.iter().min())),
        ("finish", text(days.iter().max())),
        ("activity", activity.into()),
        ("status", status.into()),
    ])
}

/// The number of the evidence: the rows of the records in which it stands, by which the pack is searched.
fn evidence<'r>(rows: impl Iterator<Item = &'r Row>) -> JsonValue {
    let rows: Sources = rows.collect();
    let told: Vec<String> = rows.printed().map(|(file, rows)| format!("{file} {rows}")).collect();
    told.join("; ").into()
}

/// What is alike in all: names, references, and what the agreement's profile says of everything.
fn common(project: &Project, agreement: &Agreement, fields: &mut Fields) {
    let reference = agreement.reference.clone().unwrap_or_else(|| agreement.id.to_string());
    let offset = agreement.approval.as_ref().and_then(|approval| approval.reference.clone());
    for (field, value) in [
        ("site", project.identity.name.clone().into()),
        ("agreement", reference.into()),
        ("source", agreement.funder.clone().into()),
        ("crs", CRS.into()),
        ("offset_ref", offset.into()),
    ] {
        fields.insert(field, value);
    }
    for (field, words) in &agreement.layer_values {
        let whole = words.parse::<i64>().ok().map(JsonValue::from);
        let number = || words.parse::<f64>().ok().map(JsonValue::from);
        let value = whole.or_else(number).unwrap_or_else(|| words.clone().into());
        fields.insert(field, value);
    }
}

/// A number to so many parts of one.
fn rounded_to(value: f64, parts: f64) -> JsonValue {
    ((value * parts).round() / parts).into()
}
