//! What is to be set out on the ground: where may be planted, the rows, their stems, what the nursery must grow and when.
//!
//! Pure functions on the plane of an area, in metres about its middle; terrain and settings come as arguments.

mod above;
mod as_measured;
mod bonds;
pub mod calendar;
mod clipped;
mod contour_rows;
mod deal;
mod ends;
mod fall_line;
mod ground;
mod guided_rows;
mod heights;
mod inside;
mod lines;
mod net;
mod nursery;
mod phase;
mod plantable;
mod quotas;
mod roles;
mod row_list;
mod rows;
mod spread;
mod steep;
mod stems;
mod stencil;
mod surface;
mod whole;

pub use as_measured::{AsMeasured, Came, Leg, as_measured, came};
pub use contour_rows::{Asked, contour_rows};
pub use deal::{Because, Dealt, Miss, Mix, Slot, deal};
pub use ground::ground_about;
pub use guided_rows::guided_rows;
pub use nursery::{
    LeadTimes, Nursery, NurseryDates, OrderLine, Raising, SeedLot, assured, before_loss, nursery_dates, order,
};
pub use plantable::{Modelled, Plantable, Reason, TakenOut, plantable};
pub use quotas::largest_remainder;
pub use roles::{Site, answers};
pub use row_list::{RowLine, letters, row_list};
pub use rows::{AreaRows, LaidOn, NoRows, Row, area_rows};
pub use spread::{GRADE_TOLERANCE, Reading, SPACING_TOLERANCE, Spread, readings, spread};
pub use steep::steep_ground;
pub use stems::{Stem, stems, stems_in};
pub use surface::{Lie, Surface};
pub use whole::{AreaPlan, Plan, SEED, make};
