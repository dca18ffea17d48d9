//! Terrain models: GeoTIFF and ESRI ASCII grid, bytes in, heights in metres out.
//!
//! A terrain is opened first, which tells where its cells lie, and read for the window that the project needs.

mod ascii;
mod beside;
mod geo_keys;
mod geotiff;
mod holes;
mod placed;
mod prj;
mod reference;
mod site;
mod tags;

use crate::{problem::Terrain, terrain::Lattice};

pub use ascii::read as read_ascii;
pub use geotiff::GeoTiff;
pub use prj::read as read_prj;
pub use reference::Reference;
pub(crate) use site::ground;

/// A cell this large flattens slopes (judgement: 30 m models are known to).
const COARSE_METRES: f64 = 20.0;

/// A cell this small shows ruts and tussocks (judgement: models of 5 to 10 m suit slope lengths).
const FINE_METRES: f64 = 2.0;

/// What there is to say about the size of a terrain's cells.
#[must_use]
pub fn cell_size(lattice: &Lattice) -> Option<Terrain> {
    let (width, height) = lattice.cell_metres(lattice.rows / 2);
    let metres = width.max(height);
    match metres {
        _ if metres > COARSE_METRES => Some(Terrain::CellsCoarse { metres }),
        _ if metres < FINE_METRES => Some(Terrain::CellsFine { metres }),
        _ => None,
    }
}
