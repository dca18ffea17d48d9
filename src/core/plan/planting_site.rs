//! What ground does to plants, and which species live through it.

use crate::project::{Area, Species, Tolerance};

/// What ground does to plants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Site {
    /// Frost settles there.
    pub frosty: bool,
    /// It dries out.
    pub dry: bool,
    /// Water stands there.
    pub waterlogged: bool,
}

impl Site {
    /// What the boundary file says of `area`.
    #[must_use]
    pub fn of(area: &Area) -> Site {
        Site { frosty: area.frosty, dry: area.dry, waterlogged: area.waterlogged }
    }

    /// The worst that is known of `species` there, of all that the ground does to plants; tolerant where it does nothing.
    #[must_use]
    pub fn tolerance(self, species: &Species) -> Tolerance {
        let trials = [
            (self.frosty, species.frost),
            (self.dry, species.drought),
            (self.waterlogged, species.waterlogging),
        ];
        let met = |degree: Tolerance| trials.contains(&(true, degree));
        let worst = [Tolerance::Sensitive, Tolerance::Unknown, Tolerance::Moderate];
        worst.into_iter().find(|degree| met(*degree)).unwrap_or(Tolerance::Tolerant)
    }
}
