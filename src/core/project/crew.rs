//! The crew that sets out and plants: how many people, how long, how fast, and what goes to each stem.

use crate::units::{Degrees, Hours, Metres};

/// A crew as the settings describe it; what they leave out has a usual value that the plan states.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Crew {
    /// How many people work in a day.
    pub people: Option<u8>,
    /// Hours that each of them works on the ground in a day.
    pub hours: Option<Hours>,
    /// Stems that a person plants in an hour.
    pub stems_per_hour: Option<f64>,
    /// Metres of row that a person sets out in an hour.
    pub pegged_per_hour: Option<Metres>,
    /// Magnetic declination of place and year, east of true north positive: bearings are then given as a compass reads them.
    pub declination: Option<Degrees>,
    /// What goes to each stem, such as one guard or five litres of water, in the order of the settings.
    pub each_stem: Vec<(String, f64)>,
}
