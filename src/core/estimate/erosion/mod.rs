//! Sheet and rill erosion by the revised universal soil loss equation, A = R K L S C P, in SI units.
//!
//! Each factor is worked out in its own file and carries the error of its logarithm; errors multiply, so they are joined in
//! logarithms. The figure to print first is the ratio of soil loss now to before, in which all but the cover cancels.
//!
//! # Reference
//! Renard, Foster, Weesies, McCool and Yoder (1997), *Predicting soil erosion by water: a guide to conservation planning with
//! the revised universal soil loss equation*, USDA Agriculture Handbook 703. Wischmeier and Smith (1978), *Predicting rainfall
//! erosion losses*, USDA Agriculture Handbook 537.

mod cells;
pub(super) mod cover_factor;
pub(super) mod cover_survey;
pub(super) mod daily_rain;
pub(super) mod erodibility;
pub(super) mod erosivity;
mod factor;
pub(super) mod joint;
pub(super) mod ls_grid;
pub(super) mod ls_slope;
pub(super) mod site;
mod slope_factor_grid;
mod soil_loss;
pub(super) mod steepness;

pub use cover_factor::{
    CLOSED_CANOPY, Canopy, ClosedCanopy, GroundCover, cover_factor, ground_curve, logarithmic_slope,
};
pub use cover_survey::{PlotCover, before, closed_canopy, cover_plots, surveyed};
pub use daily_rain::{DailyRain, MonthlyErosivity, alpha, daily_erosivity, day_erosivity};
pub use erodibility::{erodibility, nomograph};
pub(crate) use erosivity::SIGMA_ANNUAL;
pub use erosivity::{Annual, annual, erosivity, from_annual, two_year_six_hour};
pub use factor::Factor;
pub use joint::{AreaFactors, joint_kept, joint_loss, joint_ratio};
pub use ls_grid::{SlopeLength, beyond_note, cell_ls, ls_area, ls_layer};
pub use ls_slope::{ls_measured, ls_table};
pub use site::{OfArea, SiteErosion, State};
pub use slope_factor_grid::SlopeFactorGrid;
pub use soil_loss::{Rating, SITE_NOTES, kept, rating, ratio, soil_loss, twin_plots};
pub use steepness::{Rill, STEEPEST_PERCENT, Steepness, clamped, exponent, short_steepness};
