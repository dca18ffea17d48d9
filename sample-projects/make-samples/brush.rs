//! Colour, noise and the few strokes that the pictures are painted with.

use image::{Rgb, RgbImage};

use super::dice::mix;

/// Red, green and blue, 0 to 255.
pub(crate) type Colour = [f64; 3];

/// The colour `part` of the way from one to another.
pub(crate) fn blend(from: Colour, to: Colour, part: f64) -> Colour {
    let part = part.clamp(0.0, 1.0);
    [0, 1, 2].map(|n| from[n] + (to[n] - from[n]) * part)
}

/// The colour, lighter (more than 1) or darker.
pub(crate) fn lit(colour: Colour, light: f64) -> Colour {
    colour.map(|part| part * light)
}

/// Smooth noise from 0 to 1 with one bump to the unit.
pub(crate) fn noise(seed: u64, x: f64, y: f64) -> f64 {
    let (left, low) = (x.floor(), y.floor());
    let at = |dx: f64, dy: f64| {
        let cell = ((left + dx) as i64 as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
            ^ ((low + dy) as i64 as u64).wrapping_mul(0xc2b2_ae3d_27d4_eb4f);
        (mix(seed ^ cell) >> 40) as f64 / (1u64 << 24) as f64
    };
    let ease = |t: f64| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(x - left), ease(y - low));
    let bottom = at(0.0, 0.0) * (1.0 - u) + at(1.0, 0.0) * u;
    let top = at(0.0, 1.0) * (1.0 - u) + at(1.0, 1.0) * u;
    bottom * (1.0 - v) + top * v
}

/// Noise over three sizes of bump, from 0 to 1.
pub(crate) fn rough(seed: u64, x: f64, y: f64) -> f64 {
    0.57 * noise(seed, x, y)
        + 0.29 * noise(seed + 1, x * 2.1, y * 2.1)
        + 0.14 * noise(seed + 2, x * 4.3, y * 4.3)
}

/// Sets a pixel if it lies in the picture.
pub(crate) fn dot(picture: &mut RgbImage, x: i64, y: i64, colour: Colour) {
    let inside = |at: i64, size: u32| u32::try_from(at).ok().filter(|at| *at < size);
    if let (Some(x), Some(y)) = (inside(x, picture.width()), inside(y, picture.height())) {
        picture.put_pixel(x, y, Rgb(colour.map(|part| part.clamp(0.0, 255.0) as u8)));
    }
}

/// A filled rectangle from its upper left corner.
pub(crate) fn oblong(
    picture: &mut RgbImage,
    (x, y): (f64, f64),
    (width, height): (f64, f64),
    colour: Colour,
) {
    for row in y as i64..(y + height).ceil() as i64 {
        for column in x as i64..(x + width).ceil() as i64 {
            dot(picture, column, row, colour);
        }
    }
}

/// A ball of leaves, lit from the upper left, its edge ragged.
pub(crate) fn leaves(
    picture: &mut RgbImage,
    seed: u64,
    (x, y): (f64, f64),
    (rx, ry): (f64, f64),
    colour: Colour,
) {
    for row in (y - ry).floor() as i64..=(y + ry).ceil() as i64 {
        for column in (x - rx).floor() as i64..=(x + rx).ceil() as i64 {
            let (u, v) = ((column as f64 - x) / rx.max(0.6), (row as f64 - y) / ry.max(0.6));
            let ragged = 0.72 + 0.5 * noise(seed, column as f64 * 0.45, row as f64 * 0.45);
            if u * u + v * v <= ragged {
                let speckle = 0.75 + 0.5 * noise(seed + 7, column as f64 * 0.8, row as f64 * 0.8);
                dot(picture, column, row, lit(colour, (1.0 - 0.28 * (u + v)) * speckle));
            }
        }
    }
}

/// A line of the given width.
pub(crate) fn stroke(picture: &mut RgbImage, from: (f64, f64), to: (f64, f64), width: f64, colour: Colour) {
    let steps = (to.0 - from.0).abs().max((to.1 - from.1).abs()).ceil().max(1.0);
    for n in 0..=steps as u32 {
        let part = f64::from(n) / steps;
        let (x, y) = (from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part);
        oblong(picture, (x - width / 2.0, y - width / 2.0), (width - 0.01, width - 0.01), colour);
    }
}

/// Capital letters and digits, five dots wide and seven high, a row a number.
const LETTERS: [(char, [u8; 7]); 37] = [
    ('A', [14, 17, 17, 31, 17, 17, 17]),
    ('B', [30, 17, 17, 30, 17, 17, 30]),
    ('C', [14, 17, 16, 16, 16, 17, 14]),
    ('D', [30, 17, 17, 17, 17, 17, 30]),
    ('E', [31, 16, 16, 30, 16, 16, 31]),
    ('F', [31, 16, 16, 30, 16, 16, 16]),
    ('G', [14, 17, 16, 23, 17, 17, 15]),
    ('H', [17, 17, 17, 31, 17, 17, 17]),
    ('I', [14, 4, 4, 4, 4, 4, 14]),
    ('J', [7, 2, 2, 2, 2, 18, 12]),
    ('K', [17, 18, 20, 24, 20, 18, 17]),
    ('L', [16, 16, 16, 16, 16, 16, 31]),
    ('M', [17, 27, 21, 21, 17, 17, 17]),
    ('N', [17, 25, 21, 19, 17, 17, 17]),
    ('O', [14, 17, 17, 17, 17, 17, 14]),
    ('P', [30, 17, 17, 30, 16, 16, 16]),
    ('Q', [14, 17, 17, 17, 21, 18, 13]),
    ('R', [30, 17, 17, 30, 20, 18, 17]),
    ('S', [15, 16, 16, 14, 1, 1, 30]),
    ('T', [31, 4, 4, 4, 4, 4, 4]),
    ('U', [17, 17, 17, 17, 17, 17, 14]),
    ('V', [17, 17, 17, 17, 17, 10, 4]),
    ('W', [17, 17, 17, 21, 21, 27, 17]),
    ('X', [17, 17, 10, 4, 10, 17, 17]),
    ('Y', [17, 17, 10, 4, 4, 4, 4]),
    ('Z', [31, 1, 2, 4, 8, 16, 31]),
    ('0', [14, 17, 19, 21, 25, 17, 14]),
    ('1', [4, 12, 4, 4, 4, 4, 14]),
    ('2', [14, 17, 1, 6, 8, 16, 31]),
    ('3', [30, 1, 1, 14, 1, 1, 30]),
    ('4', [2, 6, 10, 18, 31, 2, 2]),
    ('5', [31, 16, 30, 1, 1, 17, 14]),
    ('6', [14, 16, 16, 30, 17, 17, 14]),
    ('7', [31, 1, 2, 4, 8, 8, 8]),
    ('8', [14, 17, 17, 14, 17, 17, 14]),
    ('9', [14, 17, 17, 15, 1, 1, 14]),
    ('-', [0, 0, 0, 14, 0, 0, 0]),
];

/// Block letters from their upper left corner, each dot `size` pixels wide.
pub(crate) fn letters(picture: &mut RgbImage, text: &str, (x, y): (f64, f64), size: f64, colour: Colour) {
    for (place, letter) in text.chars().enumerate() {
        let Some((_, rows)) = LETTERS.iter().find(|(known, _)| *known == letter.to_ascii_uppercase()) else {
            continue;
        };
        for (row, bits) in rows.iter().enumerate() {
            for column in (0..5).filter(|column| bits >> (4 - column) & 1 == 1) {
                let left = x + size * (6.0 * place as f64 + f64::from(column));
                oblong(picture, (left, y + size * row as f64), (size, size), colour);
            }
        }
    }
}
