//! The terrain model: what can't be read of it, and what it doesn't hold.

use crate::problem::{Said, doubt, error, remark};

/// What is wrong with a terrain model.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Terrain {
    /// Not a file of its format, cut off, or at odds with itself.
    Unreadable { format: &'static str, why: String },
    /// A compression that is not read.
    CompressionNotRead { which: String },
    /// A picture, or several bands: no single height a cell.
    NotHeights { found: String },
    /// More cells than are read.
    TooManyCells { cells: u64, limit: u64 },
    /// Blocks too large to be taken apart.
    BlockTooBig { bytes: u64, limit: u64 },
    /// Rows that don't run from west to east, from north to south.
    NotNorthUp,
    /// No corner or cell size that makes sense.
    NoPlace,
    /// The coordinate reference system is not named, or not one that is known.
    CrsUnknown { found: String },
    /// No coordinate reference system named: taken to be in the project's own, or in degrees where its numbers are such.
    CrsAssumed { epsg: u16 },
    /// Heights in feet, turned into metres.
    HeightsInFeet,
    /// No height in the part that the project needs.
    NoHeights,
    /// Part of an area lies beyond the terrain or on a hole in it.
    NotCovered { area: String, share: f64, hectares: f64 },
    /// Cells so large that slopes come out flattened.
    CellsCoarse { metres: f64 },
    /// Cells so small that tussocks and ruts count as slopes.
    CellsFine { metres: f64 },
}

impl Terrain {
    pub(super) fn said(&self) -> Said {
        match self {
            Terrain::Unreadable { format, why } => {
                error("terrain-unreadable", format!("the terrain can't be read as {format}: {why}"))
                    .help("export it again as GeoTIFF (single-band, DEFLATE or LZW) or as an ESRI ASCII grid")
            }
            Terrain::CompressionNotRead { which } => error(
                "terrain-compression",
                format!("the terrain is compressed as {which}, which is not read"),
            )
            .help("export it again with DEFLATE or LZW compression, or none"),
            Terrain::NotHeights { found } => {
                error("terrain-not-heights", format!("the terrain file holds {found}, not one height a cell"))
                    .help("take the elevation model itself, not a shaded or coloured picture of it")
            }
            Terrain::TooManyCells { cells, limit } => error(
                "terrain-too-many-cells",
                format!("the terrain needs {cells} cells; at most {limit} are read"),
            )
            .help("cut it to the site with a little ground round it, or take larger cells (5 m is enough)"),
            Terrain::BlockTooBig { bytes, limit } => error(
                "terrain-block-too-big",
                format!("the terrain is stored in blocks of {bytes} bytes; at most {limit} are read at once"),
            )
            .help("export it again in tiles or in strips of a few rows"),
            Terrain::NotNorthUp => error(
                "terrain-not-north-up",
                "the terrain's rows don't run from west to east, northmost first".to_owned(),
            )
            .help("export it again without rotation"),
            Terrain::NoPlace => {
                error("terrain-no-place", "the terrain doesn't say where on the Earth it lies".to_owned())
                    .help("export it as GeoTIFF with its corner, cell size and coordinate reference system")
            }
            Terrain::CrsUnknown { found } => error(
                "terrain-crs-unknown",
                format!("the terrain's coordinate reference system is not known: {found}"),
            )
            .help(
                "export it in the project's own grid, with its EPSG code (GeoTIFF) or a .prj file beside it",
            ),
            Terrain::CrsAssumed { epsg } => doubt(
                "terrain-crs-assumed",
                format!("the terrain doesn't name its coordinates; taken to be in EPSG:{epsg}"),
            )
            .help("add its .prj file, or export it with its coordinate reference system"),
            Terrain::HeightsInFeet => remark(
                "terrain-heights-in-feet",
                "the terrain's heights are in feet; turned into metres".to_owned(),
            ),
            Terrain::NoHeights => {
                error("terrain-no-heights", "the terrain holds no height where the project lies".to_owned())
                    .help("check its place and coordinate reference system")
            }
            Terrain::NotCovered { area, share, .. } if *share > 0.9995 => doubt(
                "terrain-not-covered",
                format!("the terrain leaves out the whole of {area}; its slope is not known from it"),
            ),
            Terrain::NotCovered { area, share, hectares } => doubt(
                "terrain-not-covered",
                format!(
                    "the terrain leaves out {:.1} % of {area}, {hectares:.2} ha; slope figures and rows on the contour are of the rest",
                    share * 100.0
                ),
            ),
            Terrain::CellsCoarse { metres } => doubt(
                "terrain-cells-coarse",
                format!("the terrain's cells are {metres:.0} m wide; slopes come out gentler than they are"),
            )
            .help("where there is a model of 5 to 10 m, take that"),
            Terrain::CellsFine { metres } => remark(
                "terrain-cells-fine",
                format!("the terrain's cells are {metres:.1} m wide; ruts and tussocks count as slopes"),
            ),
        }
    }
}
