//! Coordinate reference system (CRS): what a file's numbers count, and from where.
//!
//! # Assumption
//! A datum that its definition ties to WGS 84 by no shift (WGS 84 itself, GDA94, GDA2020, NZGD2000, NAD83, ETRS89 and the
//! like) is taken for WGS 84, as EPSG's own ballpark operations have it. NAD27 and NZGD49 need shift files that are not
//! carried here; a mean shift stands in for them, and how far it strays is said.
//!
//! # Reference
//! Definitions: the EPSG dataset as carried by `crs-definitions`. Mean shifts: EPSG operations 1173 (NAD27, contiguous United
//! States) and 1564 (NZGD49), after NIMA (2000), TR8350.2, appendix B.

use std::sync::Arc;

/// NAD27 by its ellipsoid and the mean shift of the contiguous United States.
const NAD27: &str = "+ellps=clrk66 +towgs84=-8,160,176,0,0,0,0";

/// How far the mean shift of NAD27 strays within the contiguous United States, in metres.
const NAD27_STRAYS: f64 = 10.0;

/// How far the seven parameters of NZGD49 stray, in metres.
const NZGD49_STRAYS: f64 = 4.0;

/// A coordinate reference system by its parameters.
#[derive(Debug, Clone, PartialEq)]
pub struct Crs {
    name: Arc<str>,
    datum: Arc<str>,
    /// In PROJ's notation.
    parameters: Arc<str>,
    epsg: Option<u16>,
    strays: Option<f64>,
}

impl Crs {
    /// The system with this EPSG code; `None` where there is none, or where its datum has no known way to WGS 84.
    #[must_use]
    pub fn of_epsg(epsg: u16) -> Option<Crs> {
        let in_grads = |wkt: &str| wkt.starts_with("GEOGCS") && wkt.contains("UNIT[\"grad");
        let definition = crs_definitions::from_code(epsg).filter(|one| !in_grads(one.wkt))?;
        let [name, datum] = names(definition.wkt)?;
        let crs = Crs::new(name, datum, definition.proj4)?;
        Some(Crs { epsg: Some(epsg), ..crs })
    }

    /// Longitude and latitude on WGS 84.
    #[must_use]
    pub fn wgs84() -> Crs {
        let (name, parameters) = ("WGS 84", "+proj=longlat +datum=WGS84");
        Crs {
            name: name.into(),
            datum: name.into(),
            parameters: parameters.into(),
            epsg: Some(4326),
            strays: None,
        }
    }

    /// A system by its `parameters` in PROJ's notation, called `name`, on the datum called `datum`; `None` where positions on
    /// that datum have no known way to WGS 84.
    #[must_use]
    pub fn new(name: &str, datum: &str, parameters: &str) -> Option<Crs> {
        let (mut words, mut strays, mut tied) = (Vec::new(), None, false);
        let newzealand = parameters.contains("+datum=nzgd49");
        for word in parameters.split_whitespace() {
            match word.split_once('=').unwrap_or((word, "")) {
                ("+datum", "NAD27") => {
                    (strays, tied) = (Some(NAD27_STRAYS), true);
                    words.push(NAD27);
                }
                ("+datum", "nzgd49") => {
                    (strays, tied) = (Some(NZGD49_STRAYS), true);
                    words.push(word);
                }
                ("+nadgrids", grids) if grids == "@null" || newzealand => tied = true,
                // How far a datum may lie from WGS 84, for which it is taken: a word of our own.
                ("+strays", metres) => strays = metres.parse().ok(),
                ("+nadgrids" | "+axis", _) => return None,
                ("+wktext" | "+no_defs" | "+type", _) => {}
                ("+datum" | "+towgs84" | "+ellps", "GRS80" | "WGS84") | ("+datum" | "+towgs84", _) => {
                    tied = true;
                    words.push(word);
                }
                _ => words.push(word),
            }
        }
        if !tied {
            return None;
        }
        let parameters = words.join(" ");
        Some(Crs {
            name: name.into(),
            datum: datum.into(),
            parameters: parameters.into(),
            epsg: None,
            strays,
        })
    }

    /// Its name, such as `GDA2020 / MGA zone 55`.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The name of its datum, such as `GDA2020`.
    #[must_use]
    pub fn datum(&self) -> &str {
        &self.datum
    }

    /// Its parameters in PROJ's notation.
    #[must_use]
    pub fn parameters(&self) -> &str {
        &self.parameters
    }

    /// Its EPSG code, where it is known by one.
    #[must_use]
    pub fn epsg(&self) -> Option<u16> {
        self.epsg
    }

    /// Whether it counts degrees.
    #[must_use]
    pub fn in_degrees(&self) -> bool {
        self.method() == "longlat"
    }

    /// How far positions may stray on their way to WGS 84, in metres; `None` where they do not.
    #[must_use]
    pub fn strays(&self) -> Option<f64> {
        self.strays
    }

    /// PROJ's name of its projection.
    pub(super) fn method(&self) -> &str {
        let word = self.parameters.split(' ').find_map(|word| word.strip_prefix("+proj="));
        word.unwrap_or_default()
    }

    /// Its datum alone: the parameters that say the ellipsoid, its meridian and its way to WGS 84.
    #[must_use]
    pub fn datum_parameters(&self) -> String {
        let of_datum = ["+datum=", "+ellps=", "+towgs84=", "+a=", "+b=", "+rf=", "+R=", "+pm="];
        let words = self.parameters.split(' ').filter(|word| of_datum.iter().any(|of| word.starts_with(of)));
        words.collect::<Vec<_>>().join(" ")
    }

    /// Whether positions are moved between WGS 84 and the datum.
    pub(super) fn shifts(&self) -> bool {
        let null = |numbers: &str| numbers.split(',').all(|number| number.parse() == Ok(0.0));
        self.parameters.split(' ').any(|word| match word.split_once('=') {
            Some(("+towgs84", numbers)) => !null(numbers),
            Some(("+datum", datum)) => !matches!(datum, "WGS84" | "NAD83"),
            _ => false,
        })
    }
}

/// The names of a system and of its datum, as its definition has them.
fn names(wkt: &'static str) -> Option<[&'static str; 2]> {
    let quoted = |text: &'static str| text.split('"').next();
    if let Some(rest) = wkt.strip_prefix("GEOGCS[\"") {
        return quoted(rest).map(|name| [name; 2]);
    }
    let name = quoted(wkt.strip_prefix("PROJCS[\"")?)?;
    let datum = quoted(wkt.split("GEOGCS[\"").nth(1)?)?;
    Some([name, datum])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_datum_without_a_way_to_wgs_84_is_refused() {
        for refused in [2000, 2008, 2048, 27700 + 30_000, 1] {
            assert_eq!(Crs::of_epsg(refused), None, "{refused}");
        }
        let strays = |epsg| Crs::of_epsg(epsg).map(|crs| crs.strays());
        assert_eq!([4267, 26711, 4272].map(strays), [Some(Some(10.0)), Some(Some(10.0)), Some(Some(4.0))]);
        assert_eq!([4326, 7855, 27700].map(strays), [Some(None); 3]);
    }

    #[test]
    fn names_and_parameters_follow_the_dataset() {
        let crs = Crs::of_epsg(7855).unwrap();
        assert_eq!((crs.name(), crs.datum(), crs.in_degrees()), ("GDA2020 / MGA zone 55", "GDA2020", false));
        let crs = Crs::of_epsg(4283).unwrap();
        assert_eq!((crs.name(), crs.datum(), crs.in_degrees()), ("GDA94", "GDA94", true));
        assert!(!crs.shifts() && Crs::of_epsg(4202).unwrap().shifts());
    }
}
