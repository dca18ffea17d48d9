//! Contour lines on a map, with their heights set into the heavier ones.

use geo::{Coord, LineString, Simplify};

use crate::draw::{
    map::{
        clip,
        patch::Patch,
        placement::{Form, Placed, Wanted},
        sign::{CONTOUR, HEAVY_CONTOUR, RELIEF},
        spots,
        under::{heights, to_paper},
        window::{Window, grown},
    },
    svg::{Stroke, Svg, line_data, path_markup},
    text::Line,
};
use hillfolio_core::{
    terrain::{self, Grid, slope},
    units::{as_written, number},
};

/// Contours lie no closer than this on nine tenths of the ground, mm of paper: where the map is about its form, and where other things are.
pub(super) const CLOSEST_CONTOURS_MM: f64 = 1.1;
pub(super) const CLOSEST_QUIET_MM: f64 = 2.6;
/// No contours closer in height than this, m: what lies between is the model's own noise (judgement).
const LEAST_INTERVAL: f64 = 1.0;
/// Pieces of a smoothed line are about this long, mm.
const PIECE_MM: f64 = 0.7;
/// A closed line shorter than this is a bump of a cell or two, mm.
const SHORTEST_RING_MM: f64 = 4.0;
/// A line shorter than this bears no height, mm.
const SHORTEST_NAMED_MM: f64 = 22.0;
/// Type of the heights, points.
const POINTS: f64 = 6.5;
/// Labels of contours are placed after all others.
const RANK: u8 = 100;
/// Detail below this is left out of a finished line, mm.
const FINEST_MM: f64 = 0.02;

/// One contour on paper.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contour {
    /// Its course, mm.
    line: LineString<f64>,
    /// Its height, as printed; `None` where it is not an index contour.
    height: Option<String>,
}

/// The contours of a map.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contours {
    lines: Vec<Contour>,
    /// Metres between two of them.
    interval: f64,
}

/// The contours of `grid` in the frame of `window`, `closest` mm apart or more; `None` where no line crosses it.
pub(super) fn contours(grid: &Grid, window: &Window, closest: f64) -> Option<Contours> {
    let cut = heights(grid, window)?;
    let range = cut.range()?;
    let interval = interval(&cut, range, window.scale.ground(closest))?;
    let cell = window.scale.paper(cut.lattice.cell_metres(cut.lattice.rows / 2).0);
    let times = (cell / PIECE_MM).ceil().clamp(1.0, 8.0) as usize;
    let smooth = terrain::refined(&cut, &cut.lattice.whole(), times);
    let paper = to_paper(&cut.lattice, window)?;
    let mut lines = Vec::new();
    for contour in terrain::contours(&smooth, &terrain::levels(range, interval)) {
        let course: LineString<f64> = contour.line.coords().map(|place| paper.at(*place)).collect();
        if contour.closed && length(&course) < SHORTEST_RING_MM {
            continue;
        }
        let decimals = usize::from(interval < 1.0);
        let height = contour.level.index.then(|| number(contour.level.height, decimals));
        let inside = clip::line(&course, grown(window.frame, 0.5));
        lines.extend(inside.into_iter().map(|line| Contour { line, height: height.clone() }));
    }
    (!lines.is_empty()).then_some(Contours { lines, interval })
}

/// The smallest round interval at which contours are `closest` metres apart or more on nine tenths of the ground.
fn interval(grid: &Grid, range: (f64, f64), closest: f64) -> Option<f64> {
    let mut slopes: Vec<f32> = slope(grid).values.into_iter().filter(|degrees| !degrees.is_nan()).collect();
    slopes.sort_unstable_by(f32::total_cmp);
    let steep = f64::from(*slopes.get(slopes.len() * 9 / 10)?).to_radians();
    let least = (closest * libm::tan(steep)).max(LEAST_INTERVAL);
    let most = ((range.1 - range.0) / least).floor().max(1.0) as usize;
    Some(terrain::interval(range, most).max(LEAST_INTERVAL))
}

fn length(line: &LineString<f64>) -> f64 {
    line.lines().map(|leg| libm::hypot(leg.dx(), leg.dy())).sum()
}

impl Contours {
    /// What the legend says of the fine and of the heavy lines; nothing of those that are not there.
    pub(super) fn words(&self) -> [Option<String>; 2] {
        let shown = |heavy: bool| self.lines.iter().any(|line| line.height.is_some() == heavy);
        [
            shown(false).then(|| format!("Contour, every {} m", as_written(self.interval))),
            shown(true).then(|| format!("Every {} m, height in m", as_written(5.0 * self.interval))),
        ]
    }

    /// The labels that the index contours want.
    pub(super) fn wanted(&self) -> Vec<Wanted> {
        let named = self.lines.iter().filter(|one| length(&one.line) >= SHORTEST_NAMED_MM);
        named
            .filter_map(|one| {
                let lines = vec![Line::new(one.height.clone()?, POINTS).colour(RELIEF)];
                let spots = spots::along_line(&one.line, &lines);
                Some(Wanted { rank: RANK, forms: vec![Form { lines, spots, roams: false }], clean: false })
            })
            .collect()
    }

    /// Draws the lines, with a gap wherever one of `labels` stands.
    pub(super) fn draw(&self, svg: &mut Svg, labels: &[Placed]) {
        let gaps: Vec<Patch> = labels.iter().map(|label| label.patch.grown(0.25)).collect();
        let lines = self.lines.clone();
        svg.put_later(move || {
            let ink = |heavy| path_markup(&data(&lines, heavy, &gaps), "none", Some(stroke(heavy)));
            ink(false) + &ink(true)
        });
    }
}

/// How contours are inked, the `heavy` ones with a height and the others.
fn stroke(heavy: bool) -> &'static Stroke {
    if heavy { &HEAVY_CONTOUR } else { &CONTOUR }
}

/// Path data of the `heavy` ones of `lines`, or of the others, without what lies in `gaps`.
fn data(lines: &[Contour], heavy: bool, gaps: &[Patch]) -> String {
    lines
        .iter()
        .filter(|one| one.height.is_some() == heavy)
        .flat_map(|one| interrupted(&one.line, gaps))
        .map(|line| line_data(&line.simplify(FINEST_MM)))
        .collect()
}

/// `line` without what lies in `gaps`.
fn interrupted(line: &LineString<f64>, gaps: &[Patch]) -> Vec<LineString<f64>> {
    let mut parts: Vec<Vec<Coord<f64>>> = Vec::new();
    let mut joined = false;
    for leg in line.lines().flat_map(short_legs) {
        let patch = Patch::along(leg.start, leg.end, 0.01);
        if gaps.iter().any(|gap| gap.overlaps(&patch)) {
            joined = false;
            continue;
        }
        match parts.last_mut().filter(|_| joined) {
            Some(part) => part.push(leg.end),
            None => parts.push(vec![leg.start, leg.end]),
        }
        joined = true;
    }
    parts.into_iter().map(LineString).collect()
}

/// A leg in pieces short enough to be left out one by one.
fn short_legs(leg: geo::Line<f64>) -> impl Iterator<Item = geo::Line<f64>> {
    let count = (libm::hypot(leg.dx(), leg.dy()) / PIECE_MM).ceil().max(1.0);
    let at =
        move |n: f64| Coord { x: leg.start.x + leg.dx() * n / count, y: leg.start.y + leg.dy() * n / count };
    (0..count as usize).map(move |n| geo::Line::new(at(n as f64), at(n as f64 + 1.0)))
}
