//! The terrain of the project: found, opened, cut to the ground about the areas.

use std::sync::Arc;

use geo::MultiPolygon;

use crate::{
    geometry,
    intake::{
        choice::Wanted,
        folder::Folder,
        mapping::Mapping,
        reader::Reader,
        terrain::{GeoTiff, Reference, cell_size, read_ascii, read_prj},
    },
    problem::{Place, Problem, Terrain},
    project::{Area, Ground},
    terrain::{Coordinates, Grid, Lattice, Placing, Window, coverage},
    units::Hectares,
};

/// Ground about the areas that is read too: more than the longest slope that counts (122 m), and what a map shows round them.
const MARGIN_METRES: f64 = 400.0;

/// Less of an area than this without a height is what is left of rounding.
const WORTH_SAYING: f64 = 0.0005;

/// The heights about `areas`; `None` where the folder has no terrain, or what is wrong with it has been said.
///
/// `grid` is the EPSG code of the project's own coordinates, for a file that names none.
pub(crate) fn ground(
    folder: &Folder,
    reader: &Reader<'_>,
    mapping: Option<&Mapping>,
    grid: Option<u16>,
    areas: &[Area],
    problems: &mut Vec<Problem>,
) -> Option<Ground> {
    let file = Wanted::terrain().file(folder, mapping, problems)?;
    let heights = match heights(folder, reader, &file, grid, areas, problems) {
        Ok(heights) => heights,
        Err(Refused::Terrain(kind)) => {
            problems.push(Problem::new(kind, Place::file(file.as_str())));
            return None;
        }
        Err(Refused::File(problem)) => {
            problems.push(*problem);
            return None;
        }
    };
    if areas.is_empty() {
        return None;
    }
    let say = |kind: Terrain| Problem::new(kind, Place::file(file.as_str()));
    problems.extend(cell_size(&heights.lattice).map(say));
    problems.extend(uncovered(&heights, areas).into_iter().map(say));
    Some(Ground { heights: Arc::new(heights), file: file.as_str().into() })
}

/// Why there are no heights.
enum Refused {
    Terrain(Terrain),
    File(Box<Problem>),
}

impl From<Terrain> for Refused {
    fn from(kind: Terrain) -> Refused {
        Refused::Terrain(kind)
    }
}

impl From<Problem> for Refused {
    fn from(problem: Problem) -> Refused {
        Refused::File(Box::new(problem))
    }
}

fn heights(
    folder: &Folder,
    reader: &Reader<'_>,
    file: &str,
    grid: Option<u16>,
    areas: &[Area],
    problems: &mut Vec<Problem>,
) -> Result<Grid, Refused> {
    let beside = beside(folder, reader, file, problems)?;
    let mut say = |kind: Terrain| problems.push(Problem::new(kind, Place::file(file)));
    if file.to_ascii_lowercase().ends_with(".asc") {
        let reference = beside.unwrap_or_else(Reference::unnamed);
        let mut all = read_ascii(&reader.bytes(file)?, &reference)?;
        if reference.in_feet() {
            say(Terrain::HeightsInFeet);
        }
        place(&mut all.lattice, &reference.name, grid, &mut say)?;
        let window = window(&all.lattice, areas)?;
        return known(all.within(&window));
    }
    let mut tiff = GeoTiff::open(reader.opened(file)?)?;
    if tiff.reference().in_feet() {
        say(Terrain::HeightsInFeet);
    }
    let mut lattice = tiff.lattice().clone();
    let mut name = tiff.reference().name.clone();
    // What the file says of itself goes before what lies beside it.
    if let Some(beside) = beside.filter(|_| name.is_empty() && lattice.placing().is_none()) {
        (lattice.coordinates, lattice.epsg, name) = (beside.coordinates, beside.epsg, beside.name);
    }
    place(&mut lattice, &name, grid, &mut say)?;
    let mut heights = tiff.read(&window(&lattice, areas)?)?;
    (heights.lattice.coordinates, heights.lattice.epsg) = (lattice.coordinates, lattice.epsg);
    known(heights)
}

/// What the .prj file of the same name says.
fn beside(
    folder: &Folder,
    reader: &Reader<'_>,
    file: &str,
    problems: &mut Vec<Problem>,
) -> Result<Option<Reference>, Refused> {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let wanted = format!("{stem}.prj");
    let Some(path) = folder.files().iter().find(|path| path.eq_ignore_ascii_case(&wanted)) else {
        return Ok(None);
    };
    let Some(text) = reader.text(path, problems) else { return Ok(None) };
    match read_prj(&text) {
        Some(reference) => Ok(Some(reference)),
        None => Err(Terrain::CrsUnknown { found: format!("{path} names none") }.into()),
    }
}

/// Sees to it that the lattice has a place on the Earth, by what the project says where its file says nothing.
fn place(
    lattice: &mut Lattice,
    name: &str,
    grid: Option<u16>,
    say: &mut impl FnMut(Terrain),
) -> Result<(), Refused> {
    if lattice.placing().is_some() {
        return Ok(());
    }
    if !name.is_empty() || lattice.epsg.is_some() {
        let code = lattice.epsg.map(|epsg| format!("EPSG:{epsg}")).unwrap_or_default();
        return Err(Terrain::CrsUnknown { found: format!("{name} {code}").trim().to_owned() }.into());
    }
    if in_degrees(lattice) {
        (lattice.coordinates, lattice.epsg) = (Coordinates::Geographic, Some(WGS_84));
        say(Terrain::CrsAssumed { epsg: WGS_84 });
        return Ok(());
    }
    let Some(epsg) = grid else {
        let found = "neither the file nor `coordinates` in project.toml names one".to_owned();
        return Err(Terrain::CrsUnknown { found }.into());
    };
    lattice.epsg = Some(epsg);
    say(Terrain::CrsAssumed { epsg });
    match lattice.placing() {
        Some(_) => Ok(()),
        None => Err(Terrain::CrsUnknown { found: format!("EPSG:{epsg}, the project's own") }.into()),
    }
}

/// WGS 84 in degrees.
const WGS_84: u16 = 4326;

/// Whether the numbers of the lattice can only be degrees.
fn in_degrees(lattice: &Lattice) -> bool {
    lattice.west.abs() <= 180.0 && lattice.north.abs() <= 90.0 && lattice.cell_x < 0.02
}

/// The cells about the areas.
fn window(lattice: &Lattice, areas: &[Area]) -> Result<Window, Refused> {
    if areas.is_empty() {
        return Ok(Window { rows: 0..0, columns: 0..0 });
    }
    let placing = lattice.placing().ok_or(Terrain::NoHeights)?;
    let placed: Option<Vec<MultiPolygon<f64>>> =
        areas.iter().map(|area| placing.area(&area.boundary)).collect();
    let all = MultiPolygon(placed.ok_or(Terrain::NoHeights)?.into_iter().flatten().collect());
    let middle = lattice.window_about(&all, 0).ok_or(Terrain::NoHeights)?.rows.start;
    let (width, height) = lattice.cell_metres(middle);
    Ok(lattice.window_about(&all, cells(MARGIN_METRES / width.min(height))).ok_or(Terrain::NoHeights)?)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a number of cells, held")]
fn cells(number: f64) -> usize {
    number.ceil().clamp(2.0, 100_000.0) as usize
}

fn known(heights: Grid) -> Result<Grid, Refused> {
    match heights.range() {
        None if heights.lattice.cells() > 0 => Err(Terrain::NoHeights.into()),
        _ => Ok(heights),
    }
}

/// The areas that the heights leave out, in part or whole.
fn uncovered(heights: &Grid, areas: &[Area]) -> Vec<Terrain> {
    let Some(placing) = heights.lattice.placing() else { return Vec::new() };
    let share = |area: &Area| missing(heights, &placing, area);
    let shares = areas.iter().map(|area| (area, share(area)));
    let beyond = shares.filter(|(_, share)| *share > WORTH_SAYING);
    let said = |(area, share): (&Area, f64)| {
        let hectares = share * Hectares::from(geometry::area(&area.boundary)).0;
        Terrain::NotCovered { area: area.id.to_string(), share, hectares }
    };
    beyond.map(said).collect()
}

/// Share of an area without heights.
fn missing(heights: &Grid, placing: &Placing, area: &Area) -> f64 {
    let Some(shape) = placing.area(&area.boundary) else { return 1.0 };
    let covered = coverage(&heights.lattice, &shape);
    let with_height = |&(row, column, _): &(usize, usize, f64)| {
        heights.at(row, column).is_some_and(|height| !height.is_nan())
    };
    let held: f64 = covered.cells().filter(with_height).map(|(_, _, share)| share).sum();
    if covered.whole > 0.0 { (1.0 - held / covered.whole).max(0.0) } else { 0.0 }
}
