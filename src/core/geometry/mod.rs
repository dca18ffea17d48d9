//! Geodesic measures, the local plane, the printed grid, clean-up of polygons: thin over `geo` and `geographiclib-rs`.

mod clean;
mod crs;
mod grid;
mod measure;
mod plane;
mod simple;
mod system;

pub use clean::{CROSSINGS, Cleaned, Unclean, clean};
pub use crs::Crs;
pub use grid::Grid;
pub use measure::{area, distance, length, perimeter};
pub use plane::Plane;
pub use system::{Datum, System, shifted};
