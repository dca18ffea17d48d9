//! The signs of a map: what each stands for, and how its lines, fills and points are inked. Our own set; each differs from
//! its neighbours by pattern, dash or shape as well as by colour.

use crate::draw::{
    map::scheme::Tint,
    palette::{ACCENT, INK, SOFT_INK},
    svg::Stroke,
};
use hillfolio_core::project::{FeatureKind, Standing};

/// Blue of water.
pub const WATER: &str = "#2b6a99";
/// Blue of water surfaces.
pub const PALE_WATER: &str = "#d3e5f0";
/// Green of the areas' outlines and of trees.
pub const LEAF: &str = "#2c4a34";
/// Green of the areas.
pub const PALE_LEAF: &str = "#e9efe1";
/// Brown of tracks and gullies.
pub const EARTH: &str = "#75553a";
/// Red of ground to keep off.
pub const WARNING: &str = "#8c2f39";
/// Violet of wires and cables.
pub const WIRE: &str = "#57407a";
/// The band under what the project made.
pub const NEW_BAND: Stroke = Stroke::solid("#f3d7bd", 2.4);

/// Brown of contours.
pub const RELIEF: &str = "#4a3526";
/// A contour.
pub const CONTOUR: Stroke = Stroke::solid(RELIEF, 0.12);
/// An index contour.
pub const HEAVY_CONTOUR: Stroke = Stroke::solid(RELIEF, 0.3);

/// Whether a feature is drawn as points, a line or a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of geometry")]
pub enum Extent {
    Point,
    Line,
    Surface,
}

/// The slopes at which common practice changes what machines and people do (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Practice {
    /// 12° to under 15°.
    Twelve,
    /// 15° and over.
    Fifteen,
}

/// How the targets of a site stand, as the map of a portfolio shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SiteMark {
    /// Every target that is due and measured is met or probably met.
    Met,
    /// One of them is not met or not shown.
    Short,
    /// None is due and measured.
    Unjudged,
}

/// One sign of a map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sign {
    /// A row to be set out, heavier or not.
    Row(bool),
    /// Where a row starts, and which way it runs.
    RowStart,
    /// Ground kept free of planting beside something.
    KeptFree,
    /// Ground too steep to be planted.
    TooSteep,
    /// Ground of which the terrain model says nothing.
    NoModel,
    /// Ground from 12° on, or from 15° on, beneath rows.
    SteepFrom(Practice),
    /// A planting area on the site map.
    Area,
    /// A planting area by the season in which most of it was planted: the number of the season's look.
    Planted(u8),
    /// An area in which losses were made good.
    Infill,
    /// An area with nothing planted.
    Unplanted,
    /// The ring about an area that is too small to see.
    Ring,
    /// A survey plot.
    Plot,
    /// A photo point with the way the camera looks.
    PhotoPoint,
    /// A whole site on the map of a portfolio.
    Site(SiteMark),
    /// Wildlife that was seen: the place of its kind in the legend.
    Sighting(u8),
    /// A feature; the number is the place of its kind in the legend.
    Feature(u8, FeatureKind, Standing, Extent),
    /// The frame of a detail map.
    DetailFrame,
    /// A planting area on coloured ground: its outline alone.
    Outlined,
    /// A class of coloured ground.
    Ground(Tint),
    /// A contour, heavier or not.
    Contour(bool),
}

impl Sign {
    /// The sign of a feature.
    #[must_use]
    pub fn feature(kind: FeatureKind, standing: Standing, extent: Extent) -> Sign {
        let place = FeatureKind::ALL.iter().position(|one| *one == kind).unwrap_or(FeatureKind::ALL.len());
        Sign::Feature(u8::try_from(place).unwrap_or(u8::MAX), kind, standing, extent)
    }

    /// Lower layers are drawn first.
    #[must_use]
    pub fn layer(self) -> u8 {
        use FeatureKind as Kind;
        match self {
            Sign::Feature(_, Kind::Remnant, _, Extent::Surface) => 0,
            Sign::Area | Sign::Planted(_) | Sign::Unplanted => 1,
            Sign::SteepFrom(_) => 1,
            Sign::Infill | Sign::KeptFree | Sign::TooSteep | Sign::NoModel => 2,
            Sign::Feature(_, Kind::Water | Kind::Watercourse, _, Extent::Surface) => 3,
            Sign::Feature(_, Kind::Slip | Kind::Exclusion, _, Extent::Surface) => 4,
            Sign::Feature(_, Kind::GuideLine, ..) => 5,
            Sign::Feature(_, Kind::Watercourse | Kind::Gully | Kind::Slip, _, Extent::Line) => 6,
            Sign::Feature(_, Kind::Track | Kind::Road | Kind::BuriedService, ..) => 7,
            Sign::Feature(_, Kind::Property, ..) => 8,
            Sign::Feature(_, _, _, Extent::Line) => 9,
            Sign::Feature(_, _, _, Extent::Surface) | Sign::Row(_) => 10,
            Sign::Feature(_, _, _, Extent::Point) => 11,
            Sign::Ground(_) | Sign::Contour(_) => 0,
            Sign::Outlined => 8,
            Sign::Ring | Sign::DetailFrame => 12,
            Sign::PhotoPoint => 13,
            Sign::Plot | Sign::RowStart | Sign::Site(_) | Sign::Sighting(_) => 14,
        }
    }
}

/// A small mark set along a line again and again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A short stroke across.
    Tick,
    /// A filled square.
    Post,
    /// A slanting cross.
    Cross,
    /// A bolt.
    Bolt,
    /// A stroke on either side that leaves the line free.
    Bank,
    /// A triangle on one side.
    Tooth,
    /// A white diamond.
    Diamond,
}

/// How a line is inked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineLook {
    /// A wider line beneath, which sets it off from coloured ground.
    pub casing: Option<Stroke>,
    /// The line.
    pub stroke: Stroke,
    /// A lighter line down its middle.
    pub middle: Option<Stroke>,
    /// Marks along it, and the distance between them, mm.
    pub mark: Option<(Mark, f64)>,
}

const fn plain(colour: &'static str, width: f64, dash: &'static str) -> LineLook {
    LineLook { casing: None, stroke: Stroke { colour, width, dash }, middle: None, mark: None }
}

const fn marked(colour: &'static str, width: f64, dash: &'static str, mark: Mark, every: f64) -> LineLook {
    LineLook { mark: Some((mark, every)), ..plain(colour, width, dash) }
}

const fn cased(colour: &'static str, width: f64, middle: f64) -> LineLook {
    LineLook { middle: Some(Stroke::solid("#ffffff", middle)), ..plain(colour, width, "") }
}

/// The look of a line of this kind.
#[must_use]
pub fn line_look(kind: FeatureKind, standing: Standing) -> LineLook {
    match (kind, standing) {
        (FeatureKind::Property, _) => plain(INK, 0.45, "5 1 0.8 1 0.8 1"),
        (FeatureKind::Fence, Standing::Existing) => marked(INK, 0.25, "", Mark::Tick, 5.0),
        (FeatureKind::Fence, Standing::New) => marked(ACCENT, 0.45, "", Mark::Post, 5.0),
        (FeatureKind::Track, _) => plain(EARTH, 0.6, "2.2 1.1"),
        (FeatureKind::Road, _) => cased(SOFT_INK, 1.5, 0.95),
        (FeatureKind::Watercourse | FeatureKind::Water | FeatureKind::WaterPoint, _) => plain(WATER, 0.6, ""),
        (FeatureKind::Gully, _) => marked(EARTH, 0.35, "", Mark::Bank, 2.4),
        (FeatureKind::PowerLine, _) => marked(WIRE, 0.3, "", Mark::Bolt, 9.0),
        (FeatureKind::BuriedService, _) => marked(WIRE, 0.3, "1.4 0.8", Mark::Diamond, 8.0),
        (FeatureKind::Building, _) => plain(INK, 0.8, ""),
        (FeatureKind::Exclusion, _) => marked(WARNING, 0.4, "", Mark::Cross, 5.0),
        (FeatureKind::Remnant, _) => plain(LEAF, 0.5, "0.9 0.7"),
        (FeatureKind::Slip, _) => marked(EARTH, 0.4, "", Mark::Tooth, 3.0),
        (FeatureKind::Gate, _) => cased(INK, 1.2, 0.6),
        (FeatureKind::GuideLine, _) => plain(SOFT_INK, 0.25, "0.6 0.9"),
        (FeatureKind::Other, _) => plain(SOFT_INK, 0.35, "3 0.8 0.6 0.8 0.6 0.8"),
    }
}

/// How far the ink of a line's sign reaches to either side, mm.
#[must_use]
pub fn line_reach(sign: Sign) -> f64 {
    let Sign::Feature(_, kind, standing, _) = sign else { return 0.3 };
    let look = line_look(kind, standing);
    let band = if standing == Standing::New { NEW_BAND.width / 2.0 } else { 0.0 };
    let mark = if look.mark.is_some() { 0.9 } else { 0.0 };
    (look.stroke.width / 2.0).max(band).max(mark)
}

/// A pattern that fills a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is named for what it looks like")]
pub enum Pattern {
    Lattice,
    Trees,
    Scree,
    Ripples,
    Hatch,
    Slant,
    Dots,
    Level,
    Upright,
    Crosses,
    Rings,
}

impl Pattern {
    /// Its name inside the SVG.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Pattern::Lattice => "lattice",
            Pattern::Trees => "trees",
            Pattern::Scree => "scree",
            Pattern::Ripples => "ripples",
            Pattern::Hatch => "hatch",
            Pattern::Slant => "slant",
            Pattern::Dots => "dots",
            Pattern::Level => "level",
            Pattern::Upright => "upright",
            Pattern::Crosses => "crosses",
            Pattern::Rings => "rings",
        }
    }

    /// Side of its square tile in mm, colour and width of its strokes, path data, and whether the path is filled.
    #[must_use]
    pub fn tile(self) -> (f64, &'static str, f64, &'static str, bool) {
        match self {
            Pattern::Lattice => (2.2, WARNING, 0.16, "M0 0L2.2 2.2M2.2 0L0 2.2", false),
            Pattern::Trees => (
                4.2,
                "#6b8a66",
                0.22,
                "M1.1 2.1V1.4M0.5 1.0A0.6 0.6 0 1 1 1.7 1.0A0.6 0.6 0 1 1 0.5 1.0M3.2 4.1V3.4M2.6 3.0A0.6 0.6 0 1 1 3.8 3.0A0.6 0.6 0 1 1 2.6 3.0",
                false,
            ),
            Pattern::Scree => (3.0, EARTH, 0.2, "M0.3 1.1L0.8 0.3L1.3 1.1ZM1.9 2.6L2.3 1.9L2.7 2.6Z", false),
            Pattern::Ripples => {
                (3.6, "#7fa9c6", 0.18, "M0.3 1Q0.9 0.5 1.5 1T2.7 1M1.5 2.8Q2.1 2.3 2.7 2.8", false)
            }
            Pattern::Hatch => {
                (3.0, ACCENT, 0.3, "M-0.3 3.3L3.3 -0.3M-0.3 0.3L0.3 -0.3M2.7 3.3L3.3 2.7", false)
            }
            Pattern::Slant => {
                (1.7, SOFT_INK, 0.16, "M-0.2 -0.2L1.9 1.9M1.5 -0.2L1.9 0.2M-0.2 1.5L0.2 1.9", false)
            }
            Pattern::Dots => {
                (1.8, "#8a6a20", 0.0, "M0.55 0.9A0.25 0.25 0 1 1 1.05 0.9A0.25 0.25 0 1 1 0.55 0.9", true)
            }
            Pattern::Level => (1.6, "#3f7f78", 0.2, "M0 0.8H1.6", false),
            Pattern::Upright => (1.6, "#8a4a2b", 0.2, "M0.8 0V1.6", false),
            Pattern::Crosses => (2.6, "#57407a", 0.2, "M0.8 1.3H1.8M1.3 0.8V1.8", false),
            Pattern::Rings => {
                (2.8, "#2c4a34", 0.2, "M0.8 1.4A0.6 0.6 0 1 1 2.0 1.4A0.6 0.6 0 1 1 0.8 1.4", false)
            }
        }
    }
}

/// How a surface is filled: plain colour, pattern over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Colour, or `none`.
    pub colour: &'static str,
    /// Pattern over the colour.
    pub pattern: Option<Pattern>,
}

impl Fill {
    /// Whether nothing is filled.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.colour == "none" && self.pattern.is_none()
    }
}

const fn fill(colour: &'static str, pattern: Option<Pattern>) -> Fill {
    Fill { colour, pattern }
}

/// How many seasons can be told apart on a planting map.
pub const SEASON_LOOKS: u8 = 6;

/// The fill of a sign that covers a surface.
#[must_use]
pub fn surface_fill(sign: Sign) -> Fill {
    match sign {
        Sign::Area => fill(PALE_LEAF, None),
        Sign::Planted(0) => fill("#dfe6ec", None),
        Sign::Planted(1) => fill("#f6e8c9", Some(Pattern::Dots)),
        Sign::Planted(2) => fill("#cfe1dc", Some(Pattern::Level)),
        Sign::Planted(3) => fill("#eed6c6", Some(Pattern::Upright)),
        Sign::Planted(4) => fill("#dcd6ea", Some(Pattern::Crosses)),
        Sign::Planted(_) => fill("#c4d3ba", Some(Pattern::Rings)),
        Sign::Infill => fill("none", Some(Pattern::Hatch)),
        Sign::Unplanted => fill("#ffffff", None),
        Sign::KeptFree => fill("#ffffff", Some(Pattern::Slant)),
        Sign::TooSteep => fill("#ffffff", Some(Pattern::Upright)),
        Sign::NoModel => fill("#ffffff", Some(Pattern::Crosses)),
        Sign::SteepFrom(Practice::Twelve) => fill("#fcf5df", None),
        Sign::SteepFrom(Practice::Fifteen) => fill("#f8e9df", None),
        Sign::Feature(_, kind, _, _) => match kind {
            FeatureKind::Water | FeatureKind::Watercourse | FeatureKind::WaterPoint => {
                fill(PALE_WATER, Some(Pattern::Ripples))
            }
            FeatureKind::Building => fill("#4a504d", None),
            FeatureKind::Exclusion => fill("none", Some(Pattern::Lattice)),
            FeatureKind::Remnant => fill("#dce7d5", Some(Pattern::Trees)),
            FeatureKind::Slip => fill("none", Some(Pattern::Scree)),
            FeatureKind::Road | FeatureKind::Track => fill("#f1f1ee", None),
            _ => fill("none", None),
        },
        Sign::Ground(tint) => fill(tint.colour(), None),
        Sign::Ring
        | Sign::Row(_)
        | Sign::RowStart
        | Sign::Plot
        | Sign::PhotoPoint
        | Sign::Site(_)
        | Sign::Sighting(_)
        | Sign::DetailFrame
        | Sign::Outlined
        | Sign::Contour(_) => fill("none", None),
    }
}

/// The outline of a sign that covers a surface.
#[must_use]
pub fn outline(sign: Sign) -> LineLook {
    match sign {
        Sign::Unplanted => plain(LEAF, 0.45, "1.6 1"),
        Sign::Row(heavy) => plain(INK, if heavy { 0.75 } else { 0.4 }, ""),
        Sign::KeptFree | Sign::TooSteep | Sign::NoModel => plain(SOFT_INK, 0.15, ""),
        Sign::SteepFrom(Practice::Twelve) => plain(EARTH, 0.15, "0.8 0.6"),
        Sign::SteepFrom(Practice::Fifteen) => plain(EARTH, 0.15, ""),
        Sign::Feature(_, FeatureKind::Water | FeatureKind::Watercourse, _, _) => plain(WATER, 0.35, ""),
        Sign::Feature(_, FeatureKind::Building, _, _) => plain(INK, 0.25, ""),
        Sign::Feature(_, FeatureKind::Slip, _, _) => plain(EARTH, 0.35, "1 0.6"),
        Sign::Feature(_, FeatureKind::Remnant, _, _) => plain(LEAF, 0.3, "0.9 0.7"),
        Sign::Feature(_, FeatureKind::Exclusion, _, _) => plain(WARNING, 0.4, ""),
        Sign::Feature(_, FeatureKind::Road | FeatureKind::Track, _, _) => plain(SOFT_INK, 0.25, ""),
        Sign::Feature(_, kind, standing, _) => line_look(kind, standing),
        Sign::DetailFrame => plain(INK, 0.3, "1.6 0.9"),
        Sign::Outlined => LineLook { casing: Some(Stroke::solid("#ffffff", 1.3)), ..plain(INK, 0.55, "") },
        Sign::Ground(_) => plain(SOFT_INK, 0.15, ""),
        Sign::Contour(heavy) => {
            LineLook { stroke: if heavy { HEAVY_CONTOUR } else { CONTOUR }, ..plain(INK, 0.1, "") }
        }
        _ => plain(LEAF, 0.6, ""),
    }
}
