//! Many small projects for tests and benchmarks: the starter folder with another name, another place, other stems and another
//! survival each. All names are made up.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used, reason = "tests may stop at once")]

use std::{fmt::Write as _, fs, path::Path};

const FIRST: [&str; 16] = [
    "Alder", "Bracken", "Cinder", "Dapple", "Ember", "Fallow", "Gorse", "Hollow", "Inkle", "Juniper",
    "Kestrel", "Larch", "Marl", "Nettle", "Osier", "Pewter",
];
const SECOND: [&str; 16] = [
    "Rise", "Spur", "Gully", "Fold", "Saddle", "Brow", "Terrace", "Bluff", "Run", "Flat", "Knoll", "Pinch",
    "Shelf", "Crown", "Bend", "Head",
];

/// The name of project `n`; after 256 they get a number.
pub fn name(n: usize) -> String {
    let name = format!("{} {}", FIRST[n % 16], SECOND[(n / 16 + 5 * n) % 16]);
    if n < 256 { name } else { format!("{name} {}", n / 256 + 1) }
}

/// A number from 0 to 1 that is always the same for `n` and `use_`: the 64-bit finaliser of SplitMix64 (Steele et al. 2014).
pub fn chance(n: usize, use_: u64) -> f64 {
    let mut z = (n as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(use_ << 32);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
}

/// Writes project `n` of a portfolio into the new folder `folder`.
pub fn project(folder: &Path, n: usize) {
    for (path, bytes) in hillfolio_documents::pack::starter() {
        if *path == "README.txt" {
            continue;
        }
        let at = folder.join(path);
        fs::create_dir_all(at.parent().unwrap()).unwrap();
        let text = String::from_utf8_lossy(bytes);
        fs::write(at, varied(path, &text, n)).unwrap();
    }
}

/// Writes `count` projects below `root`, by region.
pub fn portfolio(root: &Path, count: usize) {
    for n in 0..count {
        let region = ["north", "range/east", "range/west"][n % 3];
        project(&root.join(region).join(format!("{n:04}")), n);
    }
}

fn varied(path: &str, text: &str, n: usize) -> String {
    let (east, north) = (1.6 * chance(n, 1) - 0.8, 1.2 * chance(n, 2) - 0.6);
    match path {
        "project.toml" => text
            .replace("name = \"My hill\"", &format!("name = \"{}\"", name(n)))
            .replace("reference = \"AGREEMENT-1\"", &format!("reference = \"AGREEMENT-{}\"", n + 1)),
        "areas.geojson" | "features.geojson" => moved(text, east, north),
        "plots.csv" => plots(text, east, north),
        "plantings.csv" => {
            columns(text, "stems", |stems| (stems * (0.6 + 2.4 * chance(n, 3))).round().max(9.0))
        }
        "tallies.csv" => tallies(text, n),
        "spending.csv" => {
            let dearer = |money: f64| (money * (0.7 + 0.6 * chance(n, 4)) * 100.0).round() / 100.0;
            columns(&columns(text, "amount", dearer), "tax", dearer)
        }
        _ => text.to_owned(),
    }
}

/// Every `[longitude,latitude]` moved.
fn moved(text: &str, east: f64, north: f64) -> String {
    let (mut out, mut rest) = (String::new(), text);
    while let Some(at) = rest.find("[1") {
        let end = at + rest[at..].find(']').unwrap();
        let (longitude, latitude) = rest[at + 1..end].split_once(',').unwrap();
        let number = |text: &str| text.trim().parse::<f64>().unwrap();
        write!(out, "{}[{:.5},{:.5}]", &rest[..at], number(longitude) + east, number(latitude) + north)
            .unwrap();
        rest = &rest[end + 1..];
    }
    out + rest
}

fn plots(text: &str, east: f64, north: f64) -> String {
    let text = columns_at(text, "longitude", 5, |longitude| longitude + east);
    columns_at(&text, "latitude", 5, |latitude| latitude + north)
}

/// Of the stems set in each plot, another number lives: none is lost and none is added.
fn tallies(text: &str, n: usize) -> String {
    let mut k = 0;
    rows(text, |header, cells| {
        let at = |name: &str| header.iter().position(|column| column == name).unwrap();
        let count = |cells: &[String], name: &str| cells[at(name)].parse::<u32>().unwrap_or(0);
        let set = count(cells, "alive") + count(cells, "dead") + count(cells, "missing");
        let alive = (0..set).filter(|_| {
            k += 1;
            chance(n * 1_000 + k, 5) < 0.60 + 0.38 * chance(n, 6)
        });
        let alive = alive.count() as u32;
        cells[at("alive")] = alive.to_string();
        cells[at("dead")] = (set - alive).to_string();
        cells[at("missing")] = "0".to_owned();
    })
}

fn columns(text: &str, name: &str, of: impl Fn(f64) -> f64) -> String {
    rows(text, |header, cells| {
        let at = header.iter().position(|column| column == name).unwrap();
        if let Ok(value) = cells[at].parse::<f64>() {
            cells[at] = of(value).to_string();
        }
    })
}

fn columns_at(text: &str, name: &str, decimals: usize, of: impl Fn(f64) -> f64) -> String {
    rows(text, |header, cells| {
        let at = header.iter().position(|column| column == name).unwrap();
        if let Ok(value) = cells[at].parse::<f64>() {
            cells[at] = format!("{:.decimals$}", of(value));
        }
    })
}

/// Each row below the header put through `change`; titles above the header stay.
fn rows(text: &str, mut change: impl FnMut(&[String], &mut Vec<String>)) -> String {
    let (mut header, mut out) = (Vec::new(), String::new());
    for line in text.lines() {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if line.starts_with('"') {
            // A title.
        } else if header.is_empty() {
            header.clone_from(&cells);
        } else {
            change(&header, &mut cells);
        }
        out += &(cells.join(",") + "\n");
    }
    out
}
