//! Maps drawn from projects built in memory: what is on them, what their labels cover, whether the scale holds.

use std::{collections::BTreeSet, sync::OnceLock};

use geo::{Coord, Line};
use hillfolio_core::{
    geometry::{self, Grid},
    ledger::Filled,
    project::{FeatureKind, Project},
};
use hillfolio_documents::draw::{
    map::{self, furniture::ScaleBar, item::Named, patch::Patch, sheet::Map, sign::Sign},
    text::{self, Weight},
};
use typst::{
    foundations::Bytes,
    layout::Abs,
    text::{Font, FontVariant, FontVariations},
};

use crate::sites::{empty, everything, ledger, long_names, one_area, sites, spread};

fn filled(project: &Project) -> Filled {
    Filled { ledger: ledger(project), cells: None }
}

fn drawn(project: &Project) -> Vec<Map> {
    map::sheets(project, &filled(project))
}

/// Every map of every made-up site, drawn once.
fn every_map() -> &'static [(String, Map)] {
    static MAPS: OnceLock<Vec<(String, Map)>> = OnceLock::new();
    MAPS.get_or_init(|| {
        let maps = sites().into_iter().flat_map(|(site, project)| {
            drawn(&project).into_iter().map(move |map| (format!("{site}/{}", map.drawing.name), map))
        });
        maps.chain(crate::relief::maps()).collect()
    })
}

/// The values of an attribute in an SVG.
fn attribute<'a>(svg: &'a str, name: &str) -> Vec<&'a str> {
    let start = format!(" {name}=\"");
    svg.split(start.as_str()).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

/// Everything that is printed on a map, line after line.
fn printed(map: &Map) -> String {
    let texts = map.drawing.svg.split("</text>").filter_map(|part| part.rsplit_once('>'));
    texts.map(|(_, text)| text).collect::<Vec<_>>().join(" ")
}

fn words(map: &Map) -> Vec<&str> {
    map.legend.iter().map(|(_, words)| words.as_str()).collect()
}

#[test]
fn labels_cover_neither_one_another_nor_a_symbol_and_stay_inside_the_frame() {
    let under =
        |leader: Line<f64>, patch: &Patch| Patch::along(leader.start, leader.end, 0.1).overlaps(patch);
    let mut seen = 0;
    for (name, face) in
        every_map().iter().flat_map(|(name, map)| map.faces.iter().map(move |face| (name, face)))
    {
        for (at, label) in face.labels.iter().enumerate() {
            seen += 1;
            assert!(label.patch.within(face.window.frame), "{name}: {:?} leaves the frame", label.lines);
            for symbol in &face.symbols {
                assert!(!symbol.overlaps(&label.patch), "{name}: {:?} hides a symbol", label.lines);
            }
            for other in &face.labels[at + 1..] {
                assert!(
                    !label.patch.overlaps(&other.patch),
                    "{name}: {:?} on {:?}",
                    label.lines,
                    other.lines
                );
                for (leader, patch) in [(label.leader, &other.patch), (other.leader, &label.patch)] {
                    assert!(leader.is_none_or(|leader| !under(leader, patch)), "{name}: {:?}", label.lines);
                }
            }
        }
    }
    assert!(seen > 300, "only {seen} labels were looked at");
}

/// A name set slanting is that of a feature.
#[test]
fn no_name_of_a_feature_lies_over_a_line() {
    let (mut seen, mut over) = (0, 0);
    for (_, map) in every_map() {
        for face in &map.faces {
            let names =
                face.labels.iter().filter(|label| label.lines.first().is_some_and(|line| line.italic));
            for label in names {
                seen += 1;
                over += usize::from(face.lines.iter().any(|line| line.overlaps(&label.patch)));
            }
        }
    }
    assert!(seen > 20, "only {seen} names were looked at");
    assert_eq!(over, 0, "of {seen}");
}

#[test]
fn every_name_stands_on_a_site_with_room_for_it() {
    let maps = drawn(&everything());
    let site = &maps[0];
    // A feature is rather left without its name than given it over a line.
    let features = site.unnamed.get(&Named::Feature).copied().unwrap_or_default();
    assert!(features <= 1 && site.unnamed.len() <= features, "{:?}", site.unnamed);
    for name in
        ["North face", "Two paddocks", "Nursery strip", "Tarrow Creek", "22 kV line", "Top gate", "P3", "P4"]
    {
        assert!(site.faces[0].labels.iter().any(|label| label.lines[0].text == name), "{name}");
    }
}

#[test]
fn names_without_room_are_counted_in_the_caption() {
    let (_, crowded) = sites().into_iter().find(|(name, _)| *name == "crowded").unwrap();
    let maps = drawn(&crowded);
    let count: usize = maps[0].unnamed.values().sum();
    assert!(count > 0);
    assert!(maps[0].drawing.caption.contains(&format!("for want of room: {count} planting areas")));
}

#[test]
fn the_scale_bar_is_as_long_on_paper_as_its_metres_at_the_scale() {
    for (name, map) in every_map() {
        let (bar, denominator) =
            (ScaleBar::of(map.faces[0].window.scale), f64::from(map.faces[0].window.scale.denominator()));
        assert!((bar.paper - bar.metres * 1000.0 / denominator).abs() < 1e-9, "{name}");
        // The bar is drawn as four oblongs 1.30 mm high.
        let tail = |part: &str| part.split_once('"').map(|(width, rest)| (width.to_owned(), rest.to_owned()));
        let parts: Vec<f64> = map
            .drawing
            .svg
            .split("<rect ")
            .filter(|rect| rect.contains(r#"height="1.30""#))
            .filter_map(|rect| tail(rect.split(r#"width=""#).nth(1)?))
            .map(|(width, _)| width.parse().unwrap())
            .collect();
        assert_eq!(parts.len(), 4, "{name}");
        assert!((parts.iter().sum::<f64>() - bar.paper).abs() < 0.025, "{name}: {parts:?} for {}", bar.paper);
        let scale = format!(">{}<", map.faces[0].window.scale.printed());
        assert!(map.drawing.svg.contains(&scale), "{name}: the scale is not printed");
    }
}

/// Across the whole map, distances on paper are those on the ellipsoid at the printed scale, to a tenth of a millimetre.
#[test]
fn distances_on_paper_are_those_on_the_ground() {
    for (name, map) in every_map() {
        let (low, high) = (map.faces[0].window.frame.min(), map.faces[0].window.frame.max());
        let ends = [(low, high), (geo::coord! { x: low.x, y: high.y }, geo::coord! { x: high.x, y: low.y })];
        for (a, b) in ends {
            let ground =
                geometry::distance(map.faces[0].window.position(a), map.faces[0].window.position(b)).0;
            let paper = libm::hypot(a.x - b.x, a.y - b.y);
            assert!(
                (map.faces[0].window.scale.paper(ground) - paper).abs() < 0.1,
                "{name}: {ground} m on {paper} mm"
            );
        }
    }
}

#[test]
fn the_map_stands_upright_on_its_grid() {
    let map = drawn(&everything()).remove(0);
    let grid = Grid::of_epsg(7855).unwrap();
    let middle = map.faces[0].window.plane.centre();
    let (easting, northing) = grid.to_grid(middle).unwrap();
    let north = map.faces[0].window.paper(grid.to_geographic(easting, northing + 300.0).unwrap());
    let here = map.faces[0].window.paper(middle);
    assert!((north.x - here.x).abs() < 0.01 && north.y < here.y, "{north:?} {here:?}");
    assert!(map.drawing.svg.contains(">0.77° west of true north<"));
}

#[test]
fn the_legend_lists_exactly_what_is_drawn() {
    let project = everything();
    let site = drawn(&project).remove(0);
    let shown: BTreeSet<FeatureKind> = site
        .legend
        .iter()
        .filter_map(|(sign, _)| match sign {
            Sign::Feature(_, kind, _, _) => Some(*kind),
            _ => None,
        })
        .collect();
    let given: BTreeSet<FeatureKind> = project.features.iter().map(|feature| feature.kind).collect();
    assert_eq!(shown, given);
    for expected in
        ["Planting area", "Survey plot", "Photo point and view", "Fence, existing", "Fence, new", "Gate, new"]
    {
        assert!(words(&site).contains(&expected), "{expected} in {:?}", words(&site));
    }
    for (name, map) in every_map() {
        let signs: BTreeSet<Sign> = map.legend.iter().map(|(sign, _)| *sign).collect();
        assert_eq!(signs.len(), map.legend.len(), "{name}: a sign twice");
        for entry in words(map) {
            assert!(map.drawing.svg.contains(&format!(">{entry}</text>")), "{name}: {entry} is not printed");
        }
    }
}

#[test]
fn what_lies_off_a_detail_map_is_not_in_its_legend() {
    let maps = drawn(&everything());
    let strip = maps.iter().find(|map| map.drawing.title.contains("Nursery strip")).unwrap();
    assert_eq!(words(strip), ["Planting area", "Track", "Power line"]);
}

#[test]
fn areas_too_small_for_the_site_map_are_readable_on_a_detail_map() {
    let project = spread();
    let maps = drawn(&project);
    assert_eq!(maps.len(), 4);
    for area in &project.areas {
        let side = |map: &Map| {
            let corners: Vec<_> = area.boundary.iter().flat_map(|part| part.exterior().points()).collect();
            let paper: Vec<_> = corners.iter().map(|corner| map.faces[0].window.paper(*corner)).collect();
            let inside = |place: &&geo::Coord<f64>| {
                let (low, high) = (map.faces[0].window.frame.min(), map.faces[0].window.frame.max());
                (low.x..=high.x).contains(&place.x) && (low.y..=high.y).contains(&place.y)
            };
            let whole = paper.iter().filter(inside).count() == paper.len();
            let span = |axis: fn(&geo::Coord<f64>) -> f64| {
                let values = paper.iter().map(axis);
                values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
            };
            if whole { span(|place| place.x).max(span(|place| place.y)) } else { 0.0 }
        };
        assert!(side(&maps[0]) < 40.0);
        assert!(maps[1..].iter().any(|map| side(map) >= 40.0), "{}", area.id);
    }
}

#[test]
fn the_planting_map_knows_seasons_infill_and_bare_areas() {
    let maps = drawn(&everything());
    let planting = maps.iter().find(|map| map.drawing.name == "planting-map").unwrap();
    for expected in [
        "Planted winter 2024",
        "Planted winter 2025",
        "Planted summer 2025–26",
        "Losses made good by infill",
        "Not yet planted",
    ] {
        assert!(words(planting).contains(&expected), "{expected} in {:?}", words(planting));
    }
    let label = planting.faces[0].labels.iter().find(|label| label.lines[0].text == "Two paddocks").unwrap();
    assert!(label.lines.iter().any(|line| line.text == "3,000 stems"), "{:?}", label.lines);
}

#[test]
fn figures_on_a_map_come_from_the_ledger_or_are_left_out() {
    let project = everything();
    let with = drawn(&project).remove(0).drawing.svg;
    let without = map::sheets(&project, &Filled::default()).remove(0).drawing.svg;
    assert!(with.contains("16.69\u{a0}ha") && !without.contains("\u{a0}ha<"));
}

#[test]
fn what_people_wrote_stays_text() {
    for map in drawn(&long_names()) {
        assert!(!map.drawing.svg.contains("<script"), "{}", map.drawing.name);
        assert!(map.drawing.svg.contains("&amp; &lt;script&gt;"), "{}", map.drawing.name);
        assert_eq!(map.drawing.svg.matches("<text").count(), map.drawing.svg.matches("</text>").count());
        let longest = map.faces[0]
            .labels
            .iter()
            .flat_map(|label| &label.lines)
            .map(|line| line.text.chars().count())
            .max();
        assert!(longest.is_some_and(|longest| longest <= 34));
    }
}

#[test]
fn no_number_is_missing_and_no_type_too_small() {
    // The letters of a picture may spell anything.
    let without_pictures = |svg: &str| {
        let parts = svg.split("base64,").enumerate();
        parts
            .map(|(at, part)| if at == 0 { part } else { part.split_once('"').unwrap().1 })
            .collect::<String>()
    };
    for (name, map) in every_map() {
        let svg = &without_pictures(&map.drawing.svg);
        for bad in ["NaN", "\"inf", "-inf", "Linf", "Minf", "-0.00\""] {
            assert!(!svg.contains(bad), "{name}: {bad}");
        }
        for size in attribute(svg, "font-size") {
            assert!(size.parse::<f64>().unwrap() >= 6.5 * 25.4 / 72.0 - 0.01, "{name}: {size} mm");
        }
    }
}

#[test]
fn every_sheet_fits_its_page() {
    for (name, map) in every_map() {
        let (width, height) = map.drawing.size_mm;
        let most = if map.drawing.landscape { (245.0, 150.0) } else { (176.0, 205.0) };
        assert!(width <= most.0 && height <= most.1, "{name}: {width} × {height} mm");
        let root = format!(r#"width="{width:.2}mm" height="{height:.2}mm""#);
        assert!(map.drawing.svg.contains(&root), "{name}");
    }
}

#[test]
fn the_same_project_gives_the_same_bytes() {
    let project = everything();
    assert_eq!(map::maps(&project, &filled(&project)), map::maps(&project, &filled(&project)));
}

#[test]
fn nothing_to_draw_gives_no_map() {
    assert!(drawn(&empty()).is_empty());
}

#[test]
fn a_site_that_its_grid_cannot_hold_prints_degrees_and_says_why() {
    // A grid made for another part of the Earth.
    let map = drawn(&one_area(20.0, 36.0, Some(7855), 300.0)).remove(0);
    assert!(printed(&map).contains("EPSG:7855 is no grid made for this site"), "{}", printed(&map));
    assert!(map.drawing.svg.contains(">True north<"));
}

/// The widths by which labels are kept apart are those of the embedded face, kerning aside.
#[test]
fn text_is_as_wide_as_the_fonts_say() {
    let faces: [(Weight, &[u8]); 3] = [
        (Weight::Regular, include_bytes!("../../fonts/Inter-Regular.otf")),
        (Weight::SemiBold, include_bytes!("../../fonts/Inter-SemiBold.otf")),
        (Weight::Bold, include_bytes!("../../fonts/Inter-Bold.otf")),
    ];
    for (weight, bytes) in faces {
        let font = Font::iter(Bytes::new(bytes)).next().unwrap();
        let face = font.instantiate(FontVariant::default(), Abs::pt(10.0), &FontVariations::default());
        let face = face.ttf();
        for words in ["North face", "Acacia melanoxylon", "Valley road & shed", "Gully head", "Ōtāne Stream"]
        {
            let units: f64 = words
                .chars()
                .map(|letter| f64::from(face.glyph_hor_advance(face.glyph_index(letter).unwrap()).unwrap()))
                .sum();
            let real = units / f64::from(face.units_per_em()) * 10.0 * text::POINT_MM;
            let taken = text::Line::new(words, 10.0).weight(weight).width();
            assert!(
                (real * 0.985..real * 1.08).contains(&taken),
                "{words} at {weight:?}: {taken} for {real} mm"
            );
        }
    }
}

/// The middle, half sides and turn of a frame put its corners where the map's own plane has them: within half a metre, which is less
/// than a telephone's position strays.
#[test]
fn a_frame_laid_over_the_ground_has_its_corners_in_their_places() {
    let mut turned = 0;
    for (name, map) in every_map() {
        for face in &map.faces {
            let window = &face.window;
            let Some(laid) = window.georeference() else {
                assert!(window.position(window.frame.center()).y().abs() > 75.0, "{name} has no place");
                continue;
            };
            turned += usize::from(laid.azimuth.abs() > 0.1);
            let shrink = laid.middle.y().to_radians().cos();
            let (sin, cos) = laid.azimuth.to_radians().sin_cos();
            let frame = laid.frame;
            for (right, up, corner) in [
                (-1.0, 1.0, frame.min()),
                (1.0, -1.0, frame.max()),
                (1.0, 1.0, Coord { x: frame.max().x, y: frame.min().y }),
                (-1.0, -1.0, Coord { x: frame.min().x, y: frame.max().y }),
            ] {
                let (x, y) = (right * laid.half.0 * shrink, up * laid.half.1);
                let east = (x * cos + y * sin) / shrink;
                let north = y * cos - x * sin;
                let there = window.position(corner);
                let apart = (
                    ((there.x() - laid.middle.x() - east + 540.0).rem_euclid(360.0) - 180.0)
                        * shrink
                        * 111_195.0,
                    (there.y() - laid.middle.y() - north) * 111_195.0,
                );
                let side = window.scale.ground(frame.width().max(frame.height()));
                // A meridian that leans over a large frame moves a corner by the square of its side over the earth's radius.
                let most = 0.5 + side * side / 6_371_000.0;
                assert!(apart.0.hypot(apart.1) < most, "{name}: {apart:?} of {side}");
            }
        }
    }
    assert!(turned > 0, "no map's grid is turned from north");
}
