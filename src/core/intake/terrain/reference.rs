//! The coordinate reference system of a terrain model.

use crate::{geometry, terrain::Coordinates};

/// Metres in an international foot.
pub(crate) const FOOT: f64 = 0.3048;

/// Metres in a United States survey foot.
pub(crate) const SURVEY_FOOT: f64 = 1200.0 / 3937.0;

/// Web Mercator, and how its writers call it.
const WEB_MERCATOR: (u16, [&str; 2]) = (3857, ["webmercator", "pseudomercator"]);

/// What a file says of its coordinates and heights.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// EPSG code, where the file gives one or its name is known.
    pub epsg: Option<u16>,
    /// What the coordinates count.
    pub coordinates: Coordinates,
    /// Metres in one unit of height: 1, or the length of a foot.
    pub height_unit: f64,
    /// The name that the file gives.
    pub name: String,
}

impl Reference {
    /// An unnamed system, in metres.
    pub(crate) fn unnamed() -> Reference {
        Reference {
            epsg: None,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            height_unit: 1.0,
            name: String::new(),
        }
    }

    /// Whether heights are in feet.
    #[must_use]
    pub fn in_feet(&self) -> bool {
        (self.height_unit - FOOT).abs() < 1e-5
    }
}

/// The projected system that is called `name`, whoever wrote the name: `GDA_1994_MGA_Zone_55` is `GDA94 / MGA zone 55`.
pub(crate) fn projected_by_name(name: &str) -> Option<u16> {
    let wanted = plain(name);
    if wanted.is_empty() {
        return None;
    }
    if WEB_MERCATOR.1.iter().any(|name| wanted.contains(name)) {
        return Some(WEB_MERCATOR.0);
    }
    called(&wanted, "PROJCS[\"").find(|&epsg| geometry::Grid::of_epsg(epsg).is_some())
}

/// The geographic system that is called `name`: `GCS_GDA_1994` is `GDA94`.
pub(crate) fn geographic_by_name(name: &str) -> Option<u16> {
    let wanted = plain(name);
    let wanted = wanted.strip_prefix("gcs").unwrap_or(&wanted);
    if wanted.is_empty() { None } else { called(wanted, "GEOGCS[\"").next() }
}

/// The codes whose definition begins with `kind` and the plain name `wanted`.
fn called(wanted: &str, kind: &str) -> impl Iterator<Item = u16> {
    (1..=u16::MAX).filter(move |epsg| {
        let definition = crs_definitions::from_code(*epsg);
        let name = definition.and_then(|one| one.wkt.strip_prefix(kind)?.split('"').next());
        name.is_some_and(|name| plain(name) == wanted)
    })
}

/// A name without what its writers disagree on: case, spaces, strokes, how a datum's year is put.
fn plain(name: &str) -> String {
    let letters: String =
        name.chars().filter(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_lowercase()).collect();
    let mut plain = letters;
    for (long, short) in [
        ("wgs1984", "wgs84"),
        ("gda1994", "gda94"),
        ("nad1983", "nad83"),
        ("etrs1989", "etrs89"),
        ("northamerican1983", "nad83"),
        ("newzealandtransversemercator2000", "newzealandtransversemercator"),
    ] {
        plain = plain.replace(long, short);
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_system_is_known_by_either_name() {
        for (name, epsg) in [
            ("WGS_1984_UTM_Zone_16N", 32616),
            ("WGS 84 / UTM zone 60S", 32760),
            ("GDA_1994_MGA_Zone_55", 28355),
            ("GDA2020_MGA_Zone_56", 7856),
            ("NZGD_2000_New_Zealand_Transverse_Mercator", 2193),
            ("ETRS_1989_UTM_Zone_32N", 25832),
        ] {
            assert_eq!(projected_by_name(name), Some(epsg), "{name}");
        }
        for (name, epsg) in [
            ("GCS_WGS_1984", 4326),
            ("GCS_GDA_1994", 4283),
            ("GDA2020", 7844),
            ("GCS_NZGD_2000", 4167),
            ("GCS_North_American_1983", 4269),
        ] {
            assert_eq!(geographic_by_name(name), Some(epsg), "{name}");
        }
        assert_eq!(projected_by_name("WGS_1984_Web_Mercator_Auxiliary_Sphere"), Some(3857));
        assert_eq!(geographic_by_name("GCS_"), None);
        assert_eq!(projected_by_name("Uncle's own grid"), None);
        assert_eq!(projected_by_name(""), None);
    }
}
