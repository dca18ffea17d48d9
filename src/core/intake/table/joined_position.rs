//! A position that stands in one column, such as `lat, lon`, taken apart into the two that it is made of.

use crate::intake::{
    mapping::Mapping,
    table::{
        Layout,
        grid::{Grid, Heading},
        key,
    },
};

/// Tables whose positions may be joined. The places of sensitive sightings are withheld column by column.
const TABLES: [&str; 2] = ["plots", "photopoints"];

/// What such a column is called, or mapped onto, and the columns that it holds in their order.
const ORDERS: [(&str, [&str; 2]); 14] = [
    ("latitude_longitude", ["latitude", "longitude"]),
    ("longitude_latitude", ["longitude", "latitude"]),
    ("lat_lon", ["latitude", "longitude"]),
    ("lat_long", ["latitude", "longitude"]),
    ("lat_lng", ["latitude", "longitude"]),
    ("latlon", ["latitude", "longitude"]),
    ("latlong", ["latitude", "longitude"]),
    ("lon_lat", ["longitude", "latitude"]),
    ("long_lat", ["longitude", "latitude"]),
    ("lng_lat", ["longitude", "latitude"]),
    ("lonlat", ["longitude", "latitude"]),
    ("longlat", ["longitude", "latitude"]),
    ("easting_northing", ["easting", "northing"]),
    ("northing_easting", ["northing", "easting"]),
];

/// Other headings of such a column, which do not say what comes first.
const UNORDERED: [&str; 11] = [
    "gps",
    "position",
    "coordinates",
    "coords",
    "coordinate",
    "gps_position",
    "gps_coordinates",
    "gps_coords",
    "gps_location",
    "location",
    "gps_point",
];

/// What stands between the two numbers.
const BETWEEN: [&str; 6] = [";", "/", "|", ", ", ",", " "];

/// The columns that a heading, or the name that it is mapped onto, says that its cells hold.
pub(super) fn order(name: &str, layout: &Layout) -> Option<[&'static str; 2]> {
    let name = key(name);
    ORDERS.iter().find(|(known, _)| *known == name && TABLES.contains(&layout.table)).map(|(_, order)| *order)
}

/// The two parts of a cell; `None` where it has not two.
fn apart(cell: &str) -> Option<(&str, &str)> {
    let cell = cell.trim_matches(['(', ')', '[', ']']).trim();
    BETWEEN.iter().find_map(|between| {
        let mut parts = cell.split(between).map(str::trim).filter(|part| !part.is_empty());
        let (one, other) = (parts.next()?, parts.next()?);
        parts.next().is_none().then_some((one, other))
    })
}

/// Adds a column for each of the two, where the table has a joined one and none of its own. A cell that can't be taken apart stays whole in the
/// first, to be refused there.
pub(super) fn split(grid: &mut Grid, layout: &Layout, mapping: &Mapping) {
    let of = |heading: &Heading| {
        let mapped = mapping.columns.iter().find(|(theirs, _)| key(theirs) == key(&heading.text));
        order(mapped.map_or(heading.text.as_str(), |(_, ours)| ours), layout)
    };
    let Some((at, columns)) =
        grid.headings.iter().enumerate().find_map(|(at, heading)| Some((at, of(heading)?)))
    else {
        return;
    };
    let has = |column: &str| {
        grid.headings.iter().any(|heading| key(&heading.text) == column)
            || mapping.columns.values().chain(mapping.set.keys()).any(|ours| key(ours) == column)
    };
    if columns.iter().any(|column| has(column)) {
        return;
    }
    let width = grid.headings.len();
    for row in &mut grid.rows {
        let cell = row.cell(at).to_owned();
        let (one, other) = apart(&cell).unwrap_or((&cell, ""));
        row.widen(width);
        row.cells.truncate(width);
        row.cells.extend([one.into(), other.into()]);
    }
    for column in columns {
        grid.add(Heading::made(column));
    }
}

/// What a column headed without an order likely holds: each order that fits every cell, and whether only one does.
pub(super) fn likely<'a>(
    heading: &str,
    layout: &Layout,
    cells: impl Iterator<Item = &'a str>,
) -> Vec<&'static str> {
    if !TABLES.contains(&layout.table) || !UNORDERED.contains(&key(heading).as_str()) {
        return Vec::new();
    }
    let (mut any, mut latitude_first, mut longitude_first) = (false, true, true);
    for cell in cells {
        let numbers =
            apart(cell).and_then(|(one, other)| Some((one.parse::<f64>().ok()?, other.parse::<f64>().ok()?)));
        let Some((one, other)) = numbers else { return Vec::new() };
        any = true;
        let fits = |latitude: f64, longitude: f64| latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
        latitude_first &= fits(one, other);
        longitude_first &= fits(other, one);
    }
    let both = [(latitude_first, "latitude, longitude"), (longitude_first, "longitude, latitude")];
    both.into_iter().filter(|(fits, _)| any && *fits).map(|(_, order)| order).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{
        records::LAYOUTS,
        table::grid::tests::{grid, text},
    };

    fn plots() -> &'static Layout {
        LAYOUTS.iter().find(|layout| layout.table == "plots").unwrap()
    }

    #[test]
    fn a_joined_position_is_taken_apart() {
        let mut table = grid("plot,Lat / Long\nA,-36.1 148.2\nB,(-36.1; 148.3)\nC,\nD,north");
        split(&mut table, plots(), &Mapping::default());
        assert_eq!(
            text(&table),
            "plot,Lat / Long,latitude,longitude\nA,-36.1 148.2,-36.1,148.2\nB,(-36.1; 148.3),-36.1,148.3\nC,,,\nD,north,north,"
        );
        assert_eq!(apart("-36,1; 148,2"), Some(("-36,1", "148,2")));
        assert_eq!(apart("-36.1, 148.2, 800"), None);
    }

    #[test]
    fn the_order_is_told_where_only_one_fits() {
        let order = |cells: &[&str]| likely("GPS", plots(), cells.iter().copied());
        assert_eq!(order(&["-36.1, 148.2"]), ["latitude, longitude"]);
        assert_eq!(order(&["148.2 -36.1"]), ["longitude, latitude"]);
        assert_eq!(order(&["5.1, 52.2"]), ["latitude, longitude", "longitude, latitude"]);
        assert_eq!(order(&["near the gate"]), [""; 0]);
    }
}
