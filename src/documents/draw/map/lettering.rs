//! The labels of a map: where each may stand, which found room, and how they are printed.

use std::collections::BTreeMap;

use geo::{Contains, Coord, LineString, Rect};

use crate::draw::{
    map::{
        inked::{Inked, radius, speck},
        item::{Label, Named},
        paint,
        patch::Patch,
        placement::{Form, LabelSpace, Placed, Wanted},
        sign::{Sign, line_reach, surface_fill},
        spots,
        window::{Drawn, Window, grown, rings},
    },
    palette::INK,
    svg::{Anchor, Stroke, Svg, line_data},
    text::{CAP_HEIGHT, POINT_MM},
};
use hillfolio_core::project::FeatureKind;

/// The labels of a map.
pub(super) struct Lettering {
    /// The names in their places.
    pub(super) names: Vec<Placed>,
    /// The heights set into contours.
    pub(super) heights: Vec<Placed>,
    /// How many names found no room.
    pub(super) unnamed: BTreeMap<Named, usize>,
}

/// Places the names of what is `inked`, and then the `heights` that contours want.
pub(super) fn lettered(
    inked: &[Inked<'_>],
    window: &Window,
    symbols: &[Patch],
    heights: Vec<Wanted>,
) -> Lettering {
    let lines: Vec<geo::Line<f64>> = inked.iter().flat_map(|one| one.drawn.legs()).collect();
    // Rows have their numbers already.
    let named = inked.iter().filter_map(|one| Some((one, one.item.label.as_ref()?)));
    let named: Vec<(&Inked<'_>, &Label)> =
        named.filter(|(_, label)| !matches!(label.named, Named::Row(_))).collect();
    let mut wanted: Vec<Wanted> = named.iter().map(|(one, label)| wanted(one, label, window.frame)).collect();
    wanted.extend(heights);
    let mut placed = LabelSpace::new(grown(window.frame, -0.6), symbols.to_vec(), &lines).place(&wanted);
    let heights = placed.split_off(named.len()).into_iter().flatten().collect();
    let mut unnamed = BTreeMap::new();
    for ((one, label), _) in named.iter().zip(&placed).filter(|(_, placed)| placed.is_none()) {
        // What only reaches in from outside needs no name here.
        let belongs = match &one.drawn {
            Drawn::Polygons(surface) => spots::mostly_inside(surface, window.frame),
            Drawn::Points(_) | Drawn::Lines(_) => true,
        };
        if belongs {
            *unnamed.entry(label.named).or_insert(0) += 1;
        }
    }
    Lettering { names: placed.into_iter().flatten().collect(), heights, unnamed }
}

fn wanted(one: &Inked<'_>, label: &Label, frame: Rect<f64>) -> Wanted {
    let inside = match &one.drawn {
        Drawn::Polygons(surface) => spots::roomy_places(surface, frame),
        Drawn::Points(_) | Drawn::Lines(_) => Vec::new(),
    };
    let forms = label.forms.iter().map(|lines| {
        let spots = match (&one.drawn, one.item.sign) {
            (Drawn::Points(places), sign) => {
                places.iter().take(1).flat_map(|at| spots::about_point(*at, radius(sign), lines)).collect()
            }
            (Drawn::Lines(drawn), sign) => spots::beside_lines(drawn, line_reach(sign), lines),
            (Drawn::Polygons(surface), Sign::DetailFrame) => spots::in_corners(surface, lines),
            (
                Drawn::Polygons(surface),
                Sign::Feature(_, FeatureKind::Property | FeatureKind::Fence, _, _),
            ) => {
                let edges: Vec<_> = surface.iter().flat_map(rings).cloned().collect();
                spots::beside_lines(&edges, line_reach(one.item.sign), lines)
            }
            (Drawn::Polygons(surface), _) => match speck(surface) {
                Some(middle) => spots::about_point(middle, paint::RING_MM, lines),
                None => spots::about_surface(surface, &inside, frame, lines),
            },
        };
        let roams = label.named == Named::Area;
        Form { lines: lines.clone(), spots, roams }
    });
    Wanted { rank: label.named.rank(), forms: forms.collect(), clean: label.named == Named::Feature }
}

/// Takes the pattern of a surface away from under a label, so that its colour alone lies there.
pub(super) fn clear_pattern(svg: &mut Svg, label: &Placed, inked: &[Inked<'_>]) {
    let Patch { centre, half, .. } = label.patch;
    let mut ground: (Option<&str>, bool) = (None, false);
    for one in inked {
        let Drawn::Polygons(surface) = &one.drawn else { continue };
        let fill = surface_fill(one.item.sign);
        if !fill.is_none() && surface.contains(&centre) {
            let plain = fill.colour == "none";
            ground = (
                if plain { ground.0 } else { Some(fill.colour) },
                fill.pattern.is_some() || plain && ground.1,
            );
        }
    }
    if let (Some(colour), true, true) = (ground.0, ground.1, label.patch.turn() == 0.0) {
        let corner = Coord { x: centre.x - half.0 - 0.4, y: centre.y - half.1 };
        svg.oblong(corner, (2.0 * half.0 + 0.8, 2.0 * half.1), colour, None);
    }
}

/// Prints a label with its leader, in a white halo where asked.
pub(super) fn letter(svg: &mut Svg, label: &Placed, halo: bool) {
    if let Some(leader) = label.leader {
        let data = line_data(&LineString(vec![leader.start, leader.end]));
        svg.path(&data, "none", Some(&Stroke::solid("#ffffff", 0.7)));
        svg.path(&data, "none", Some(&Stroke::solid(INK, 0.22)));
    }
    let (_, height) = Form::size(&label.lines);
    let [_, down_the_label] = label.patch.axes();
    let mut down = -height / 2.0;
    for line in &label.lines {
        // The baseline lies where capitals stand in the middle of the line's height.
        let base = down + 0.5 * (line.height() + CAP_HEIGHT * line.points * POINT_MM);
        let at = label.patch.centre + down_the_label * base;
        svg.words(at, Anchor::Middle, label.patch.turn(), line, halo);
        down += line.height();
    }
}
