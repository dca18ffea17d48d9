//! Tussock Fold Station: an awkward project, three seasons, six areas, and most of the slips that a folder can hold.

mod ground;
mod log;
mod pictures;
mod survey;

use hillfolio_core::geometry::Grid;

use super::{heights::Heights, hill::Hill, stand::Kind};

const FOLDER: &str = "tussock-fold";

/// Every generated file of the project.
pub(crate) fn files() -> Vec<(String, Vec<u8>)> {
    let hill = Hill::new(FOLDER, 176.2815, -39.8340, 28.0);
    let mut files = ground::files(&hill);
    files.push(("Planting book 2023-25.csv".to_owned(), log::planting_book()));
    files.push(("terrain.asc".to_owned(), terrain(&hill)));
    files.extend(survey::files(&hill));
    files.extend(pictures::files(&hill));
    files.into_iter().map(|(path, bytes)| (format!("{FOLDER}/{path}"), bytes)).collect()
}

/// A model of ten metres whose sheet ends in the roadside strip and has a hole; the file that names its grid got lost.
fn terrain(hill: &Hill) -> Vec<u8> {
    let spots = [(-68.0, -150.0), (760.0, -150.0), (-68.0, 400.0), (760.0, 400.0)];
    let heights = Heights::over(hill, &Grid::of_epsg(2193).unwrap(), &spots, 10.0, 0.0);
    heights.ascii(|(along, up)| !((110.0..146.0).contains(&along) && (296.0..330.0).contains(&up)))
}

/// A species, and the first letters of the areas it is planted in.
struct Listed {
    kind: Kind,
    areas: &'static str,
}

/// The species planted in `area`, with their shares.
fn kinds_of(area: &str) -> Vec<Kind> {
    let letter = &area[..1];
    KINDS.iter().filter(|listed| listed.areas.contains(letter)).map(|listed| listed.kind.clone()).collect()
}

const fn listed(name: &'static str, share: f64, lives: f64, height_cm: f64, areas: &'static str) -> Listed {
    Listed { kind: Kind { name, share, lives, height_cm }, areas }
}

/// Woolshed Face, Totara Gully, Kahikatea Flat, Basin, Roadside, Lambing Spur.
const KINDS: [Listed; 28] = [
    listed("Leptospermum scoparium", 0.12, 0.88, 62.0, "WBRL"),
    listed("Kunzea robusta", 0.13, 0.90, 74.0, "WBRL"),
    listed("Pittosporum tenuifolium", 0.07, 0.86, 66.0, "WTBRL"),
    listed("Pittosporum eugenioides", 0.05, 0.84, 64.0, "WTBL"),
    listed("Coprosma robusta", 0.08, 0.89, 58.0, "WTKRL"),
    listed("Coprosma propinqua", 0.05, 0.90, 46.0, "KBR"),
    listed("Cordyline australis", 0.07, 0.92, 44.0, "WTKBRL"),
    listed("Phormium tenax", 0.08, 0.94, 70.0, "TKRL"),
    listed("Hoheria sexstylosa", 0.04, 0.82, 80.0, "WTL"),
    listed("Plagianthus regius", 0.04, 0.84, 68.0, "KT"),
    listed("Melicytus ramiflorus", 0.04, 0.74, 42.0, "TL"),
    listed("Aristotelia serrata", 0.03, 0.72, 60.0, "TL"),
    listed("Griselinia littoralis", 0.04, 0.80, 48.0, "BT"),
    listed("Pseudopanax arboreus", 0.03, 0.73, 44.0, "TB"),
    listed("Pseudopanax crassifolius", 0.02, 0.78, 34.0, "TW"),
    listed("Myrsine australis", 0.03, 0.76, 40.0, "WB"),
    listed("Veronica stricta", 0.05, 0.85, 60.0, "WBRL"),
    listed("Olearia paniculata", 0.03, 0.83, 52.0, "WB"),
    listed("Dodonaea viscosa", 0.05, 0.87, 58.0, "WR"),
    listed("Sophora tetraptera", 0.04, 0.79, 50.0, "WTL"),
    listed("Podocarpus totara", 0.05, 0.88, 38.0, "TWBL"),
    listed("Dacrycarpus dacrydioides", 0.07, 0.84, 42.0, "KT"),
    listed("Prumnopitys taxifolia", 0.02, 0.82, 28.0, "TK"),
    listed("Alectryon excelsus", 0.02, 0.70, 34.0, "T"),
    listed("Vitex lucens", 0.02, 0.55, 40.0, "K"),
    listed("Carex secta", 0.06, 0.93, 50.0, "K"),
    listed("Austroderia fulvida", 0.04, 0.92, 72.0, "RKB"),
    listed("Chionochloa flavicans", 0.03, 0.90, 40.0, "BR"),
];
