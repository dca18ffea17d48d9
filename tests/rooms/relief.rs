//! Maps of the ground, drawn on a hill made of smooth functions: slope and soil loss.

use std::{collections::BTreeSet, env, fs, sync::OnceLock};

use chrono::Datelike;
use geo::{Contains, Distance, Euclidean, MapCoords, MultiPolygon};
use hillfolio::{
    draw::{
        map::{
            self,
            backdrop::{self, Ground as Backdrop},
            patch::Patch,
            placement::Placed,
            scheme::Scheme,
            sheet::Map,
            sign::RELIEF,
        },
        palette::rgb,
    },
    estimate::{Estimate, Interval, Method, rain, terrain::breaks},
    ledger::{self, CellFigures, CellLoss, FigureId, Ledger},
    project::{Ground, Project, RainDay, SlopeClasses},
    source::Sources,
    terrain::{self, Raster},
    units::{Degrees, Millimetres, Unit},
};

use crate::support::{day, hill, row, small_project};

/// The small project on a hill.
pub(crate) fn on_a_hill() -> Project {
    Project {
        ground: Some(Ground { heights: hill(), file: "terrain.tif".into() }),
        rain: rain(),
        ..small_project()
    }
}

/// Rain of the period and of twelve years before it: a wet summer, a dry spring, a broken gauge in April.
fn rain() -> Vec<RainDay> {
    let days = day("2013-07-01").iter_days().take_while(|date| *date <= day("2026-06-30"));
    let rain = days.zip(2u32..).map(|(date, n)| {
        let wet = libm::sin(f64::from(n) * 12.9898) * 43_758.547;
        let chance = wet - wet.floor();
        let season = if [12, 1, 2, 3].contains(&date.month()) { 0.34 } else { 0.16 };
        let fell = if chance < season { 2.0 + 60.0 * chance * chance / season } else { 0.0 };
        let broken = date >= day("2026-04-03") && date <= day("2026-04-19");
        RainDay { date, mm: (!broken).then_some(Millimetres(fell)), source: row("rain.csv", n) }
    });
    rain.collect()
}

/// What the ledger says of the ground, entered by hand: the small project has neither soil nor cover.
pub(crate) fn ledger_of(project: &Project) -> Ledger {
    let mut ledger = ledger::fill(project);
    ledger.cells = project.ground.as_ref().map(|ground| cells(&ground.heights, project));
    let mut enter = |id: String, label: &str, unit: Unit, method: Method, value: f64, reach: f64| {
        let interval =
            (reach > 1.0).then(|| Interval { low: value / reach, high: value * reach, confidence: 0.9 });
        let sources = Sources::from_iter([&row("project.toml", 1)]);
        let estimate = Estimate { value, interval, method, sources, notes: Vec::new() };
        ledger.enter(FigureId::fixed(&id), label, unit, Ok(estimate));
    };
    for (area, slope, loss) in [("north-face", 19.4, 21.6), ("gully-head", 14.2, 8.9), ("all", 17.3, 16.5)] {
        let mut ground = |stem: &str, label: &str, unit: Unit, method: Method, value: f64, reach: f64| {
            enter(format!("{stem}.{area}"), label, unit, method, value, reach);
        };
        ground("terrain.slope.mean", "Mean slope", Unit::Degrees, Method::TerrainMean, slope, 0.0);
        ground("terrain.slope.p90", "Nine tenths below", Unit::Degrees, Method::TerrainP90, slope + 8.0, 0.0);
        ground("terrain.slope.max", "Steepest slope", Unit::Degrees, Method::TerrainMax, slope + 13.0, 0.0);
        ground("terrain.steeper-than-12", "12° and over", Unit::Fraction, Method::TerrainSteeper, 0.71, 0.0);
        ground("terrain.steeper-than-15", "15° and over", Unit::Fraction, Method::TerrainSteeper, 0.52, 0.0);
        ground("site.surface-area", "Ground area", Unit::GroundHectares, Method::SurfaceArea, 4.8, 0.0);
        for class in 1..=8 {
            let hectares = f64::from(class) * 0.11;
            ground(
                &format!("terrain.class.{class}"),
                "Class",
                Unit::Hectares,
                Method::TerrainClass,
                hectares,
                0.0,
            );
        }
        ground("erosion.before", "Soil loss before", Unit::SoilLoss, Method::SoilLoss, loss, 2.6);
        ground("erosion.now", "Soil loss now", Unit::SoilLoss, Method::SoilLoss, loss * 0.18, 2.7);
        ground("erosion.closed-canopy", "Under canopy", Unit::SoilLoss, Method::SoilLoss, loss * 0.02, 3.1);
        ground(
            "erosion.ratio",
            "Soil loss now over before",
            Unit::Fraction,
            Method::SoilLossRatio,
            0.18,
            1.6,
        );
        ground(
            "erosion.kept",
            "Soil kept on the slope",
            Unit::TonnesPerYear,
            Method::SoilKept,
            loss * 4.4,
            2.5,
        );
        ground("erosion.ls", "Slope factor", Unit::Number, Method::SlopeFactorGrid, slope / 3.0, 1.4);
    }
    enter("erosion.r".into(), "Erosivity", Unit::Erosivity, Method::ErosivityGiven, 2_400.0, 1.4);
    enter("erosion.k".into(), "Erodibility", Unit::Erodibility, Method::ErodibilityTexture, 0.034, 1.9);
    let (days, mm) = (project.period.from..=project.period.to, Unit::Millimetres);
    ledger.enter(
        FigureId::fixed("rain.period"),
        "Rain of the period",
        mm.clone(),
        rain::total(&project.rain, &days),
    );
    let median = rain::median_of_other_years(&project.rain, &days);
    ledger.enter(FigureId::fixed("rain.median-of-other-years"), "Median of other years", mm.clone(), median);
    for planted in ["2025-08-20", "2025-08-27"] {
        let id = FigureId::fixed(&format!("rain.after-planting.{planted}"));
        let after = rain::after_planting(&project.rain, day(planted));
        ledger.enter(id, format!("Eight weeks after planting on {planted}"), mm.clone(), after);
    }
    let spell = rain::longest_dry_spell(&project.rain, &days).map(|spell| spell.days);
    ledger.enter(FigureId::fixed("rain.longest-dry-spell"), "Longest dry spell, days", Unit::Count, spell);
    ledger
}

/// Slope by cell, and a loss that grows with it within the areas.
fn cells(heights: &terrain::Grid, project: &Project) -> CellFigures {
    let slope = terrain::slope(heights);
    let placing = slope.lattice.placing().unwrap();
    let mut before = Raster { lattice: slope.lattice.clone(), values: vec![f32::NAN; slope.values.len()] };
    for area in &project.areas {
        for (row, column) in terrain::centres(&slope.lattice, &placing.area(&area.boundary).unwrap()) {
            let at = row * slope.lattice.columns + column;
            before.values[at] = slope.values[at] * slope.values[at] / 14.0;
        }
    }
    let now = Raster {
        lattice: before.lattice.clone(),
        values: before.values.iter().map(|loss| loss * 0.18).collect(),
    };
    CellFigures { slope, breaks: breaks(&SlopeClasses::Practice), loss: Some(CellLoss { before, now }) }
}

fn drawn() -> &'static [Map] {
    static MAPS: OnceLock<Vec<Map>> = OnceLock::new();
    MAPS.get_or_init(|| {
        let project = on_a_hill();
        let maps = map::sheets(&project, &ledger_of(&project));
        // With LOOK=DIR in the environment the maps are written there, to be looked at.
        if let Ok(folder) = env::var("LOOK") {
            for map in &maps {
                fs::write(format!("{folder}/{}.svg", map.drawing.name), &map.drawing.svg).unwrap();
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
fn two_classes(raster: &Raster<f32>) -> Backdrop<'_> {
    Backdrop {
        values: raster,
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

/// The colour under a dot is that of the cell's class in the ledger, shade aside: hues don't change with light.
#[test]
fn slopes_are_coloured_by_their_class_in_the_ledger() {
    let project = on_a_hill();
    let ledger = ledger_of(&project);
    let cells = ledger.cells.as_ref().unwrap();
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
    let ledger = ledger_of(&project);
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let one = alone.install(|| map::maps(&project, &ledger));
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
        assert!(label.patch.turn.abs() <= 90.0);
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
    let mut ledger = ledger_of(&project);
    let blank = |ledger: &mut Ledger, of: fn(&mut CellLoss) -> &mut Raster<f32>| {
        of(ledger.cells.as_mut().unwrap().loss.as_mut().unwrap()).values.fill(f32::NAN);
    };
    blank(&mut ledger, |loss| &mut loss.before);
    let maps = map::sheets(&project, &ledger);
    let map = maps.iter().find(|map| map.drawing.name == "soil-loss-map").unwrap();
    assert_eq!((map.faces.len(), map.drawing.title.as_str()), (1, "Soil loss now"));
    blank(&mut ledger, |loss| &mut loss.now);
    let maps = map::sheets(&project, &ledger);
    assert!(maps.iter().all(|map| map.drawing.name != "soil-loss-map"));
    assert!(maps.iter().any(|map| map.drawing.name == "slope-map"));
}

/// Colour ends at the outlines: no dot outside the areas has one.
#[test]
fn soil_loss_is_coloured_inside_the_areas_only() {
    let project = on_a_hill();
    let ledger = ledger_of(&project);
    let before = &ledger.cells.as_ref().unwrap().loss.as_ref().unwrap().before;
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
    let maps = map::sheets(&project, &ledger::fill(&project));
    assert!(maps.iter().all(|map| !["slope-map", "soil-loss-map"].contains(&map.drawing.name.as_str())));
}
