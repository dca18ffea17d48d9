//! GeoJSON layers (RFC 7946): longitude and latitude on WGS 84, seven digits, which is a centimetre.

use geojson::{Feature, FeatureCollection, Geometry, GeometryValue, JsonObject, JsonValue};

use crate::{
    ledger::{FigureId, Ledger},
    project::{Project, Shape},
};

/// Every layer that has a shape: path inside the output folder, bytes.
pub(super) fn files(project: &Project, ledger: &Ledger) -> Vec<(String, Vec<u8>)> {
    let layers = [
        ("areas", areas(project, ledger)),
        ("features", features(project)),
        ("plots", plots(project)),
        ("photopoints", photo_points(project)),
        ("sightings", sightings(project)),
    ];
    let filled = layers.into_iter().filter(|(_, features)| !features.is_empty());
    filled
        .map(|(name, features)| {
            let layer = FeatureCollection { bbox: None, features, foreign_members: None };
            (format!("layers/{name}.geojson"), (layer.to_string() + "\n").into_bytes())
        })
        .collect()
}

fn areas(project: &Project, ledger: &Ledger) -> Vec<Feature> {
    let figure = |stem: &str, id: &str| {
        ledger.figure(FigureId::of(stem, id).as_str()).map_or(JsonValue::Null, |figure| figure.value.into())
    };
    let one = |area: &crate::project::Area| {
        let id: &str = &area.id.0;
        feature(
            (&rounded(&area.boundary)).into(),
            [
                ("area", id.into()),
                ("hectares", figure("site.area", id)),
                ("stems", figure("plantings.stems", id)),
                ("survival", figure("survival", id)),
                ("note", area.note.clone().into()),
            ],
        )
    };
    project.areas.iter().map(one).collect()
}

fn features(project: &Project) -> Vec<Feature> {
    let one = |of: &crate::project::Feature| {
        let shape: GeometryValue = match &of.shape {
            Shape::Points(points) => (&rounded(points)).into(),
            Shape::Lines(lines) => (&rounded(lines)).into(),
            Shape::Polygons(polygons) => (&rounded(polygons)).into(),
        };
        feature(
            shape,
            [
                ("kind", of.kind.words().into()),
                ("status", of.standing.word().into()),
                ("name", of.name.clone().into()),
            ],
        )
    };
    project.features.iter().map(one).collect()
}

fn plots(project: &Project) -> Vec<Feature> {
    let placed = project.plots.iter().filter_map(|plot| Some((plot, plot.position?)));
    placed
        .map(|(plot, position)| {
            feature(
                (&rounded(&position)).into(),
                [
                    ("plot", (&*plot.id.0).into()),
                    ("area", (&*plot.area.0).into()),
                    ("stratum", plot.stratum.clone().into()),
                ],
            )
        })
        .collect()
}

/// Sightings with a place; a sensitive one has none.
fn sightings(project: &Project) -> Vec<Feature> {
    let placed = project.sightings.iter().filter_map(|sighting| Some((sighting, sighting.position?)));
    placed
        .map(|(sighting, position)| {
            feature(
                (&rounded(&position)).into(),
                [
                    ("date", sighting.date.to_string().into()),
                    ("species", sighting.species.clone().into()),
                    ("count", sighting.count.map(|count| count.0).into()),
                    ("note", sighting.note.clone().into()),
                ],
            )
        })
        .collect()
}

fn photo_points(project: &Project) -> Vec<Feature> {
    let one = |point: &crate::project::PhotoPoint| {
        feature(
            (&rounded(&point.position)).into(),
            [
                ("photopoint", (&*point.id).into()),
                ("bearing_deg", point.bearing.0.into()),
                ("about", point.about.clone().into()),
            ],
        )
    };
    project.photo_points.iter().map(one).collect()
}

fn feature<const N: usize>(shape: GeometryValue, properties: [(&str, JsonValue); N]) -> Feature {
    let properties: JsonObject = properties.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    Feature { geometry: Some(Geometry::new(shape)), properties: Some(properties), ..Feature::default() }
}

/// Positions to seven digits, so that the last bits of a repaired corner don't swell the file.
fn rounded<S: geo::MapCoords<f64, f64, Output = S>>(shape: &S) -> S {
    let digits = |degrees: f64| (degrees * 1e7).round() / 1e7;
    shape.map_coords(|at| geo::coord! { x: digits(at.x), y: digits(at.y) })
}
