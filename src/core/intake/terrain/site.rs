//! The terrain of the project: found, opened, cut to the ground about the areas.

use std::sync::Arc;

use geo::MultiPolygon;

use crate::{
    geometry::{self, Crs},
    intake::{
        choice::{Wanted, has_ending},
        folder::Folder,
        mapping::{Mapping, Told},
        reader::Reader,
        terrain::{
            GeoTiff, Reference, beside, cell_size, holes,
            placed::{on_the_ground, placed},
            read_ascii,
            reference::FOOT,
        },
    },
    problem::{Place, Problem, Terrain},
    project::{Area, Ground},
    terrain::{Coordinates, Grid, Lattice, Placing, Window, coverage},
    units::Hectares,
};

/// The lowest ground on dry land and the highest, with some room (the shore of the Dead Sea, −430 m; Everest, 8 849 m).
const LOWEST: f64 = -500.0;
const HIGHEST: f64 = 9_000.0;

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
    let told = mapping.map(|mapping| mapping.told).unwrap_or_default();
    let heights = match heights(folder, reader, &file, (told, grid), areas, problems) {
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
pub(super) enum Refused {
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
    (told, grid): (Told, Option<u16>),
    areas: &[Area],
    problems: &mut Vec<Problem>,
) -> Result<Grid, Refused> {
    let beside = beside::prj(folder, reader, file, problems)?;
    let world = beside::world_file(folder, reader, file, problems);
    let mut say = |kind: Terrain| problems.push(Problem::new(kind, Place::file(file)));
    if has_ending(file, &["asc"]) {
        let reference = reference(beside.unwrap_or_else(Reference::unnamed), told)?;
        said_of_heights(&reference, told, &mut say);
        let mut all = read_ascii(&reader.bytes(file)?, &reference)?;
        placed(&mut all.lattice, &reference, grid, &mut say)?;
        let window = window(&all.lattice, areas)?;
        let mut heights = all.within(&window);
        on_the_ground(&mut heights.lattice, &mut say)?;
        return known(heights, &reference);
    }
    let mut tiff = GeoTiff::open(reader.opened(file)?, world)?;
    let own = tiff.reference().clone();
    // What the file says of itself goes before what lies beside it.
    let says_nothing = own.name.is_empty() && own.crs.is_none() && own.refused.is_none();
    let height_unit = own.height_unit;
    let own = match beside.filter(|_| says_nothing) {
        Some(beside) => Reference { height_unit: beside.height_unit.or(height_unit), ..beside },
        None => own,
    };
    let reference = reference(own, told)?;
    said_of_heights(&reference, told, &mut say);
    if tiff.in_bytes() {
        say(Terrain::HeightsInBytes);
    }
    tiff.told(reference.clone());
    let mut lattice = tiff.lattice().clone();
    placed(&mut lattice, &reference, grid, &mut say)?;
    let mut heights = tiff.read(&window(&lattice, areas)?)?;
    (heights.lattice.coordinates, heights.lattice.crs) = (lattice.coordinates, lattice.crs);
    on_the_ground(&mut heights.lattice, &mut say)?;
    known(heights, &reference)
}

/// What the file says, with what the settings say in its stead.
fn reference(own: Reference, told: Told) -> Result<Reference, Terrain> {
    let mut reference = match told.crs {
        Some(epsg) => {
            let crs =
                Crs::of_epsg(epsg).ok_or_else(|| Terrain::CrsUnknown { found: format!("EPSG:{epsg}") })?;
            Reference { height_unit: own.height_unit, ..Reference::of(crs) }
        }
        None => own,
    };
    reference.missing = told.missing;
    reference.height_unit = told.heights.or(reference.height_unit);
    Ok(reference)
}

/// What there is to say of the unit of heights.
fn said_of_heights(reference: &Reference, told: Told, say: &mut impl FnMut(Terrain)) {
    if reference.in_feet() && told.heights.is_none() {
        say(Terrain::HeightsInFeet);
    }
    let feet = matches!(reference.coordinates, Coordinates::Projected { metres_per_unit } if (metres_per_unit - FOOT).abs() < 1e-5);
    if feet && reference.height_unit.is_none() {
        say(Terrain::HeightsUnsaid);
    }
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

/// The heights, if there are any, and if they are heights that the Earth has.
fn known(heights: Grid, reference: &Reference) -> Result<Grid, Refused> {
    let Some((low, high)) = heights.range() else {
        return if heights.lattice.cells() > 0 { Err(Terrain::NoHeights.into()) } else { Ok(heights) };
    };
    if low < LOWEST || high > HIGHEST {
        let unit = reference.metres_per_height();
        // What stands in the file is what people can look for.
        let (low, high) = (low / unit, high / unit);
        return Err(Terrain::HeightsBeyondBelief { low, high, line: remedy(low, high) }.into());
    }
    holes::undeclared(&heights).map_or(Ok(heights), |hole| Err(hole.into()))
}

/// The line of the settings that would make heights from `low` to `high` plausible.
fn remedy(low: f64, high: f64) -> String {
    let fits = |value: f64| (LOWEST..=HIGHEST).contains(&value);
    match (fits(low), fits(high)) {
        (false, true) => format!("missing = {low}"),
        (true, false) if low < high / 4.0 => format!("missing = {high}"),
        _ if fits(low / 10.0) && fits(high / 10.0) && high / 10.0 < 2_000.0 => "heights = \"dm\"".to_owned(),
        _ if fits(low / 100.0) && fits(high / 100.0) => "heights = \"cm\"".to_owned(),
        _ => "heights = \"mm\"".to_owned(),
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
