//! Datums by the names that files give them, and their way to WGS 84.

use crate::geometry::Crs;

/// An ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ellipsoid {
    /// Half its longer axis, in metres.
    pub(crate) axis: f64,
    /// One over its flattening; 0 for a sphere.
    pub(crate) inverse_flattening: f64,
}

impl Ellipsoid {
    /// That of a definition of the dataset.
    fn of(wkt: &str) -> Option<Ellipsoid> {
        let mut numbers = wkt.split("SPHEROID[\"").nth(1)?.split("\",").nth(1)?.split([',', ']']);
        let mut number = || numbers.next()?.trim().parse().ok();
        Some(Ellipsoid { axis: number()?, inverse_flattening: number()? })
    }

    /// Whether the two are one but for how many digits were written.
    fn is_near(self, other: Ellipsoid) -> bool {
        (self.axis - other.axis).abs() < 1.0
            && (self.inverse_flattening - other.inverse_flattening).abs() < 0.01
    }

    /// Whether it is that of GRS 80 or WGS 84, which are one but for a tenth of a millimetre.
    fn is_modern(self) -> bool {
        (self.axis - 6_378_137.0).abs() < 0.5 && (self.inverse_flattening - 298.257_22).abs() < 0.001
    }
}

/// Names of datums that are taken for WGS 84, without what their writers disagree on.
const TAKEN_FOR_WGS84: [&str; 40] = [
    "wgs84",
    "gda94",
    "gda2020",
    "nad83",
    "etrs89",
    "nzgd2000",
    "etrf89",
    "rgf93",
    "sirgas2000",
    "sirgas",
    "jgd2000",
    "jgd2011",
    "cgcs2000",
    "china2000",
    "nad83csrs",
    "nad83harn",
    "nad83nsrs2007",
    "nad83national2011",
    "nad832011",
    "hartebeesthoek94",
    "itrf2008",
    "itrf2014",
    "itrf2020",
    "nad83csrs98",
    "rdn2008",
    "posgar2007",
    "unknownbasedonwgs84ellipsoid",
    "rgf93v1",
    "rgf93v2",
    "rgf93v2b",
    "sweref99",
    "euref89",
    "irenet95",
    "lks92",
    "lks94",
    "korea2000",
    "gdm2000",
    "jgd2024",
    "mexicoitrf92",
    "mexicoitrf2008",
];

/// A datum's parameters in PROJ's notation with the name that it goes by; `names` are those that the file gives it, `shift`
/// what it says itself of the way to WGS 84.
///
/// # Errors
/// No way to WGS 84 is known.
pub(crate) fn datum(
    names: &[&str],
    ellipsoid: Option<Ellipsoid>,
    shift: Option<&[f64]>,
) -> Result<(String, String), String> {
    let called = names.iter().copied().find(|name| !name.is_empty()).unwrap_or_default();
    let fits = |modern: bool| ellipsoid.is_none_or(|ellipsoid| ellipsoid.is_modern() == modern);
    for name in names.iter().map(|name| plain(name)) {
        if TAKEN_FOR_WGS84.contains(&name.as_str()) && fits(true) {
            let parameters = if name == "wgs84" { "+datum=WGS84" } else { "+ellps=GRS80" };
            return Ok((proper(&name, called), parameters.to_owned()));
        }
        if name == "nad27" && fits(false) {
            return Ok(("NAD27".to_owned(), "+datum=NAD27".to_owned()));
        }
        if name == "nzgd49" && fits(false) {
            return Ok(("NZGD49".to_owned(), "+datum=nzgd49".to_owned()));
        }
    }
    if let (Some(shift), Some(ellipsoid)) = (shift, ellipsoid) {
        let numbers: Vec<String> = shift.iter().map(f64::to_string).collect();
        let parameters = format!(
            "+a={} +rf={} +towgs84={}",
            ellipsoid.axis,
            ellipsoid.inverse_flattening,
            numbers.join(",")
        );
        return Ok((called.to_owned(), parameters));
    }
    if let Some(crs) = names.iter().find_map(|name| of_dataset(&plain(name), ellipsoid)) {
        return Ok((crs.datum().to_owned(), crs.datum_parameters()));
    }
    if ellipsoid.is_some_and(Ellipsoid::is_modern) {
        if names.iter().any(|name| plain(name).contains("unknown")) {
            return Ok(("WGS 84".to_owned(), "+ellps=GRS80".to_owned()));
        }
        // On this ellipsoid stand the datums that are counted from the middle of the Earth, each a realisation of its own.
        if !called.is_empty() {
            return Ok((called.to_owned(), "+ellps=GRS80 +strays=2".to_owned()));
        }
    }
    Err(match called {
        "" => "it names no datum".to_owned(),
        _ => format!("the way from its datum, {called}, to WGS 84 is not known here"),
    })
}

/// The names of the datums that are kept apart, as the EPSG dataset has them.
fn proper(plain: &str, called: &str) -> String {
    match plain {
        "gda94" => "GDA94".to_owned(),
        "gda2020" => "GDA2020".to_owned(),
        "wgs84" => "WGS 84".to_owned(),
        _ => called.to_owned(),
    }
}

/// The geographic system of the dataset on `ellipsoid` whose own or whose datum's plain name is `wanted`, if it has a way to
/// WGS 84.
fn of_dataset(wanted: &str, ellipsoid: Option<Ellipsoid>) -> Option<Crs> {
    if wanted.is_empty() {
        return None;
    }
    (4001..5000u16).chain(5000..=u16::MAX).find_map(|epsg| {
        let wkt = crs_definitions::from_code(epsg)?.wkt.strip_prefix("GEOGCS[\"")?;
        let mut names =
            [wkt.split('"').next()?, wkt.split("DATUM[\"").nth(1)?.split('"').next()?].into_iter();
        let fits =
            ellipsoid.is_none_or(|ellipsoid| Ellipsoid::of(wkt).is_none_or(|own| own.is_near(ellipsoid)));
        (fits && names.any(|name| plain(name) == wanted)).then(|| Crs::of_epsg(epsg))?
    })
}

/// A name without what its writers disagree on: case, spaces, strokes, how a datum's year is put.
pub(crate) fn plain(name: &str) -> String {
    let name = name.strip_prefix("GCS_").or_else(|| name.strip_prefix("D_")).unwrap_or(name);
    let letters = name.chars().filter(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_lowercase());
    let mut plain: String = letters.collect();
    for (long, short) in [
        ("worldgeodeticsystem", "wgs"),
        ("geocentricdatumofaustralia", "gda"),
        ("northamericandatum", "nad"),
        ("northamerican19", "nad19"),
        ("europeanterrestrialreferencesystem", "etrs"),
        ("newzealandgeodeticdatum", "nzgd"),
        ("newzealand1949", "nzgd1949"),
        ("newzealandtransversemercator2000", "newzealandtransversemercator"),
        ("ordnancesurveyofgreatbritain", "osgb"),
        ("australiangeodeticdatum", "agd"),
        ("australian19", "agd19"),
        ("europeandatum", "ed"),
        ("european1950", "ed1950"),
        ("wgs1984", "wgs84"),
        ("wgs1972", "wgs72"),
        ("gda1994", "gda94"),
        ("nad1983", "nad83"),
        ("nad1927", "nad27"),
        ("agd1966", "agd66"),
        ("agd1984", "agd84"),
        ("etrs1989", "etrs89"),
        ("nzgd1949", "nzgd49"),
        ("ed1950", "ed50"),
        ("osgb1936", "osgb36"),
        ("ggrs1987", "ggrs87"),
        ("rgf1993", "rgf93"),
        ("provisionalsamerican1956", "psad56"),
        ("southamerican1969", "sad69"),
        ("indonesian1974", "id74"),
        ("twd1967", "twd67"),
        ("tahiti1952", "tahiti52"),
        ("chathamisland1971", "ci1971"),
        ("csg1967", "csg67"),
        ("adj19", ""),
        ("ensemble", ""),
    ] {
        plain = plain.replace(long, short);
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLARKE: Option<Ellipsoid> =
        Some(Ellipsoid { axis: 6_378_206.4, inverse_flattening: 294.978_698_2 });
    const GRS80: Option<Ellipsoid> =
        Some(Ellipsoid { axis: 6_378_137.0, inverse_flattening: 298.257_222_101 });

    #[test]
    fn datums_are_known_by_either_name() {
        let of = |names: &[&str], ellipsoid| datum(names, ellipsoid, None);
        let known = |name: &str, parameters: &str| Ok((name.to_owned(), parameters.to_owned()));
        assert_eq!(
            of(&["GCS_North_American_1927", "D_North_American_1927"], CLARKE),
            known("NAD27", "+datum=NAD27")
        );
        assert_eq!(of(&["GCS_GDA_1994"], GRS80), known("GDA94", "+ellps=GRS80"));
        assert_eq!(of(&["World Geodetic System 1984 ensemble"], None), known("WGS 84", "+datum=WGS84"));
        assert!(of(&["GCS_Australian_1966"], None).unwrap().1.contains("+towgs84=-117.808"));
        assert_eq!(of(&["Unknown_based_on_GRS80_ellipsoid"], GRS80), known("WGS 84", "+ellps=GRS80"));
        // A name and an ellipsoid that can't both be right.
        assert!(of(&["GCS_North_American_1983"], CLARKE).is_err());
        assert!(of(&["D_Uncle_1911"], CLARKE).is_err());
        // What stands on the ellipsoid of today's datums is one of them.
        assert_eq!(of(&["GCS_Somewhere_2031"], GRS80), known("GCS_Somewhere_2031", "+ellps=GRS80 +strays=2"));
        assert!(of(&["GCS_Pulkovo_1942_Adj_1958"], None).unwrap().1.contains("+towgs84="));
        assert!(
            datum(&["D_Uncle_1911"], CLARKE, Some(&[1.0, 2.0, 3.0])).unwrap().1.contains("+towgs84=1,2,3")
        );
    }
}
