//! `[photos]`: how a picture finds its photo point where no folder names it.

use crate::intake::settings::section::Section;

/// How near a picture must be to a photo point to belong to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PhotoRules {
    /// Metres between the two places.
    pub(crate) within_metres: f64,
    /// Degrees between the ways that the two look.
    pub(crate) within_degrees: f64,
    /// Minutes from a picture of the point, for one that says no place.
    pub(crate) within_minutes: f64,
}

impl Default for PhotoRules {
    /// A telephone under trees strays by some 20 m, its compass by some 20°, and magnetic north by up to another 25° (judgement).
    fn default() -> PhotoRules {
        PhotoRules { within_metres: 30.0, within_degrees: 45.0, within_minutes: 5.0 }
    }
}

/// The rules that the settings give.
pub(crate) fn photos(root: &mut Section) -> PhotoRules {
    let usual = PhotoRules::default();
    let Some(mut section) = root.section("photos") else { return usual };
    let rules = PhotoRules {
        within_metres: section
            .number("within_m", 1.0, 1_000.0, "metres, from 1 to 1000")
            .unwrap_or(usual.within_metres),
        within_degrees: section
            .number("within_degrees", 1.0, 180.0, "degrees, from 1 to 180")
            .unwrap_or(usual.within_degrees),
        within_minutes: section
            .number("within_minutes", 0.0, 120.0, "minutes, from 0 to 120")
            .unwrap_or(usual.within_minutes),
    };
    section.finish();
    rules
}
