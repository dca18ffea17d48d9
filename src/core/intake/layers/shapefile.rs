//! A shapefile put together: shapes, their table, their coordinate reference system.

use geo::{LineString, MultiLineString, MultiPoint, Point};
use geojson::GeometryValue;

use crate::{
    geometry::{Datum, System},
    intake::{
        crs,
        layers::{
            dbf,
            drawn::Figure,
            frame::{Extent, Frame, Unplaced},
            rings,
            shp::{self, Raw},
        },
        limits,
    },
    problem::{Ground, Kind, Reading},
};

/// Deleted shapes that are named.
const NAMED: usize = 5;

/// The files of one shapefile.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    /// The shapes.
    pub(super) shp: Vec<u8>,
    /// The table.
    pub(super) dbf: Option<Vec<u8>>,
    /// The text of the coordinate reference system.
    pub(super) prj: Option<String>,
    /// The text that names the table's encoding.
    pub(super) cpg: Option<String>,
}

/// The shapes of a shapefile with their rows, brought to longitude and latitude on `datum`; `grid` is the EPSG code of the
/// project's own grid, `told` that of the system that the settings name for the layer.
pub(super) fn figures(
    parts: &Parts,
    datum: Datum,
    (told, grid): (Option<u16>, Option<u16>),
    say: &mut dyn FnMut(Kind),
) -> Result<Vec<Figure>, Kind> {
    let malformed = |why: String| Kind::from(Reading::Malformed { format: "shapefile data", why });
    let shapes = shp::shapes(&parts.shp, limits::CORNERS).map_err(malformed)?;
    let Some(table) = &parts.dbf else { return Err(Reading::PartMissing { part: ".dbf" }.into()) };
    let table = dbf::table(table, parts.cpg.as_deref()).map_err(malformed)?;
    if table.guessed {
        say(Reading::ReadAsWindows1252.into());
    }
    if !table.deleted.is_empty() {
        let named = table.deleted.iter().filter_map(|at| Some(table.rows.get(*at)?.first()?.1.clone()));
        let names = named.take(NAMED).collect::<Vec<_>>().join(", ");
        say(Reading::DeletedRows { rows: table.deleted.len(), names }.into());
    }
    if table.rows.len() != shapes.len() {
        let (rows, shapes) = (table.rows.len(), shapes.len());
        return Err(malformed(format!("the .shp holds {shapes} shapes and the .dbf {rows} rows")));
    }
    let shapes: Vec<Unplaced> = shapes.into_iter().map(|shape| shape.and_then(geometry)).collect();
    let extent = Extent::of(&shapes);
    let system = match told.and_then(System::of_epsg) {
        Some(told) => told,
        None => system(parts.prj.as_deref(), &extent, grid, say)?,
    };
    let frame = Frame::new(system, &extent, datum, say)?;
    let deleted = table.deleted;
    let standing =
        shapes.into_iter().zip(table.rows).enumerate().filter(|(at, _)| deleted.binary_search(at).is_err());
    let figure = |(at, (shape, properties)): (usize, (Unplaced, Vec<(String, String)>))| {
        let number = u32::try_from(at + 1).unwrap_or(u32::MAX);
        let geometry = shape.and_then(|geometry| frame.placed(geometry));
        Figure { number, geometry, properties }
    };
    Ok(standing.map(figure).collect())
}

/// A shape in the words of the other formats.
fn geometry(shape: Raw) -> Result<GeometryValue, Ground> {
    Ok(match shape {
        Raw::Null => return Err(Ground::NoShape),
        Raw::Points(points) => {
            (&MultiPoint(points.into_iter().map(Point::from).collect::<Vec<Point<f64>>>())).into()
        }
        Raw::Lines(lines) => (&MultiLineString(lines)).into(),
        Raw::Rings(parts) if parts.iter().any(|ring| corners(ring) < 3) => {
            let fewest = parts.iter().map(corners).min().unwrap_or(0);
            return Err(Ground::TooFewCorners { corners: fewest });
        }
        Raw::Rings(parts) => (&rings::polygons(parts)).into(),
    })
}

/// Corners of a ring without the closing one.
fn corners(ring: &LineString<f64>) -> usize {
    let closing = ring.0.len() > 1 && ring.0.first() == ring.0.last();
    ring.0.len() - usize::from(closing)
}

/// The system that the shapes stand in: what the `.prj` names, else degrees if the numbers can be, else the project's grid.
fn system(
    prj: Option<&str>,
    extent: &Extent,
    grid: Option<u16>,
    say: &mut dyn FnMut(Kind),
) -> Result<System, Ground> {
    if let Some(text) = prj.filter(|text| !text.trim().is_empty()) {
        return system_of(text);
    }
    if extent.in_degrees() {
        let taken = "longitude and latitude on WGS 84".to_owned();
        say(Ground::CrsAssumed { taken }.into());
        return Ok(System::wgs84());
    }
    let (x, y) = extent.largest();
    let system = grid.and_then(System::of_epsg).ok_or(Ground::CrsUnknown { x, y })?;
    say(Ground::CrsAssumed { taken: format!("{}, the project's grid", system.name()) }.into());
    Ok(system)
}

/// The system that the text of a `.prj` spells.
fn system_of(text: &str) -> Result<System, Ground> {
    let spelled = crs::read(text);
    let named = spelled.as_ref().map_or("", |spelled| spelled.name.as_str());
    let found = if named.is_empty() { text.trim().chars().take(60).collect() } else { named.to_owned() };
    match spelled.and_then(|spelled| spelled.system) {
        Some(Ok(crs)) => System::of(&crs).ok_or(Ground::CrsNotRead { found, table: None }),
        Some(Err(why)) => Err(Ground::CrsNotRead { found: format!("{found}: {why}"), table: None }),
        None => Err(Ground::CrsNotRead { found, table: None }),
    }
}
