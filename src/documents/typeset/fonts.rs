//! The faces that the documents are set in, all of them inside the program.

use std::sync::LazyLock;

use typst::{foundations::Bytes, text::Font};

use crate::typeset::embedded::FONTS;

static FACES: LazyLock<Vec<Font>> =
    LazyLock::new(|| FONTS.iter().flat_map(|(_, bytes)| Font::iter(Bytes::new(*bytes))).collect());

/// Every embedded face, in order of file name.
pub(crate) fn faces() -> &'static [Font] {
    &FACES
}

/// The bytes of every embedded font file, for drawings that are made in dots.
pub(crate) fn files() -> impl Iterator<Item = &'static [u8]> {
    FONTS.iter().map(|(_, bytes)| *bytes)
}

/// Whether some embedded face can draw `letter`.
pub(crate) fn hold(letter: char) -> bool {
    faces().iter().any(|face| face.info().coverage.contains(u32::from(letter)))
}
