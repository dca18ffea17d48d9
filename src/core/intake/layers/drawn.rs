//! A layer as it was drawn: features with their properties, before anybody knows what they mean.

use std::{collections::BTreeMap, sync::Arc};

use geojson::GeometryValue;

use crate::{
    geometry::Datum,
    intake::{
        layers::{
            file::{Content, LayerFile},
            geo_json, gpx, kml, left_out,
            position::{self, Parts},
            shapefile,
            word_list::no_name,
        },
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
    /// Its number in the file, from 1.
    pub(super) number: u32,
    pub(super) geometry: Result<GeometryValue, Ground>,
    pub(super) properties: Vec<(String, String)>,
}

/// The number of the feature that follows `before` others.
pub(super) fn number(before: usize) -> u32 {
    u32::try_from(before + 1).unwrap_or(u32::MAX)
}

/// One feature as it was drawn.
pub(super) struct Drawn {
    geometry: Result<GeometryValue, Ground>,
    /// Its number in the file, from 1.
    pub(super) source: Row,
    /// Whether a line of it may have been meant as a boundary.
    pub(super) walked: bool,
    /// Whether it was recorded on the way and not drawn.
    pub(super) is_track: bool,
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

    /// Its points, lines and polygons.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub(super) fn parts(&self) -> Result<Parts, Ground> {
        match &self.geometry {
            Ok(geometry) => position::parts(geometry, limits::CORNERS),
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

    /// Its name: what people called it, else the folder that it lies in or the document, where programs gave it none.
    pub(super) fn name(&self) -> Option<&str> {
        let given = |name: &&str| !self.walked || !no_name(name);
        ["name", "folder", "document"].into_iter().find_map(|name| self.property(name).filter(given))
    }

    /// The folder that it lies in, else the document, where people named it.
    pub(super) fn group(&self) -> Option<&str> {
        let given = |name: &&str| !no_name(name);
        ["folder", "document"].into_iter().find_map(|name| self.property(name).filter(given))
    }

    /// Calls the property `name` by another name.
    pub(super) fn rename(&mut self, name: &str, other: &str) {
        if let Some(text) = self.properties.remove(name) {
            self.properties.entry(other.to_owned()).or_insert(text);
        }
    }

    /// The names of its properties.
    pub(super) fn properties(&self) -> impl Iterator<Item = &str> {
        self.properties.keys().map(String::as_str)
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
    let told = mapping.told.crs;
    let read = match &layer.content {
        Content::GeoJson(text) => geo_json::figures(text, datum, told, &mut say),
        Content::Kml(text) => kml::figures(text, &mut say),
        Content::Gpx(text) => gpx::figures(text, &mut say),
        Content::Shapefile(parts) => shapefile::figures(parts, datum, (told, layer.grid), &mut say),
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
    let is_track = matches!(&layer.content, Content::Gpx(_));
    let file: Arc<str> = Arc::from(path);
    let drawn: Vec<Drawn> = figures
        .into_iter()
        .map(|figure| {
            let source = Row { file: Arc::clone(&file), row: figure.number };
            let mut properties = ours(figure.properties, mapping);
            // Old coverages have a column AREA beside PERIMETER that holds square metres and names nothing.
            let measures =
                properties.contains_key("perimeter") && !mapping.columns.values().any(|ours| ours == named);
            let measure = |text: &String| text.trim().parse::<f64>().is_ok();
            if measures && named == "area" && properties.get(named).is_some_and(measure) {
                properties.remove(named);
            }
            let given = properties.get("name").filter(|name| walked && !no_name(name));
            if let Some(name) = given.filter(|_| !properties.contains_key(named)) {
                properties.insert(named.to_owned(), name.clone());
            }
            Drawn { geometry: figure.geometry, source, walked, is_track, properties }
        })
        .collect();
    left_out::without(drawn, layer, named, mapping, problems)
}

/// Properties under our names; of two of one name the mapped one stands, else the first.
fn ours(properties: Vec<(String, String)>, mapping: &Mapping) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut unmapped = Vec::new();
    for (theirs, text) in properties {
        match mapping.columns.iter().find(|(from, _)| nearest::same(from, &theirs)) {
            Some((_, ours)) => drop(found.entry(nearest::folded(ours)).or_insert(text)),
            None => unmapped.push((theirs, text)),
        }
    }
    // A column of the file's own that happens to be called as ours gives way to the one that was mapped.
    for (theirs, text) in unmapped {
        found.entry(nearest::folded(&theirs)).or_insert(text);
    }
    found
}
