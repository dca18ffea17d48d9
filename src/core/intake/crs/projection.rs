//! Projections by method and parameters, whoever writes them, into PROJ's notation.
//!
//! # Reference
//! Methods and parameters: IOGP (2019), *Geomatics Guidance Note* 7-2. Names: OGC 01-009, OGC 18-010r11, and those that ESRI's
//! programs write. Codes: OGC 19-008r4, *OGC GeoTIFF Standard* 1.1, annex C.

use std::{collections::BTreeMap, fmt::Write as _};

use crate::intake::crs::datums::plain;

/// A projection method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Method {
    TransverseMercator,
    LambertConformalConic,
    Albers,
    Mercator,
    WebMercator,
    PolarStereographic,
    Stereographic,
    ObliqueStereographic,
    LambertAzimuthalEqualArea,
    /// Easting and northing counted from where the line of the azimuth meets the equator.
    ObliqueMercatorNaturalOrigin,
    /// Easting and northing counted from the centre.
    ObliqueMercatorCentre,
    SwissObliqueMercator,
    Cassini,
    Polyconic,
    EquidistantConic,
    EquidistantCylindrical,
    CylindricalEqualArea,
    Sinusoidal,
}

/// A parameter of a projection.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Parameter {
    /// Latitude of the origin or centre.
    Latitude,
    /// Longitude of the origin, the central meridian or the centre.
    Longitude,
    /// First standard parallel.
    Parallel1,
    /// Second standard parallel.
    Parallel2,
    /// Scale factor at the origin.
    Scale,
    Azimuth,
    /// Angle from the rectified to the skew grid.
    Rectified,
    Easting,
    Northing,
}

/// Names of methods, without what their writers disagree on.
const METHODS: [(&str, Method); 48] = [
    ("transversemercator", Method::TransverseMercator),
    ("gausskruger", Method::TransverseMercator),
    ("transversemercatorcomplex", Method::TransverseMercator),
    ("lambertconformalconic", Method::LambertConformalConic),
    ("lambertconformalconic1sp", Method::LambertConformalConic),
    ("lambertconformalconic2sp", Method::LambertConformalConic),
    ("lambertconicconformal1sp", Method::LambertConformalConic),
    ("lambertconicconformal2sp", Method::LambertConformalConic),
    ("albers", Method::Albers),
    ("albersequalarea", Method::Albers),
    ("albersconicequalarea", Method::Albers),
    ("mercator", Method::Mercator),
    ("mercator1sp", Method::Mercator),
    ("mercator2sp", Method::Mercator),
    ("mercatorvarianta", Method::Mercator),
    ("mercatorvariantb", Method::Mercator),
    ("mercatorauxiliarysphere", Method::WebMercator),
    ("popularvisualisationpseudomercator", Method::WebMercator),
    ("polarstereographic", Method::PolarStereographic),
    ("polarstereographicvarianta", Method::PolarStereographic),
    ("polarstereographicvariantb", Method::PolarStereographic),
    ("stereographicnorthpole", Method::PolarStereographic),
    ("stereographicsouthpole", Method::PolarStereographic),
    ("stereographic", Method::Stereographic),
    ("obliquestereographic", Method::ObliqueStereographic),
    ("doublestereographic", Method::ObliqueStereographic),
    ("lambertazimuthalequalarea", Method::LambertAzimuthalEqualArea),
    ("hotineobliquemercator", Method::ObliqueMercatorNaturalOrigin),
    ("hotineobliquemercatorvarianta", Method::ObliqueMercatorNaturalOrigin),
    ("hotineobliquemercatorazimuthnaturalorigin", Method::ObliqueMercatorNaturalOrigin),
    ("rectifiedskeworthomorphicnaturalorigin", Method::ObliqueMercatorNaturalOrigin),
    ("hotineobliquemercatorazimuthcenter", Method::ObliqueMercatorCentre),
    ("hotineobliquemercatorvariantb", Method::ObliqueMercatorCentre),
    ("obliquemercator", Method::ObliqueMercatorCentre),
    ("rectifiedskeworthomorphiccenter", Method::ObliqueMercatorCentre),
    ("swissobliquecylindrical", Method::SwissObliqueMercator),
    ("swissobliquemercator", Method::SwissObliqueMercator),
    ("cassini", Method::Cassini),
    ("cassinisoldner", Method::Cassini),
    ("polyconic", Method::Polyconic),
    ("americanpolyconic", Method::Polyconic),
    ("equidistantconic", Method::EquidistantConic),
    ("equidistantcylindrical", Method::EquidistantCylindrical),
    ("equirectangular", Method::EquidistantCylindrical),
    ("platecarree", Method::EquidistantCylindrical),
    ("cylindricalequalarea", Method::CylindricalEqualArea),
    ("lambertcylindricalequalarea", Method::CylindricalEqualArea),
    ("sinusoidal", Method::Sinusoidal),
];

/// Names of parameters, dressed as those of methods are.
const PARAMETERS: [(&str, Parameter); 38] = [
    ("latitudeoforigin", Parameter::Latitude),
    ("latitudeofcenter", Parameter::Latitude),
    ("latitudeofcentre", Parameter::Latitude),
    ("latitudeofnaturalorigin", Parameter::Latitude),
    ("latitudeoffalseorigin", Parameter::Latitude),
    ("latitudeofprojectioncentre", Parameter::Latitude),
    ("latitudeofstandardparallel", Parameter::Parallel1),
    ("latitudeof1ststandardparallel", Parameter::Parallel1),
    ("latitudeof2ndstandardparallel", Parameter::Parallel2),
    ("standardparallel1", Parameter::Parallel1),
    ("standardparallel2", Parameter::Parallel2),
    ("centralmeridian", Parameter::Longitude),
    ("longitudeofcenter", Parameter::Longitude),
    ("longitudeofcentre", Parameter::Longitude),
    ("longitudeoforigin", Parameter::Longitude),
    ("longitudeofnaturalorigin", Parameter::Longitude),
    ("longitudeoffalseorigin", Parameter::Longitude),
    ("longitudeofprojectioncentre", Parameter::Longitude),
    ("straightverticallongitudefrompole", Parameter::Longitude),
    ("scalefactor", Parameter::Scale),
    ("scalefactoratnaturalorigin", Parameter::Scale),
    ("scalefactoratprojectioncentre", Parameter::Scale),
    ("scalefactoroninitialline", Parameter::Scale),
    ("scalefactorattheprojectioncentre", Parameter::Scale),
    ("azimuth", Parameter::Azimuth),
    ("azimuthofinitialline", Parameter::Azimuth),
    ("azimuthatprojectioncentre", Parameter::Azimuth),
    ("azimuthattheprojectioncentre", Parameter::Azimuth),
    ("rectifiedgridangle", Parameter::Rectified),
    ("anglefromrectifiedtoskewgrid", Parameter::Rectified),
    ("xyplanerotation", Parameter::Rectified),
    ("falseeasting", Parameter::Easting),
    ("eastingatfalseorigin", Parameter::Easting),
    ("eastingatprojectioncentre", Parameter::Easting),
    ("falsenorthing", Parameter::Northing),
    ("northingatfalseorigin", Parameter::Northing),
    ("northingatprojectioncentre", Parameter::Northing),
    ("longitudeofstandardmeridian", Parameter::Longitude),
];

impl Method {
    /// The method that is called `name`.
    pub(crate) fn named(name: &str) -> Option<Method> {
        let wanted = plain(name);
        METHODS.iter().find(|(name, _)| *name == wanted).map(|(_, method)| *method)
    }

    /// The method with this code of GeoTIFF's own list (key 3075).
    pub(crate) fn of_geotiff(code: u16) -> Option<Method> {
        Some(match code {
            1 => Method::TransverseMercator,
            3 => Method::ObliqueMercatorNaturalOrigin,
            7 => Method::Mercator,
            8 | 9 => Method::LambertConformalConic,
            10 => Method::LambertAzimuthalEqualArea,
            11 => Method::Albers,
            13 => Method::EquidistantConic,
            15 => Method::PolarStereographic,
            16 => Method::ObliqueStereographic,
            17 => Method::EquidistantCylindrical,
            18 => Method::Cassini,
            22 => Method::Polyconic,
            24 => Method::Sinusoidal,
            28 => Method::CylindricalEqualArea,
            _ => return None,
        })
    }
}

impl Parameter {
    /// The parameter that is called `name`.
    pub(crate) fn named(name: &str) -> Option<Parameter> {
        let wanted = plain(name);
        PARAMETERS.iter().find(|(name, _)| *name == wanted).map(|(_, parameter)| *parameter)
    }

    /// Whether it is a length.
    pub(crate) fn is_length(self) -> bool {
        matches!(self, Parameter::Easting | Parameter::Northing)
    }

    /// Whether it is an angle.
    pub(crate) fn is_angle(self) -> bool {
        !self.is_length() && self != Parameter::Scale
    }
}

/// A method with its parameters: angles in degrees, lengths in metres.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Projection {
    pub(crate) method: Method,
    pub(crate) values: BTreeMap<Parameter, f64>,
    /// Metres in one unit of what it counts.
    pub(crate) metres_per_unit: f64,
}

impl Projection {
    /// The projection in PROJ's notation, without a datum.
    ///
    /// # Errors
    /// What keeps it from being carried out exactly.
    pub(crate) fn notation(&self) -> Result<String, String> {
        let value = |parameter| self.values.get(&parameter).copied();
        let or_nought = |parameter| value(parameter).unwrap_or(0.0);
        let latitude = or_nought(Parameter::Latitude);
        let needed = |parameter, what: &str| {
            value(parameter).ok_or_else(|| format!("it says no {what}, which its projection needs"))
        };
        let mut text = String::from("+proj=");
        let mut put = |name: &str, number: f64| {
            // Writing into text can't fail.
            let _ = write!(text, " +{name}={number}");
        };
        let parallels = [Parameter::Parallel1, Parameter::Parallel2].map(value);
        let name = match self.method {
            Method::TransverseMercator => "tmerc",
            Method::LambertConformalConic => "lcc",
            Method::Albers => "aea",
            Method::Mercator => "merc",
            Method::WebMercator => "webmerc",
            Method::PolarStereographic | Method::Stereographic => "stere",
            Method::ObliqueStereographic => "sterea",
            Method::LambertAzimuthalEqualArea => "laea",
            Method::ObliqueMercatorNaturalOrigin | Method::ObliqueMercatorCentre => "omerc",
            Method::SwissObliqueMercator => "somerc",
            Method::Cassini => "cass",
            Method::Polyconic => "poly",
            Method::EquidistantConic => "eqdc",
            Method::EquidistantCylindrical => "eqc",
            Method::CylindricalEqualArea => "cea",
            Method::Sinusoidal => "sinu",
        };
        let longitude = or_nought(Parameter::Longitude);
        match self.method {
            Method::Mercator
            | Method::CylindricalEqualArea
            | Method::EquidistantCylindrical
            | Method::WebMercator => {
                if latitude != 0.0 && self.method != Method::EquidistantCylindrical {
                    return Err(format!("its origin at latitude {latitude} is not carried out"));
                }
                if self.method == Method::WebMercator && parallels[0].is_some_and(|parallel| parallel != 0.0)
                {
                    return Err("a standard parallel of Web Mercator is not carried out".to_owned());
                }
                if self.method == Method::EquidistantCylindrical {
                    put("lat_0", latitude);
                }
                if let Some(parallel) = parallels[0].filter(|_| self.method != Method::WebMercator) {
                    put("lat_ts", parallel);
                }
                put("lon_0", longitude);
            }
            Method::LambertConformalConic => {
                put("lat_1", parallels[0].unwrap_or(latitude));
                if let Some(second) = parallels[1] {
                    put("lat_2", second);
                }
                put("lat_0", value(Parameter::Latitude).or(parallels[0]).unwrap_or(0.0));
                put("lon_0", longitude);
            }
            Method::Albers | Method::EquidistantConic => {
                put("lat_1", needed(Parameter::Parallel1, "first standard parallel")?);
                put("lat_2", needed(Parameter::Parallel2, "second standard parallel")?);
                put("lat_0", latitude);
                put("lon_0", longitude);
            }
            Method::PolarStereographic => {
                let parallel = parallels[0].unwrap_or(latitude);
                put("lat_0", if parallel < 0.0 { -90.0 } else { 90.0 });
                put("lat_ts", parallel);
                put("lon_0", longitude);
            }
            Method::ObliqueMercatorNaturalOrigin | Method::ObliqueMercatorCentre => {
                let azimuth = needed(Parameter::Azimuth, "azimuth")?;
                put("lat_0", latitude);
                put("lonc", longitude);
                put("alpha", azimuth);
                put("gamma", value(Parameter::Rectified).unwrap_or(azimuth));
            }
            _ => {
                put("lat_0", latitude);
                put("lon_0", longitude);
            }
        }
        if let Some(scale) = value(Parameter::Scale) {
            put("k_0", scale);
        }
        put("x_0", or_nought(Parameter::Easting));
        put("y_0", or_nought(Parameter::Northing));
        put("to_meter", self.metres_per_unit);
        if self.method == Method::ObliqueMercatorNaturalOrigin {
            text.push_str(" +no_uoff");
        }
        Ok(text.replacen("+proj=", &format!("+proj={name}"), 1))
    }
}
