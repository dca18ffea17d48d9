//! Inking signs: the same code draws a sign on the map and in the legend.

use std::fmt::Write as _;

use geo::{Coord, LineString, MultiPolygon};

use crate::draw::{
    map::{
        sign::{
            Extent, LEAF, LineLook, Mark, NEW_BAND, Pattern, Sign, SiteMark, WARNING, WATER, WIRE, line_look,
            outline, surface_fill,
        },
        window::{Drawn, rings},
    },
    palette::{ACCENT, INK, SOFT_INK},
    svg::{Stroke, Svg, line_data, mm, polygon_data},
};
use hillfolio_core::{
    project::{FeatureKind, Standing},
    units::Degrees,
};

/// Length of the wedge that shows which way a camera looks, mm.
pub(super) const WEDGE_MM: f64 = 6.5;

/// Half the angle of that wedge. It shows the direction, not what the picture takes in.
const WEDGE_HALF: f64 = 17.0;

/// Radius of the sign of a plot, mm.
pub(super) const PLOT_MM: f64 = 1.05;

/// Radius of the sign of a feature that is a point, mm.
pub(super) const FEATURE_MM: f64 = 1.4;

/// Radius of the ring about an area too small to see, mm.
pub(super) const RING_MM: f64 = 2.4;

/// Half the side of the square of a site, mm.
pub(super) const SITE_MM: f64 = 1.0;

/// Half the length of the arrowhead at a row's start, mm.
pub(super) const START_MM: f64 = 1.1;

/// Defines the patterns that `signs` are filled with.
pub(super) fn patterns(svg: &mut Svg, signs: impl Iterator<Item = Sign>) {
    let mut wanted: Vec<Pattern> = signs.filter_map(|sign| surface_fill(sign).pattern).collect();
    wanted.sort_unstable();
    wanted.dedup();
    for pattern in wanted {
        let (side, colour, width, data, filled) = pattern.tile();
        let (side, width) = (mm(side), mm(width));
        let ink = if filled {
            format!(r#"fill="{colour}""#)
        } else {
            format!(r#"fill="none" stroke="{colour}" stroke-width="{width}""#)
        };
        svg.put(format_args!(
            r#"<defs><pattern id="{}" width="{side}" height="{side}" patternUnits="userSpaceOnUse"><path d="{data}" {ink}/></pattern></defs>"#,
            pattern.id()
        ));
    }
}

/// Draws `sign` over `drawn`. `bearing` is the direction on paper in which a camera looks or a row runs.
pub(super) fn sign(svg: &mut Svg, sign: Sign, drawn: &Drawn, bearing: Option<Degrees>) {
    match drawn {
        Drawn::Points(places) => places.iter().for_each(|place| point(svg, sign, *place, bearing)),
        Drawn::Lines(lines) => match sign {
            Sign::Feature(_, kind, standing, _) => {
                line(svg, &line_look(kind, standing), standing == Standing::New, lines);
            }
            other => line(svg, &outline(other), false, lines),
        },
        Drawn::Polygons(polygons) => surface(svg, sign, polygons),
    }
}

fn surface(svg: &mut Svg, sign: Sign, polygons: &MultiPolygon<f64>) {
    let data: String = polygons.iter().map(polygon_data).collect();
    let fill = surface_fill(sign);
    if fill.colour != "none" {
        // The ground beneath shows through an area.
        svg.put(if sign == Sign::Area { r#"<g fill-opacity="0.55">"# } else { "<g>" });
        svg.path(&data, fill.colour, None);
        svg.put("</g>");
    }
    if let Some(pattern) = fill.pattern {
        svg.path(&data, &format!("url(#{})", pattern.id()), None);
    }
    if sign != Sign::Infill {
        let new = matches!(sign, Sign::Feature(_, _, Standing::New, _));
        let edges: Vec<LineString<f64>> = polygons.iter().flat_map(rings).cloned().collect();
        line(svg, &outline(sign), new, &edges);
    }
}

fn line(svg: &mut Svg, look: &LineLook, new: bool, lines: &[LineString<f64>]) {
    let data: String = lines.iter().map(line_data).collect();
    if new {
        svg.path(&data, "none", Some(&NEW_BAND));
    }
    if let Some(casing) = &look.casing {
        svg.path(&data, "none", Some(casing));
    }
    svg.path(&data, "none", Some(&look.stroke));
    if let Some(middle) = &look.middle {
        svg.path(&data, "none", Some(middle));
    }
    if let Some((mark, every)) = look.mark {
        marks(svg, mark, every, look.stroke.colour, lines);
    }
}

fn marks(svg: &mut Svg, mark: Mark, every: f64, colour: &'static str, lines: &[LineString<f64>]) {
    let mut data = String::new();
    for (at, turn) in lines.iter().flat_map(|line| along(line, every)) {
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        for stroke in mark.strokes() {
            for (index, (x, y)) in stroke.iter().enumerate() {
                let letter = if index == 0 { 'M' } else { 'L' };
                let (px, py) = (at.x + x * cos - y * sin, at.y + x * sin + y * cos);
                let written = write!(data, "{letter}{} {}", mm(px), mm(py));
                debug_assert!(written.is_ok(), "a string takes every write");
            }
        }
    }
    let (fill, stroke) = match mark {
        Mark::Post | Mark::Tooth => (colour, None),
        Mark::Diamond => ("#ffffff", Some(Stroke::solid(colour, 0.25))),
        Mark::Tick | Mark::Cross | Mark::Bolt | Mark::Bank => ("none", Some(Stroke::solid(colour, 0.28))),
    };
    svg.path(&data, fill, stroke.as_ref());
}

impl Mark {
    /// Its strokes about the line, which runs along x; mm.
    fn strokes(self) -> &'static [&'static [(f64, f64)]] {
        match self {
            Mark::Tick => &[&[(0.0, -0.75), (0.0, 0.75)]],
            Mark::Post => &[&[(-0.6, -0.6), (0.6, -0.6), (0.6, 0.6), (-0.6, 0.6), (-0.6, -0.6)]],
            Mark::Cross => &[&[(-0.6, -0.6), (0.6, 0.6)], &[(-0.6, 0.6), (0.6, -0.6)]],
            Mark::Bolt => &[&[(-0.5, 1.1), (0.2, -0.3), (-0.2, 0.3), (0.5, -1.1)]],
            Mark::Bank => &[&[(0.0, 0.45), (0.0, 1.15)], &[(0.0, -0.45), (0.0, -1.15)]],
            Mark::Tooth => &[&[(-0.6, 0.0), (0.0, 1.1), (0.6, 0.0)]],
            Mark::Diamond => &[&[(-0.8, 0.0), (0.0, -0.65), (0.8, 0.0), (0.0, 0.65), (-0.8, 0.0)]],
        }
    }
}

/// Places along `line`, `every` millimetres apart and centred on it, with the direction of the line in radians.
fn along(line: &LineString<f64>, every: f64) -> Vec<(Coord<f64>, f64)> {
    let length = |leg: &geo::Line<f64>| libm::hypot(leg.dx(), leg.dy());
    let total: f64 = line.lines().map(|leg| length(&leg)).sum();
    let count = (total / every).floor();
    let mut next = if count < 1.0 { total / 2.0 } else { (total - (count - 1.0) * every) / 2.0 };
    let (mut places, mut run) = (Vec::new(), 0.0);
    for leg in line.lines() {
        let here = length(&leg);
        while here > 0.0 && next <= run + here {
            let part = (next - run) / here;
            let at = Coord { x: leg.start.x + part * leg.dx(), y: leg.start.y + part * leg.dy() };
            places.push((at, libm::atan2(leg.dy(), leg.dx())));
            next += every;
        }
        run += here;
    }
    places
}

fn point(svg: &mut Svg, sign: Sign, at: Coord<f64>, bearing: Option<Degrees>) {
    match sign {
        Sign::Plot => {
            svg.circle(at, PLOT_MM, "#ffffff", Some(&Stroke::solid(INK, 0.3)));
            svg.circle(at, 0.32, INK, None);
        }
        Sign::PhotoPoint => {
            if let Some(bearing) = bearing {
                wedge(svg, at, bearing);
            }
            svg.circle(at, 1.1, INK, Some(&Stroke::solid("#ffffff", 0.3)));
        }
        Sign::Site(mark) => site(svg, mark, at),
        Sign::Sighting(_) => {
            let corners = [(0.0, -1.5), (1.25, 0.0), (0.0, 1.5), (-1.25, 0.0), (0.0, -1.5)];
            let ring = corners.map(|(x, y)| Coord { x: at.x + x, y: at.y + y }).to_vec();
            svg.path(&line_data(&LineString(ring)), WIRE, Some(&Stroke::solid("#ffffff", 0.3)));
        }
        Sign::RowStart => arrowhead(svg, at, bearing.unwrap_or_default()),
        Sign::Ring => svg.circle(at, RING_MM, "none", Some(&Stroke::solid(ACCENT, 0.5))),
        Sign::Feature(_, kind, standing, _) => feature_point(svg, kind, standing, at),
        _ => svg.circle(at, 0.6, INK, None),
    }
}

/// A site: the fuller its square, the better its targets stand.
fn site(svg: &mut Svg, mark: SiteMark, at: Coord<f64>) {
    let place = |x: f64, y: f64| Coord { x: at.x + x * SITE_MM, y: at.y + y * SITE_MM };
    let ring = |corners: &[(f64, f64)]| {
        line_data(&LineString(corners.iter().map(|&(x, y)| place(x, y)).collect())) + "Z"
    };
    let whole = ring(&[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]);
    svg.path(&whole, "#ffffff", Some(&Stroke::solid("#ffffff", 0.9)));
    match mark {
        SiteMark::Met => svg.path(&whole, LEAF, Some(&Stroke::solid(LEAF, 0.3))),
        SiteMark::Short => {
            svg.path(&whole, "#ffffff", Some(&Stroke::solid(ACCENT, 0.45)));
            svg.path(&ring(&[(-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0)]), ACCENT, None);
        }
        SiteMark::Unjudged => svg.path(&whole, "#ffffff", Some(&Stroke::solid(SOFT_INK, 0.35))),
    }
}

/// An arrowhead about `at` that points along `bearing`.
fn arrowhead(svg: &mut Svg, at: Coord<f64>, bearing: Degrees) {
    let (sin, cos) = (bearing.sin(), bearing.cos());
    let place = |along: f64, across: f64| Coord {
        x: at.x + along * sin + across * cos,
        y: at.y - along * cos + across * sin,
    };
    let ring = [place(START_MM, 0.0), place(-START_MM, 0.85), place(-START_MM, -0.85)];
    let data = line_data(&LineString(ring.to_vec())) + "Z";
    svg.path(&data, INK, Some(&Stroke::solid("#ffffff", 0.2)));
}

/// The half of a wedge's ends, and the wedge itself: from the camera outward.
fn wedge(svg: &mut Svg, at: Coord<f64>, bearing: Degrees) {
    let end = |off: f64| {
        let direction = Degrees(bearing.0 + off);
        Coord { x: at.x + WEDGE_MM * direction.sin(), y: at.y - WEDGE_MM * direction.cos() }
    };
    let (left, right) = (end(-WEDGE_HALF), end(WEDGE_HALF));
    let r = mm(WEDGE_MM);
    let data = format!(
        "M{} {}L{} {}A{r} {r} 0 0 1 {} {}Z",
        mm(at.x),
        mm(at.y),
        mm(left.x),
        mm(left.y),
        mm(right.x),
        mm(right.y)
    );
    svg.path(&data, "#e7c3a6", Some(&Stroke::solid(ACCENT, 0.25)));
}

fn feature_point(svg: &mut Svg, kind: FeatureKind, standing: Standing, at: Coord<f64>) {
    if standing == Standing::New {
        svg.circle(at, 2.1, NEW_BAND.colour, None);
    }
    let moved = |data: &[(f64, f64)]| {
        let places = data.iter().map(|(x, y)| Coord { x: at.x + x, y: at.y + y }).collect();
        line_data(&LineString(places))
    };
    let pen = |colour| Some(Stroke::solid(colour, 0.35));
    match kind {
        FeatureKind::Gate => {
            svg.path(
                &moved(&[(-1.3, -0.9), (1.3, -0.9), (1.3, 0.9), (-1.3, 0.9), (-1.3, -0.9)]),
                "#ffffff",
                None,
            );
            svg.path(&moved(&[(-1.3, -1.2), (-1.3, 1.2)]), "none", Some(&Stroke::solid(INK, 0.6)));
            svg.path(&moved(&[(1.3, -1.2), (1.3, 1.2)]), "none", Some(&Stroke::solid(INK, 0.6)));
            svg.path(&moved(&[(-1.3, -0.7), (1.3, 0.7)]), "none", pen(INK).as_ref());
        }
        FeatureKind::WaterPoint | FeatureKind::Water | FeatureKind::Watercourse => {
            svg.circle(at, 1.3, "#ffffff", Some(&Stroke::solid(WATER, 0.4)));
            svg.circle(at, 0.6, WATER, None);
        }
        FeatureKind::Building => {
            svg.path(&moved(&[(-1.1, 1.1), (-1.1, -0.3), (0.0, -1.3), (1.1, -0.3), (1.1, 1.1)]), INK, None);
        }
        FeatureKind::Exclusion => {
            svg.circle(at, 1.3, "#ffffff", pen(WARNING).as_ref());
            svg.path(&moved(&[(-0.8, -0.8), (0.8, 0.8)]), "none", pen(WARNING).as_ref());
            svg.path(&moved(&[(-0.8, 0.8), (0.8, -0.8)]), "none", pen(WARNING).as_ref());
        }
        FeatureKind::Slip => svg.path(
            &moved(&[(-1.2, 1.0), (0.0, -1.1), (1.2, 1.0), (-1.2, 1.0)]),
            "#ffffff",
            pen(outline(Sign::feature(kind, standing, Extent::Surface)).stroke.colour).as_ref(),
        ),
        FeatureKind::Remnant => {
            svg.path(&moved(&[(0.0, 1.4), (0.0, 0.0)]), "none", pen("#2c4a34").as_ref());
            svg.circle(Coord { x: at.x, y: at.y - 0.5 }, 0.9, "#dce7d5", pen("#2c4a34").as_ref());
        }
        _ => svg.path(
            &moved(&[(-0.9, 0.0), (0.0, -0.9), (0.9, 0.0), (0.0, 0.9), (-0.9, 0.0)]),
            "#ffffff",
            pen(line_look(kind, standing).stroke.colour).as_ref(),
        ),
    }
}
