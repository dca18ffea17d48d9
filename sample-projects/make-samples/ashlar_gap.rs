//! Ashlar Gap: an offset on three slopes, planted over two wets and counted every autumn for four years.

mod survey;

use hillfolio_core::geometry::Grid;

use super::{
    album::{self, Point},
    dice::Dice,
    heights::Heights,
    hill::{Hill, Spot},
    layer::{Feature, Shape, layer},
    scene::Moment,
    sheet::Sheet,
    stand::{self, Kind},
    weather,
};

const FOLDER: &str = "ashlar-gap";

/// GDA2020 / MGA zone 56.
const GRID: u16 = 7856;

/// The species planted, with the share that lives to the first survey and the height they reach in a year.
const KINDS: [Kind; 18] = [
    Kind::new("Acacia melanoxylon", 0.10, 0.93, 115.0),
    Kind::new("Acacia disparrima", 0.09, 0.92, 150.0),
    Kind::new("Acacia irrorata", 0.07, 0.90, 165.0),
    Kind::new("Alphitonia excelsa", 0.07, 0.86, 95.0),
    Kind::new("Macaranga tanarius", 0.05, 0.82, 130.0),
    Kind::new("Homalanthus populifolius", 0.04, 0.78, 120.0),
    Kind::new("Eucalyptus siderophloia", 0.06, 0.84, 105.0),
    Kind::new("Eucalyptus propinqua", 0.06, 0.83, 110.0),
    Kind::new("Lophostemon confertus", 0.06, 0.88, 80.0),
    Kind::new("Grevillea robusta", 0.05, 0.87, 120.0),
    Kind::new("Melaleuca viminalis", 0.05, 0.90, 75.0),
    Kind::new("Waterhousea floribunda", 0.05, 0.85, 70.0),
    Kind::new("Ficus coronata", 0.04, 0.80, 65.0),
    Kind::new("Guioa semiglauca", 0.05, 0.81, 60.0),
    Kind::new("Jagera pseudorhus", 0.04, 0.80, 62.0),
    Kind::new("Araucaria cunninghamii", 0.05, 0.91, 55.0),
    Kind::new("Flindersia australis", 0.04, 0.79, 48.0),
    Kind::new("Castanospermum australe", 0.03, 0.77, 50.0),
];

/// An area and its planting.
struct Block {
    area: &'static str,
    corners: (Spot, Spot),
    lean: f64,
    stems: u64,
    planted: &'static str,
}

const BLOCKS: [Block; 3] = [
    Block {
        area: "Upper slope",
        corners: ((20.0, 78.0), (250.0, 190.0)),
        lean: 0.06,
        stems: 5_600,
        planted: "2021-02-16",
    },
    Block {
        area: "Creek side",
        corners: ((352.0, -10.0), (492.0, 118.0)),
        lean: -0.04,
        stems: 4_100,
        planted: "2021-02-23",
    },
    Block {
        area: "Knoll",
        corners: ((40.0, -52.0), (214.0, 40.0)),
        lean: 0.0,
        stems: 3_300,
        planted: "2022-02-08",
    },
];

/// Every generated file of the project.
pub(crate) fn files() -> Vec<(String, Vec<u8>)> {
    let hill = Hill::new(FOLDER, 152.6418, -28.3127, 152.0);
    let mut files = vec![
        ("areas.geojson".to_owned(), areas(&hill)),
        ("features.geojson".to_owned(), features(&hill)),
        ("plantings.csv".to_owned(), plantings().by_day().csv()),
        ("terrain.tif".to_owned(), terrain(&hill)),
        ("rain.csv".to_owned(), rain().csv()),
    ];
    files.extend(survey::files(&hill));
    let moments = [("2020-11-18", -1.0, 0.5), ("2022-05-17", 0.22, 0.6), ("2025-05-20", 0.9, 0.7)]
        .map(|(day, growth, green)| Moment { day, growth, green, fenced: growth >= 0.0 });
    files.extend(album::photos(&hill, &points(), &moments));
    files.push(("photopoints.csv".to_owned(), album::table(&hill, &points()).csv()));
    files.into_iter().map(|(path, bytes)| (format!("{FOLDER}/{path}"), bytes)).collect()
}

fn ring(hill: &Hill, block: &Block) -> Vec<Spot> {
    hill.block(block.area, block.corners.0, block.corners.1, block.lean)
}

fn areas(hill: &Hill) -> Vec<u8> {
    let feature = |block: &Block| Feature {
        properties: serde_json::json!({"area": block.area}),
        shape: Shape::Polygon(vec![ring(hill, block)]),
    };
    layer(hill, &BLOCKS.iter().map(feature).collect::<Vec<_>>())
}

fn features(hill: &Hill) -> Vec<u8> {
    let fence = [
        hill.contour(-62.0, 8.0, 508.0, 14.0),
        vec![(510.0, 40.0), (506.0, 130.0)],
        hill.contour(204.0, 500.0, 6.0, 14.0),
        vec![(4.0, 120.0), (6.0, -20.0), (8.0, -62.0)],
    ]
    .concat();
    let creek: Vec<Spot> = (0..=22).map(|n| f64::from(n) * 14.0 - 90.0).map(|up| (336.0, up)).collect();
    let wood = hill.block("remnant", (520.0, 20.0), (640.0, 150.0), 0.0);
    let slip =
        vec![(268.0, 96.0), (286.0, 92.0), (294.0, 112.0), (280.0, 134.0), (266.0, 120.0), (268.0, 96.0)];
    let features = [
        ("fence", "new", "Stock fence", Shape::Line(fence)),
        ("watercourse", "existing", "Gap Creek", Shape::Line(creek)),
        ("track", "existing", "Lower track", Shape::Line(hill.contour(-76.0, -60.0, 640.0, 16.0))),
        ("slip", "existing", "Old slip, fenced off", Shape::Polygon(vec![slip])),
        ("remnant", "existing", "Rainforest in the gully", Shape::Polygon(vec![wood])),
        ("gate", "new", "Gate", Shape::Point((150.0, -62.0))),
    ];
    let feature = |(kind, status, name, shape)| Feature {
        properties: serde_json::json!({"kind": kind, "status": status, "name": name}),
        shape,
    };
    layer(hill, &features.map(feature))
}

fn terrain(hill: &Hill) -> Vec<u8> {
    let spots = [(-80.0, -100.0), (660.0, -100.0), (-80.0, 260.0), (660.0, 260.0)];
    Heights::over(hill, &Grid::of_epsg(GRID).unwrap(), &spots, 5.0, 140.0).geotiff(GRID)
}

fn rain() -> Sheet {
    let day = |text: &str| text.parse().unwrap();
    let unread = [(day("2023-07-03"), day("2023-07-09"))];
    weather::rain_book(FOLDER, day("2009-01-01"), day("2025-06-30"), 1_060.0, &unread)
}

fn plantings() -> Sheet {
    let mut sheet = Sheet::new("date,area,species,stems,stock,provenance,supplier,batch,replaces,note");
    let mut batch = 0;
    for Block { area, stems, planted, .. } in BLOCKS {
        for (kind, stems) in KINDS.iter().zip(stand::shares_out(stems, &KINDS)) {
            batch += 1;
            let provenance =
                Dice::new(&format!("seed {}", kind.name)).one(&["Gap Creek", "Upper Callan"]).to_string();
            let (stems, batch) = (stems.to_string(), format!("AG{}-{batch:02}", &planted[2..4]));
            let supplier = "Callan Native Seedlings";
            sheet.row([planted, area, kind.name, &stems, "tubestock", &provenance, supplier, &batch, "", ""]);
        }
    }
    // What the frost of 2022 took by the creek was planted again with hardier kinds.
    for (name, stems, replaces) in
        [("Acacia melanoxylon", "160", "AG21-23"), ("Melaleuca viminalis", "120", "AG21-24")]
    {
        batch += 1;
        let batch = format!("AG23-{batch:02}");
        let note = "Infill after the frost of July 2022";
        sheet.row([
            "2023-02-14",
            "Creek side",
            name,
            stems,
            "tubestock",
            "Upper Callan",
            "Callan Native Seedlings",
            &batch,
            replaces,
            note,
        ]);
    }
    sheet
}

fn points() -> Vec<Point> {
    [
        ("A1", (10.0, 70.0), (150.0, 150.0), "Upper slope", "Along the upper slope", false),
        ("A2", (498.0, 30.0), (420.0, 70.0), "Creek side", "Across to the creek", false),
        ("A3", (30.0, -60.0), (130.0, 10.0), "Knoll", "Up the knoll from the gate", true),
    ]
    .map(|(id, stands, looks_at, area, about, upright)| Point { id, stands, looks_at, area, about, upright })
    .into()
}
