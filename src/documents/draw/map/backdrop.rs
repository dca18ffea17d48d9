//! The ground beneath a map as one picture: its classes in colour, as they would look under a low sun.

use std::sync::Arc;

use base64::{Engine as _, prelude::BASE64_STANDARD};
use geo::{Coord, MapCoords, MultiPolygon, Rect};
use image::{
    ExtendedColorType, ImageEncoder,
    codecs::png::{CompressionType, FilterType, PngEncoder},
};

use crate::draw::{
    map::{
        mesh::Mesh,
        sampled::{Dots, Sampled},
        scheme::Scheme,
        under::{heights, under},
        window::Window,
    },
    palette::rgb,
    svg::{Svg, mm},
};
use hillfolio_core::terrain::{Coordinates, Grid, Lattice, Light, Raster, centres, hillshade};

/// Dots of the picture in a millimetre of paper: 150 to the inch.
const DOTS: f64 = 150.0 / 25.4;

/// Brightness of level ground under the default light, of 255.
const LEVEL: f64 = 181.0;

/// How much of the light's play is drawn: more, and a class in shadow would look like the next.
const RELIEF: f64 = 0.16;

/// How much of it is drawn where nothing is coloured.
const BARE_RELIEF: f64 = 0.26;

/// Level ground where its shade alone is drawn, and how much of the light's play.
pub(super) const LEVEL_GROUND: &str = "#e4e5db";
const PALE_RELIEF: f64 = 0.62;

/// The same under a map of other things.
const QUIET_GROUND: &str = "#f7f7f3";
const QUIET_RELIEF: f64 = 0.2;
/// Steps of brightness: finer ones are not seen and make the file larger.
const STEP: f64 = 4.0;

/// Steps darker than level ground: more than there are.
const DARKER: f64 = 50.0;

/// Steps of brightness from the darkest to the lightest.
const LIGHTS: usize = 80;

/// A thematic layer: values of the ground coloured by class, and the heights that shade them.
#[derive(Debug, Clone, PartialEq)]
pub struct ThematicLayer {
    /// What is coloured.
    pub values: Arc<Raster<f32>>,
    /// Its classes.
    pub scheme: Scheme,
    /// What the legend says above the classes.
    pub subject: &'static str,
    /// The heights that the light plays on and contours follow.
    pub heights: Option<Arc<Grid>>,
    /// Whether contours are drawn.
    pub contours: bool,
    /// Colour stays within these polygons.
    pub within: Option<MultiPolygon<f64>>,
    /// What stands in the corner of the map, where there is more than one.
    pub heading: Option<&'static str>,
}

/// Draws the ground in the frame of `window`.
pub(super) fn draw(svg: &mut Svg, ground: &ThematicLayer, window: &Window) {
    let Some(painting) = Painting::of(ground, window) else { return };
    svg.put_later(move || painting.png().map(|png| placed(&png, painting.window.frame)).unwrap_or_default());
}

/// Draws the shade of `heights` alone in the frame of `window`, in one pale colour.
pub(super) fn draw_shade(svg: &mut Svg, heights: &Arc<Grid>, window: &Window) {
    shade_of(svg, heights, window, LEVEL_GROUND, PALE_RELIEF);
}

/// The same, so quiet that other things are read over it.
pub(super) fn draw_quiet_shade(svg: &mut Svg, heights: &Arc<Grid>, window: &Window) {
    // Where the terrain model ends, the paper has the colour of level ground.
    let frame = window.frame;
    svg.oblong(frame.min(), (frame.width(), frame.height()), QUIET_GROUND, None);
    shade_of(svg, heights, window, QUIET_GROUND, QUIET_RELIEF);
}

fn shade_of(svg: &mut Svg, heights: &Arc<Grid>, window: &Window, level: &'static str, relief: f64) {
    let (Some(shade), window) = (Shade::of(heights, window), *window) else { return };
    svg.put_later(move || {
        let ((width, height), side) = raster(window.frame);
        let dots = Dots { corner: window.frame.min(), side, columns: width };
        let mut lights = Sampled::new(&shade.light, &shade.to_cells, dots);
        let pale: Lights = std::array::from_fn(|step| lit(rgb(level), step, relief));
        let mut pixels = rgb(level).repeat(width * height);
        for (row, line) in pixels.chunks_mut(width * 3).enumerate() {
            lights.go_to(row);
            for (column, pixel) in line.chunks_exact_mut(3).enumerate() {
                if let Some(light) = lights.at(column) {
                    pixel.copy_from_slice(&pale[step(light)]);
                }
            }
        }
        encoded(&pixels, (width, height)).map(|png| placed(&png, window.frame)).unwrap_or_default()
    });
}

/// A picture in its frame.
fn placed(png: &[u8], frame: Rect<f64>) -> String {
    let (x, y) = (mm(frame.min().x), mm(frame.min().y));
    let (w, h) = (mm(frame.width()), mm(frame.height()));
    let png = BASE64_STANDARD.encode(png);
    format!(
        "<image x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" preserveAspectRatio=\"none\" href=\"data:image/png;base64,{png}\"/>\n"
    )
}

/// Dots across and down a frame, and the sides of one in mm.
fn raster(frame: Rect<f64>) -> ((usize, usize), (f64, f64)) {
    let dots = |length: f64| (length * DOTS).round().clamp(1.0, 4_000.0) as usize;
    let (width, height) = (dots(frame.width()), dots(frame.height()));
    ((width, height), (frame.width() / width as f64, frame.height() / height as f64))
}

/// Whether any of the values lies in the frame of `window`.
pub(super) fn shows(ground: &ThematicLayer, window: &Window) -> bool {
    under(&ground.values.lattice, window).is_some()
}

/// Whether the values reach every corner of the frame of `window`.
pub(super) fn fills(ground: &ThematicLayer, window: &Window) -> bool {
    let lattice = &ground.values.lattice;
    under(lattice, window).is_some_and(|(_, to_cells)| {
        let reach = to_cells.reach();
        let inside = |low: f64, high: f64, cells: usize| low >= 0.0 && high <= cells as f64;
        inside(reach.min().x, reach.max().x, lattice.columns)
            && inside(reach.min().y, reach.max().y, lattice.rows)
    })
}

/// The picture under the frame of `window` as PNG.
#[must_use]
pub fn picture(ground: &ThematicLayer, window: &Window) -> Option<Vec<u8>> {
    Painting::of(ground, window)?.png()
}

/// A picture to be painted, and everything that it needs.
struct Painting {
    ground: ThematicLayer,
    window: Window,
    to_cells: Mesh,
    shade: Option<Shade>,
}

impl Painting {
    fn of(ground: &ThematicLayer, window: &Window) -> Option<Painting> {
        let (_, to_cells) = under(&ground.values.lattice, window)?;
        let shade = ground.heights.as_ref().and_then(|grid| Shade::of(grid, window));
        Some(Painting { ground: ground.clone(), window: *window, to_cells, shade })
    }

    /// The picture as PNG. One thread paints it: see [`Svg::put_later`].
    fn png(&self) -> Option<Vec<u8>> {
        let Painting { ground, window, to_cells, shade } = self;
        let lit = |colour, relief| std::array::from_fn(|step| lit(colour, step, relief));
        let tints: Vec<Lights> =
            ground.scheme.classes().map(|(tint, _)| lit(rgb(tint.colour()), RELIEF)).collect();
        let bare: Lights = lit([255; 3], BARE_RELIEF);
        let ((width, height), side) = raster(window.frame);
        let held = ground.within.as_ref().map(|areas| held(areas, window, side, (width, height)));

        let dots = Dots { corner: window.frame.min(), side, columns: width };
        let mut values = Sampled::new(&ground.values, to_cells, dots);
        let mut lights = shade.as_ref().map(|shade| Sampled::new(&shade.light, &shade.to_cells, dots));

        let mut pixels = vec![255u8; width * height * 3];
        for (row, line) in pixels.chunks_mut(width * 3).enumerate() {
            values.go_to(row);
            lights.iter_mut().for_each(|lights| lights.go_to(row));
            for (column, pixel) in line.chunks_exact_mut(3).enumerate() {
                let coloured = held.as_ref().is_none_or(|held| held[row * width + column]);
                let value = if coloured { values.at(column) } else { None };
                let light = lights.as_ref().and_then(|lights| lights.at(column));
                let tint = value.and_then(|value| tints.get(ground.scheme.class(value)));
                pixel.copy_from_slice(&tint.unwrap_or(&bare)[step(light.unwrap_or(LEVEL))]);
            }
        }
        encoded(&pixels, (width, height))
    }
}

/// A colour under every light.
type Lights = [[u8; 3]; LIGHTS];

/// The step of brightness that `light` comes nearest to, from the darkest on.
fn step(light: f64) -> usize {
    (((light - LEVEL) / STEP + DARKER + 0.5).max(0.0) as usize).min(LIGHTS - 1)
}

/// `colour` under the light of that step.
fn lit(colour: [u8; 3], step: usize, relief: f64) -> [u8; 3] {
    let off_level = (step as f64 - DARKER) * STEP;
    let factor = 1.0 + relief * off_level / (255.0 - LEVEL);
    colour.map(|part| (f64::from(part) * factor.max(0.55)).round().clamp(0.0, 255.0) as u8)
}

/// Brightness of the ground under a map.
struct Shade {
    light: Raster<f32>,
    to_cells: Mesh,
}

impl Shade {
    fn of(grid: &Grid, window: &Window) -> Option<Shade> {
        let cut = heights(grid, window)?;
        let shade = hillshade(&cut, Light::default());
        let known = shade.values.iter().map(|&light| if light == 0 { f32::NAN } else { f32::from(light) });
        let (_, to_cells) = under(&cut.lattice, window)?;
        Some(Shade { light: Raster { lattice: cut.lattice, values: known.collect() }, to_cells })
    }
}

/// Which dots lie in `areas`, row by row.
fn held(
    areas: &MultiPolygon<f64>,
    window: &Window,
    side: (f64, f64),
    (width, height): (usize, usize),
) -> Vec<bool> {
    // Dots are cells whose northings rise up the paper.
    let dots = Lattice {
        west: window.frame.min().x,
        north: -window.frame.min().y,
        cell_x: side.0,
        cell_y: side.1,
        rows: height,
        columns: width,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: None,
    };
    let turned = window.polygons(areas).map_coords(|place| Coord { x: place.x, y: -place.y });
    let mut held = vec![false; width * height];
    for area in turned {
        for (row, column) in centres(&dots, &MultiPolygon(vec![area])) {
            held[row * width + column] = true;
        }
    }
    held
}

fn encoded(pixels: &[u8], (width, height): (usize, usize)) -> Option<Vec<u8>> {
    let (width, height) = (u32::try_from(width).ok()?, u32::try_from(height).ok()?);
    let mut png = Vec::new();
    // The typesetter unpacks it and packs it anew, so that nothing is won here by packing it small.
    PngEncoder::new_with_quality(&mut png, CompressionType::Fast, FilterType::Up)
        .write_image(pixels, width, height, ExtendedColorType::Rgb8)
        .ok()?;
    Some(png)
}
