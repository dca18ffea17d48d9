//! `.prj` files beside a terrain model: the coordinate reference system in words.

use crate::intake::{crs, terrain::reference::Reference};

/// What the text says; `None` where it names no system.
#[must_use]
pub fn read(text: &str) -> Option<Reference> {
    crs::read(text).map(Reference::spelled)
}
