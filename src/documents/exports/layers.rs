//! The layers, in longitude and latitude on WGS 84 with seven digits, which is a centimetre; as GeoJSON (RFC 7946), KML,
//! GPX and shapefiles.

use geojson::{Feature, FeatureCollection, Geometry, GeometryValue, JsonObject, JsonValue};

use crate::exports::{ExportError, activities, gpx, kml, set_out, shapefiles};
use hillfolio_core::{
    ledger::{Ledger, catalogue},
    plan::Plan,
    project::{Project, Shape},
};

/// A layer with its features.
pub(super) struct Layer {
    /// Its name, which is also its files'.
    pub(super) name: &'static str,
    /// What one of its features is.
    pub(super) one: &'static str,
    /// The property that names a feature.
    title: String,
    /// Whether its lines are still to be walked: routes, where a format tells them from tracks.
    pub(super) planned: bool,
    pub(super) features: Vec<Feature>,
    /// The columns of its table in their order, all of which must be there; none: those in which something stands, by name.
    pub(super) columns: Vec<String>,
}

impl Layer {
    /// A layer whose table has these columns, in this order, whether anything stands in them or not.
    pub(super) fn of_columns(
        name: &'static str,
        one: &'static str,
        features: Vec<Feature>,
        title: String,
        columns: Vec<String>,
    ) -> Layer {
        Layer { name, one, title, planned: false, features, columns }
    }

    /// The name of a feature; what it is, where it has none.
    pub(super) fn title(&self, feature: &Feature) -> String {
        let named =
            [self.title.as_str(), "kind"].into_iter().filter_map(|key| feature.property(key)?.as_str());
        named.map(str::to_owned).next().unwrap_or_else(|| self.one.to_owned())
    }

    /// The properties of a feature that say something, without its name.
    pub(super) fn properties<'f>(
        &self,
        feature: &'f Feature,
    ) -> impl Iterator<Item = (&'f str, &'f JsonValue)> {
        let filled = feature.properties.iter().flatten().filter(|(_, value)| !value.is_null());
        let title = self.title.as_str();
        filled.map(|(key, value)| (key.as_str(), value)).filter(move |(key, _)| *key != title)
    }
}

/// Every layer that has a shape, in each format: path inside the output folder, bytes.
pub(super) fn files(
    project: &Project,
    plan: Option<&Plan>,
    ledger: &Ledger,
) -> Result<Vec<(String, Vec<u8>)>, ExportError> {
    let columns = Vec::new;
    let layer = |name, one, title: &str, features| Layer {
        name,
        one,
        title: title.to_owned(),
        planned: false,
        features,
        columns: columns(),
    };
    let planned = |name, one, title: &str, of: fn(&Plan) -> Vec<Feature>| {
        let features = plan.map(of).unwrap_or_default();
        Layer { name, one, title: title.to_owned(), planned: true, features, columns: columns() }
    };
    let layers = [
        layer("areas", "area", "area", areas(project, ledger)),
        layer("features", "feature", "name", features(project)),
        layer("plots", "plot", "plot", plots(project)),
        layer("photopoints", "photo point", "photopoint", photo_points(project)),
        layer("sightings", "sighting", "species", sightings(project)),
        planned("rows", "row", "row", set_out::rows),
        planned("row-starts", "start of a row", "row", set_out::starts),
        planned("pegs", "peg", "peg", set_out::pegs),
        planned("stems", "stem", "stem", set_out::stems),
    ];
    let mut files = Vec::new();
    let activities = activities::layer(project, ledger);
    if let Some(layer) = &activities {
        files.push(activities::table(layer)?);
    }
    for layer in layers.into_iter().chain(activities).filter(|layer| !layer.features.is_empty()) {
        let mut file = |ending: &str, text: String| {
            files.push((format!("layers/{}.{ending}", layer.name), text.into_bytes()))
        };
        file("gpx", gpx::document(&layer));
        file("kml", kml::document(&layer));
        files.extend(shapefiles::files(&layer, project.period.to)?);
        let (name, features) = (layer.name, layer.features);
        let layer = FeatureCollection { bbox: None, features, foreign_members: None };
        files.push((format!("layers/{name}.geojson"), (layer.to_string() + "\n").into_bytes()));
    }
    Ok(files)
}

fn areas(project: &Project, ledger: &Ledger) -> Vec<Feature> {
    let figure = |series, id: &str| {
        ledger.figure_of(series, &[id]).map_or(JsonValue::Null, |figure| figure.value.into())
    };
    let one = |area: &hillfolio_core::project::Area| {
        let id: &str = &area.id.0;
        feature(
            (&rounded(&area.boundary)).into(),
            [
                ("area", id.into()),
                ("hectares", figure(&catalogue::AREA, id)),
                ("stems", figure(&catalogue::STEMS, id)),
                ("survival", figure(&catalogue::SURVIVAL, id)),
                ("note", area.note.clone().into()),
            ],
        )
    };
    project.areas.iter().map(one).collect()
}

fn features(project: &Project) -> Vec<Feature> {
    let one = |of: &hillfolio_core::project::Feature| {
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
                    ("stratum", plot.stratum.as_ref().map(|stratum| stratum.name.clone()).into()),
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
    let one = |point: &hillfolio_core::project::PhotoPoint| {
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

pub(super) fn feature<const N: usize>(shape: GeometryValue, properties: [(&str, JsonValue); N]) -> Feature {
    let properties: JsonObject = properties.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
    Feature { geometry: Some(Geometry::new(shape)), properties: Some(properties), ..Feature::default() }
}

/// Positions to seven digits, so that the last bits of a repaired corner don't swell the file.
pub(super) fn rounded<S: geo::MapCoords<f64, f64, Output = S>>(shape: &S) -> S {
    let digits = |degrees: f64| (degrees * 1e7).round() / 1e7;
    shape.map_coords(|at| geo::coord! { x: digits(at.x), y: digits(at.y) })
}
