//! Well-known text, first and second edition, and as ESRI writes it.
//!
//! # Reference
//! OGC 01-009 (first edition) and OGC 18-010r11 (second edition).

use std::collections::BTreeMap;

use crate::{
    geometry::{Crs, System},
    intake::{
        crs::{
            Ellipsoid, Method, Parameter, Projection, Spelled, datum,
            datums::plain,
            tree::{self, Node, Part},
        },
        limits,
    },
};

/// Words that begin a projected system, in both editions.
const PROJECTED: [&str; 3] = ["PROJCS", "PROJCRS", "PROJECTEDCRS"];

/// Words that begin a geographic system, alone or under a projected one.
const GEOGRAPHIC: [&str; 7] =
    ["GEOGCS", "GEOGCRS", "GEOGRAPHICCRS", "GEODCRS", "BASEGEOGCRS", "BASEGEODCRS", "GEODETICCRS"];

/// Words that begin a system of heights.
const VERTICAL: [&str; 4] = ["VERTCS", "VERT_CS", "VERTCRS", "VERTICALCRS"];

/// Words that begin a unit.
const UNITS: [&str; 4] = ["UNIT", "LENGTHUNIT", "ANGLEUNIT", "SCALEUNIT"];

/// A degree in radians.
const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// How far, in degrees, the place by a system's code may lie from that by its parameters: some fifty metres, which is what two
/// shifts of one datum may differ by.
const SAME_PLACE: f64 = 0.000_5;

/// What the text says; `None` where it spells no system.
pub(super) fn read(text: &str) -> Option<Spelled> {
    let tree = tree::parse(text).filter(|_| text.len() <= limits::CRS_TEXT)?;
    let node = tree.find(&PROJECTED).or_else(|| tree.find(&GEOGRAPHIC))?;
    let projected = PROJECTED.contains(&node.word.as_str());
    let spelled = if projected { projected_system(node) } else { geographic_system(node) };
    let system = match known(node, projected) {
        None => spelled,
        Some(_) if !projected && spelled.is_err() => spelled,
        Some(known) => match spelled {
            Ok(spelled) if projected && !same_place(&known, &spelled, node) => {
                Err(format!("its parameters are not those of {}, whose name or code it bears", known.name()))
            }
            _ => Ok(known),
        },
    };
    Some(Spelled { name: node.name().to_owned(), system: Some(system), height_unit: units_of_height(&tree) })
}

/// Metres in a unit of the system of heights under `tree`, where it has one.
fn units_of_height(tree: &Node) -> Option<f64> {
    let vertical = tree.find(&VERTICAL)?;
    unit(vertical).filter(|metres| (0.1..10.0).contains(metres))
}

/// The system of the EPSG dataset whose code or name the node bears.
fn known(node: &Node, projected: bool) -> Option<Crs> {
    let sound = |crs: &Crs| crs.in_degrees() != projected && System::of(crs).is_some();
    if let Some(crs) = node.epsg().and_then(Crs::of_epsg).filter(sound) {
        return Some(crs);
    }
    let named = if projected { projected_by_name(node.name()) } else { geographic_by_name(node.name()) };
    Crs::of_epsg(named?).filter(sound)
}

/// Whether two ways of reading one node lead to the same place, near the origin of its projection.
fn same_place(one: &Crs, other: &Crs, node: &Node) -> bool {
    let (Some(one), Some(other)) = (System::of(one), System::of(other)) else { return true };
    let values = parameters(node, 1.0, 1.0).unwrap_or_default();
    // Some programs write the name and leave the parameters out.
    if values.is_empty() {
        return true;
    }
    let value = |parameter| values.get(&parameter).copied();
    let latitude = value(Parameter::Parallel1).or(value(Parameter::Latitude)).unwrap_or(0.0);
    let longitude = value(Parameter::Longitude).unwrap_or(0.0);
    let place = geo::Point::new(longitude + 0.5, (latitude + 0.5).clamp(-85.0, 85.0));
    let back = one.of_geographic(place).and_then(|(x, y)| other.to_geographic(x, y));
    back.is_none_or(|back| (back - place).x().abs() < SAME_PLACE && (back - place).y().abs() < SAME_PLACE)
}

fn geographic_system(node: &Node) -> Result<Crs, String> {
    let (name, parameters) = datum_of(node)?;
    let turn = unit(node).unwrap_or(DEGREE);
    if (turn / DEGREE - 1.0).abs() > 1e-6 {
        return Err("its angles are not in degrees".to_owned());
    }
    let text = format!("+proj=longlat {parameters}");
    Crs::new(node.name(), &name, &text)
        .ok_or_else(|| format!("its datum, {name}, has no known way to WGS 84"))
}

fn projected_system(node: &Node) -> Result<Crs, String> {
    let base = node.find(&GEOGRAPHIC).ok_or("it names no datum")?;
    let (name, datum) = datum_of(base)?;
    let no_way = || format!("its datum, {name}, has no known way to WGS 84");
    // GDAL's own words for what the first edition can't say, such as Web Mercator.
    if let Some(own) = node.child(&["EXTENSION"]).filter(|extension| extension.name() == "PROJ4") {
        let text = own.parts.iter().rev().find_map(|part| match part {
            Part::Text(text) => Some(text.as_str()),
            _ => None,
        });
        let text = text.unwrap_or_default();
        return Crs::new(node.name(), &name, text).ok_or_else(no_way);
    }
    let metres_per_unit = unit(node).unwrap_or(1.0);
    let angle = unit(base).unwrap_or(DEGREE) / DEGREE;
    let mut method = node.find(&["PROJECTION", "METHOD"]).map(Node::name).unwrap_or_default();
    if called_web_mercator(&plain(node.name())) {
        method = "Popular Visualisation Pseudo Mercator";
    }
    let Some(known) = Method::named(method) else {
        return Err(match method {
            "" => "it names no projection".to_owned(),
            _ => format!("its projection, {method}, is not carried out here"),
        });
    };
    let axes: Vec<&Node> = node.children(&["AXIS"]).collect();
    let southward = axes.iter().any(|axis| axis.says("SOUTH")) && known == Method::TransverseMercator;
    if axes.iter().any(|axis| axis.says("WEST")) || southward {
        return Err("it counts westward or southward".to_owned());
    }
    let values = parameters(node, metres_per_unit, angle)?;
    if values.is_empty() {
        return Err("it gives its projection no parameters".to_owned());
    }
    let notation = Projection { method: known, values, metres_per_unit }.notation()?;
    let crs = Crs::new(node.name(), &name, &format!("{notation} {datum}")).ok_or_else(no_way)?;
    match System::of(&crs) {
        Some(_) => Ok(crs),
        None => Err(format!("its projection, {method}, is not carried out here")),
    }
}

/// The parameters of a projected system: angles in degrees, lengths in metres.
fn parameters(node: &Node, metres: f64, angle: f64) -> Result<BTreeMap<Parameter, f64>, String> {
    let holder = node.child(&["CONVERSION"]).unwrap_or(node);
    let mut values = BTreeMap::new();
    for one in holder.children(&["PARAMETER"]) {
        let Some(&value) = one.numbers().first() else { continue };
        let Some(parameter) = Parameter::named(one.name()) else {
            // Of no matter where it is nought: ESRI's programs write such.
            match value == 0.0 || one.name() == "Auxiliary_Sphere_Type" {
                true => continue,
                false => return Err(format!("its parameter {} is not known here", one.name())),
            }
        };
        let factor = unit(one).map(|unit| if parameter.is_angle() { unit / DEGREE } else { unit });
        let factor = factor.unwrap_or(match parameter {
            _ if parameter.is_length() => metres,
            _ if parameter.is_angle() => angle,
            _ => 1.0,
        });
        // 60° in another unit's digits is 60.000000000000007: a degree that was whole is whole.
        let value = value * factor;
        let rounded = (value * 1e10).round() / 1e10;
        values.insert(parameter, if parameter.is_angle() { rounded } else { value });
    }
    Ok(values)
}

/// The name and parameters of the datum of a geographic system.
fn datum_of(node: &Node) -> Result<(String, String), String> {
    if let Some(crs) = node.epsg().and_then(Crs::of_epsg).filter(Crs::in_degrees) {
        return Ok((crs.datum().to_owned(), crs.datum_parameters()));
    }
    let frame = node.find(&["DATUM", "GEODETICDATUM", "TRF", "ENSEMBLE"]);
    let ellipsoid = node.find(&["SPHEROID", "ELLIPSOID"]).and_then(|one| match one.numbers()[..] {
        [axis, inverse_flattening, ..] => Some(Ellipsoid { axis, inverse_flattening }),
        _ => None,
    });
    let shift = frame.and_then(|frame| frame.child(&["TOWGS84"])).map(Node::numbers);
    let names = [node.name(), frame.map(Node::name).unwrap_or_default()];
    let (name, mut parameters) = datum(&names, ellipsoid, shift.as_deref())?;
    let meridian = node.find(&["PRIMEM", "PRIMEMERIDIAN"]).and_then(|one| one.numbers().first().copied());
    if let Some(meridian) = meridian.filter(|meridian| *meridian != 0.0 && !parameters.contains("+pm=")) {
        let turned = meridian * unit(node).unwrap_or(DEGREE) / DEGREE;
        parameters = format!("{parameters} +pm={turned}");
    }
    Ok((name, parameters))
}

/// How many metres or radians a node's own unit has, or that of its axes.
fn unit(node: &Node) -> Option<f64> {
    let own = |node: &Node| node.child(&UNITS).and_then(|unit| unit.numbers().first().copied());
    let found = own(node).or_else(|| node.child(&["AXIS"]).and_then(own));
    found.filter(|factor| factor.is_finite() && *factor > 0.0)
}

/// Whether a plain name is one of those of Web Mercator.
fn called_web_mercator(plain: &str) -> bool {
    plain.contains("webmercator") || plain.contains("pseudomercator")
}

/// The projected system of the dataset that is called `name`, whoever wrote the name: `GDA_1994_MGA_Zone_55` is
/// `GDA94 / MGA zone 55`.
pub(crate) fn projected_by_name(name: &str) -> Option<u16> {
    let wanted = plain(name);
    if called_web_mercator(&wanted) {
        return Some(3857);
    }
    if wanted.is_empty() {
        None
    } else {
        called(&wanted, "PROJCS[\"").find(|&epsg| Crs::of_epsg(epsg).is_some())
    }
}

/// The geographic system of the dataset that is called `name`: `GCS_GDA_1994` is `GDA94`.
fn geographic_by_name(name: &str) -> Option<u16> {
    let wanted = plain(name);
    if wanted.is_empty() {
        None
    } else {
        called(&wanted, "GEOGCS[\"").find(|&epsg| Crs::of_epsg(epsg).is_some())
    }
}

/// The codes whose definition begins with `kind` and the plain name `wanted`.
fn called(wanted: &str, kind: &str) -> impl Iterator<Item = u16> {
    (1..=u16::MAX).filter(move |epsg| {
        let definition = crs_definitions::from_code(*epsg);
        let name = definition.and_then(|one| one.wkt.strip_prefix(kind)?.split('"').next());
        name.is_some_and(|name| plain(name) == wanted)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn epsg(text: &str) -> Option<u16> {
        read(text)?.system?.ok()?.epsg()
    }

    #[test]
    fn a_system_is_known_by_either_name() {
        for (name, epsg) in [
            ("WGS_1984_UTM_Zone_16N", 32616),
            ("WGS 84 / UTM zone 60S", 32760),
            ("GDA_1994_MGA_Zone_55", 28355),
            ("GDA2020_MGA_Zone_56", 7856),
            ("NZGD_2000_New_Zealand_Transverse_Mercator", 2193),
            ("ETRS_1989_UTM_Zone_32N", 25832),
            ("WGS_1984_Web_Mercator_Auxiliary_Sphere", 3857),
        ] {
            assert_eq!(projected_by_name(name), Some(epsg), "{name}");
        }
        for (name, epsg) in [
            ("GCS_WGS_1984", 4326),
            ("GCS_GDA_1994", 4283),
            ("GDA2020", 7844),
            ("GCS_NZGD_2000", 4167),
            ("GCS_North_American_1983", 4269),
            ("GCS_North_American_1927", 4267),
        ] {
            assert_eq!(geographic_by_name(name), Some(epsg), "{name}");
        }
        assert_eq!(geographic_by_name("GCS_"), None);
        assert_eq!(projected_by_name("Uncle's own grid"), None);
        assert_eq!(projected_by_name(""), None);
    }

    #[test]
    fn both_editions_and_both_kinds_are_read() {
        let esri = r#"PROJCS["GDA2020_MGA_Zone_55",GEOGCS["GDA2020",DATUM["GDA2020",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",10000000.0],PARAMETER["Central_Meridian",147.0],PARAMETER["Scale_Factor",0.9996],UNIT["Meter",1.0]],VERTCS["heights",VDATUM["x"],UNIT["Foot_US",0.304800609601219]]"#;
        // The unit of heights stands in a second tree behind the first, as ESRI's programs write it.
        assert_eq!(epsg(esri), Some(7855));
        assert_eq!(read(esri).unwrap().height_unit, Some(0.304_800_609_601_219));
        let ogc = r#"PROJCS["a name of our own",GEOGCS["WGS 84",AUTHORITY["EPSG","4326"]],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AUTHORITY["EPSG","32616"]]"#;
        assert_eq!(epsg(ogc), Some(32616));
        let second = r#"GEOGCRS["WGS 84",DATUM["World Geodetic System 1984",ELLIPSOID["WGS 84",6378137,298.257223563]],ID["EPSG",4326]]"#;
        assert_eq!(epsg(second), Some(4326));
        let feet = r#"COMPD_CS["both",PROJCS["a",GEOGCS["NAD83"],AUTHORITY["EPSG","32616"]],VERT_CS["NAVD88 (ft)",VERT_DATUM["x",2005],UNIT["Foot",0.3048]]]"#;
        assert_eq!(read(feet).unwrap().height_unit, Some(0.3048));
    }

    #[test]
    fn a_name_that_its_parameters_give_the_lie_is_refused() {
        let zone = |meridian: f64| {
            format!(
                r#"PROJCS["WGS_1984_UTM_Zone_16N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["Central_Meridian",{meridian}],PARAMETER["Scale_Factor",0.9996],UNIT["Meter",1.0]]"#
            )
        };
        assert_eq!(epsg(&zone(-87.0)), Some(32616));
        let Some(Err(why)) = read(&zone(-81.0)).unwrap().system else { panic!() };
        assert!(why.contains("UTM zone 16N"), "{why}");
    }

    #[test]
    fn what_is_no_system_gives_nothing() {
        for text in ["", "PROJCS", "PROJCS[", "PROJCS[\"a", "LOCAL_CS[\"a\"]", "\u{fffd}\u{fffd}[[[]]]"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_gives_nothing(
            text in "(PROJCS|GEOGCS|VERTCS|UNIT|AUTHORITY|EPSG|ID|PROJECTION|PARAMETER|\\[|\\]|\"|,|[0-9.]{1,20}|[a-zé ]{1,4}){0,40}",
        ) {
            let _ = read(&text);
        }
    }
}
