//! The `.prj` of old ArcInfo grids and coverages: a word and its value a line, then the parameters of the projection.
//!
//! # Reference
//! ESRI, *ArcDoc 8: Map Projections*, the dialogue of PROJECTDEFINE; from memory.

use std::collections::BTreeMap;

use crate::{
    geometry::{Crs, System},
    intake::crs::{Ellipsoid, Method, Parameter, Projection, Spelled, datum},
};

/// What `text` says; `None` where no line of it names a projection.
pub(super) fn read(text: &str) -> Option<Spelled> {
    let (mut words, mut values) = (BTreeMap::new(), Vec::new());
    let mut behind = false;
    for line in text.lines() {
        let line = line.split("/*").next().unwrap_or_default().trim();
        let mut parts = line.split_whitespace();
        let Some(first) = parts.next() else { continue };
        if first.eq_ignore_ascii_case("parameters") {
            behind = true;
        } else if behind {
            values.push(angle_or_length(line)?);
        } else {
            words
                .insert(first.to_ascii_lowercase(), parts.collect::<Vec<_>>().join(" ").to_ascii_uppercase());
        }
    }
    let word = |name: &str| words.get(name).map(String::as_str).unwrap_or_default();
    let projection = Some(word("projection")).filter(|projection| !projection.is_empty())?;
    let name = format!("{projection} {}", word("datum")).trim().to_owned();
    let height_unit = match word("zunits") {
        "FEET" => Some(0.3048),
        "METERS" | "METRES" => Some(1.0),
        _ => None,
    };
    Some(Spelled { system: Some(system(projection, &name, word, &values)), name, height_unit })
}

/// A line of up to three numbers: degrees, minutes and seconds, or a length.
fn angle_or_length(line: &str) -> Option<f64> {
    let numbers: Vec<f64> = line.split_whitespace().map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let sign = if line.starts_with('-') { -1.0 } else { 1.0 };
    match numbers[..] {
        [one] => Some(one),
        [degrees, minutes] => Some(sign * (degrees.abs() + minutes / 60.0)),
        [degrees, minutes, seconds] => Some(sign * (degrees.abs() + minutes / 60.0 + seconds / 3600.0)),
        _ => None,
    }
}

fn system<'a>(
    projection: &str,
    name: &str,
    word: impl Fn(&str) -> &'a str,
    values: &[f64],
) -> Result<Crs, String> {
    let names = match word("datum") {
        "" | "NONE" => return Err("it names no datum".to_owned()),
        "WGS84" => "WGS 84",
        other => other,
    };
    let ellipsoid = match word("spheroid") {
        "GRS1980" | "GRS80" => Some(Ellipsoid { axis: 6_378_137.0, inverse_flattening: 298.257_222_101 }),
        "WGS84" => Some(Ellipsoid { axis: 6_378_137.0, inverse_flattening: 298.257_223_563 }),
        "CLARKE1866" => Some(Ellipsoid { axis: 6_378_206.4, inverse_flattening: 294.978_698_2 }),
        _ => None,
    };
    let (datum_name, datum) = datum(&[names], ellipsoid, None)?;
    let shifted =
        ["xshift", "yshift"].into_iter().any(|shift| word(shift).parse::<f64>().is_ok_and(|by| by != 0.0));
    if shifted {
        return Err("its coordinates are shifted".to_owned());
    }
    let metres_per_unit = match word("units") {
        "METERS" | "METRES" | "" => 1.0,
        "FEET" => 1200.0 / 3937.0,
        "DD" if projection == "GEOGRAPHIC" => 1.0,
        other => return Err(format!("its unit, {other}, is not known here")),
    };
    let made = |notation: &str| {
        let crs = Crs::new(name, &datum_name, &format!("{notation} {datum}"));
        crs.filter(|crs| System::of(crs).is_some())
            .ok_or_else(|| format!("{projection} is not carried out here"))
    };
    use Parameter::{Easting, Latitude, Longitude, Northing, Parallel1, Parallel2, Scale};
    let (method, order): (Method, &[Parameter]) = match projection {
        "GEOGRAPHIC" if word("units") == "DD" => return made("+proj=longlat"),
        "UTM" => {
            let zone: i32 = word("zone").parse().map_err(|_| "it says no zone".to_owned())?;
            // Southern zones bear a minus.
            let south = if zone < 0 { " +south" } else { "" };
            return made(&format!("+proj=utm +zone={}{south} +to_meter={metres_per_unit}", zone.abs()));
        }
        "ALBERS" => (Method::Albers, &[Parallel1, Parallel2, Longitude, Latitude, Easting, Northing]),
        "LAMBERT" => {
            (Method::LambertConformalConic, &[Parallel1, Parallel2, Longitude, Latitude, Easting, Northing])
        }
        "TRANSVERSE" => (Method::TransverseMercator, &[Scale, Longitude, Latitude, Easting, Northing]),
        "MERCATOR" => (Method::Mercator, &[Longitude, Parallel1, Easting, Northing]),
        other => return Err(format!("its projection, {other}, is not carried out here")),
    };
    if values.len() != order.len() {
        return Err(format!("it has {} parameters, and {projection} needs {}", values.len(), order.len()));
    }
    let length = |parameter: Parameter, value: f64| {
        if parameter.is_length() { value * metres_per_unit } else { value }
    };
    let values = order.iter().zip(values).map(|(&parameter, &value)| (parameter, length(parameter, value)));
    made(&Projection { method, values: values.collect(), metres_per_unit }.notation()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_parameters_make_a_system() {
        let text = "Projection    ALBERS\nDatum         NAD83\nZunits        FEET\nUnits         METERS\nSpheroid      GRS1980\nXshift        0.0\nYshift        0.0\nParameters\n 61 40  0.000 /* 1st standard parallel\n 68  0  0.000\n-132 30  0.000\n 59  0  0.000\n500000.00000 /* false easting\n500000.00000\n\n";
        let found = read(text).unwrap();
        assert_eq!(found.height_unit, Some(0.3048));
        let system = found.system.unwrap().unwrap();
        assert!(system.parameters().starts_with("+proj=aea +lat_1=61.6666666666"), "{}", system.parameters());
        assert!(system.parameters().contains("+lon_0=-132.5 +x_0=500000"), "{}", system.parameters());
        let utm = "PROJECTION UTM\nDATUM NAD27\nZUNITS NO\nUNITS METERS\nZONE 11\nSPHEROID CLARKE1866\nPARAMETERS\n";
        let utm = read(utm).unwrap().system.unwrap().unwrap();
        assert!(utm.parameters().starts_with("+proj=utm +zone=11") && utm.strays().is_some());
        assert!(
            read("Projection STATEPLANE\nDatum NAD83\nZone 3104\nUnits FEET\n")
                .unwrap()
                .system
                .unwrap()
                .is_err()
        );
        assert_eq!(read("nothing of the kind"), None);
    }
}
