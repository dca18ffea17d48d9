//! The ground as a grid of heights, and what can be told from it: pure functions, the same bytes with any number of threads.
//!
//! Every layer is a [`Raster`] over one [`Lattice`]; a cell without a value holds NaN. Loops run by rows, each row worked out
//! by itself, so that threads change the time and nothing else.

mod centres;
mod classes;
mod coarser;
mod contour;
mod coverage;
mod depressions;
mod flow_accumulation;
mod gradient;
mod hillshade;
mod lattice;
mod lines;
mod position;
mod profile;
mod raster;
mod refined;
mod slope;
mod summary;
mod surface;
mod wetness;

pub use centres::centres;
pub use classes::{ClassShares, class_of, class_shares, share_from};
pub use coarser::coarser;
pub use contour::{Contour, Level, contours, interval, levels};
pub use coverage::{Coverage, coverage};
pub use depressions::{FlowDirections, fill_depressions};
pub use flow_accumulation::{fed_from_beyond, flow_accumulation};
pub use hillshade::{Light, hillshade};
pub use lattice::{Coordinates, Lattice, Placing, Window};
pub use lines::crossed;
pub use position::{TopographicPosition, topographic_position};
pub use profile::{Profile, height_at, profile};
pub use raster::{Grid, Raster};
pub use refined::refined;
pub use slope::{aspect, slope, slope_and_aspect};
pub use summary::{Summary, summary};
pub use surface::surface_ratio;
pub use wetness::wetness_index;
