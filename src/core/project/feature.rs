//! Fences, tracks, watercourses and whatever else a map of the site must show.

use chrono::NaiveDate;
use geo::{MultiLineString, MultiPoint, MultiPolygon};

use crate::source::Row;

/// What a feature is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FeatureKind {
    /// A fence line.
    Fence,
    /// A vehicle or walking track.
    Track,
    /// A road outside the site.
    Road,
    /// A creek, river or drain.
    Watercourse,
    /// A gully.
    Gully,
    /// Standing water: a dam, pond or wetland.
    Water,
    /// An overhead power line.
    PowerLine,
    /// A buried pipe or cable.
    BuriedService,
    /// A building.
    Building,
    /// Ground that is not to be planted.
    Exclusion,
    /// Standing native vegetation.
    Remnant,
    /// Ground that has slipped or may slip.
    Slip,
    /// The property's boundary.
    Property,
    /// A gate.
    Gate,
    /// A water point or tank.
    WaterPoint,
    /// A line for rows to follow where there is no terrain model.
    GuideLine,
    /// Anything else.
    Other,
}

impl FeatureKind {
    /// Every kind, in the order of the legend.
    pub const ALL: [FeatureKind; 17] = [
        FeatureKind::Property,
        FeatureKind::Fence,
        FeatureKind::Gate,
        FeatureKind::Track,
        FeatureKind::Road,
        FeatureKind::Watercourse,
        FeatureKind::Water,
        FeatureKind::WaterPoint,
        FeatureKind::Gully,
        FeatureKind::Slip,
        FeatureKind::Exclusion,
        FeatureKind::Remnant,
        FeatureKind::PowerLine,
        FeatureKind::BuriedService,
        FeatureKind::Building,
        FeatureKind::GuideLine,
        FeatureKind::Other,
    ];

    /// The kind in words, as it is written in the input and in legends.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            FeatureKind::Fence => "fence",
            FeatureKind::Track => "track",
            FeatureKind::Road => "road",
            FeatureKind::Watercourse => "watercourse",
            FeatureKind::Gully => "gully",
            FeatureKind::Water => "water",
            FeatureKind::PowerLine => "power line",
            FeatureKind::BuriedService => "buried service",
            FeatureKind::Building => "building",
            FeatureKind::Exclusion => "exclusion",
            FeatureKind::Remnant => "remnant",
            FeatureKind::Slip => "slip",
            FeatureKind::Property => "property",
            FeatureKind::Gate => "gate",
            FeatureKind::WaterPoint => "water point",
            FeatureKind::GuideLine => "guide line",
            FeatureKind::Other => "other",
        }
    }
}

/// Whether a feature was there before or came with the project.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Standing {
    /// There before.
    #[default]
    Existing,
    /// Made by the project.
    New,
}

impl Standing {
    /// The status as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Standing::Existing => "existing",
            Standing::New => "new",
        }
    }
}

/// The shape of a feature: longitude and latitude in degrees (WGS 84).
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// One or more points.
    Points(MultiPoint<f64>),
    /// One or more lines.
    Lines(MultiLineString<f64>),
    /// One or more polygons.
    Polygons(MultiPolygon<f64>),
}

/// One feature of the site.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// What it is.
    pub kind: FeatureKind,
    /// Existing or new.
    pub standing: Standing,
    /// The day on which it was made, of a new one.
    pub made: Option<NaiveDate>,
    /// Its name.
    pub name: Option<String>,
    /// Where it is.
    pub shape: Shape,
    /// The shape it came from.
    pub source: Row,
}
