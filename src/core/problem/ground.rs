//! Boundaries, features and positions.

use crate::problem::{Said, doubt, error, far, remark};

/// What is wrong with a shape or a position.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Ground {
    /// A shape without the property that names it.
    Nameless { property: String, nearest: Option<String> },
    /// A layer of areas without any.
    LayerEmpty,
    /// Two shapes with one area id.
    AreaTwice { id: String, first: u32 },
    /// An area id that leaves no id for its figures.
    AreaUnnamable { id: String, why: &'static str },
    /// Two areas whose figures would share one id.
    AreasAlike { id: String, other: String, first: u32 },
    /// A geometry of the wrong kind.
    WrongShape { found: String, wanted: &'static str },
    /// No geometry, or one without points.
    NoShape,
    /// A ring with fewer than three corners.
    TooFewCorners { corners: usize },
    /// A coordinate that is not a number or not on the Earth.
    NotOnEarth { longitude: String, latitude: String },
    /// An easting and a northing in a project that prints no grid.
    GridNotSet,
    /// An easting and a northing that lie nowhere in the project's grid.
    NotInGrid { easting: f64, northing: f64, grid: &'static str },
    /// Longitude and latitude stand in each other's place.
    AxesSwapped { id: String },
    /// Planting areas far from one another: a wrong zone or hemisphere.
    FarAway { id: String, kilometres: f64 },
    /// A coordinate reference system that is not read here.
    CrsNotRead { found: String },
    /// A layer without a coordinate reference system, and the one that it is taken to stand in.
    CrsAssumed { taken: String },
    /// A layer without a coordinate reference system whose numbers could be anything.
    CrsUnknown { x: f64, y: f64 },
    /// Numbers too large for the degrees that the coordinate reference system says.
    NotDegrees { x: f64, y: f64, system: String },
    /// Degrees in a layer whose coordinate reference system counts metres.
    NotMetres { x: f64, y: f64, system: String },
    /// Two numbers that lie nowhere in the layer's coordinate reference system.
    NotInSystem { x: String, y: String, system: String },
    /// A layer that lies far outside the land that its grid was made for.
    GridUnfit { system: String },
    /// Areas that lie beyond the edge of the project's zone.
    OutsideZone { id: String, kilometres: f64, grid: &'static str },
    /// Positions on one datum that are used as if they stood on another.
    DatumTaken { found: &'static str, taken: &'static str },
    /// A walk round an area that does not come back.
    TrackOpen { id: String, metres: f64 },
    /// A walk round an area whose last metres were guessed.
    TrackClosed { id: String, metres: f64 },
    /// Points in a layer of areas.
    PointsLeftOut { points: usize },
    /// The boundary crosses itself and was repaired.
    CrossesItself { id: String, hectares: f64 },
    /// Two areas lie over one another.
    Overlap { one: String, other: String, hectares: f64 },
    /// The stated hectares differ from the polygon.
    HectaresDiffer { id: String, stated: f64, mapped: f64 },
    /// A plot outside its own area.
    PlotOutside { plot: String, area: String, metres: f64 },
    /// A photo point or sighting far from every area.
    PointFar { what: &'static str, id: String, metres: f64 },
    /// A polygon with more corners than are read.
    TooManyCorners { corners: usize, limit: usize },
    /// More shapes than are read.
    TooManyShapes { shapes: usize, limit: usize },
    /// A kind of feature that has no sign of its own.
    FeatureKindUnknown { found: String, nearest: Option<String> },
}

impl Ground {
    pub(super) fn said(&self) -> Said {
        match self {
            Ground::Nameless { property, nearest } => error(
                "nameless-shape",
                format!("the shape has no `{property}`"),
            )
            .nearest(
                nearest.as_ref(),
                match property.as_str() {
                    "kind" => "say what it is: fence, track, watercourse … (in a KML by its folder, in a GPX by its type, in \
                               both by how its name begins)",
                    _ => "give every shape its name, or map the property in project.toml",
                },
            ),
            Ground::LayerEmpty => error("layer-empty", "the layer holds no shapes".to_owned())
                .help("draw the planting areas in it, one polygon each"),
            Ground::AreaTwice { id, first } => {
                error("area-twice", format!("area `{id}` is drawn twice (first as shape {first})"))
                    .help("join the two as one multipolygon, or give each its own id")
            }
            Ground::AreaUnnamable { id, why } => {
                error("area-unnamable", format!("no area can be called `{id}`: {why}"))
                    .help("give it another name")
            }
            Ground::AreasAlike { id, other, first } => error(
                "areas-alike",
                format!("areas `{id}` and `{other}` (shape {first}) differ in punctuation only"),
            )
            .help("give the two names that their figures can be told apart by"),
            Ground::WrongShape { found, wanted } => {
                error("wrong-shape", format!("a {found} stands where {wanted} is needed"))
            }
            Ground::NoShape => {
                error("no-shape", "the feature has no geometry".to_owned()).help("draw it, or take it out")
            }
            Ground::TooFewCorners { corners } => {
                error("too-few-corners", format!("a ring with {corners} corners encloses nothing"))
            }
            Ground::NotOnEarth { longitude, latitude } => error(
                "not-on-earth",
                format!("longitude {longitude}, latitude {latitude} is not on the Earth"),
            )
            .help("positions are degrees, longitude first; for metres give easting and northing"),
            Ground::GridNotSet => error(
                "grid-not-set",
                "an easting and a northing need the project's grid, which is not set".to_owned(),
            )
            .help("set it under [project], such as coordinates = \"EPSG:7855\""),
            Ground::NotInGrid { easting, northing, grid } => {
                error("not-in-grid", format!("easting {easting}, northing {northing} lies nowhere in {grid}"))
                    .help("check that the two are not in each other's column, and the grid in project.toml")
            }
            Ground::AxesSwapped { id } => {
                error("axes-swapped", format!("longitude and latitude of {id} stand in each other's place"))
                    .help("longitude comes first, as in 148.0312, -36.0021")
            }
            Ground::FarAway { id, kilometres } => {
                doubt("far-away", format!("{id} lies {kilometres:.0} km from the other areas"))
                    .help("a wrong zone or hemisphere looks like this")
            }
            Ground::CrsNotRead { found } => {
                error("crs-not-read", format!("the coordinate reference system `{found}` is not read"))
                    .help("save the layer as longitude and latitude (WGS 84)")
            }
            Ground::CrsAssumed { taken } => {
                doubt("crs-assumed", format!("the layer has no .prj; its coordinates are taken as {taken}"))
                    .help("copy the .prj that goes with the shapefile, or save it with one")
            }
            Ground::CrsUnknown { x, y } => error(
                "crs-unknown",
                format!("the layer has no .prj, and numbers up to {x:.0} and {y:.0} are no degrees"),
            )
            .help("copy the .prj that goes with it, or name its grid under [project], such as coordinates = \"EPSG:7855\""),
            Ground::NotDegrees { x, y, system } => error(
                "not-degrees",
                format!("the layer says degrees ({system}) and holds numbers up to {x:.0} and {y:.0}"),
            )
            .help("its coordinate reference system is another layer's: copy the right .prj, or save the layer again"),
            Ground::NotMetres { x, y, system } => error(
                "not-metres",
                format!("the layer says {system}, and its numbers, up to {x:.3} and {y:.3}, are degrees"),
            )
            .help("its coordinate reference system was named and its coordinates left as they were: save it in degrees"),
            Ground::NotInSystem { x, y, system } => {
                error("not-in-system", format!("{x}, {y} lies nowhere in {system}"))
                    .help("easting comes first; check the zone and the hemisphere of the layer")
            }
            Ground::GridUnfit { system } => {
                error("grid-unfit", format!("the layer lies far outside the land that {system} was made for"))
                    .help("a wrong zone looks like this, or easting and northing in each other's place")
            }
            Ground::OutsideZone { id, kilometres, grid } => doubt(
                "outside-zone",
                format!("{id} lies {kilometres:.0} km from the middle of {grid}, beyond the edge of the zone"),
            )
            .help("check the zone of the layer, and `coordinates` in project.toml"),
            Ground::DatumTaken { found, taken } => remark(
                "datum-taken",
                format!("positions on {found} are used as if they stood on {taken}, up to 1.8 m off"),
            )
            .help("name a grid on GDA2020 under [project] to have them shifted"),
            Ground::TrackOpen { id, metres } => {
                error("track-open", format!("the walk round {id} ends {} from where it began", far(*metres)))
                    .help("walk on until you are back, or draw the boundary as a polygon")
            }
            Ground::TrackClosed { id, metres } => doubt(
                "track-closed",
                format!("the walk round {id} ends {metres:.0} m from where it began; closed with a straight line"),
            ),
            Ground::PointsLeftOut { points } => {
                remark("points-left-out", format!("points among the areas are left out ({points} of them)"))
                    .help("put gates, posts and the like into features")
            }
            Ground::CrossesItself { id, hectares } => doubt(
                "crosses-itself",
                format!("the boundary of {id} crosses itself; repaired, which changes {hectares:.3} ha"),
            )
            .help("draw the boundary again where the lines cross"),
            Ground::Overlap { one, other, hectares } => {
                doubt("areas-overlap", format!("{one} and {other} share {hectares:.3} ha, which count twice"))
                    .help("cut one of the two back")
            }
            Ground::HectaresDiffer { id, stated, mapped } => doubt(
                "hectares-differ",
                format!(
                    "{id} is stated as {stated:.2} ha and drawn as {mapped:.2} ha; the drawn area is used"
                ),
            ),
            Ground::PlotOutside { plot, area, metres } => {
                doubt("plot-outside-area", format!("plot {plot} lies {} outside {area}", far(*metres)))
                    .help("check the plot's area and its position")
            }
            Ground::PointFar { what, id, metres } => {
                doubt("point-far", format!("{what} {id} lies {} from the nearest area", far(*metres)))
            }
            Ground::TooManyCorners { corners, limit } => {
                error("too-many-corners", format!("{corners} corners; at most {limit} are read"))
                    .help("simplify the line: a corner every half metre is enough")
            }
            Ground::TooManyShapes { shapes, limit } => {
                error("too-many-shapes", format!("the layer holds {shapes} shapes; at most {limit} are read"))
                    .help("save only those of this project, or join the parts of one area under its name")
            }
            Ground::FeatureKindUnknown { found, nearest } => doubt(
                "feature-kind-unknown",
                format!("`{found}` is not a kind of feature; drawn as a plain line"),
            )
            .nearest(nearest.as_ref(), "fence, track, watercourse, gully, power line, building, exclusion …"),
        }
    }
}
