//! Twelve plots, counted, measured and read for cover every May from 2022 to 2025.

use super::super::{
    dice::Dice,
    hill::{Hill, Spot},
    sheet::Sheet,
    stand::{Kind, Plot},
};

use super::{BLOCKS, Block, KINDS, ring};

/// Area, plots, the part of the area in which plots lie.
const PLOTS: [(&str, u32, (Spot, Spot)); 3] = [
    ("Upper slope", 5, ((44.0, 92.0), (226.0, 176.0))),
    ("Creek side", 4, ((368.0, 6.0), (474.0, 102.0))),
    ("Knoll", 3, ((62.0, -40.0), (192.0, 26.0))),
];

/// The day of each survey, and how far it lies after the first of 2021.
const SURVEYS: [(&str, f64); 4] =
    [("2022-05-17", 1.38), ("2023-05-16", 2.37), ("2024-05-21", 3.39), ("2025-05-20", 4.38)];

/// Stems of one plot that bear a tag.
const TAGGED: usize = 9;

/// Sheets of the survey.
struct Sheets {
    plots: Sheet,
    tallies: Sheet,
    stems: Sheet,
    cover: Sheet,
}

pub(super) fn files(hill: &Hill) -> Vec<(String, Vec<u8>)> {
    let mut sheets = Sheets {
        plots: Sheet::new("plot,area,length_m,width_m,longitude,latitude,measured_on,planted_stems,note"),
        tallies: Sheet::new("date,plot,species,alive,dead,missing,recruits,cohort,note"),
        stems: Sheet::new("date,plot,species,tag,height_m,diameter_mm,diameter_at,status,note"),
        cover: Sheet::new("date,plot,layer,cover,percent,height_m,note"),
    };
    for (area, count, within) in PLOTS {
        let block = BLOCKS.iter().find(|block| block.area == area).unwrap();
        let per_hectare = block.stems as f64 / hill.hectares(&ring(hill, block));
        for n in 1..=count {
            let id = format!("{}{n}", &area[..1]);
            let plot = Plot::new(&format!("AG {id}"), 200.0, per_hectare, &KINDS);
            let (longitude, latitude) = hill.position(spot(&id, n, count, within));
            let position = [format!("{longitude:.6}"), format!("{latitude:.6}")];
            let set = plot.stems().to_string();
            sheets.plots.row([&id, area, "20", "10", &position[0], &position[1], "slope", &set, ""]);
            visits(&id, block, &plot, &mut sheets);
        }
    }
    vec![
        ("plots.csv".to_owned(), sheets.plots.csv()),
        ("tallies.csv".to_owned(), sheets.tallies.csv()),
        ("stems.csv".to_owned(), sheets.stems.csv()),
        ("cover.csv".to_owned(), sheets.cover.csv()),
    ]
}

fn spot(id: &str, n: u32, count: u32, ((left, low), (right, high)): (Spot, Spot)) -> Spot {
    let mut dice = Dice::new(&format!("spot AG {id}"));
    let part = (f64::from(n) - 0.5) / f64::from(count);
    let up = if n.is_multiple_of(2) { 0.72 } else { 0.28 } + dice.between(-0.12, 0.12);
    (left + part * (right - left) + dice.between(-5.0, 5.0), low + up * (high - low))
}

/// A stem set in a plot: how long it lives, in years, and how well it grows.
struct Stem {
    kind: &'static Kind,
    lives: f64,
    vigour: f64,
    lost: bool,
}

/// The stems of a plot, each with its fate, the same on every visit.
fn stems_of(id: &str, plot: &Plot) -> Vec<Stem> {
    let mut all = Vec::new();
    for (kind, set) in KINDS.iter().zip(&plot.set) {
        let mut dice = Dice::new(&format!("AG {id} {}", kind.name));
        for _ in 0..*set {
            let first_year = (kind.lives * plot.luck).clamp(0.3, 0.98);
            let fate = dice.part();
            // Most that die do so in the first year and a half; after it, one in thirty a year.
            let lives = match fate < first_year {
                true => 1.4 - libm::log(1.0 - dice.part()) / 0.035,
                false => dice.between(0.05, 1.35),
            };
            all.push(Stem {
                kind,
                lives,
                vigour: (1.0 + 0.17 * dice.bell()).max(0.4),
                lost: dice.happens(0.16),
            });
        }
    }
    all
}

fn visits(id: &str, block: &Block, plot: &Plot, sheets: &mut Sheets) {
    let planted = if block.planted.starts_with("2022") { 1.11 } else { 0.14 };
    let cohort = &block.planted[..4];
    let stems = stems_of(id, plot);
    for (date, since) in SURVEYS {
        let age = since - planted;
        tally(id, (date, cohort), age, &stems, &mut sheets.tallies);
        measure(id, date, age, &stems, &mut sheets.stems);
        read_cover(id, date, age, &mut sheets.cover);
    }
}

fn tally(id: &str, (date, cohort): (&str, &str), age: f64, stems: &[Stem], sheet: &mut Sheet) {
    for kind in &KINDS {
        let of_kind: Vec<&Stem> = stems.iter().filter(|stem| stem.kind.name == kind.name).collect();
        if of_kind.is_empty() {
            continue;
        }
        let alive = of_kind.iter().filter(|stem| stem.lives > age).count();
        let missing = of_kind.iter().filter(|stem| stem.lives <= age && stem.lost).count();
        let dead = of_kind.len() - alive - missing;
        let mut dice = Dice::new(&format!("AG sown {id} {} {date}", kind.name));
        let sown = if age > 2.0 && dice.happens(0.05 * age) { dice.whole(1, 4) } else { 0 };
        let counts = [alive as u64, dead as u64, missing as u64, sown].map(|count| count.to_string());
        sheet.row([date, id, kind.name, &counts[0], &counts[1], &counts[2], &counts[3], cohort, ""]);
    }
}

fn measure(id: &str, date: &str, age: f64, stems: &[Stem], sheet: &mut Sheet) {
    let every = (stems.len() / TAGGED).max(1);
    for (tag, stem) in (1..).zip(stems.iter().step_by(every).take(TAGGED)) {
        let tag = format!("{id}-{tag}");
        if stem.lives <= age {
            let status = if stem.lost { "missing" } else { "dead" };
            sheet.row([date, id, stem.kind.name, &tag, "", "", "", status, ""]);
            continue;
        }
        // Height runs up to about eight years' growth; a stem is a seventieth to a ninetieth as thick as it is high.
        let height = stem.kind.height_cm / 100.0 * stem.vigour * 7.5 * (1.0 - libm::exp(-age / 6.0)) * 0.86;
        let (at, diameter) =
            if height < 2.2 { ("base", height * 14.0) } else { ("breast", (height - 1.1) * 13.0) };
        let (height, diameter) = (format!("{height:.2}"), format!("{:.0}", diameter.max(3.0)));
        sheet.row([date, id, stem.kind.name, &tag, &height, &diameter, at, "alive", ""]);
    }
}

/// Grass gives way to litter as the canopy closes.
fn read_cover(id: &str, date: &str, age: f64, sheet: &mut Sheet) {
    let mut dice = Dice::new(&format!("AG cover {id} {date}"));
    let closed = (1.0 - libm::exp(-(age / 4.2).powi(2))).clamp(0.0, 1.0);
    let five = |part: f64| ((part * 20.0).round() * 5.0).clamp(0.0, 100.0) as u64;
    let canopy = five(0.72 * closed + dice.between(-0.06, 0.06));
    let shrub = five(0.10 + 0.16 * closed + dice.between(-0.05, 0.05));
    let (litter, native) = (five(0.10 + 0.42 * closed), five(0.08 + dice.between(0.0, 0.10)));
    let weed = five(0.16 * (1.0 - closed) + dice.between(0.0, 0.05));
    let bare = five(0.05 + dice.between(0.0, 0.06));
    let exotic = 100 - (litter + native + weed + bare).min(100);
    for (cover, percent) in [
        ("native grass", native),
        ("exotic grass", exotic),
        ("weed", weed),
        ("litter", litter),
        ("bare", bare),
    ] {
        sheet.row([date, id, "ground", cover, &percent.to_string(), "", ""]);
    }
    let under = format!("{:.1}", (0.5 + 0.55 * age).min(3.0));
    sheet.row([date, id, "shrub", "native", &shrub.to_string(), "0.5", ""]);
    sheet.row([date, id, "canopy", "native", &canopy.to_string(), &under, ""]);
}
