//! What is to be set out on the ground: where may be planted, the rows, their stems, what the nursery must grow and when.
//!
//! Pure functions on the plane of an area, in metres about its middle; terrain and settings come as arguments.

mod bonds;
mod clipped;
mod contour_rows;
mod ends;
mod fall_line;
mod ground;
mod inside;
mod lines;
mod net;
mod phase;
mod plantable;
mod spread;
mod steep;
mod stencil;
mod surface;

pub use contour_rows::{Asked, contour_rows};
pub use ground::ground_about;
pub use plantable::{Plantable, Reason, TakenOut, plantable};
pub use spread::{GRADE_TOLERANCE, Reading, SPACING_TOLERANCE, Spread, readings, spread};
pub use steep::steep_ground;
pub use surface::{Lie, Surface};
