//! Coordinate reference systems as files spell them: well-known text, ArcInfo's words, the parameters of a GeoTIFF.
//!
//! Whatever the spelling, it comes out as parameters; what can't be carried out exactly is refused by name.

mod arcinfo;
mod datums;
mod projection;
mod tree;
mod wkt;

pub(crate) use datums::{Ellipsoid, datum};
pub(crate) use projection::{Method, Parameter, Projection};
pub(crate) use wkt::projected_by_name;

use crate::geometry::Crs;

/// A coordinate reference system as a file has it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Spelled {
    /// The name that the file gives it.
    pub(crate) name: String,
    /// The system, or why it can't be carried out.
    pub(crate) system: Option<Result<Crs, String>>,
    /// Metres in one unit of height, where the file says.
    pub(crate) height_unit: Option<f64>,
}

/// What the text of a `.prj` spells; `None` where it spells no system.
pub(crate) fn read(text: &str) -> Option<Spelled> {
    let text = text.trim_start_matches('\u{feff}').trim();
    let behind_the_word =
        text.trim_start_matches(|letter: char| letter.is_ascii_alphanumeric() || letter == '_');
    match behind_the_word.trim_start().starts_with(['[', '(']) {
        true => wkt::read(text),
        false => arcinfo::read(text),
    }
}
