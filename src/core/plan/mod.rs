//! What is to be set out on the ground: where may be planted, the rows, their stems, what the nursery must grow and when.
//!
//! Pure functions on the plane of an area, in metres about its middle; terrain and settings come as arguments.

mod above;
mod across;
mod bonds;
pub mod calendar;
mod clipped;
mod contour_rows;
mod control_rows;
mod crew_day;
mod ends;
mod fall_line;
mod ground;
mod guided_rows;
mod heights;
mod hours;
mod infill;
mod inside;
mod leg;
mod net;
mod nursery;
mod pace;
mod peg_table;
mod phase;
mod phase_lines;
mod plantable;
mod planting_site;
mod quotas;
mod row_levels;
mod row_list;
mod row_quality;
mod rows;
mod slope_bands;
mod species_assignment;
mod species_order;
mod spread;
mod steep;
mod stems;
mod stencil;
mod surface;
mod tie;
mod walk;
mod whole;
mod working_ground;

pub use contour_rows::{Asked, contour_rows};
pub use control_rows::CONTROL_EVERY;
pub use crew_day::{AreaAccess, CrewDay, DayRow, TrayLoad, USUAL_TRAY, WorkOrders, work_orders};
pub use ground::ground_about;
pub use guided_rows::guided_rows;
pub use hours::{planting_hours, slashing_hours};
pub use infill::{AreaInfill, PlotLoss, infill};
pub use leg::{LegFrom, North, TraverseLeg};
pub use nursery::{
    LeadTimes, Nursery, NurseryDates, OrderLine, Raising, SeedLot, ToPlant, assured, before_loss,
    nursery_dates, order,
};
pub use pace::{Pace, planting_pace, set_out_pace};
pub use peg_table::{BEND, PEG_EVERY, Peg, PegTable, RowEnd, RowLeg, Taped};
pub use plantable::{Modelled, Plantable, Reason, TakenOut, plantable};
pub use planting_site::Site;
pub use quotas::largest_remainder;
pub use row_list::{RowLine, letters, row_list};
pub use row_quality::{AsMeasured, Leg, RowQuality, as_measured, row_quality};
pub use rows::{AreaRows, LaidOn, NoRows, Row, area_rows};
pub use slope_bands::{HAND_FROM, MANUAL_FROM, SlopeBands, slope_bands};
pub use species_assignment::{Assignment, Because, Mix, Shortfall, Slot, assign_species};
pub use spread::{GRADE_TOLERANCE, Reading, SPACING_TOLERANCE, Spread, readings, spread};
pub use steep::steep_ground;
pub use stems::{Stem, stems, stems_in};
pub use surface::{LocalSlope, Surface};
pub use tie::{Access, Mark};
pub use whole::{AreaPlan, Plan, SEED, make};
pub use working_ground::WorkingGround;
