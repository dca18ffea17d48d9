//! Shifts between datums, and systems read into degrees, against PROJ and the printed example.

use geo::Point;
use hillfolio_core::geometry::{Datum, System, shifted};

/// Longitude and latitude on GDA94, and the same ground on GDA2020. Made with PROJ 9.5.1 through pyproj, and by hand with
/// numpy, which agree to 3e-12 degrees.
const GDA: [((f64, f64), (f64, f64)); 6] = [
    ((144.424867889, -37.951033417), (144.424873904802, -37.9510202190625)),
    ((143.926495528, -37.652821139), (143.926501661519, -37.652807906771)),
    ((148.9, -36.4), (148.900005446934, -36.3999871289025)),
    ((151.2093, -33.8688), (151.209305429808, -33.8687873168595)),
    ((153.6, -28.6), (153.600005825321, -28.5999875121925)),
    ((146.0, -42.9), (146.000005124128, -42.8999869400541)),
];

/// Easting and northing in MGA94 zone 55, and in MGA2020 zone 55 the same ground; from the same PROJ.
const MGA: [((f64, f64), (f64, f64)); 3] = [
    ((273741.297, 5796489.777), (273741.785141645, 5796491.25631199)),
    ((600000.0, 5900000.0), (600000.505340839, 5900001.42879843)),
    ((720000.0, 6100000.0), (720000.536968021, 6100001.41158898)),
];

/// A code, degrees, and the numbers of that code's system.
type Known = (u16, (f64, f64), (f64, f64));

/// Code, longitude and latitude, and the numbers of the system; from the same PROJ.
const OTHERS: [Known; 7] = [
    (2193, (175.5, -40.2), (1812786.7558, 5547046.9154)),
    (2193, (173.0, -41.0), (1600000.0, 5461242.9382)),
    (2193, (168.1, -46.4), (1223347.2697, 4849830.8123)),
    (2193, (178.3, -38.1), (2064852.4134, 5769802.0256)),
    (3857, (148.0, -36.0), (16475284.6374, -4300621.372)),
    (3857, (175.5, -40.2), (19536570.6342, -4895048.4406)),
    (25832, (10.5, 47.2), (613611.1434, 5228481.0735)),
];

/// A centimetre, in degrees of latitude.
const CENTIMETRE: f64 = 9e-8;

fn near(one: Point<f64>, other: (f64, f64), by: f64) {
    assert!((one.x() - other.0).abs() < by && (one.y() - other.1).abs() < by, "{one:?} for {other:?}");
}

#[test]
fn gda94_is_shifted_to_gda2020_and_back_as_proj_does() {
    for (old, new) in GDA {
        let there = shifted(old.into(), Datum::Gda94, Datum::Gda2020).unwrap();
        near(there, new, 2e-9);
        near(shifted(there, Datum::Gda2020, Datum::Gda94).unwrap(), old, 2e-9);
    }
    let (mga94, mga2020) = (System::of_epsg(28355).unwrap(), System::of_epsg(7855).unwrap());
    for (old, new) in MGA {
        let there = mga94.to_geographic(old.0, old.1).unwrap();
        let there = shifted(there, mga94.datum(), mga2020.datum()).unwrap();
        let expected = mga2020.to_geographic(new.0, new.1).unwrap();
        near(there, expected.x_y(), CENTIMETRE / 10.0);
    }
}

/// ICSM (2018), *Geocentric Datum of Australia 2020 Technical Manual* 1.2, section 3.1.1: Alice Springs (ALIC), on GDA94
/// 23°40'12.446019" S, 133°53'07.847844" E, on GDA2020 23°40'12.39650" S, 133°53'07.87779" E.
#[test]
fn the_printed_example_of_alice_springs_comes_out() {
    let degrees = |whole: f64, minutes: f64, seconds: f64| whole + minutes / 60.0 + seconds / 3600.0;
    let old = Point::new(degrees(133.0, 53.0, 7.847844), -degrees(23.0, 40.0, 12.446019));
    let new = (degrees(133.0, 53.0, 7.87779), -degrees(23.0, 40.0, 12.39650));
    near(shifted(old, Datum::Gda94, Datum::Gda2020).unwrap(), new, CENTIMETRE / 10.0);
}

#[test]
fn other_systems_are_read_into_degrees_to_a_centimetre() {
    for (epsg, degrees, (x, y)) in OTHERS {
        near(System::of_epsg(epsg).unwrap().to_geographic(x, y).unwrap(), degrees, CENTIMETRE);
    }
}
