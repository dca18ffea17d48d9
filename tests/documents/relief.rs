//! Maps of the ground, drawn on a hill made of smooth functions: slope and soil loss.

use std::{
    collections::BTreeSet,
    env, fs,
    sync::{Arc, OnceLock},
};

use geo::{Contains, Distance, Euclidean, MapCoords, MultiPolygon};
use hillfolio_core::{
    ledger::{self, CellLoss, Filled},
    terrain::{self, Coordinates, Lattice, Raster},
    units::Degrees,
};
use hillfolio_documents::draw::{
    map::{
        self,
        backdrop::{self, ThematicLayer as Backdrop},
        patch::Patch,
        placement::Placed,
        scheme::Scheme,
        sheet::Map,
        sign::RELIEF,
    },
    palette::rgb,
};

use crate::{
    support::on_a_hill::{filled, on_a_hill},
    support::{hill, oblong, small_project},
};

fn drawn() -> &'static [Map] {
    static MAPS: OnceLock<Vec<Map>> = OnceLock::new();
    MAPS.get_or_init(|| {
        let project = on_a_hill();
        let maps = map::sheets(&project, &filled(&project));
        // With LOOK=DIR in the environment the maps are written there, to be looked at.
        if let Ok(folder) = env::var("LOOK") {
            for map in &maps {
                fs::write(format!("{folder}/{}.svg", map.drawing.name), &*map.drawing.svg).unwrap();
            }
        }
        maps
    })
}

fn named(name: &str) -> &'static Map {
    drawn().iter().find(|map| map.drawing.name == name).unwrap()
}

/// The slope map and the map of soil loss, for what must hold of every map.
pub(crate) fn maps() -> Vec<(String, Map)> {
    ["slope-map", "soil-loss-map"].map(|name| (format!("hill/{name}"), named(name).clone())).to_vec()
}

fn words(map: &Map) -> Vec<&str> {
    map.legend.iter().map(|(_, words)| words.as_str()).collect()
}

/// The ground of `raster` in two classes that part at 1.
fn two_classes(raster: &Raster<f32>) -> Backdrop {
    Backdrop {
        values: raster.clone().into(),
        scheme: Scheme::slope(&[Degrees(1.0)]),
        subject: "Slope",
        heights: None,
        contours: false,
        within: None,
        heading: None,
    }
}

/// A cell that stands out is drawn where its corners come to lie on paper, to half a dot.
#[test]
fn the_picture_lies_true_on_the_map() {
    let window = named("slope-map").faces[0].window;
    let heights = hill();
    let mut raster = Raster { lattice: heights.lattice.clone(), values: vec![0.0; heights.values.len()] };
    let placing = raster.lattice.placing().unwrap();
    for (row, column) in [(93, 95), (120, 131)] {
        raster.values.fill(0.0);
        // Where one cell is 2 among noughts, half of it is reached in the middle of its sides.
        raster.values[row * raster.lattice.columns + column] = 2.0;
        let png = backdrop::picture(&two_classes(&raster), &window).unwrap();
        let picture = image::load_from_memory(&png).unwrap().into_rgb8();
        let dot = f64::from(picture.width()) / window.frame.width();
        assert!((dot - 150.0 / 25.4).abs() < 0.01, "{dot} dots in a millimetre");
        let ground = *picture.get_pixel(0, 0);
        let found: Vec<(f64, f64)> = picture
            .enumerate_pixels()
            .filter(|(_, _, pixel)| **pixel != ground)
            .map(|(x, y, _)| (f64::from(x) + 0.5, f64::from(y) + 0.5))
            .collect();
        assert!(found.len() > 20, "{} dots", found.len());
        let count = found.len() as f64;
        let (x, y) =
            found.iter().fold((0.0, 0.0), |sum, place| (sum.0 + place.0 / count, sum.1 + place.1 / count));
        let place = window.paper(placing.position(raster.lattice.centre(row, column)).unwrap());
        let wanted = ((place.x - window.frame.min().x) * dot, (place.y - window.frame.min().y) * dot);
        assert!((x - wanted.0).abs() < 0.5 && (y - wanted.1).abs() < 0.5, "{x} {y} for {wanted:?}");
    }
}

/// The same where the model counts in degrees, the cells no squares on the ground.
#[test]
fn a_model_in_degrees_lies_true_too() {
    let window = named("slope-map").faces[0].window;
    let lattice = Lattice {
        west: 147.995,
        north: -35.995,
        cell_x: 1.0 / 3600.0 / 4.0,
        cell_y: 1.0 / 3600.0 / 5.0,
        rows: 180,
        columns: 160,
        coordinates: Coordinates::Geographic,
        crs: hillfolio_core::geometry::Crs::of_epsg(7844),
    };
    // A step at a meridian, and one at a parallel.
    let stepped = |at: fn(usize, usize) -> bool| {
        let columns = lattice.columns;
        let values =
            (0..lattice.cells()).map(|cell| if at(cell / columns, cell % columns) { 2.0 } else { 0.0 });
        Raster { values: values.collect(), lattice: lattice.clone() }
    };
    for (raster, level) in [(stepped(|_, column| column >= 86), false), (stepped(|row, _| row >= 88), true)] {
        let png = backdrop::picture(&two_classes(&raster), &window).unwrap();
        let picture = image::load_from_memory(&png).unwrap().into_rgb8();
        let dot = f64::from(picture.width()) / window.frame.width();
        let first = *picture.get_pixel(0, 0);
        let (cells, cell_x, cell_y) = (if level { 88.0 } else { 86.0 }, lattice.cell_x, lattice.cell_y);
        for part in [0.1, 0.5, 0.9] {
            let along = part * f64::from(if level { picture.width() } else { picture.height() });
            let size = if level { picture.height() } else { picture.width() };
            let of = |at: u32| if level { (along as u32, at) } else { (at, along as u32) };
            let change = (0..size).find(|at| *picture.get_pixel(of(*at).0, of(*at).1) != first).unwrap();
            let (x, y) = of(change);
            let place = geo::coord! {
                x: window.frame.min().x + f64::from(x) / dot,
                y: window.frame.min().y + f64::from(y) / dot,
            };
            // Mixed between centres, the value 1 is reached on the edge between the cells.
            let position = window.position(place);
            let off = if level {
                (lattice.north - cells * cell_y - position.y()) * 111_000.0
            } else {
                (lattice.west + cells * cell_x - position.x()) * 90_000.0
            };
            assert!(window.scale.paper(off.abs()) < 1.5 / dot, "{off} m off at {part}");
        }
    }
}

/// The colour under a dot is that of the cell's class in the ledger, shade aside: hues don't change with light.
#[test]
fn slopes_are_coloured_by_their_class_in_the_ledger() {
    let project = on_a_hill();
    let filled = filled(&project);
    let cells = filled.cells.as_ref().unwrap();
    let scheme = Scheme::slope(&cells.breaks);
    let ground = Backdrop { scheme: scheme.clone(), ..two_classes(&cells.slope) };
    let window = named("slope-map").faces[0].window;
    let picture = image::load_from_memory(&backdrop::picture(&ground, &window).unwrap()).unwrap().into_rgb8();
    let placing = cells.slope.lattice.placing().unwrap();
    let mut seen = BTreeSet::new();
    for row in (60..160).step_by(3) {
        for column in (60..160).step_by(3) {
            let place = window.paper(placing.position(cells.slope.lattice.centre(row, column)).unwrap());
            let dot = |at: f64, from: f64| ((at - from) * 150.0 / 25.4).floor();
            let (x, y) = (dot(place.x, window.frame.min().x), dot(place.y, window.frame.min().y));
            let inside = |at: f64, size: u32| at >= 0.0 && at < f64::from(size);
            if !inside(x, picture.width()) || !inside(y, picture.height()) {
                continue;
            }
            let slope = f64::from(cells.slope.at(row, column).unwrap());
            // Next to a break the dot's own middle may lie in the next class.
            if cells.breaks.iter().any(|one| (one.0 - slope).abs() < 0.6) {
                continue;
            }
            let class = scheme.class(slope);
            let colour = scheme.classes().nth(class).unwrap().0.colour();
            assert_eq!(picture.get_pixel(x as u32, y as u32).0, rgb(colour), "{slope}° in class {class}");
            seen.insert(class);
        }
    }
    assert!(seen.len() >= 6, "{seen:?}");
}

#[test]
fn the_same_hill_gives_the_same_bytes_on_any_number_of_threads() {
    let project = on_a_hill();
    let filled = filled(&project);
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let one = alone.install(|| map::maps(&project, &filled));
    let again: Vec<_> = drawn().iter().map(|map| map.drawing.clone()).collect();
    assert!(one == again, "the maps differ");
}

#[test]
fn pictures_and_lines_stay_small() {
    for (name, map) in maps() {
        assert!(map.drawing.svg.len() < 1_000_000, "{name}: {} bytes", map.drawing.svg.len());
    }
}

/// Paths of this stroke width, as their points.
fn paths(map: &Map, width: &str) -> Vec<Vec<(f64, f64)>> {
    let parsed = roxmltree::Document::parse(&map.drawing.svg).unwrap();
    let lines = parsed.descendants().filter(|node| {
        node.attribute("stroke-width") == Some(width) && node.attribute("stroke") == Some(RELIEF)
    });
    let points = |data: &str| {
        let pairs = data.split('L').filter_map(|pair| pair.trim().split_once(' '));
        pairs.map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).collect()
    };
    lines
        .flat_map(|line| line.attribute("d").unwrap().split('M').skip(1).map(points).collect::<Vec<_>>())
        .collect()
}

#[test]
fn contours_run_at_their_heights() {
    let (map, heights) = (named("slope-map"), hill());
    let placing = heights.lattice.placing().unwrap();
    assert!(words(map).contains(&"Contour, every 2 m") && words(map).contains(&"Every 10 m, height in m"));
    // The last of each kind is the sample in the legend.
    for (width, step) in [("0.12", 2.0), ("0.30", 10.0)] {
        let window = map.faces[0].window;
        let mut worst = 0.0_f64;
        let lines = paths(map, width);
        let inside = |place: &(f64, f64)| place.1 < window.frame.max().y - 1.0;
        for (x, y) in lines.into_iter().flatten().filter(inside) {
            let place = placing.place(window.position(geo::coord! { x: x, y: y })).unwrap();
            let height = terrain::height_at(&heights, place).unwrap();
            worst = worst.max((height - (height / step).round() * step).abs());
        }
        // Smoothing lets them stray where the made-up gullies bend within a cell or two.
        assert!(worst < 0.6, "{worst} m off at lines of {width} mm");
    }
}

#[test]
fn heights_stand_upright_in_gaps_of_their_lines() {
    let map = named("slope-map");
    let face = &map.faces[0];
    let is_height = |label: &&Placed| label.lines[0].text.parse::<f64>().is_ok();
    let heights: Vec<&Placed> = face.labels.iter().filter(is_height).collect();
    assert!(heights.len() >= 5, "{} heights", heights.len());
    let lines: Vec<_> = ["0.12", "0.30"].iter().flat_map(|width| paths(map, width)).collect();
    for label in heights {
        assert!(label.patch.turn().abs() <= 90.0);
        let height: f64 = label.lines[0].text.parse().unwrap();
        assert_eq!(height % 10.0, 0.0, "{height} bears no heavy line");
        for pair in lines.iter().flat_map(|line| line.windows(2)) {
            let [from, to] = [pair[0], pair[1]].map(|(x, y)| geo::coord! { x: x, y: y });
            assert!(!Patch::along(from, to, 0.01).overlaps(&label.patch), "a line runs through {height}");
        }
        // And the ground there has that height.
        let grid = hill();
        let place = grid.lattice.placing().unwrap().place(face.window.position(label.patch.centre)).unwrap();
        assert!((terrain::height_at(&grid, place).unwrap() - height).abs() < 1.5, "{height}");
    }
}

#[test]
fn soil_loss_before_and_now_share_scale_and_legend() {
    let map = named("soil-loss-map");
    assert_eq!(map.faces.len(), 2);
    let [one, other] = [&map.faces[0], &map.faces[1]];
    assert_eq!(one.window.scale, other.window.scale);
    assert!((one.window.frame.width() - other.window.frame.width()).abs() < 1e-9);
    let apart = one.window.frame.max().x < other.window.frame.min().x
        || one.window.frame.max().y < other.window.frame.min().y;
    assert!(apart, "the two maps overlap");
    assert_eq!(map.drawing.svg.matches("<image ").count(), 2);
    for heading in [">Before<", ">Now<", ">Soil loss under 1 t/(ha.yr)<", ">50 t/(ha.yr) and over<"] {
        assert_eq!(map.drawing.svg.matches(heading).count(), 1, "{heading}");
    }
    assert!(map.drawing.caption.contains("sheet and rill erosion only"));
}

/// What was known of one state only is drawn as one map; of none, as none.
#[test]
fn a_state_that_is_not_known_has_no_map() {
    let project = on_a_hill();
    let mut filled = filled(&project);
    let blank = |filled: &mut Filled, of: fn(&mut CellLoss) -> &mut Arc<Raster<f32>>| {
        let raster = of(filled.cells.as_mut().unwrap().loss.as_mut().unwrap());
        Arc::make_mut(raster).values.fill(f32::NAN);
    };
    blank(&mut filled, |loss| &mut loss.before);
    let maps = map::sheets(&project, &filled);
    let map = maps.iter().find(|map| map.drawing.name == "soil-loss-map").unwrap();
    assert_eq!((map.faces.len(), map.drawing.title.as_str()), (1, "Soil loss now"));
    blank(&mut filled, |loss| &mut loss.now);
    let maps = map::sheets(&project, &filled);
    assert!(maps.iter().all(|map| map.drawing.name != "soil-loss-map"));
    assert!(maps.iter().any(|map| map.drawing.name == "slope-map"));
}

/// Colour ends at the outlines: no dot outside the areas has one.
#[test]
fn soil_loss_is_coloured_inside_the_areas_only() {
    let project = on_a_hill();
    let filled = filled(&project);
    let before = &filled.cells.as_ref().unwrap().loss.as_ref().unwrap().before;
    let areas: MultiPolygon<f64> = project.areas.iter().flat_map(|area| area.boundary.0.clone()).collect();
    let ground = Backdrop { scheme: Scheme::loss(), within: Some(areas.clone()), ..two_classes(before) };
    let window = named("soil-loss-map").faces[0].window;
    let picture = image::load_from_memory(&backdrop::picture(&ground, &window).unwrap()).unwrap().into_rgb8();
    let mut coloured = 0;
    for (x, y, pixel) in picture.enumerate_pixels().filter(|(x, y, _)| (x + y) % 5 == 0) {
        let at = |dot: u32, from: f64| from + (f64::from(dot) + 0.5) * 25.4 / 150.0;
        let place = geo::coord! { x: at(x, window.frame.min().x), y: at(y, window.frame.min().y) };
        let inside = areas.contains(&window.position(place));
        let edge = areas.iter().any(|area| {
            let ring = area.exterior().map_coords(|corner| window.paper(corner.into()));
            Euclidean.distance(&geo::Point(place), &ring) < 0.2
        });
        let white = pixel.0 == [255; 3];
        assert!(edge || inside != white, "{x} {y}");
        coloured += usize::from(!white);
    }
    assert!(coloured > 1_000);
}

#[test]
fn without_terrain_there_is_no_map_of_the_ground() {
    let project = small_project();
    let maps = map::sheets(&project, &ledger::fill_but_plan(&project));
    assert!(maps.iter().all(|map| !["slope-map", "soil-loss-map"].contains(&map.drawing.name.as_str())));
}

/// A strip far from the others would be a speck on the slope map: it gets one of its own.
#[test]
fn areas_too_small_for_the_slope_map_have_one_of_their_own() {
    let mut project = on_a_hill();
    project.areas[0].boundary = oblong(147.9964, -36.0032, 0.0003, 0.0002);
    project.areas[1].boundary = oblong(148.0046, -35.9968, 0.0004, 0.0002);
    let maps = map::sheets(&project, &filled(&project));
    let slope: Vec<&Map> = maps.iter().filter(|map| map.drawing.name.starts_with("slope-map")).collect();
    let titles: Vec<&str> = slope.iter().map(|map| map.drawing.title.as_str()).collect();
    assert_eq!(
        titles,
        ["Slope map", "Slope map, part 1 of 2: North face", "Slope map, part 2 of 2: Gully head"]
    );
    assert!(slope.iter().all(|map| map.drawing.svg.contains("<image ")));
    assert!(slope[1..].iter().all(|map| map.faces[0].window.scale < slope[0].faces[0].window.scale));
}

/// A model of another place gives no slope map; the other maps stand all the same.
#[test]
fn terrain_of_another_place_is_left_out() {
    let mut project = on_a_hill();
    let mut filled = filled(&project);
    let ground = project.ground.as_mut().unwrap();
    Arc::make_mut(&mut ground.heights).lattice.west += 50_000.0;
    let cells = filled.cells.as_mut().unwrap();
    Arc::make_mut(&mut cells.slope).lattice.west += 50_000.0;
    let maps = map::sheets(&project, &filled);
    assert!(maps.iter().all(|map| map.drawing.name != "slope-map"));
    assert!(maps.iter().any(|map| map.drawing.name == "site-map"));
}
