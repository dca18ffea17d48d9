//! Geodesic measures, the local plane, the printed grid, clean-up of polygons: thin over `geo` and `geographiclib-rs`.

mod measure;

pub use measure::{area, distance, length, perimeter};
