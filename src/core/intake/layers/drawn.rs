//! A layer as it was drawn: features with their properties, before anybody knows what they mean.

use std::{collections::BTreeMap, sync::Arc};

use geojson::GeometryValue;

use crate::{
    geometry::Datum,
    intake::{
        layers::{file::Content, file::LayerFile, geo_json, gpx, kml, position, shapefile},
        limits,
        mapping::Mapping,
        nearest,
    },
    problem::{Ground, Place, Problem},
    project::Shape,
    source::Row,
};

/// A feature as a format has it: its geometry in longitude and latitude, or what is wrong with that, and its properties
/// under the names of the file.
pub(super) struct Figure {
    pub(super) geometry: Result<GeometryValue, Ground>,
    pub(super) properties: Vec<(String, String)>,
}

/// One feature as it was drawn.
pub(super) struct Drawn {
    geometry: Result<GeometryValue, Ground>,
    /// Its number in the file, from 1.
    pub(super) source: Row,
    /// Whether a line of it may have been meant as a boundary.
    pub(super) walked: bool,
    /// Its properties under our names.
    properties: BTreeMap<String, String>,
}

impl Drawn {
    /// Its shape in longitude and latitude.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub(super) fn shape(&self) -> Result<Shape, Ground> {
        match &self.geometry {
            Ok(geometry) => position::shape(geometry, limits::CORNERS),
            Err(wrong) => Err(wrong.clone()),
        }
    }

    /// What its geometry is called.
    pub(super) fn type_name(&self) -> &'static str {
        self.geometry.as_ref().map_or("nothing", GeometryValue::type_name)
    }

    /// The property called `name`, mapped or in any case; `None` where it is absent or empty.
    pub(super) fn property(&self, name: &str) -> Option<&str> {
        self.properties.get(&nearest::folded(name)).map(|text| text.trim()).filter(|text| !text.is_empty())
    }

    /// The property that was most likely meant to be `name`, which is absent or empty.
    pub(super) fn likely(&self, name: &str) -> Option<String> {
        let others = self.properties.keys().map(String::as_str).filter(|other| *other != name);
        nearest::nearest(name, others)
    }

    /// A problem of this feature, at a property or at the geometry.
    pub(super) fn problem(&self, kind: impl Into<crate::problem::Kind>, at: &str) -> Problem {
        Problem::new(kind, Place::row(&self.source).column(at))
    }
}

/// The features of `layer`; the property called `named` is the feature's own name where the format has no other.
pub(super) fn drawn(
    layer: &LayerFile,
    named: &str,
    datum: Datum,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Drawn> {
    let path = layer.path.as_str();
    let mut say = |kind: crate::problem::Kind| problems.push(Problem::new(kind, Place::file(path)));
    let read = match &layer.content {
        Content::GeoJson(text) => geo_json::figures(text, datum, &mut say),
        Content::Kml(text) => kml::figures(text, &mut say),
        Content::Gpx(text) => gpx::figures(text, &mut say),
        Content::Shapefile(parts) => shapefile::figures(parts, datum, layer.grid, &mut say),
    };
    let few = |figures: Vec<Figure>| match figures.len() > limits::SHAPES {
        true => Err(Ground::TooManyShapes { shapes: figures.len(), limit: limits::SHAPES }.into()),
        false => Ok(figures),
    };
    let figures = read.and_then(few).unwrap_or_else(|kind| {
        say(kind);
        Vec::new()
    });
    // Placemarks and tracks have a name and often nothing else.
    let walked = matches!(&layer.content, Content::Kml(_) | Content::Gpx(_));
    let file: Arc<str> = Arc::from(path);
    (1..)
        .zip(figures)
        .map(|(row, figure)| {
            let source = Row { file: Arc::clone(&file), row };
            let mut properties = ours(figure.properties, mapping);
            if let Some(name) = properties.get("name").filter(|_| walked && !properties.contains_key(named)) {
                properties.insert(named.to_owned(), name.clone());
            }
            Drawn { geometry: figure.geometry, source, walked, properties }
        })
        .collect()
}

/// Properties under our names; of two of one name the first stands.
fn ours(properties: Vec<(String, String)>, mapping: &Mapping) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for (theirs, text) in properties {
        let mapped = mapping.columns.iter().find(|(from, _)| nearest::same(from, &theirs));
        let name = nearest::folded(mapped.map_or(&theirs, |(_, ours)| ours));
        found.entry(name).or_insert(text);
    }
    found
}
