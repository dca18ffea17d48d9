//! A hillside as it looks from a photo point: the same ridge and slope every time, other weather, grass and trees.

use image::{Rgb, RgbImage};

use super::{
    brush::{Colour, blend, dot, leaves, letters, lit, noise, oblong, rough, stroke},
    dice::{Dice, hash},
};

/// How far down the picture the planting reaches; the fence stands below it.
const PLANTED_TO: f64 = 0.66;

/// What differs from one picture of a point to the next.
#[derive(Clone, Copy)]
pub(crate) struct Moment<'a> {
    /// The day, for the weather.
    pub(crate) day: &'a str,
    /// How far the trees have grown: below 0 not planted, 0 just planted, 1 head high and over.
    pub(crate) growth: f64,
    /// How green the grass is, 0 to 1.
    pub(crate) green: f64,
    /// Whether the new fence stands.
    pub(crate) fenced: bool,
}

/// The picture of `point`: 640 × 480, or 480 × 640 where the camera was held upright.
pub(crate) fn scene(point: &str, moment: &Moment, upright: bool) -> RgbImage {
    let (width, height) = if upright { (480, 640) } else { (640, 480) };
    let view = View::of(point, f64::from(width), f64::from(height));
    let mut picture = RgbImage::new(width, height);
    view.land(&mut picture, moment);
    if moment.growth >= 0.0 {
        view.trees(&mut picture, moment);
    }
    if moment.fenced {
        view.fence(&mut picture);
    }
    view.board(&mut picture, point);
    grain(&mut picture, hash(moment.day) ^ hash(point));
    picture
}

/// What a point always shows.
struct View {
    seed: u64,
    width: f64,
    height: f64,
    far: f64,
    middle: f64,
    near: f64,
    tilt: f64,
    rows: f64,
    sway: f64,
}

impl View {
    fn of(point: &str, width: f64, height: f64) -> View {
        let mut dice = Dice::new(point);
        let near = height * dice.between(0.36, 0.46);
        View {
            seed: hash(point),
            width,
            height,
            far: near - height * dice.between(0.12, 0.18),
            middle: near - height * dice.between(0.03, 0.07),
            near,
            tilt: dice.between(-0.16, 0.16),
            rows: dice.between(12.0, 16.0),
            sway: dice.between(0.5, 1.1),
        }
    }

    fn ridge(&self, level: f64, seed: u64, x: f64, bump: f64, size: f64) -> f64 {
        level - bump * (rough(self.seed ^ seed, x / size, 0.5) - 0.5) * 2.0
    }

    /// The skyline of the slope itself.
    fn skyline(&self, x: f64) -> f64 {
        self.ridge(self.near, 3, x, 22.0, 210.0) + self.tilt * (x - self.width / 2.0)
    }

    /// Which planting row lies at depth `t` (0 at the skyline, 1 at the feet), as a running number.
    fn row_at(&self, t: f64, x: f64) -> f64 {
        let bend = self.sway * (noise(self.seed ^ 11, x / 190.0, 0.3) - 0.5) * (0.3 + t);
        // Rows crowd together towards the skyline.
        self.rows * 1.6 * t / (0.6 + t) + bend
    }

    fn land(&self, picture: &mut RgbImage, moment: &Moment) {
        let weather = Dice::new(moment.day).between(0.0, 1.0);
        let (high, low) = (
            blend([92.0, 142.0, 200.0], [150.0, 160.0, 172.0], weather),
            blend([205.0, 222.0, 236.0], [214.0, 216.0, 218.0], weather),
        );
        let clouds = hash(moment.day) ^ self.seed;
        let (lush, dry) = ([104.0, 134.0, 62.0], [176.0, 160.0, 104.0]);
        let grass = blend(dry, lush, moment.green);
        for column in 0..picture.width() {
            let x = f64::from(column);
            let far = self.ridge(self.far, 1, x, 26.0, 150.0);
            let middle = self.ridge(self.middle, 2, x, 20.0, 110.0);
            let near = self.skyline(x);
            for line in 0..picture.height() {
                let y = f64::from(line);
                let colour = if y >= near {
                    self.slope(x, y, near, grass, moment)
                } else if y >= middle {
                    let wooded = rough(self.seed ^ 5, x / 9.0, y / 6.0);
                    blend([70.0, 88.0, 74.0], [110.0, 124.0, 96.0], wooded)
                } else if y >= far {
                    let haze = (y - far) / (middle - far + 1.0);
                    blend([122.0, 140.0, 158.0], [140.0, 156.0, 160.0], haze)
                } else {
                    let cover = rough(clouds, x / 130.0, y / 42.0) + 0.25 * weather;
                    blend(blend(high, low, y / self.near), [244.0, 245.0, 246.0], (cover - 0.55) * 2.6)
                };
                picture.put_pixel(column, line, Rgb(colour.map(|part| part.clamp(0.0, 255.0) as u8)));
            }
        }
    }

    fn slope(&self, x: f64, y: f64, near: f64, grass: Colour, moment: &Moment) -> Colour {
        let t = ((y - near) / (self.height - near)).clamp(0.0, 1.0);
        let scale = 3.0 + 22.0 * t;
        let tuft = rough(self.seed ^ 21, x / scale, y / (0.45 * scale));
        let patch = noise(self.seed ^ 22, x / 120.0, y / 45.0);
        let mut colour = blend(lit(grass, 0.72), lit(grass, 1.18), tuft);
        colour = blend(colour, [132.0, 112.0, 78.0], (patch - 0.62) * 1.6);
        if moment.growth >= 0.0 && (0.03..PLANTED_TO).contains(&t) {
            let row = self.row_at(t, x);
            let from_row = (row - row.round()).abs();
            let sprayed = (0.17 - from_row) * 6.0 * (1.0 - 0.7 * moment.growth);
            colour = blend(colour, lit([150.0, 124.0, 86.0], 0.8 + 0.4 * tuft), sprayed * 0.75);
        }
        // Towards the skyline everything pales.
        blend(colour, [150.0, 160.0, 158.0], 0.35 * (1.0 - 3.0 * t))
    }

    fn trees(&self, picture: &mut RgbImage, moment: &Moment) {
        let last = self.row_at(PLANTED_TO, self.width / 2.0).floor() as u32;
        for row in 1..=last {
            let mut dice = Dice::new(&format!("row {row} of {}", self.seed));
            let depth = self.depth_of(f64::from(row));
            let apart = 7.0 + 40.0 * depth;
            let mut x = apart * dice.part();
            while x < self.width {
                let t = self.depth_at(f64::from(row), x);
                let near = self.skyline(x);
                let foot = (x + dice.between(-0.12, 0.12) * apart, near + t * (self.height - near));
                let (lives, vigour, kind) = (dice.happens(0.86), dice.between(0.65, 1.3), dice.whole(0, 3));
                self.tree(picture, foot, t, moment, (lives, vigour, kind));
                x += apart * dice.between(0.85, 1.15);
            }
        }
    }

    fn depth_of(&self, row: f64) -> f64 {
        self.depth_at(row, self.width / 2.0)
    }

    /// The depth at which a row lies, found by halving.
    fn depth_at(&self, row: f64, x: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..18 {
            let middle = (low + high) / 2.0;
            if self.row_at(middle, x) < row { low = middle } else { high = middle }
        }
        low
    }

    fn tree(
        &self,
        picture: &mut RgbImage,
        (x, y): (f64, f64),
        t: f64,
        moment: &Moment,
        tree: (bool, f64, u64),
    ) {
        let (lives, vigour, kind) = tree;
        let metre = 5.0 + 34.0 * t;
        let guard = (0.11 * metre, 0.42 * metre);
        if moment.growth < 0.75 {
            oblong(picture, (x - guard.0, y - guard.1), (2.0 * guard.0, guard.1), [214.0, 222.0, 204.0]);
            stroke(picture, (x + guard.0, y - guard.1 * 1.2), (x + guard.0, y), 1.0, [148.0, 120.0, 84.0]);
        }
        if !lives && moment.growth > 0.2 {
            return;
        }
        let height = metre * vigour * (0.36 + 1.5 * moment.growth);
        let green = [[78.0, 104.0, 58.0], [96.0, 116.0, 84.0], [66.0, 92.0, 62.0], [112.0, 124.0, 72.0]]
            [kind as usize];
        let slender = [0.30, 0.24, 0.34, 0.42][kind as usize];
        stroke(picture, (x, y), (x, y - height * 0.6), (metre * 0.05).max(1.0), [92.0, 76.0, 60.0]);
        let seed = self.seed ^ (x as u64) << 20 ^ y as u64;
        for (along, wide) in [(0.50, 1.0), (0.72, 0.8), (0.92, 0.5)] {
            let size = (height * slender * wide, height * 0.24 * wide);
            leaves(picture, seed, (x, y - height * along), size, green);
        }
    }

    fn fence(&self, picture: &mut RgbImage) {
        let top = |x: f64| self.height * 0.84 + self.tilt * 0.5 * (x - self.width / 2.0);
        for wire in [0.0, 9.0, 18.0, 27.0] {
            let (from, to) = ((0.0, top(0.0) + wire), (self.width, top(self.width) + wire));
            stroke(picture, from, to, 1.0, [196.0, 200.0, 200.0]);
        }
        for post in 0..9 {
            let x = self.width * (0.05 + 0.118 * f64::from(post));
            stroke(picture, (x, top(x) - 8.0), (x, top(x) + 40.0), 4.0, [122.0, 104.0, 84.0]);
            stroke(picture, (x - 1.5, top(x) - 8.0), (x - 1.5, top(x) + 40.0), 1.0, [168.0, 150.0, 126.0]);
        }
    }

    fn board(&self, picture: &mut RgbImage, point: &str) {
        let size = 4.0;
        let wide = size * (6.0 * point.chars().count() as f64 + 3.0);
        let (x, y) = (self.width - wide - 26.0, self.height - 96.0);
        stroke(picture, (x + wide / 2.0, y + 30.0), (x + wide / 2.0, self.height), 6.0, [120.0, 96.0, 70.0]);
        oblong(picture, (x - 2.0, y - 2.0), (wide + 4.0, 48.0), [60.0, 56.0, 50.0]);
        oblong(picture, (x, y), (wide, 44.0), [240.0, 238.0, 228.0]);
        letters(picture, point, (x + 2.0 * size, y + 2.0 * size), size, [34.0, 40.0, 44.0]);
    }
}

/// The grain of a small sensor.
fn grain(picture: &mut RgbImage, seed: u64) {
    let mut dice = Dice::new(&format!("grain {seed}"));
    for y in 0..picture.height() {
        for x in 0..picture.width() {
            let Rgb(pixel) = *picture.get_pixel(x, y);
            let by = dice.between(-2.5, 2.5);
            dot(picture, i64::from(x), i64::from(y), pixel.map(|part| f64::from(part) + by));
        }
    }
}
