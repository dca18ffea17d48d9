//! What a GeoTIFF's keys say of its place.
//!
//! # Reference
//! OGC 19-008r4, *OGC GeoTIFF Standard* 1.1.

use std::collections::BTreeMap;

use crate::{
    geometry::{Crs, System},
    intake::{
        crs::{self, Ellipsoid, Method, Parameter, Projection, Spelled, datum, projected_by_name},
        terrain::reference::{FOOT, Reference, SURVEY_FOOT},
    },
};

/// Keys that are read.
mod key {
    pub(super) const MODEL: u16 = 1024;
    pub(super) const RASTER: u16 = 1025;
    pub(super) const CITATION: u16 = 1026;
    pub(super) const GEOGRAPHIC: u16 = 2048;
    pub(super) const GEOGRAPHIC_CITATION: u16 = 2049;
    pub(super) const DATUM: u16 = 2050;
    pub(super) const MERIDIAN: u16 = 2051;
    pub(super) const ANGULAR_UNITS: u16 = 2054;
    pub(super) const ELLIPSOID: u16 = 2056;
    pub(super) const AXIS: u16 = 2057;
    pub(super) const INVERSE_FLATTENING: u16 = 2059;
    pub(super) const SHIFT: u16 = 2062;
    pub(super) const PROJECTED: u16 = 3072;
    pub(super) const PROJECTED_CITATION: u16 = 3073;
    pub(super) const PROJECTION: u16 = 3074;
    pub(super) const METHOD: u16 = 3075;
    pub(super) const LINEAR_UNITS: u16 = 3076;
    pub(super) const LINEAR_UNIT_SIZE: u16 = 3077;
    pub(super) const VERTICAL: u16 = 4096;
    pub(super) const VERTICAL_UNITS: u16 = 4099;
}

/// Keys of a projection's parameters; of two for one the first stands.
const PARAMETERS: [(u16, Parameter); 18] = [
    (3078, Parameter::Parallel1),
    (3079, Parameter::Parallel2),
    (3080, Parameter::Longitude),
    (3084, Parameter::Longitude),
    (3088, Parameter::Longitude),
    (3095, Parameter::Longitude),
    (3081, Parameter::Latitude),
    (3085, Parameter::Latitude),
    (3089, Parameter::Latitude),
    (3082, Parameter::Easting),
    (3086, Parameter::Easting),
    (3090, Parameter::Easting),
    (3083, Parameter::Northing),
    (3087, Parameter::Northing),
    (3091, Parameter::Northing),
    (3092, Parameter::Scale),
    (3093, Parameter::Scale),
    (3094, Parameter::Azimuth),
];

/// The tags in which the numbers and the texts of keys stand.
const DOUBLE_TAG: u16 = 34736;
const ASCII_TAG: u16 = 34737;

/// The code that says "defined by other keys".
const USER_DEFINED: u16 = 32767;

/// The codes of the degree and of Greenwich.
const DEGREE: u16 = 9102;
const GREENWICH: u16 = 8901;

/// Codes of ellipsoids: GRS 1980, WGS 84, Clarke 1866.
const ELLIPSOIDS: [(u16, f64, f64); 3] = [
    (7019, 6_378_137.0, 298.257_222_101),
    (7030, 6_378_137.0, 298.257_223_563),
    (7008, 6_378_206.4, 294.978_698_2),
];

/// Systems of heights in feet: NAVD88 height (ftUS), NAVD88 height (ft), NGVD29 height (ftUS).
const FEET_VERTICALS: [(u16, f64); 3] = [(6360, SURVEY_FOOT), (8228, FOOT), (5702, SURVEY_FOOT)];

/// The keys of a file.
#[derive(Debug, Clone, Default)]
pub(crate) struct GeoKeys<'a> {
    directory: &'a [u16],
    numbers: &'a [f64],
    texts: &'a str,
}

impl<'a> GeoKeys<'a> {
    /// The keys in the tags `directory` (34735), `numbers` (34736) and `texts` (34737).
    pub(crate) fn new(directory: &'a [u16], numbers: &'a [f64], texts: &'a str) -> GeoKeys<'a> {
        GeoKeys { directory, numbers, texts }
    }

    fn entries(&self) -> impl Iterator<Item = [u16; 4]> {
        let count = self.directory.get(3).copied().unwrap_or(0);
        let entries = self.directory.get(4..).unwrap_or_default().chunks_exact(4);
        entries.take(usize::from(count)).filter_map(|entry| entry.try_into().ok())
    }

    fn short(&self, key: u16) -> Option<u16> {
        self.entries().find(|entry| entry[0] == key && entry[1] == 0).map(|entry| entry[3])
    }

    /// A code that stands for something; none where other keys do.
    fn coded(&self, key: u16) -> Option<u16> {
        self.short(key).filter(|&code| code != USER_DEFINED && code != 0)
    }

    fn doubles(&self, key: u16) -> Option<&'a [f64]> {
        let entry = self.entries().find(|entry| entry[0] == key && entry[1] == DOUBLE_TAG)?;
        let (start, length) = (usize::from(entry[3]), usize::from(entry[2]));
        self.numbers.get(start..start.checked_add(length)?)
    }

    fn double(&self, key: u16) -> Option<f64> {
        self.doubles(key)?.first().copied().filter(|number| number.is_finite())
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
        let height_unit = match (self.short(key::VERTICAL_UNITS), self.coded(key::VERTICAL)) {
            (Some(9001), _) => Some(1.0),
            (Some(9002), _) => Some(FOOT),
            (Some(9003), _) => Some(SURVEY_FOOT),
            (None, Some(code)) => {
                let feet = FEET_VERTICALS.iter().find(|(known, _)| *known == code);
                Some(feet.map_or(1.0, |(_, metres)| *metres))
            }
            _ => None,
        };
        let geographic = self.short(key::MODEL) == Some(2)
            || self.short(key::PROJECTED).is_none() && self.short(key::GEOGRAPHIC).is_some();
        let name = match geographic {
            true => self.text(key::GEOGRAPHIC_CITATION).or_else(|| self.text(key::CITATION)),
            false => self.text(key::PROJECTED_CITATION).or_else(|| self.text(key::CITATION)),
        };
        let name = name.unwrap_or_default();
        // ESRI's programs put the whole well-known text into a citation.
        let spelled = [key::CITATION, key::PROJECTED_CITATION, key::GEOGRAPHIC_CITATION]
            .into_iter()
            .filter_map(|key| self.text(key)?.split_once("ESRI PE String = "))
            .find_map(|(_, text)| crs::read(text));
        if let Some(spelled) = spelled.filter(|_| self.coded(key::PROJECTED).is_none()) {
            return Some(Reference::spelled(Spelled { height_unit, ..spelled }));
        }
        let system = match geographic {
            true => self.geographic(name),
            false => {
                self.short(key::PROJECTED)?;
                self.projected(name)
            }
        };
        Some(Reference::spelled(Spelled { name: name.to_owned(), system: Some(system), height_unit }))
    }

    fn geographic(&self, name: &str) -> Result<Crs, String> {
        if let Some(code) = self.coded(key::GEOGRAPHIC) {
            return Crs::of_epsg(code)
                .filter(Crs::in_degrees)
                .ok_or_else(|| format!("EPSG:{code} is not known here"));
        }
        if self.coded(key::ANGULAR_UNITS).is_some_and(|unit| unit != DEGREE) {
            return Err("its angles are not in degrees".to_owned());
        }
        let (datum, parameters) = self.datum(name)?;
        let crs = Crs::new(name, &datum, &format!("+proj=longlat {parameters}"));
        crs.ok_or_else(|| format!("its datum, {datum}, has no known way to WGS 84"))
    }

    fn projected(&self, name: &str) -> Result<Crs, String> {
        if let Some(code) = self.coded(key::PROJECTED) {
            let crs = Crs::of_epsg(code).filter(|crs| System::of(crs).is_some());
            return crs.ok_or_else(|| format!("EPSG:{code} is not known here"));
        }
        let spelled = self.spelled(name);
        match projected_by_name(name).and_then(Crs::of_epsg) {
            Some(crs) if spelled.is_err() => Ok(crs),
            _ => spelled,
        }
    }

    /// The system by the keys of its projection.
    fn spelled(&self, name: &str) -> Result<Crs, String> {
        let (datum, parameters) = match self.coded(key::GEOGRAPHIC).and_then(Crs::of_epsg) {
            Some(crs) => (crs.datum().to_owned(), crs.datum_parameters()),
            None => self.datum(self.text(key::GEOGRAPHIC_CITATION).unwrap_or_default())?,
        };
        let metres_per_unit = match (self.short(key::LINEAR_UNITS), self.double(key::LINEAR_UNIT_SIZE)) {
            (Some(9002), _) => FOOT,
            (Some(9003), _) => SURVEY_FOOT,
            (Some(9001), _) | (None, None) => 1.0,
            (Some(USER_DEFINED) | None, Some(size)) if size > 0.0 => size,
            (code, _) => return Err(format!("its unit of length, {code:?}, is not known here")),
        };
        let notation = match self.coded(key::PROJECTION) {
            Some(zone @ 16001..=16060) => {
                format!("+proj=utm +zone={} +to_meter={metres_per_unit}", zone - 16000)
            }
            Some(zone @ 16101..=16160) => {
                format!("+proj=utm +zone={} +south +to_meter={metres_per_unit}", zone - 16100)
            }
            Some(code) if self.short(key::METHOD).is_none() => {
                return Err(format!("its projection, number {code}, is not known here"));
            }
            _ => self.projection(metres_per_unit)?.notation()?,
        };
        let no_way = || format!("its projection or its datum, {datum}, is not carried out here");
        let crs = Crs::new(name, &datum, &format!("{notation} {parameters}")).ok_or_else(no_way)?;
        System::of(&crs).is_some().then_some(crs).ok_or_else(no_way)
    }

    fn projection(&self, metres_per_unit: f64) -> Result<Projection, String> {
        let code = self.short(key::METHOD).ok_or("it names no projection")?;
        let method = Method::of_geotiff(code);
        let method =
            method.ok_or_else(|| format!("its projection, method {code}, is not carried out here"))?;
        if self.coded(key::ANGULAR_UNITS).is_some_and(|unit| unit != DEGREE) {
            return Err("its angles are not in degrees".to_owned());
        }
        let mut values = BTreeMap::new();
        for (key, parameter) in PARAMETERS {
            if let Some(value) = self.double(key) {
                let value = if parameter.is_length() { value * metres_per_unit } else { value };
                values.entry(parameter).or_insert(value);
            }
        }
        if let Some(angle) = self.double(3096) {
            values.insert(Parameter::Rectified, angle);
        }
        Ok(Projection { method, values, metres_per_unit })
    }

    /// The datum by its keys; `citation` names the geographic system.
    fn datum(&self, citation: &str) -> Result<(String, String), String> {
        if self.coded(key::MERIDIAN).is_some_and(|meridian| meridian != GREENWICH) {
            return Err("it does not count from Greenwich".to_owned());
        }
        // A datum's code is that of its geographic system and two thousand.
        if let Some(code) = self.coded(key::DATUM) {
            let crs = code.checked_sub(2000).and_then(Crs::of_epsg).filter(Crs::in_degrees);
            let crs = crs.ok_or_else(|| format!("its datum, EPSG:{code}, has no known way to WGS 84"))?;
            return Ok((crs.datum().to_owned(), crs.datum_parameters()));
        }
        let coded = self.coded(key::ELLIPSOID);
        let coded = coded.and_then(|code| ELLIPSOIDS.iter().find(|(known, ..)| *known == code));
        let ellipsoid = match (self.double(key::AXIS), self.double(key::INVERSE_FLATTENING), coded) {
            (Some(axis), Some(inverse_flattening), _) => Some(Ellipsoid { axis, inverse_flattening }),
            (_, _, Some(&(_, axis, inverse_flattening))) => Some(Ellipsoid { axis, inverse_flattening }),
            _ => None,
        };
        // `GCS Name = GCS_x|Datum = D_x|…` as several programs write it.
        let mut names: Vec<&str> =
            citation.split('|').map(|part| part.rsplit('=').next().unwrap_or(part).trim()).collect();
        names.truncate(8);
        datum(&names, ellipsoid, self.doubles(key::SHIFT))
    }
}
