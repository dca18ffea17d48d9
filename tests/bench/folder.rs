//! A project folder of any size: invented areas on one terrain model, with a planting book, a survey, money and photos.

use std::{fmt::Write as _, fs, io::Cursor, path::Path};

use geo::Point;
use hillfolio_core::geometry::Grid;
use tiff::{
    encoder::{TiffEncoder, colortype::Gray32Float},
    tags::Tag,
};

/// How much a folder holds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    pub(crate) areas: usize,
    pub(crate) plantings: usize,
    pub(crate) plots: usize,
    pub(crate) tallies: usize,
    pub(crate) stems: usize,
    pub(crate) photos: usize,
    /// Cells along one side of the terrain model; 0 leaves it out.
    pub(crate) terrain: usize,
}

/// Cells of the terrain model, m.
const CELL: f64 = 5.0;
/// A corner of the site in GDA2020 / MGA zone 55, m.
const CORNER: (f64, f64) = (420_000.0, 6_010_000.0);
/// Each point is photographed so many times.
const VISITS: usize = 5;

/// From the list that the program carries.
const SPECIES: [&str; 20] = [
    "Acacia fimbriata",
    "Acacia melanoxylon",
    "Acacia floribunda",
    "Acacia disparrima",
    "Acacia implexa",
    "Acacia irrorata",
    "Acacia maidenii",
    "Acacia concurrens",
    "Acacia leiocalyx",
    "Alphitonia excelsa",
    "Alphitonia petriei",
    "Melia azedarach",
    "Podocarpus elatus",
    "Toona ciliata",
    "Flindersia australis",
    "Flindersia schottiana",
    "Flindersia xanthoxyla",
    "Commersonia bartramia",
    "Brachychiton discolor",
    "Brachychiton acerifolius",
];

const SETTINGS: &str = r#"[project]
name = "Harrow Downs"
reference = "HD-01"
landholder = "The Harrow Downs growers"
locality = "Harrow Downs"
coordinates = "EPSG:7855"
currency = "AUD"

[period]
from = 2024-07-01
to = 2025-06-30

[[budget]]
line = "Planting"
cash = 900000.00

[[target]]
id = "survival"
under = "grant"
measure = "survival"
area = "all"
at_least = 0.80
by = 2025-06-30
words = "Four planted stems in five alive"

[[target]]
id = "density"
under = "grant"
measure = "density"
area = "all"
at_least = 1600
by = 2025-06-30
words = "1 600 living stems to the hectare"
"#;

/// Writes a folder of this size into `folder`, which is there and empty.
pub(crate) fn write(folder: &Path, size: Size) {
    let put = |name: &str, text: String| fs::write(folder.join(name), text).unwrap();
    put("project.toml", SETTINGS.to_owned());
    put("areas.geojson", areas(size));
    put("plantings.csv", plantings(size));
    put("plots.csv", plots(size));
    put("tallies.csv", tallies(size));
    put("stems.csv", stems(size));
    put("cover.csv", cover(size));
    put("photopoints.csv", photo_points(size));
    photos(folder, size);
    if size.terrain > 0 {
        fs::write(folder.join("terrain.tif"), terrain(size.terrain)).unwrap();
    }
}

/// Corners of the areas lie so far apart, m, when no terrain model says otherwise.
const PITCH: f64 = 300.0;

impl Size {
    /// Areas along a side of the site.
    fn side(self) -> usize {
        (1..).find(|side| side * side >= self.areas).unwrap()
    }

    /// From the corner of one area to that of the next, m: the areas are spread over the whole terrain model.
    fn pitch(self) -> f64 {
        if self.terrain == 0 { PITCH } else { self.terrain as f64 * CELL / self.side() as f64 }
    }

    /// Longitude and latitude of a place in area `area`, m east and north of its corner.
    fn place(self, area: usize, (east, north): (f64, f64)) -> Point<f64> {
        let (row, column) = (area / self.side(), area % self.side());
        let grid = Grid::of_epsg(7855).unwrap();
        let x = CORNER.0 + column as f64 * self.pitch() + 50.0 + east;
        let y = CORNER.1 + row as f64 * self.pitch() + 50.0 + north;
        grid.to_geographic(x, y).unwrap()
    }
}

fn area(at: usize) -> String {
    format!("Block {:03}", at + 1)
}

fn areas(size: Size) -> String {
    let feature = |at: usize| {
        let ring = [(0.0, 0.0), (200.0, 10.0), (190.0, 150.0), (5.0, 140.0), (0.0, 0.0)].map(|corner| {
            let place = size.place(at, corner);
            [place.x(), place.y()]
        });
        serde_json::json!({
            "type": "Feature",
            "properties": {"area": area(at)},
            "geometry": {"type": "Polygon", "coordinates": [ring]},
        })
    };
    let features: Vec<_> = (0..size.areas).map(feature).collect();
    serde_json::json!({"type": "FeatureCollection", "features": features}).to_string()
}

/// A table with these headings, of `rows` rows as `row` writes them.
fn table(headings: &str, rows: usize, row: impl Fn(&mut String, usize)) -> String {
    let mut text = format!("{headings}\n");
    for at in 0..rows {
        row(&mut text, at);
    }
    text
}

/// A number below `below` that looks drawn by lot and is always the same for `at`.
fn lot(at: usize, below: usize) -> usize {
    (at.wrapping_mul(2_654_435_761) >> 7) % below
}

/// Which of `parts` runs of equal length row `at` of `rows` lies in: books are kept area by area and plot by plot.
fn part(at: usize, rows: usize, parts: usize) -> usize {
    at * parts / rows
}

fn plantings(size: Size) -> String {
    table("date,area,species,stems,stock,provenance,supplier,batch", size.plantings, |text, at| {
        let (day, species) = (1 + at % 28, SPECIES[at % SPECIES.len()]);
        let stems = 5 + lot(at, 20);
        let area = area(part(at, size.plantings, size.areas));
        writeln!(text, "2024-08-{day:02},{area},{species},{stems},tubestock,Harrow,Harrow Nursery,H{at}")
            .unwrap();
    })
}

fn plot(at: usize) -> String {
    format!("P{:04}", at + 1)
}

fn plots(size: Size) -> String {
    table("plot,area,length_m,width_m,longitude,latitude,planted_stems", size.plots, |text, at| {
        let block = part(at, size.plots, size.areas);
        let spot = (20.0 + lot(at, 150) as f64, 20.0 + lot(at + 7, 100) as f64);
        let place = size.place(block, spot);
        writeln!(text, "{},{},20,10,{:.7},{:.7},40", plot(at), area(block), place.x(), place.y()).unwrap();
    })
}

fn tallies(size: Size) -> String {
    table("date,plot,species,alive,dead,missing,recruits,cohort", size.tallies, |text, at| {
        let (plot, species) = (plot(part(at, size.tallies, size.plots)), SPECIES[at % SPECIES.len()]);
        let dead = lot(at, 4) / 3;
        writeln!(text, "2025-05-12,{plot},{species},{},{dead},0,0,2024", 2 - dead).unwrap();
    })
}

fn stems(size: Size) -> String {
    table("date,plot,species,tag,height_m,diameter_mm", size.stems, |text, at| {
        let (plot, species) = (plot(part(at, size.stems, size.plots)), SPECIES[at % SPECIES.len()]);
        let height = 0.5 + lot(at, 300) as f64 / 100.0;
        writeln!(text, "2025-05-12,{plot},{species},{at},{height:.2},{}", 8 + lot(at + 5, 40)).unwrap();
    })
}

fn cover(size: Size) -> String {
    let covers = [("ground", "native grass"), ("ground", "weed"), ("ground", "litter"), ("canopy", "native")];
    table("date,plot,layer,cover,percent", size.plots * covers.len(), |text, at| {
        let ((layer, cover), plot) = (covers[at % covers.len()], plot(at / covers.len()));
        writeln!(text, "2025-05-12,{plot},{layer},{cover},{}", 5 + lot(at, 25)).unwrap();
    })
}

fn points(size: Size) -> usize {
    size.photos.div_ceil(VISITS)
}

fn photo_points(size: Size) -> String {
    table("photopoint,longitude,latitude,bearing_deg,area", points(size), |text, at| {
        let block = at % size.areas;
        let place = size.place(block, (30.0, 30.0 + at as f64 % 90.0));
        writeln!(text, "F{:04},{:.7},{:.7},{},{}", at + 1, place.x(), place.y(), at % 360, area(block))
            .unwrap();
    })
}

/// Pictures of one megapixel, no two alike.
fn photos(folder: &Path, size: Size) {
    let scene = image::RgbImage::from_fn(1200, 900, |x, y| {
        image::Rgb([(x / 7) as u8, (y / 5) as u8, (x * y / 3000) as u8])
    });
    for at in 0..size.photos {
        let mut picture = scene.clone();
        // A colour of its own for each, in steps that survive the JPEG.
        let shade = image::Rgb([(at % 16 * 16) as u8, (at / 16 % 16 * 16) as u8, (at / 256 * 16) as u8]);
        for (x, y) in (0..200).flat_map(|x| (0..200).map(move |y| (x, y))) {
            picture.put_pixel(x, y, shade);
        }
        let day = 1 + at % VISITS;
        let path = folder.join(format!("photos/F{:04}/2025-05-{day:02}.jpg", at / VISITS + 1));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let mut jpeg = Vec::new();
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut jpeg, 70).encode_image(&picture).unwrap();
        fs::write(path, jpeg).unwrap();
    }
}

/// Hills of two sizes as a GeoTIFF in the site's grid.
fn terrain(side: usize) -> Vec<u8> {
    let height = |cell: usize| {
        let (x, y) = ((cell % side) as f64, (cell / side) as f64);
        let (long, broad) = (libm::sin(x / 90.0) * libm::cos(y / 70.0), libm::sin(x / 17.0 + y / 23.0));
        (300.0 + 60.0 * long + 8.0 * broad) as f32
    };
    let values: Vec<f32> = (0..side * side).map(height).collect();
    let mut bytes = Cursor::new(Vec::new());
    let mut file = TiffEncoder::new(&mut bytes).unwrap();
    let mut image = file.new_image::<Gray32Float>(side as u32, side as u32).unwrap();
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, &[CELL, CELL, 0.0][..]).unwrap();
    let tie = [0.0, 0.0, 0.0, CORNER.0, CORNER.1 + side as f64 * CELL, 0.0];
    tags.write_tag(Tag::ModelTiepointTag, &tie[..]).unwrap();
    let keys: [u16; 16] = [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 7855];
    tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..]).unwrap();
    image.write_data(&values).unwrap();
    bytes.into_inner()
}
