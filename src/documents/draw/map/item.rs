//! One thing on a map: its sign, its shape, its words in the legend and the label that it wants.

use crate::draw::{
    map::sign::{Extent, Sign},
    palette::SOFT_INK,
    text::{Line, Weight, shortened, wrapped},
};
use hillfolio_core::{
    project::{Feature, FeatureKind, PhotoPoint, Plot, Project, Shape, Standing},
    units::Degrees,
};

use geo::MultiPoint;

/// The longest name on a map, in characters; the tables of the report print it whole.
const LONGEST_NAME: usize = 30;

/// A longer name of a feature may stand in two lines, in characters.
const LONGEST_IN_ONE_LINE: usize = 12;

/// What a label names, in the order in which labels are placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// A row, by its number.
    Row(u32),
    /// A detail map.
    Detail,
    /// A planting area.
    Area,
    /// A whole site.
    Site,
    /// A photo point.
    PhotoPoint,
    /// A survey plot.
    Plot,
    /// A sighting of wildlife.
    Sighting,
    /// A feature.
    Feature,
}

impl Named {
    /// Things of a lower rank get their names first.
    #[must_use]
    pub fn rank(self) -> u8 {
        match self {
            Named::Row(_) => 0,
            Named::Detail => 1,
            Named::Area => 2,
            Named::Site => 3,
            Named::PhotoPoint => 4,
            Named::Plot => 5,
            Named::Sighting => 6,
            Named::Feature => 7,
        }
    }

    /// Such a thing, one or many.
    #[must_use]
    pub fn words(self, count: usize) -> &'static str {
        match (self, count) {
            (Named::Row(_), 1) => "row",
            (Named::Row(_), _) => "rows",
            (Named::Detail, 1) => "detail map",
            (Named::Detail, _) => "detail maps",
            (Named::Area, 1) => "planting area",
            (Named::Area, _) => "planting areas",
            (Named::Site, 1) => "site",
            (Named::Site, _) => "sites",
            (Named::PhotoPoint, 1) => "photo point",
            (Named::PhotoPoint, _) => "photo points",
            (Named::Feature, 1) => "feature",
            (Named::Feature, _) => "features",
            (Named::Sighting, 1) => "sighting",
            (Named::Sighting, _) => "sightings",
            (Named::Plot, 1) => "survey plot",
            (Named::Plot, _) => "survey plots",
        }
    }
}

/// A label and its shorter wordings.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What it names.
    pub named: Named,
    /// Its wordings as lines, the fullest first.
    pub forms: Vec<Vec<Line>>,
}

/// One thing on a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its sign.
    pub sign: Sign,
    /// What the legend says beside the sign.
    pub words: String,
    /// Where it is.
    pub shape: Shape,
    /// Which way a camera looks or a row runs from its start, clockwise from true north.
    pub bearing: Option<Degrees>,
    /// Its label.
    pub label: Option<Label>,
}

/// A name as it stands on a map.
#[must_use]
pub fn name(text: &str) -> String {
    shortened(text.trim(), LONGEST_NAME)
}

/// The features of a project.
pub fn features(project: &Project) -> impl Iterator<Item = Item> {
    project.features.iter().map(feature)
}

fn feature(feature: &Feature) -> Item {
    let extent = match feature.shape {
        Shape::Points(_) => Extent::Point,
        Shape::Lines(_) => Extent::Line,
        Shape::Polygons(_) => Extent::Surface,
    };
    let sign = Sign::feature(feature.kind, feature.standing, extent);
    let line = |name_of: &str| Line::new(name(name_of), 7.0).italic();
    let label = feature
        .name
        .as_deref()
        .filter(|text| !text.trim().is_empty())
        .map(|text| Label { named: Named::Feature, forms: feature_forms(line(text)) });
    Item {
        sign,
        words: feature_words(feature.kind, feature.standing, extent),
        shape: feature.shape.clone(),
        bearing: None,
        label,
    }
}

/// The wordings of a feature's label: in one line, and a longer one in two.
fn feature_forms(line: Line) -> Vec<Vec<Line>> {
    let two = wrapped(&line.text, line.points, line.width() * 0.62);
    let two: Vec<Line> = two.into_iter().map(|part| Line { text: part.text, ..line.clone() }).collect();
    let breaks = two.len() == 2 && line.text.chars().count() > LONGEST_IN_ONE_LINE;
    std::iter::once(vec![line]).chain(breaks.then_some(two)).collect()
}

/// A feature in the legend. A fence is always said to be existing or new; anything else only where it is new.
fn feature_words(kind: FeatureKind, standing: Standing, extent: Extent) -> String {
    let words = match (kind, extent) {
        (FeatureKind::Other, Extent::Point) => "other point",
        (FeatureKind::Other, Extent::Line) => "other line",
        (FeatureKind::Other, Extent::Surface) => "other ground",
        (FeatureKind::Property, _) => "property boundary",
        (FeatureKind::Exclusion, Extent::Surface) => "exclusion: not planted",
        (FeatureKind::Slip, _) => "slip: keep off",
        (FeatureKind::Remnant, Extent::Surface) => "remnant vegetation",
        (kind, _) => kind.words(),
    };
    let tail = match (kind, standing) {
        (_, Standing::New) => ", new",
        (FeatureKind::Fence, Standing::Existing) => ", existing",
        _ => "",
    };
    capital(words) + tail
}

/// The survey plots of a project that have a place.
pub fn plots(project: &Project) -> impl Iterator<Item = Item> {
    project.plots.iter().filter_map(plot)
}

fn plot(plot: &Plot) -> Option<Item> {
    let line = Line::new(name(&plot.id.0), 6.5);
    Some(Item {
        sign: Sign::Plot,
        words: "Survey plot".to_owned(),
        shape: Shape::Points(MultiPoint(vec![plot.position?])),
        bearing: None,
        label: Some(Label { named: Named::Plot, forms: vec![vec![line]] }),
    })
}

/// The photo points of a project.
pub fn photo_points(project: &Project) -> impl Iterator<Item = Item> {
    project.photo_points.iter().map(photo_point)
}

fn photo_point(point: &PhotoPoint) -> Item {
    let line = Line::new(name(&point.id), 7.0).weight(Weight::Bold);
    Item {
        sign: Sign::PhotoPoint,
        words: "Photo point and view".to_owned(),
        shape: Shape::Points(MultiPoint(vec![point.position])),
        bearing: Some(point.bearing),
        label: Some(Label { named: Named::PhotoPoint, forms: vec![vec![line]] }),
    }
}

/// The wordings of an area's label: its name with all of `facts`, with the first of them, alone, and alone in small type.
#[must_use]
pub fn area_forms(area: &str, facts: &[Line]) -> Vec<Vec<Line>> {
    let heading = Line::new(name(area), 8.5).weight(Weight::SemiBold);

    let mut counts = vec![facts.len(), 1.min(facts.len()), 0];
    counts.dedup();
    let form = |count: usize| std::iter::once(&heading).chain(&facts[..count]).cloned().collect();
    let mut forms: Vec<Vec<Line>> = counts.into_iter().map(form).collect();
    forms.push(vec![Line { points: 7.0, ..heading.clone() }]);
    forms
}

/// A line under an area's name.
#[must_use]
pub fn fact(words: impl Into<String>) -> Line {
    Line::new(words, 7.0).colour(SOFT_INK)
}

/// `words` with its first letter in upper case.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
