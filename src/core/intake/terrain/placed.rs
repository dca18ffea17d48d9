//! The lattice of a terrain model given its place on the Earth.

use geo::Point;

use crate::{
    geometry::{Crs, System},
    intake::terrain::{Reference, reference::coordinates},
    problem::Terrain,
    terrain::{Coordinates, Lattice},
};

/// WGS 84 in degrees.
const WGS_84: u16 = 4326;

/// Survey grids keep lengths to a thousandth; a projection that strays further has its metres turned into those on the ground
/// (judgement).
const STRETCHED: f64 = 0.005;

/// Sees to it that the lattice has a place on the Earth, by what the project says where its file says nothing.
pub(super) fn placed(
    lattice: &mut Lattice,
    reference: &Reference,
    grid: Option<u16>,
    say: &mut impl FnMut(Terrain),
) -> Result<(), Terrain> {
    if let Some(crs) = &reference.crs {
        (lattice.coordinates, lattice.crs) = (coordinates(crs), Some(crs.clone()));
        if let Some(metres) = crs.strays() {
            say(Terrain::DatumApproximate { datum: crs.datum().to_owned(), metres });
        }
        return Ok(());
    }
    if !reference.name.is_empty() || reference.refused.is_some() {
        let why = reference.refused.as_ref().map(|why| format!(": {why}")).unwrap_or_default();
        return Err(Terrain::CrsUnknown { found: format!("{}{why}", reference.name) });
    }
    if in_degrees(lattice) {
        (lattice.coordinates, lattice.crs) = (Coordinates::Geographic, Some(Crs::wgs84()));
        say(Terrain::CrsAssumed { epsg: WGS_84 });
        return Ok(());
    }
    let Some(crs) = grid.and_then(Crs::of_epsg) else {
        let found = "neither the file nor `coordinates` in project.toml names one".to_owned();
        return Err(Terrain::CrsUnknown { found });
    };
    say(Terrain::CrsAssumed { epsg: crs.epsg().unwrap_or_default() });
    (lattice.coordinates, lattice.crs) = (coordinates(&crs), Some(crs));
    Ok(())
}

/// Whether the numbers of the lattice can only be degrees.
fn in_degrees(lattice: &Lattice) -> bool {
    lattice.west.abs() <= 180.0 && lattice.north.abs() <= 90.0 && lattice.cell_x < 0.02
}

/// Turns the metres of a projection that stretches them into metres on the ground, as they are in the middle of the lattice.
///
/// # Reference
/// Snyder (1987), *Map Projections, a Working Manual*, USGS Professional Paper 1395: a conformal projection has one scale at a
/// point whatever the direction; that of Mercator is 1 / cos φ on the sphere (eq. 7-3).
pub(super) fn on_the_ground(lattice: &mut Lattice, say: &mut impl FnMut(Terrain)) -> Result<(), Terrain> {
    let Coordinates::Projected { metres_per_unit } = lattice.coordinates else { return Ok(()) };
    let system = lattice.crs.as_ref().and_then(System::of);
    let Some((system, grid)) = system.as_ref().and_then(|system| Some((system, system.grid()?))) else {
        return Ok(());
    };
    if lattice.cells() == 0 {
        return Ok(());
    }
    let middle = lattice.centre(lattice.rows / 2, lattice.columns / 2);
    let place: Option<Point<f64>> = system.to_geographic(middle.x, middle.y);
    let unfit = || Terrain::GridUnfit { system: system.name().to_owned() };
    let place = place.ok_or_else(unfit)?;
    match grid.ground_metres(place) {
        Some(metres) if (metres - 1.0).abs() > STRETCHED => {
            say(Terrain::MetresStretched { system: system.name().to_owned(), metres });
            lattice.coordinates = Coordinates::Projected { metres_per_unit: metres_per_unit * metres };
            Ok(())
        }
        None if !grid.suits(place) => Err(unfit()),
        _ => Ok(()),
    }
}
