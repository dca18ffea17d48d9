//! Boundaries, features and positions.

use crate::problem::{
    Help,
    answer::{Answer, quoted, to_choose, to_paste},
    counted, did_you_mean, far, kinds,
};

kinds! {
    /// What is wrong with a shape or a position.
    Ground {
        /// A shape without the property that names it.
        #[error("the shape has no `{property}`")]
        Error "nameless-shape" Nameless { property: String, nearest: Option<String> }
            => did_you_mean(nearest, match property.as_str() {
                "kind" => "say what it is: fence, track, watercourse … (in a KML by its folder, in a GPX by its type, in both \
                    by how its name begins)",
                _ => "give every shape its name, or map the property in project.toml",
            });
        /// A layer of areas without any.
        #[error("the layer holds no boundary: no polygon, and no walk that comes back to where it began")]
        Error "layer-empty" LayerEmpty => "draw the planting areas in it, one polygon each";
        /// Two shapes of one area id that lie over one another.
        #[error("area `{id}` is drawn twice (first as shape {first}), {hectares:.3} ha of it over one another; joined, and counted once")]
        Doubt "area-twice" AreaTwice { id: String, first: u32, hectares: f64 }
            => "take one of the two out, or give each its own id";
        /// Parts of one area in shapes of their own.
        #[error("the shape is a part of area `{id}` (first drawn as shape {first}); joined to it")]
        Remark "parts-joined" PartsJoined { id: String, first: u32 };
        /// Areas without a name, and what they are called.
        #[error("{} no name; called {names}", counted(*.shapes, "shape has", "shapes have"))]
        Remark "names-given" NamesGiven { shapes: usize, names: String, column: Option<String> }
            => match column {
                Some(column) => to_paste(
                    &format!("`{column}` names them; to take that, in project.toml:"),
                    vec![Answer::of("tables.areas", format!("columns = {{ {} = \"area\" }}", quoted(column)))],
                ),
                None => "name them in the file, as the tables call them".into(),
            };
        /// Areas that are called by another property than `area`.
        #[error("the areas are called by `{property}`")]
        Remark "named-by" NamedBy { property: String }
            => "another column is mapped in project.toml: [tables.areas] columns = { \"THE COLUMN\" = \"area\" }";
        /// Areas that the tables call by another property.
        #[error("no area is called `{example}`; {} of the tables {} what stands under `{property}` of the shapes",
            counted(*.cells, "cell", "cells"), if *.cells == 1 { "has" } else { "have" })]
        Error "areas-called-otherwise" CalledOtherwise { property: String, example: String, cells: usize }
            => to_paste("if the areas are to be called so, in project.toml:", vec![
                Answer::of("tables.areas", format!("columns = {{ {} = \"area\" }}", quoted(property))),
            ]);
        /// Walks that don't come back, beside boundaries.
        #[error("{} back to where it began, and {} left out: {names}", counted(*.tracks, "walk does not come", "walks do not come"), if *.tracks == 1 { "is" } else { "are" })]
        Doubt "tracks-left-out" TracksLeftOut { tracks: usize, names: String }
            => "if one is a boundary, walk on until you are back; a fence or a track is read as one if its name says so";
        /// A walk that comes back and is called as what runs along a line.
        #[error("`{name}` comes back to where it began and encloses {hectares:.2} ha; read as a {kind}, by its name")]
        Doubt "walk-around" WalkAround { name: String, kind: &'static str, hectares: f64 }
            => format!("if it is a planting area, give it a name that ends in a word for ground, such as `{name} paddock`; else nothing to do");
        /// Shapes without corners, beside boundaries.
        #[error("{} nothing and {} left out", counted(*.shapes, "shape holds", "shapes hold"), if *.shapes == 1 { "is" } else { "are" })]
        Doubt "empty-left-out" EmptyLeftOut { shapes: usize }
            => "draw it anew if it belongs to the site, or take it out";
        /// Features whose kind or status their names say.
        #[error("{} by the name: {names}", counted(*.features, "feature is taken", "features are taken"))]
        Remark "features-by-name" ReadByNames { features: usize, names: String }
            => "if one is something else, give it the properties kind and status";
        /// Features that say nothing of what they are.
        #[error("{} of what {}: {names}; drawn as plain lines and points", counted(*.features, "feature says nothing", "features say nothing"), if *.features == 1 { "it is" } else { "they are" })]
        Doubt "features-without-kind" WithoutKind { features: usize, names: String }
            => "give each the property kind, or name it by what it is; if all of a file are one thing, write it under \
                [tables.features], such as kind = \"watercourse\"";
        /// Features that are to be made.
        #[error("not there yet by the name: {names}; drawn as if there before")]
        Doubt "features-only-planned" OnlyPlanned { names: String }
            => "leave it out until it stands, or give it the property status: new or existing";
        /// An area id that leaves no id for its figures.
        #[error("no area can be called `{id}`: {why}")]
        Error "area-unnamable" AreaUnnamable { id: String, why: &'static str } => "give it another name";
        /// Two areas whose figures would share one id.
        #[error("areas `{id}` and `{other}` (shape {first}) differ in punctuation only")]
        Error "areas-alike" AreasAlike { id: String, other: String, first: u32 }
            => "give the two names that their figures can be told apart by";
        /// A geometry of the wrong kind.
        #[error("a {found} stands where {wanted} is needed")]
        Error "wrong-shape" WrongShape { found: String, wanted: &'static str }
            => format!("draw it as {wanted}, or move it into features if it is a fence, a gate or the like");
        /// No geometry, or one without points.
        #[error("the feature has no geometry")]
        Error "no-shape" NoShape => "draw it, or take it out";
        /// A ring with fewer than three corners.
        #[error("a ring with {corners} corners encloses nothing")]
        Error "too-few-corners" TooFewCorners { corners: usize }
            => "draw it anew with at least three corners, or take it out";
        /// A coordinate that is not a number or not on the Earth.
        #[error("longitude {longitude}, latitude {latitude} is not on the Earth")]
        Error "not-on-earth" NotOnEarth { longitude: String, latitude: String }
            => "positions are degrees, longitude first; for metres give easting and northing";
        /// An easting and a northing in a project that prints no grid.
        #[error("an easting and a northing need the project's grid, which is not set")]
        Error "grid-not-set" GridNotSet => to_paste_blank("set it under [project], in project.toml", "project");
        /// An easting and a northing that lie nowhere in the project's grid.
        #[error("easting {easting}, northing {northing} lies nowhere in {grid}")]
        Error "not-in-grid" NotInGrid { easting: f64, northing: f64, grid: String }
            => "check that the two are not in each other's column, and the grid in project.toml";
        /// Longitude and latitude stand in each other's place.
        #[error("longitude and latitude of {id} stand in each other's place")]
        Error "axes-swapped" AxesSwapped { id: String } => "longitude comes first, as in 148.0312, -36.0021";
        /// Planting areas far from one another: a wrong zone or hemisphere.
        #[error("{id} lies {kilometres:.0} km from the other areas")]
        Doubt "far-away" FarAway { id: String, kilometres: f64 } => "a wrong zone or hemisphere looks like this";
        /// A coordinate reference system that is not read here.
        #[error("the coordinate reference system `{found}` is not read")]
        Error "crs-not-read" CrsNotRead { found: String, table: Option<&'static str> }
            => match is_old_new_zealand(found) {
                true => "this is the New Zealand Map Grid of 1949, whose projection is not carried out here: save the layer as longitude and latitude \
                    (WGS 84), or in NZTM (EPSG:2193), with a program that carries LINZ's shift of NZGD1949 to NZGD2000"
                    .into(),
                false => to_paste_blank("save the layer as longitude and latitude (WGS 84), or name its system in project.toml", table.unwrap_or("areas")),
            };
        /// TopoJSON.
        #[error("the layer is TopoJSON, in which shapes share their borders; it is not read")]
        Error "topojson" Topology
            => "open it in the program that made it, or in any that draws maps, and export it as GeoJSON in longitude and latitude (WGS 84)";
        /// A datum that is reached by a mean shift.
        #[error("positions on {datum} are brought to WGS 84 by a mean shift, right to about {metres:.0} m")]
        Doubt "datum-approximate" DatumApproximate { datum: String, metres: f64 }
            => "areas and lengths are not touched by it; for the place, save the layer on WGS 84 with a program that carries the \
                shift file";
        /// A layer without a coordinate reference system, and the one that it is taken to stand in.
        #[error("the layer has no .prj; its coordinates are taken as {taken}")]
        Doubt "crs-assumed" CrsAssumed { taken: String }
            => "copy the .prj that goes with the shapefile, or save it with one";
        /// A layer without a coordinate reference system whose numbers could be anything.
        #[error("the layer has no .prj, and numbers up to {x:.0} and {y:.0} are no degrees")]
        Error "crs-unknown" CrsUnknown { x: f64, y: f64 }
            => to_paste_blank("copy the .prj that goes with it, or name its grid under [project], in project.toml", "project");
        /// Numbers too large for the degrees that the coordinate reference system says.
        #[error("the layer says degrees ({system}) and holds numbers up to {x:.0} and {y:.0}")]
        Error "not-degrees" NotDegrees { x: f64, y: f64, system: String }
            => "its coordinate reference system is another layer's: copy the right .prj, or save the layer again";
        /// Degrees in a layer whose coordinate reference system counts metres.
        #[error("the layer says {system}, and its numbers, up to {x:.3} and {y:.3}, are degrees")]
        Error "not-metres" NotMetres { x: f64, y: f64, system: String }
            => "its coordinate reference system was named and its coordinates left as they were: save it in degrees";
        /// Two numbers that lie nowhere in the layer's coordinate reference system.
        #[error("{x}, {y} lies nowhere in {system}")]
        Error "not-in-system" NotInSystem { x: String, y: String, system: String }
            => "easting comes first; check the zone and the hemisphere of the layer";
        /// A layer that lies far outside the land that its grid was made for.
        #[error("the layer lies far outside the land that {system} was made for")]
        Error "grid-unfit" GridUnfit { system: String }
            => "a wrong zone looks like this, or easting and northing in each other's place";
        /// Areas that lie beyond the edge of the project's zone.
        #[error("{id} lies {kilometres:.0} km from the middle of {grid}, beyond the edge of the zone")]
        Doubt "outside-zone" OutsideZone { id: String, kilometres: f64, grid: String }
            => "check the zone of the layer, and `coordinates` in project.toml";
        /// Positions on one datum that are used as if they stood on another.
        #[error("positions on {found} are used as if they stood on {taken}, up to 1.8 m off")]
        Remark "datum-taken" DatumTaken { found: &'static str, taken: &'static str }
            => "name a grid on GDA2020 under [project] to have them shifted";
        /// A walk round an area that does not come back.
        #[error("the walk round {id} ends {} from where it began", far(*.metres))]
        Error "track-open" TrackOpen { id: String, metres: f64 }
            => to_choose("walk on until you are back, or draw the boundary as a polygon; to leave it out, in project.toml:", without(id));
        /// A walk round an area whose last metres were guessed.
        #[error("the walk round {id} ends {metres:.0} m from where it began; closed with a straight line")]
        Doubt "track-closed" TrackClosed { id: String, metres: f64 }
            => to_choose(
                "walk on until you are back where you began, or nothing if the gap is a straight line; to leave it out, in project.toml:",
                without(id),
            );
        /// Points in a layer of areas.
        #[error("points among the areas are left out ({points} of them)")]
        Remark "points-left-out" PointsLeftOut { points: usize } => "put gates, posts and the like into features";
        /// The boundary crosses itself and was repaired.
        #[error("the boundary of {id} crosses itself; repaired, which changes {hectares:.3} ha")]
        Doubt "crosses-itself" CrossesItself { id: String, hectares: f64 }
            => "draw the boundary again where the lines cross";
        /// The boundary crosses itself so that what it encloses can't be told.
        #[error("the boundary of {id} crosses itself, and what it encloses can't be told: {walked:.2} ha in the order of its corners, \
            {loops:.2} ha by the loops that they make")]
        Error "loops-unclear" LoopsUnclear { id: String, walked: f64, loops: f64 }
            => "draw the boundary again, its corners in the order in which one walks round";
        /// The boundary is a scribble.
        #[error("the boundary of {id} crosses itself more than {most} times: its corners stand in no order")]
        Error "boundary-scrambled" BoundaryScrambled { id: String, most: &'static str }
            => "draw the boundary again, its corners in the order in which one walks round";
        /// Two areas lie over one another.
        #[error("{shares}, which count twice{reported}")]
        Doubt "areas-overlap" Overlap { shares: String, reported: String } => "cut one of the two back";
        /// The stated hectares differ from the polygon.
        #[error("{id} is stated as {stated:.2} ha and drawn as {mapped:.2} ha; the drawn area is used")]
        Doubt "hectares-differ" HectaresDiffer { id: String, stated: f64, mapped: f64 }
            => "correct the hectares that are stated, or the boundary; figures are made with those of the boundary";
        /// A plot outside its own area.
        #[error("plot {plot} lies {} outside {area}", far(*.metres))]
        Doubt "plot-outside-area" PlotOutside { plot: String, area: String, metres: f64 }
            => "check the plot's area and its position";
        /// A photo point or sighting far from every area.
        #[error("{what} {id} lies {} from the nearest area", far(*.metres))]
        Doubt "point-far" PointFar { what: &'static str, id: String, metres: f64 }
            => "check its longitude and latitude, or the boundaries; for a place that does lie there nothing is to be done";
        /// A polygon with more corners than are read.
        #[error("{corners} corners; at most {limit} are read")]
        Error "too-many-corners" TooManyCorners { corners: usize, limit: usize }
            => "simplify the line: a corner every half metre is enough";
        /// More shapes than are read.
        #[error("the layer holds {shapes} shapes; at most {limit} are read")]
        Error "too-many-shapes" TooManyShapes { shapes: usize, limit: usize }
            => "save only those of this project, or join the parts of one area under its name";
        /// A kind of feature that has no sign of its own.
        #[error("`{found}` is not a kind of feature; drawn as a plain line")]
        Doubt "feature-kind-unknown" FeatureKindUnknown { found: String, nearest: Option<String> }
            => did_you_mean(nearest, "fence, track, watercourse, gully, power line, building, exclusion …");
    }
}

/// The line that leaves a shape out of the layer of areas.
fn without(name: &str) -> Vec<Answer> {
    vec![Answer::of("tables.areas", format!("skip = {{ name = [{}] }}", quoted(name)))]
}

/// Whether a system is the map grid that New Zealand had before NZTM.
fn is_old_new_zealand(found: &str) -> bool {
    let found = found.to_uppercase().replace('_', " ");
    found.contains("27200") || found.contains("NEW ZEALAND MAP GRID") || found.contains("NZMG")
}

/// A line with a blank for the code of a grid, and where the code is found: whoever has the numbers knows their grid. It is the `project`'s, or that
/// of the layer or terrain model called `of`.
pub(super) fn to_paste_blank(words: &str, of: &str) -> Help {
    let words = format!(
        "{words}, with the code of the grid that the numbers are of; the receiver or the program that wrote them names it (MGA2020 zone 55 is \
         7855, NZTM 2193):"
    );
    let answer = match of {
        "project" => Answer::of("project", "coordinates = \"EPSG:…\""),
        layer => Answer::of(&format!("tables.{layer}"), "crs = \"EPSG:…\""),
    };
    to_choose(&words, vec![answer])
}
