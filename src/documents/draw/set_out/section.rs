//! Rows in section: what the tape reads along the ground and what the map shows, drawn from the project's own numbers.

use geo::{Coord, LineString};

use crate::draw::{
    Drawing,
    map::sign::{EARTH, LEAF},
    palette::{ACCENT, INK, SOFT_INK},
    set_out::{
        WIDTH,
        dimension::{Side, dimension},
        tree::tree,
    },
    svg::{Anchor, Stroke, Svg, line_data, mm},
    text::{Line, Weight},
};
use hillfolio_core::{
    ledger::{Ledger, catalogue},
    plan::{AreaPlan, Plan},
    units::{Degrees, Metres, number},
};

/// Rows drawn.
const ROWS: u32 = 4;

/// Ground before the first row and beyond the last, in spacings.
const LEAD: f64 = 0.55;

/// The ground is no wider and no higher than this, mm.
const MOST: (f64, f64) = (166.0, 92.0);

/// Height of a tree, mm: not to scale.
const TREE: f64 = 14.0;

/// Room above the ground at a row: the tree and its row's name, mm.
const ABOVE: f64 = TREE + 5.5;

/// Room below the lowest ground for distances and words, mm.
const BELOW: f64 = 19.0;

/// Width and height of the inset that looks along a row, mm.
const INSET: (f64, f64) = (62.0, 34.0);

/// Type of words and of the two distances that matter most, points.
const POINTS: (f64, f64) = (8.0, 9.0);

/// The section through the rows of the largest area.
#[must_use]
pub(super) fn section(plan: &Plan, ledger: &Ledger) -> Option<Drawing> {
    let area = largest(plan)?;
    let name = &area.rows.plantable.area;
    let figure = |series| ledger.figure_of(series, &[&name.0]);
    let (slope, apart) = (figure(&catalogue::ROW_SLOPE)?, figure(&catalogue::ROW_MAP_SPACING)?);
    let (spacing, stems) = (plan.design.spacing, plan.design.stem_spacing);
    let ground = HillProfile::of(Degrees(slope.value), spacing);
    let size = (WIDTH, ground.end().y + BELOW);

    let mut svg = Svg::new(size);
    svg.oblong(Coord::zero(), size, "#ffffff", None);
    ground.soil(&mut svg);
    let band = ledger.figure_of(&catalogue::PLANTED_BAND, &[]).zip(plan.design.strip);
    let half_band = band.map(|(band, _)| band.value / 2.0);
    ground.cover(&mut svg, half_band);
    for row in 0..ROWS {
        let foot = ground.row(row);
        tree(&mut svg, foot, TREE);
        let line = Line::new(format!("row {}", row + 1), POINTS.0).weight(Weight::SemiBold);
        svg.words(Coord { x: foot.x, y: foot.y - TREE - 1.4 }, Anchor::Middle, 0.0, &line, true);
    }
    angle(&mut svg, &ground, &format!("slope {}", slope.text()));
    tape(&mut svg, &ground, spacing);
    on_the_map(&mut svg, &ground, &apart.text());
    if let Some((band, strip)) = band {
        strip_and_band(&mut svg, &ground, half_band.unwrap_or_default(), &metres(strip), &band.text());
    }
    inset(&mut svg, stems);

    let strip = band.map_or_else(String::new, |(band, strip)| {
        format!(
            " Between rows {} of grass are left; each row has a planted band of {}.",
            metres(strip),
            band.text()
        )
    });
    Some(Drawing {
        name: "section".to_owned(),
        title: "How the rows lie on the slope".to_owned(),
        alt: format!(
            "Section through {ROWS} rows on a slope of {}: {} from row to row with the tape held along the ground are {} on \
             the map.{strip} Along a row stems stand {} apart.",
            slope.text(),
            metres(spacing),
            apart.text(),
            metres(stems)
        ),
        caption: format!(
            "Distances are to scale on the mean slope under the rows of {name}; trees are not. Hold the tape along the ground, \
             not level: a level tape and the map read the shorter distance."
        ),
        svg: svg.finish(),
        size_mm: size,
        landscape: false,
    })
}

/// The area with the most ground to plant, of those with rows.
fn largest(plan: &Plan) -> Option<&AreaPlan> {
    let hectares = |area: &AreaPlan| area.rows.plantable.hectares.0;
    plan.areas.iter().reduce(|most, area| if hectares(area) > hectares(most) { area } else { most })
}

fn metres(Metres(length): Metres) -> String {
    let text = number(length, 2);
    format!("{} m", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A straight slope that falls to the right.
struct HillProfile {
    /// Its upper end, mm.
    start: Coord<f64>,
    /// One spacing on paper, mm.
    spacing: f64,
    /// Millimetres of paper for a metre.
    scale: f64,
    slope: Degrees,
}

impl HillProfile {
    fn of(slope: Degrees, spacing: Metres) -> HillProfile {
        let spacings = f64::from(ROWS - 1) + 2.0 * LEAD;
        let (wide, high) = (MOST.0 / (spacings * slope.cos()), MOST.1 / (spacings * slope.sin()).max(1e-9));
        let one = wide.min(high);
        let left = (WIDTH - spacings * one * slope.cos()) / 2.0;
        let fall = slope.sin() / slope.cos().max(1e-9);
        // Trees stand clear of the drawing's edge and of the inset, which takes the upper right corner.
        let under_inset = INSET.1 + 2.0 + ABOVE - (WIDTH - INSET.0 - left).max(0.0) * fall;
        let top = under_inset.max(ABOVE - LEAD * one * slope.sin()).max(2.0);
        HillProfile {
            start: Coord { x: left, y: top },
            spacing: one,
            scale: one / spacing.0.max(1e-9),
            slope,
        }
    }

    /// The place `along` mm down the slope and `off` mm above it.
    fn at(&self, along: f64, off: f64) -> Coord<f64> {
        let (sin, cos) = (self.slope.sin(), self.slope.cos());
        Coord { x: self.start.x + along * cos + off * sin, y: self.start.y + along * sin - off * cos }
    }

    /// How far down the slope a row stands, mm.
    fn run(&self, row: u32) -> f64 {
        (LEAD + f64::from(row)) * self.spacing
    }

    fn row(&self, row: u32) -> Coord<f64> {
        self.at(self.run(row), 0.0)
    }

    fn length(&self) -> f64 {
        self.run(ROWS - 1) + LEAD * self.spacing
    }

    fn end(&self) -> Coord<f64> {
        self.at(self.length(), 0.0)
    }

    fn soil(&self, svg: &mut Svg) {
        let ring = vec![self.at(0.0, 0.0), self.end(), self.at(self.length(), -3.2), self.at(0.0, -3.2)];
        svg.path(&(line_data(&LineString(ring)) + "Z"), "#eee4d8", None);
        let surface = line_data(&LineString(vec![self.at(0.0, 0.0), self.end()]));
        svg.path(&surface, "none", Some(&Stroke::solid(EARTH, 0.5)));
    }

    /// Grass everywhere but in the planted bands, which are `half` wide on either side of a row, in metres.
    fn cover(&self, svg: &mut Svg, half: Option<f64>) {
        /// Between two tufts, mm.
        const TUFTS: f64 = 1.7;
        let half = half.unwrap_or(0.0) * self.scale;
        let planted = |along: f64| (0..ROWS).any(|row| (along - self.run(row)).abs() <= half);
        let tufts = (1..).map(|tuft| f64::from(tuft) * TUFTS).take_while(|along| *along < self.length());
        let data: String = tufts
            .filter(|along| !planted(*along))
            .map(|along| {
                let blade = |lean: f64, tall: f64| vec![self.at(along, 0.0), self.at(along + lean, tall)];
                [(-0.6, 1.5), (0.05, 2.0), (0.7, 1.4)]
                    .map(|(lean, tall)| line_data(&LineString(blade(lean, tall))))
                    .concat()
            })
            .collect();
        svg.path(&data, "none", Some(&Stroke::solid("#6b8a66", 0.22)));
        if half > 0.0 {
            let bands = (0..ROWS).map(|row| {
                let from = self.at(self.run(row) - half, 0.0);
                line_data(&LineString(vec![from, self.at(self.run(row) + half, 0.0)]))
            });
            svg.path(&bands.collect::<String>(), "none", Some(&Stroke::solid(EARTH, 1.5)));
        }
    }
}

/// The distance that the tape reads, between the first two rows.
fn tape(svg: &mut Svg, ground: &HillProfile, spacing: Metres) {
    let line = |words: String| Line::new(words, POINTS.1).weight(Weight::SemiBold).colour(ACCENT);
    let ends = (ground.at(ground.run(0), 3.4), ground.at(ground.run(1), 3.4));
    let whole = line(format!("tape along the ground: {}", metres(spacing)));
    let lines = if whole.width() < ground.spacing - 4.0 {
        vec![whole]
    } else {
        vec![line("tape along".to_owned()), line(format!("the ground: {}", metres(spacing)))]
    };
    dimension(svg, ends, Stroke::solid(ACCENT, 0.5), Side::Above, &lines);
}

/// The distance that the map shows, between the second row and the third.
fn on_the_map(svg: &mut Svg, ground: &HillProfile, apart: &str) {
    let (upper, lower) = (ground.row(1), ground.row(2));
    let level = lower.y + 8.5;
    for foot in [upper, lower] {
        let down = vec![foot, Coord { x: foot.x, y: level + 1.5 }];
        let thin = Stroke { colour: SOFT_INK, width: 0.2, dash: "1 0.7" };
        svg.path(&line_data(&LineString(down)), "none", Some(&thin));
    }
    let ends = (Coord { x: upper.x, y: level }, Coord { x: lower.x, y: level });
    let words = Line::new(format!("on the map: {apart}"), POINTS.1).weight(Weight::SemiBold);
    dimension(svg, ends, Stroke::solid(INK, 0.4), Side::Below, &[words]);
}

/// What lies between the last two rows, and about the last.
fn strip_and_band(svg: &mut Svg, ground: &HillProfile, half_band: f64, strip: &str, band: &str) {
    let half = half_band * ground.scale;
    let (upper, lower) = (ground.run(ROWS - 2), ground.run(ROWS - 1));
    for (from, to, words, length) in [
        (upper + half, lower - half, "grass strip", strip),
        (lower - half, lower + half, "planted band", band),
    ] {
        if to - from < 5.0 {
            continue;
        }
        let ends = (ground.at(from, -6.0), ground.at(to, -6.0));
        let line = |words: &str| Line::new(words, POINTS.0);
        dimension(svg, ends, Stroke::solid(LEAF, 0.3), Side::Below, &[line(words), line(length)]);
        for at in [from, to] {
            let tick = line_data(&LineString(vec![ground.at(at, -3.4), ground.at(at, -7.2)]));
            svg.path(&tick, "none", Some(&Stroke::solid(SOFT_INK, 0.2)));
        }
    }
}

/// The slope, at the second row's foot.
fn angle(svg: &mut Svg, ground: &HillProfile, words: &str) {
    /// Radius of the arc, mm.
    const ARC: f64 = 24.0;
    let foot = ground.row(1);
    let level = Coord { x: foot.x - ARC - 4.0, y: foot.y };
    let thin = Stroke { colour: SOFT_INK, width: 0.25, dash: "1.6 0.9" };
    svg.path(&line_data(&LineString(vec![foot, level])), "none", Some(&thin));
    let (from, to) = (Coord { x: foot.x - ARC, y: foot.y }, ground.at(ground.run(1) - ARC, 0.0));
    let r = mm(ARC);
    let data = format!("M{} {}A{r} {r} 0 0 1 {} {}", mm(from.x), mm(from.y), mm(to.x), mm(to.y));
    svg.path(&data, "none", Some(&Stroke::solid(INK, 0.35)));
    let at = Coord { x: level.x, y: level.y + 4.2 };
    svg.words(at, Anchor::Start, 0.0, &Line::new(words, POINTS.1).weight(Weight::SemiBold), true);
}

/// The stems of a row, seen from below it.
fn inset(svg: &mut Svg, stems: Metres) {
    let left = WIDTH - INSET.0;
    svg.oblong(
        Coord { x: left, y: 0.2 },
        (INSET.0 - 0.2, INSET.1),
        "#ffffff",
        Some(&Stroke::solid(SOFT_INK, 0.25)),
    );
    let heading = Line::new("Along a row, which runs level", POINTS.0).weight(Weight::SemiBold);
    svg.words(Coord { x: left + 2.5, y: 4.6 }, Anchor::Start, 0.0, &heading, false);
    let level = 23.0;
    let ground = vec![Coord { x: left + 3.0, y: level }, Coord { x: WIDTH - 3.0, y: level }];
    svg.path(&line_data(&LineString(ground)), "none", Some(&Stroke::solid(EARTH, 0.8)));
    let apart = 15.5;
    let foot = |stem: f64| Coord { x: left + 7.7 + apart * stem, y: level };
    for stem in 0..4_u8 {
        tree(svg, foot(f64::from(stem)), TREE);
    }
    let below = |place: Coord<f64>| Coord { x: place.x, y: place.y + 3.0 };
    let words = Line::new(format!("between stems: {}", metres(stems)), POINTS.0);
    dimension(svg, (below(foot(1.0)), below(foot(2.0))), Stroke::solid(INK, 0.35), Side::Below, &[words]);
}
