//! The terrain model: what can't be read of it, and what it doesn't hold.

use crate::problem::{
    answer::{Answer, to_paste},
    kinds,
};

kinds! {
    /// What is wrong with a terrain model.
    Terrain {
        /// Not a file of its format, cut off, or at odds with itself.
        #[error("the terrain can't be read as {format}: {why}")]
        Error "terrain-unreadable" Unreadable { format: &'static str, why: String }
            => "export it again as GeoTIFF (single-band, DEFLATE or LZW) or as an ESRI ASCII grid";
        /// A compression that is not read.
        #[error("the terrain is compressed as {which}, which is not read")]
        Error "terrain-compression" CompressionNotRead { which: String }
            => "export it again with DEFLATE or LZW compression, or none";
        /// A picture, or several bands: no single height a cell.
        #[error("the terrain file holds {found}, not one height a cell")]
        Error "terrain-not-heights" NotHeights { found: String }
            => "take the elevation model itself, not a shaded or coloured picture of it";
        /// More cells than are read.
        #[error("the terrain needs {cells} cells; at most {limit} are read")]
        Error "terrain-too-many-cells" TooManyCells { cells: u64, limit: u64 }
            => "cut it to the site with a little ground round it, or take larger cells (5 m is enough)";
        /// Blocks too large to be taken apart.
        #[error("the terrain is stored in blocks of {bytes} bytes; at most {limit} are read at once")]
        Error "terrain-block-too-big" BlockTooBig { bytes: u64, limit: u64 }
            => "export it again in tiles or in strips of a few rows";
        /// Rows that don't run from west to east, from north to south.
        #[error("the terrain's rows don't run from west to east, northmost first")]
        Error "terrain-not-north-up" NotNorthUp => "export it again without rotation";
        /// No corner or cell size that makes sense.
        #[error("the terrain doesn't say where on the Earth it lies")]
        Error "terrain-no-place" NoPlace
            => "export it as GeoTIFF with its corner, cell size and coordinate reference system";
        /// The coordinate reference system is not named, or not one that is known.
        #[error("the terrain's coordinate reference system is not known: {found}")]
        Error "terrain-crs-unknown" CrsUnknown { found: String }
            => crate::problem::ground::to_paste_blank("export it in the project's own grid with its EPSG code, or name its system in \
                project.toml", "terrain");
        /// Lengths in the terrain's projection stray in one direction more than in another.
        #[error("{system} stretches lengths where the terrain lies, by more than 5 % and not alike in every direction")]
        Error "terrain-grid-unfit" GridUnfit { system: String }
            => "export it in the project's own grid, or in longitude and latitude";
        /// Metres of the projection that are not metres on the ground.
        #[error("a metre of {system} is {metres:.3} m on the ground where the terrain lies; slopes and cells are worked out with that")]
        Remark "terrain-metres-stretched" MetresStretched { system: String, metres: f64 };
        /// A datum that is reached by a mean shift.
        #[error("the terrain stands on {datum}, which is brought to WGS 84 by a mean shift, right to about {metres:.0} m")]
        Doubt "terrain-datum-approximate" DatumApproximate { datum: String, metres: f64 }
            => "export it on WGS 84, or on the datum of the project's grid, with a program that carries the shift file";
        /// No coordinate reference system named: taken to be in the project's own, or in degrees where its numbers are such.
        #[error("the terrain doesn't name its coordinates; taken to be in EPSG:{epsg}")]
        Doubt "terrain-crs-assumed" CrsAssumed { epsg: u16 }
            => "add its .prj file, or export it with its coordinate reference system";
        /// Heights in feet, turned into metres.
        #[error("the terrain's heights are in feet; turned into metres")]
        Remark "terrain-heights-in-feet" HeightsInFeet;
        /// A grid in feet whose heights could be in feet too.
        #[error("the terrain's grid counts feet, and it doesn't say what its heights count; taken as metres: in feet, every rise is \
            0.305 of what it is taken for")]
        Doubt "terrain-heights-unsaid" HeightsUnsaid => to_paste("say which, in project.toml:", vec![
                Answer::meaning("heights are in metres", "tables.terrain", "heights = \"m\""),
                Answer::meaning("heights are in feet", "tables.terrain", "heights = \"ft\""),
            ]);
        /// Heights that the Earth does not have.
        #[error("the terrain holds heights from {low:.0} to {high:.0}, which no ground has in its unit")]
        Error "terrain-heights-beyond-belief" HeightsBeyondBelief { low: f64, high: f64, line: String }
            => to_paste("if that is what explains it, in project.toml:", vec![Answer::of("tables.terrain", line.as_str())]);
        /// Heights of one byte, as a grey picture has them.
        #[error("the terrain's heights are whole numbers from 0 to 255, as the greys of a picture are; taken as heights")]
        Doubt "terrain-heights-in-bytes" HeightsInBytes
            => "take the elevation model itself if this is a shaded or grey picture of it";
        /// A number that stands for a hole and is not declared as such.
        #[error("{value} m stands in {cells} of the terrain's cells, and the others lie from {low} to {high} m: this is no height, \
            and the file does not declare it as a hole")]
        Error "terrain-hole-value" HoleValue { cells: usize, value: String, low: String, high: String }
            => "export it again with its no-data value; in an ESRI ASCII grid give it as NODATA_value";
        /// No height in the part that the project needs.
        #[error("the terrain holds no height where the project lies")]
        Error "terrain-no-heights" NoHeights => "check its place and coordinate reference system";
        /// Part of an area lies beyond the terrain or on a hole in it.
        #[error("the terrain leaves out {}", left_out(.area, *.share, *.hectares))]
        Doubt "terrain-not-covered" NotCovered { area: String, share: f64, hectares: f64 }
            => "take a tile that reaches further, or a second one joined to it";
        /// Cells so large that slopes come out flattened.
        #[error("the terrain's cells are {metres:.0} m wide; slopes come out gentler than they are")]
        Doubt "terrain-cells-coarse" CellsCoarse { metres: f64 } => "where there is a model of 5 to 10 m, take that";
        /// Cells so small that tussocks and ruts count as slopes.
        #[error("the terrain's cells are {metres:.1} m wide; ruts and tussocks count as slopes")]
        Remark "terrain-cells-fine" CellsFine { metres: f64 };
    }
}

/// The part of an area that the terrain leaves out, and what follows.
fn left_out(area: &str, share: f64, hectares: f64) -> String {
    match share > 0.9995 {
        true => format!("the whole of {area}; its slope is not known from it"),
        false => format!(
            "{:.1} % of {area}, {hectares:.2} ha; slope figures and rows on the contour are of the rest",
            share * 100.0
        ),
    }
}
