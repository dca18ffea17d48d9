//! What a GeoTIFF's keys say of its place.
//!
//! # Reference
//! OGC 19-008r4, *OGC GeoTIFF Standard* 1.1.

use crate::{
    geometry,
    intake::terrain::reference::{FOOT, Reference, SURVEY_FOOT, projected_by_name},
    terrain::Coordinates,
};

/// Keys that are read.
mod key {
    pub(super) const MODEL: u16 = 1024;
    pub(super) const RASTER: u16 = 1025;
    pub(super) const CITATION: u16 = 1026;
    pub(super) const GEOGRAPHIC: u16 = 2048;
    pub(super) const PROJECTED: u16 = 3072;
    pub(super) const PROJECTED_CITATION: u16 = 3073;
    pub(super) const LINEAR_UNITS: u16 = 3076;
    pub(super) const VERTICAL: u16 = 4096;
    pub(super) const VERTICAL_UNITS: u16 = 4099;
}

/// The tag in which the texts of keys stand.
const ASCII_TAG: u16 = 34737;

/// The code that says "defined by other keys".
const USER_DEFINED: u16 = 32767;

/// Systems of heights in feet: NAVD88 height (ftUS), NAVD88 height (ft), NGVD29 height (ftUS).
const FEET_VERTICALS: [(u16, f64); 3] = [(6360, SURVEY_FOOT), (8228, FOOT), (5702, SURVEY_FOOT)];

/// The keys of a file.
#[derive(Debug, Clone, Default)]
pub(crate) struct GeoKeys<'a> {
    directory: &'a [u16],
    texts: &'a str,
}

impl<'a> GeoKeys<'a> {
    /// The keys in the tags `directory` (34735) and `texts` (34737).
    pub(crate) fn new(directory: &'a [u16], texts: &'a str) -> GeoKeys<'a> {
        GeoKeys { directory, texts }
    }

    fn entries(&self) -> impl Iterator<Item = [u16; 4]> {
        let count = self.directory.get(3).copied().unwrap_or(0);
        let entries = self.directory.get(4..).unwrap_or_default().chunks_exact(4);
        entries.take(usize::from(count)).filter_map(|entry| entry.try_into().ok())
    }

    fn short(&self, key: u16) -> Option<u16> {
        self.entries().find(|entry| entry[0] == key && entry[1] == 0).map(|entry| entry[3])
    }

    fn text(&self, key: u16) -> Option<&'a str> {
        let entry = self.entries().find(|entry| entry[0] == key && entry[1] == ASCII_TAG)?;
        let (start, length) = (usize::from(entry[3]), usize::from(entry[2]));
        self.texts.get(start..start.checked_add(length)?).map(|text| text.trim_end_matches(['|', '\0', ' ']))
    }

    /// Whether the tie point is the centre of a cell rather than its corner.
    pub(crate) fn point(&self) -> bool {
        self.short(key::RASTER) == Some(2)
    }

    /// The coordinate reference system; `None` where the keys name none.
    pub(crate) fn reference(&self) -> Option<Reference> {
        let coded = |key| self.short(key).filter(|&code| code != USER_DEFINED && code != 0);
        let mut reference = Reference::unnamed();
        reference.height_unit = match (self.short(key::VERTICAL_UNITS), coded(key::VERTICAL)) {
            (Some(9002), _) => FOOT,
            (Some(9003), _) => SURVEY_FOOT,
            (None, Some(code)) => {
                FEET_VERTICALS.iter().find(|(known, _)| *known == code).map_or(1.0, |(_, metres)| *metres)
            }
            _ => 1.0,
        };
        let name = self.text(key::PROJECTED_CITATION).or_else(|| self.text(key::CITATION));
        reference.name = name.unwrap_or_default().to_owned();
        let geographic = self.short(key::MODEL) == Some(2)
            || self.short(key::PROJECTED).is_none() && self.short(key::GEOGRAPHIC).is_some();
        if geographic {
            reference.epsg = coded(key::GEOGRAPHIC);
            reference.coordinates = Coordinates::Geographic;
            return Some(reference);
        }
        self.short(key::PROJECTED)?;
        reference.epsg = coded(key::PROJECTED).or_else(|| projected_by_name(&reference.name));
        let known = reference.epsg.and_then(geometry::Grid::of_epsg).map(|grid| grid.metres_per_unit());
        let metres_per_unit = known.unwrap_or(match self.short(key::LINEAR_UNITS) {
            Some(9002) => FOOT,
            Some(9003) => SURVEY_FOOT,
            _ => 1.0,
        });
        reference.coordinates = Coordinates::Projected { metres_per_unit };
        Some(reference)
    }
}
