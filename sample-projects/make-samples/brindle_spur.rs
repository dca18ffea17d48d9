//! Brindle Spur: a small project as it should be, two areas, one season, nothing wrong worth the name.

use hillfolio_core::geometry::Grid;

use super::{
    album::{self, Point},
    dice::Dice,
    heights::Heights,
    hill::{Hill, Spot},
    layer::{Feature, Shape, layer},
    scene::Moment,
    sheet::Sheet,
    stand::{self, Kind, Plot, Visit},
    weather,
};

const FOLDER: &str = "brindle-spur";

/// GDA2020 / MGA zone 55.
const GRID: u16 = 7855;

const KINDS: [Kind; 13] = [
    Kind::new("Acacia melanoxylon", 0.14, 0.90, 92.0),
    Kind::new("Acacia implexa", 0.10, 0.88, 84.0),
    Kind::new("Acacia dealbata", 0.11, 0.91, 118.0),
    Kind::new("Allocasuarina littoralis", 0.08, 0.82, 66.0),
    Kind::new("Casuarina cunninghamiana", 0.06, 0.87, 88.0),
    Kind::new("Angophora floribunda", 0.07, 0.80, 58.0),
    Kind::new("Banksia integrifolia", 0.06, 0.76, 44.0),
    Kind::new("Brachychiton populneus", 0.06, 0.84, 36.0),
    Kind::new("Bursaria spinosa", 0.09, 0.88, 48.0),
    Kind::new("Dodonaea viscosa", 0.08, 0.86, 54.0),
    Kind::new("Leptospermum polygalifolium", 0.06, 0.81, 50.0),
    Kind::new("Lomandra longifolia", 0.05, 0.93, 32.0),
    Kind::new("Poa labillardierei", 0.04, 0.92, 28.0),
];

/// An area and what was planted there.
struct Block {
    area: &'static str,
    /// Its lower and its upper corner.
    corners: (Spot, Spot),
    lean: f64,
    stems: u64,
    days: [&'static str; 2],
}

/// Ground for the next stage, not planted yet: above the top fence, between the old trees and the power line.
const NEXT: (&str, (Spot, Spot), f64) = ("Top paddock", ((352.0, 190.0), (560.0, 246.0)), 0.05);

const BLOCKS: [Block; 2] = [
    Block {
        area: "North face",
        corners: ((0.0, 0.0), (318.0, 142.0)),
        lean: 0.10,
        stems: 7_400,
        days: ["2025-08-19", "2025-08-26"],
    },
    Block {
        area: "Gully head",
        corners: ((352.0, 12.0), (566.0, 164.0)),
        lean: -0.08,
        stems: 5_000,
        days: ["2025-09-02", "2025-09-09"],
    },
];

/// Plots: id, area, where.
const PLOTS: [(&str, &str, Spot); 8] = [
    ("N1", "North face", (46.0, 34.0)),
    ("N2", "North face", (112.0, 104.0)),
    ("N3", "North face", (176.0, 52.0)),
    ("N4", "North face", (262.0, 116.0)),
    ("N5", "North face", (286.0, 30.0)),
    ("G1", "Gully head", (388.0, 48.0)),
    ("G2", "Gully head", (452.0, 120.0)),
    ("G3", "Gully head", (520.0, 66.0)),
];

/// Every generated file of the project.
pub(crate) fn files() -> Vec<(String, Vec<u8>)> {
    let hill = Hill::new(FOLDER, 148.0312, -36.0874, 186.0);
    let (plots, tallies, stems, cover) = surveys(&hill);
    let mut files = vec![
        ("areas.geojson".to_owned(), areas(&hill)),
        ("features.geojson".to_owned(), features(&hill)),
        ("plantings.csv".to_owned(), plantings().by_day().csv()),
        ("plots.csv".to_owned(), plots.csv()),
        ("tallies.csv".to_owned(), tallies.csv()),
        ("stems.csv".to_owned(), stems.csv()),
        ("cover.csv".to_owned(), cover.csv()),
        ("terrain.tif".to_owned(), terrain(&hill)),
        ("rain.csv".to_owned(), rain().csv()),
    ];
    let moments = [
        ("2025-07-22", -1.0, 0.75, false),
        ("2025-10-14", 0.0, 0.95, true),
        ("2026-02-03", 0.18, 0.15, true),
        ("2026-05-12", 0.34, 0.55, true),
    ]
    .map(|(day, growth, green, fenced)| Moment { day, growth, green, fenced });
    files.extend(album::photos(&hill, &points(), &moments));
    files.push(("photopoints.csv".to_owned(), album::table(&hill, &points()).csv()));
    files.into_iter().map(|(path, bytes)| (format!("{FOLDER}/{path}"), bytes)).collect()
}

fn ring(hill: &Hill, block: &Block) -> Vec<Spot> {
    hill.block(block.area, block.corners.0, block.corners.1, block.lean)
}

fn areas(hill: &Hill) -> Vec<u8> {
    let (next, corners, lean) = NEXT;
    let rings = BLOCKS.iter().map(|block| (block.area, ring(hill, block)));
    let rings = rings.chain([(next, hill.block(next, corners.0, corners.1, lean))]);
    let feature = |(area, ring): (&str, Vec<Spot>)| {
        let hectares = (hill.hectares(&ring) * 100.0).round() / 100.0;
        Feature {
            properties: serde_json::json!({"area": area, "hectares": hectares}),
            shape: Shape::Polygon(vec![ring]),
        }
    };
    layer(hill, &rings.map(feature).collect::<Vec<_>>())
}

fn features(hill: &Hill) -> Vec<u8> {
    let new_fence = [
        hill.contour(-9.0, -9.0, 580.0, 12.0),
        vec![(578.0, 60.0), (572.0, 120.0)],
        hill.contour(176.0, 566.0, 4.0, 12.0),
    ]
    .concat();
    let creek: Vec<Spot> =
        (0..=15).map(|n| f64::from(n) * 16.0 - 60.0).map(|up| (336.0 + 0.02 * up, up)).collect();
    let rock = vec![
        (204.0, 82.0),
        (221.0, 80.0),
        (229.0, 91.0),
        (223.0, 103.0),
        (209.0, 104.0),
        (200.0, 94.0),
        (204.0, 82.0),
    ];
    let wood = hill.block("old wood", (120.0, 190.0), (300.0, 252.0), 0.0);
    let features = [
        ("fence", "new", "Stock fence round the planting", Shape::Line(new_fence)),
        (
            "fence",
            "existing",
            "Eastern boundary fence",
            Shape::Line(vec![(4.0, 176.0), (-3.0, 88.0), (-9.0, -9.0)]),
        ),
        ("gate", "new", "Lower gate", Shape::Point((150.0, -9.0))),
        ("track", "existing", "Spur track", Shape::Line(hill.contour(-26.0, -60.0, 640.0, 14.0))),
        ("watercourse", "existing", "Brindle Creek", Shape::Line(creek)),
        ("power line", "existing", "Farm supply line", Shape::Line(vec![(668.0, -90.0), (596.0, 250.0)])),
        ("exclusion", "existing", "Rock shelf, not planted", Shape::Polygon(vec![rock])),
        ("remnant", "existing", "Old trees on the crest", Shape::Polygon(vec![wood])),
    ];
    let feature = |(kind, status, name, shape)| Feature {
        properties: serde_json::json!({"kind": kind, "status": status, "name": name}),
        shape,
    };
    layer(hill, &features.map(feature))
}

/// A model of five metres, as it was flown for the district.
fn terrain(hill: &Hill) -> Vec<u8> {
    let spots = [(-60.0, -60.0), (640.0, -60.0), (-60.0, 230.0), (640.0, 230.0)];
    Heights::over(hill, &Grid::of_epsg(GRID).unwrap(), &spots, 5.0, 150.0).geotiff(GRID)
}

fn rain() -> Sheet {
    let day = |text: &str| text.parse().unwrap();
    let away = [(day("2025-12-24"), day("2026-01-02")), (day("2019-06-11"), day("2019-06-30"))];
    weather::rain_book(FOLDER, day("2014-01-01"), day("2026-06-30"), 790.0, &away)
}

fn plantings() -> Sheet {
    let mut sheet = Sheet::new("date,area,species,stems,stock,provenance,supplier,batch,guard,note");
    let mut batch = 0;
    for Block { area, stems, days, .. } in BLOCKS {
        for (place, (kind, stems)) in KINDS.iter().zip(stand::shares_out(stems, &KINDS)).enumerate() {
            let grassy = kind.name.starts_with("Lomandra") || kind.name.starts_with("Poa");
            let (stock, guard) = if grassy { ("seedling tray", "none") } else { ("tubestock", "carton") };
            let provenance =
                Dice::new(kind.name).one(&["Upper Tarrow", "Lower Tarrow", "Merrin Range"]).to_string();
            let supplier = if place % 3 == 1 { "Longbarrow Seedlings" } else { "Millrace Nursery" };
            // A species that came in two lots went in on both days.
            let lots =
                if stems >= 640 { vec![stems / 80 * 40, stems - stems / 80 * 40] } else { vec![stems] };
            for (lot, stems) in lots.iter().enumerate() {
                batch += 1;
                let day = days[(place + lot) % 2];
                let note = match (area, kind.name) {
                    ("Gully head", "Casuarina cunninghamiana") => "Along the creek line, damp ground",
                    ("North face", "Banksia integrifolia") => "Stony part below the rock shelf",
                    _ => "",
                };
                let (stems, batch) = (stems.to_string(), format!("BS25-{batch:02}"));
                sheet.row([day, area, kind.name, &stems, stock, &provenance, supplier, &batch, guard, note]);
            }
        }
    }
    sheet
}

fn surveys(hill: &Hill) -> (Sheet, Sheet, Sheet, Sheet) {
    let mut plots =
        Sheet::new("plot,area,length_m,width_m,longitude,latitude,measured_on,planted_stems,note");
    let mut tallies = Sheet::new("date,plot,species,alive,dead,missing,recruits,cohort,note");
    let mut stems = Sheet::new("date,plot,species,tag,height_cm,status,note");
    let mut cover = Sheet::new("date,plot,layer,cover,percent,note");
    for (id, area, spot) in PLOTS {
        let block = BLOCKS.iter().find(|block| block.area == area).unwrap();
        let per_hectare = block.stems as f64 / hill.hectares(&ring(hill, block));
        let plot = Plot::new(id, 100.0, per_hectare, &KINDS);
        let (longitude, latitude) = hill.position(spot);
        let position = [format!("{longitude:.6}"), format!("{latitude:.6}")];
        let note = if id == "N4" { "Stony ground above the rock shelf" } else { "" };
        let set = plot.stems().to_string();
        plots.row([id, area, "10", "10", &position[0], &position[1], "plan", &set, note]);
        let date = if area == "North face" { "2026-05-12" } else { "2026-05-13" };
        stand::survey(&plot, &KINDS, &Visit { date, cohort: "2025", years: 1.0 }, &mut tallies, &mut stems);
        ground_cover(id, date, &mut cover);
    }
    (plots, tallies, stems, cover)
}

/// A ground layer that adds up to a hundred, and a canopy that has hardly begun.
fn ground_cover(plot: &str, date: &str, sheet: &mut Sheet) {
    let mut dice = Dice::new(&format!("cover {plot}"));
    let (native, weed) = (dice.whole(3, 7) * 5, dice.whole(0, 2) * 5);
    let (litter, bare) = (dice.whole(2, 4) * 5, dice.whole(1, 3) * 5);
    let exotic = 100 - native - weed - litter - bare;
    for (cover, percent) in [
        ("native grass", native),
        ("exotic grass", exotic),
        ("weed", weed),
        ("litter", litter),
        ("bare", bare),
    ] {
        sheet.row([date, plot, "ground", cover, &percent.to_string(), ""]);
    }
    sheet.row([date, plot, "canopy", "native", &dice.whole(1, 6).to_string(), ""]);
}

fn points() -> Vec<Point> {
    [
        ("P1", (20.0, -20.0), (120.0, 90.0), "North face", "Up the spur from the track", false),
        ("P2", (310.0, -18.0), (200.0, 80.0), "North face", "Across the face to the rock shelf", false),
        ("P3", (150.0, 182.0), (170.0, 20.0), "North face", "Down the face from the top fence", false),
        ("P4", (366.0, -16.0), (440.0, 110.0), "Gully head", "Up the gully head", true),
        ("P5", (574.0, 150.0), (440.0, 70.0), "Gully head", "Back across the gully head to the creek", false),
    ]
    .map(|(id, stands, looks_at, area, about, upright)| Point { id, stands, looks_at, area, about, upright })
    .into()
}
