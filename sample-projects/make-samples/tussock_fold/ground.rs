//! Areas and features: one with a hole, one in two parts, one that crosses itself and lies over its neighbour.

use serde_json::json;

use super::super::{
    hill::{Hill, Spot},
    layer::{Feature, Shape, layer},
};

pub(super) fn files(hill: &Hill) -> Vec<(String, Vec<u8>)> {
    vec![("Blocks.geojson".to_owned(), areas(hill)), ("features.geojson".to_owned(), features(hill))]
}

/// The outer ring or rings of an area.
pub(super) fn outlines(hill: &Hill, area: &str) -> Vec<Vec<Spot>> {
    let block = |from, to, lean| hill.block(area, from, to, lean);
    match area {
        "Woolshed Face" => vec![block((0.0, 0.0), (262.0, 112.0), 0.12)],
        "Totara Gully" => vec![block((306.0, -12.0), (428.0, 156.0), -0.10)],
        "Kahikatea Flat" => vec![block((474.0, -64.0), (690.0, 38.0), 0.0)],
        "Basin" => vec![block((60.0, 196.0), (334.0, 338.0), -0.06)],
        "Roadside" => vec![
            block((-150.0, -66.0), (-24.0, -24.0), 0.0),
            hill.block("Roadside, east of the drive", (14.0, -78.0), (158.0, -34.0), 0.1),
        ],
        _ => vec![crossed(block((252.0, 34.0), (298.0, 166.0), 0.02))],
    }
}

/// Plan hectares, holes not taken out.
pub(super) fn hectares(hill: &Hill, area: &str) -> f64 {
    outlines(hill, area).iter().map(|ring| hill.hectares(ring)).sum()
}

/// A boundary walked with the recorder running: two corners in the wrong order.
fn crossed(mut ring: Vec<Spot>) -> Vec<Spot> {
    ring.swap(16, 19);
    ring
}

fn areas(hill: &Hill) -> Vec<u8> {
    let knob = vec![
        (196.0, 258.0),
        (203.0, 282.0),
        (219.0, 290.0),
        (238.0, 284.0),
        (243.0, 263.0),
        (230.0, 248.0),
        (209.0, 247.0),
        (196.0, 258.0),
    ];
    let ring = |area| outlines(hill, area).swap_remove(0);
    let parts = outlines(hill, "Roadside").into_iter().map(|ring| vec![ring]).collect();
    let stated = |area| (hectares(hill, area) * 100.0).round() / 100.0;
    let shapes = [
        (
            json!({"Block": "Woolshed Face", "hectares": stated("Woolshed Face")}),
            Shape::Polygon(vec![ring("Woolshed Face")]),
        ),
        (
            json!({"Block": "Totara Gully", "note": "Tōtara Gully on the old survey plan"}),
            Shape::Polygon(vec![ring("Totara Gully")]),
        ),
        (
            json!({"Block": "Kahikatea Flat", "frosty": "yes", "hectares": 2.6}),
            Shape::Polygon(vec![ring("Kahikatea Flat")]),
        ),
        (json!({"Block": "Basin", "frosty": "no"}), Shape::Polygon(vec![ring("Basin"), knob])),
        (json!({"Block": "Roadside"}), Shape::Parts(parts)),
        (json!({"Block": "Lambing Spur"}), Shape::Polygon(vec![ring("Lambing Spur")])),
    ];
    layer(hill, &shapes.map(|(properties, shape)| Feature { properties, shape }))
}

fn features(hill: &Hill) -> Vec<u8> {
    let fold: Vec<Spot> =
        (0..=20).map(|n| f64::from(n) * 16.0 - 90.0).map(|up| (448.0 - 0.05 * up, up)).collect();
    let basin_fence = [
        hill.contour(186.0, 48.0, 346.0, 12.0),
        vec![(342.0, 262.0), (336.0, 350.0)],
        hill.contour(350.0, 336.0, 40.0, 12.0),
        vec![(44.0, 270.0), (48.0, 186.0)],
    ]
    .concat();
    let square = |along: f64, up: f64, size: f64| {
        vec![(along, up), (along + size, up), (along + size, up + size), (along, up + size), (along, up)]
    };
    let shapes = [
        ("fence", "new", "Basin deer fence", Shape::Line(basin_fence)),
        ("fence", "new", "Woolshed Face bottom line", Shape::Line(hill.contour(-10.0, -12.0, 300.0, 12.0))),
        ("fence", "existing", "Road boundary", Shape::Line(hill.contour(-92.0, -170.0, 720.0, 18.0))),
        ("hedgerow", "existing", "Old hawthorn", Shape::Line(hill.contour(-82.0, 210.0, 330.0, 14.0))),
        (
            "track",
            "existing",
            "Basin track",
            Shape::Line(
                [hill.contour(-22.0, -30.0, 290.0, 14.0), vec![(282.0, 60.0), (290.0, 180.0)]].concat(),
            ),
        ),
        ("watercourse", "existing", "Fold Stream", Shape::Line(fold)),
        (
            "gully",
            "existing",
            "",
            Shape::Line(vec![(366.0, -12.0), (372.0, 70.0), (362.0, 156.0), (370.0, 230.0)]),
        ),
        (
            "slip",
            "existing",
            "Slip of July 2023",
            Shape::Polygon(vec![hill.block("slip", (120.0, 60.0), (146.0, 104.0), 0.1)]),
        ),
        ("power line", "existing", "", Shape::Line(vec![(-160.0, -40.0), (740.0, 60.0)])),
        ("buried service", "existing", "Stock water main", Shape::Line(vec![(-40.0, -14.0), (300.0, 8.0)])),
        ("building", "existing", "Woolshed", Shape::Polygon(vec![square(-44.0, 20.0, 22.0)])),
        (
            "water",
            "existing",
            "Lower dam",
            Shape::Polygon(vec![hill.block("dam", (706.0, -40.0), (746.0, -14.0), 0.0)]),
        ),
        ("gate", "existing", "", Shape::Point((-20.0, -92.0))),
        ("exclusion", "existing", "Rock knob", Shape::Polygon(vec![square(206.0, 256.0, 22.0)])),
    ];
    layer(
        hill,
        &shapes.map(|(kind, status, name, shape)| Feature {
            properties: json!({"kind": kind, "status": status, "name": name}),
            shape,
        }),
    )
}
