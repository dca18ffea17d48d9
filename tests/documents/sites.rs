//! Made-up sites for the maps: ordinary ones and ones that no map-maker would ask for.

use std::sync::Arc;

use geo::{LineString, MultiLineString, MultiPoint, MultiPolygon, Point, Polygon};
use hillfolio_core::{
    estimate::{Estimate, Method},
    geometry,
    ledger::{FigureId, Ledger},
    project::*,
    source::Sources,
    units::{Degrees, Hectares, Stems, Unit},
};

use crate::support::{self, area_id, day, row};

/// Shapes placed by metres east and north of a corner.
struct Site {
    lon: f64,
    lat: f64,
}

impl Site {
    fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.lon + x / (111_320.0 * self.lat.to_radians().cos()), self.lat + y / 110_900.0)
    }

    fn ring(&self, corners: &[(f64, f64)]) -> LineString<f64> {
        let mut ring: LineString<f64> = corners.iter().map(|c| self.at(*c)).collect();
        ring.close();
        ring
    }

    /// A lobed outline of `radius` metres about `x`, `y`.
    fn lobe(&self, x: f64, y: f64, radius: f64, seed: f64) -> LineString<f64> {
        let corner = |n: u32| {
            let turn = f64::from(n) / 48.0 * std::f64::consts::TAU;
            let r = radius * (1.0 + 0.22 * (3.0 * turn + seed).sin() + 0.1 * (7.0 * turn + 2.0 * seed).sin());
            self.at((x + 1.3 * r * turn.cos(), y + 0.8 * r * turn.sin()))
        };
        let mut ring: LineString<f64> = (0..48).map(corner).collect();
        ring.close();
        ring
    }

    fn line(&self, corners: &[(f64, f64)]) -> Shape {
        Shape::Lines(MultiLineString(vec![corners.iter().map(|c| self.at(*c)).collect()]))
    }

    fn point(&self, x: f64, y: f64) -> Point<f64> {
        Point::from(self.at((x, y)))
    }
}

fn area(id: &str, polygons: Vec<Polygon<f64>>) -> Area {
    Area {
        id: area_id(id),
        boundary: MultiPolygon(polygons),
        stated_hectares: None,
        stated_as: None,
        frosty: false,
        dry: false,
        waterlogged: false,
        note: None,
        source: row("areas.geojson", 1),
    }
}

fn feature(kind: FeatureKind, standing: Standing, name: &str, shape: Shape) -> Feature {
    let name = (!name.is_empty()).then(|| name.to_owned());
    Feature { kind, standing, made: None, name, shape, source: row("features.geojson", 1) }
}

fn planting(date: &str, area: &str, species: &str, stems: u64, replaces: Option<&str>) -> Planting {
    Planting {
        date: day(date),
        area: area_id(area),
        species: support::species_id(species),
        stems: Stems(stems),
        stock: None,
        provenance: None,
        supplier: None,
        row: None,
        batch: None,
        guard: None,
        replaces: replaces.map(str::to_owned),
        note: None,
        claims: hillfolio_core::project::Claims::default(),
        source: row("plantings.csv", 2),
    }
}

fn plot(id: &str, area: &str, position: Point<f64>) -> Plot {
    let pattern = support::small_project().plots[0].clone();
    Plot { id: PlotId(id.into()), area: area_id(area), position: Some(position), ..pattern }
}

fn photo_point(id: &str, position: Point<f64>, bearing: f64) -> PhotoPoint {
    PhotoPoint {
        id: Arc::from(id),
        position,
        bearing: Degrees(bearing),
        area: None,
        about: None,
        source: row("photopoints.csv", 2),
    }
}

pub(crate) fn empty() -> Project {
    Project {
        areas: vec![],
        features: vec![],
        plantings: vec![],
        plots: vec![],
        photo_points: vec![],
        ..support::small_project()
    }
}

/// The ledger as far as maps ask it.
pub(crate) fn ledger(project: &Project) -> Ledger {
    let mut ledger = Ledger::default();
    for area in &project.areas {
        let hectares = Hectares::from(geometry::area(&area.boundary));
        let found = Ok(Estimate::counted(hectares, Method::GEODESIC_AREA, Sources::default()));
        ledger.enter(FigureId::of("site.area", &area.id.0), "Area", Unit::Hectares, found);
        let planted = project.plantings.iter().filter(|planting| planting.area == area.id);
        let stems = Stems(planted.map(|planting| planting.stems.0).sum());
        let found = Ok(Estimate::counted(stems, Method::SUM, Sources::default()));
        ledger.enter(FigureId::of("plantings.stems", &area.id.0), "Stems planted", Unit::Stems, found);
    }
    ledger
}

/// A wide hill site with something of every kind.
pub(crate) fn everything() -> Project {
    let site = Site { lon: 148.31, lat: -36.12 };
    let hole = site.lobe(-150.0, 60.0, 55.0, 4.0);
    let mut project = empty();
    project.areas = vec![
        area("North face", vec![Polygon::new(site.lobe(-150.0, 60.0, 230.0, 0.0), vec![hole])]),
        area(
            "Two paddocks",
            vec![
                Polygon::new(site.lobe(420.0, 120.0, 110.0, 1.0), vec![]),
                Polygon::new(site.lobe(480.0, -190.0, 90.0, 2.0), vec![]),
            ],
        ),
        area("Gully & <head>", vec![Polygon::new(site.lobe(-80.0, -330.0, 120.0, 3.0), vec![])]),
        area(
            "Nursery strip",
            vec![Polygon::new(
                site.ring(&[(200.0, -60.0), (300.0, -50.0), (300.0, -20.0), (200.0, -30.0)]),
                vec![],
            )],
        ),
    ];
    use {FeatureKind as Kind, Standing::*};
    let creek = [
        (-650.0, -120.0),
        (-420.0, -160.0),
        (-250.0, -220.0),
        (-60.0, -190.0),
        (150.0, -260.0),
        (350.0, -330.0),
        (700.0, -360.0),
    ];
    project.features = vec![
        feature(Kind::Watercourse, Existing, "Tarrow Creek", site.line(&creek)),
        feature(Kind::Fence, New, "Creek fence", site.line(&creek.map(|(x, y)| (x, y + 35.0)))),
        feature(
            Kind::Fence,
            Existing,
            "Boundary fence",
            site.line(&[(-600.0, 330.0), (0.0, 360.0), (640.0, 330.0)]),
        ),
        feature(
            Kind::Track,
            Existing,
            "Spur track",
            site.line(&[(-560.0, -380.0), (-300.0, -300.0), (100.0, -120.0), (330.0, 0.0), (350.0, 300.0)]),
        ),
        feature(
            Kind::Road,
            Existing,
            "Valley road",
            site.line(&[(-700.0, -430.0), (0.0, -470.0), (700.0, -430.0)]),
        ),
        feature(Kind::PowerLine, Existing, "22 kV line", site.line(&[(-700.0, 200.0), (700.0, -100.0)])),
        feature(Kind::BuriedService, Existing, "Water main", site.line(&[(-500.0, -440.0), (-480.0, 330.0)])),
        feature(
            Kind::Gully,
            Existing,
            "Split gully",
            site.line(&[(-200.0, -180.0), (-260.0, -60.0), (-330.0, 20.0)]),
        ),
        feature(
            Kind::Slip,
            Existing,
            "Slip of 2022",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(site.lobe(-300.0, 100.0, 45.0, 5.0), vec![])])),
        ),
        feature(
            Kind::Exclusion,
            Existing,
            "Rock outcrop",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(site.lobe(20.0, 130.0, 40.0, 6.0), vec![])])),
        ),
        feature(
            Kind::Remnant,
            Existing,
            "Blackwood stand",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(site.lobe(200.0, 220.0, 60.0, 7.0), vec![])])),
        ),
        feature(
            Kind::Water,
            Existing,
            "Top dam",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(site.lobe(620.0, 60.0, 35.0, 8.0), vec![])])),
        ),
        feature(
            Kind::Building,
            Existing,
            "Shed",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(
                site.ring(&[(560.0, -20.0), (590.0, -20.0), (590.0, -5.0), (560.0, -5.0)]),
                vec![],
            )])),
        ),
        feature(Kind::Gate, Existing, "Top gate", Shape::Points(MultiPoint(vec![site.point(0.0, 360.0)]))),
        feature(Kind::Gate, New, "", Shape::Points(MultiPoint(vec![site.point(150.0, -225.0)]))),
        feature(Kind::WaterPoint, New, "Trough", Shape::Points(MultiPoint(vec![site.point(300.0, -210.0)]))),
        feature(Kind::GuideLine, Existing, "", site.line(&[(-350.0, 0.0), (-150.0, 30.0), (60.0, 10.0)])),
        feature(
            Kind::Property,
            Existing,
            "Brindle Spur",
            Shape::Polygons(MultiPolygon(vec![Polygon::new(
                site.ring(&[(-680.0, -415.0), (680.0, -415.0), (690.0, 380.0), (-670.0, 400.0)]),
                vec![],
            )])),
        ),
    ];
    for n in 0..14u32 {
        let (x, y) = (f64::from(n * 97 % 560) - 400.0, f64::from(n * 61 % 330) - 120.0);
        project.plots.push(plot(&format!("N{}", n + 1), "North face", site.point(x, y)));
    }
    project.photo_points = vec![
        photo_point("P1", site.point(-420.0, 40.0), 80.0),
        photo_point("P2", site.point(60.0, -60.0), 300.0),
        photo_point("P3", site.point(480.0, -60.0), 0.0),
        photo_point("P4", site.point(482.0, -62.0), 180.0),
    ];
    project.plantings = vec![
        planting("2024-08-20", "North face", "Acacia melanoxylon", 5200, None),
        planting("2025-05-02", "North face", "Lophostemon confertus", 640, Some("B1")),
        planting("2025-06-12", "Two paddocks", "Acacia melanoxylon", 2100, None),
        planting("2025-06-14", "Two paddocks", "Lophostemon confertus", 900, None),
        planting("2025-12-14", "Gully & <head>", "Lophostemon confertus", 1400, None),
    ];
    project
}

fn tall() -> Project {
    let site = Site { lon: 175.4, lat: -38.2 };
    let mut project = empty();
    project.identity.grid = Some(2193);
    project.areas = (0..4u32)
        .map(|n| {
            let y = f64::from(n) * 420.0;
            area(
                &format!("Terrace {}", n + 1),
                vec![Polygon::new(site.lobe(40.0 * f64::from(n % 2), y, 120.0, f64::from(n)), vec![])],
            )
        })
        .collect();
    project.features = vec![feature(
        FeatureKind::Watercourse,
        Standing::Existing,
        "Ōtāne Stream",
        site.line(&[(-260.0, -200.0), (-180.0, 400.0), (-230.0, 900.0), (-150.0, 1500.0)]),
    )];
    project
}

pub(crate) fn spread() -> Project {
    let site = Site { lon: 152.9, lat: -28.6 };
    let mut project = empty();
    project.identity.grid = Some(7856);
    project.areas = [
        (0.0, 0.0, "Home block"),
        (300.0, 200.0, "House hill"),
        (5200.0, 2100.0, "Far ridge"),
        (5600.0, 2500.0, "Far gully"),
        (2500.0, -1800.0, "River flat"),
    ]
    .iter()
    .enumerate()
    .map(|(n, (x, y, id))| {
        area(id, vec![Polygon::new(site.lobe(*x, *y, 90.0 + 20.0 * n as f64, n as f64), vec![])])
    })
    .collect();
    for n in 0..6u32 {
        project.plots.push(plot(
            &format!("{}", n + 1),
            "Home block",
            site.point(f64::from(n) * 60.0 - 40.0, f64::from(n) * 40.0 - 20.0),
        ));
    }
    project.photo_points = vec![photo_point("A", site.point(5300.0, 2150.0), 220.0)];
    project
}

/// Sixty small areas and three hundred plots.
fn crowded() -> Project {
    let site = Site { lon: 149.5, lat: -35.5 };
    let mut project = empty();
    for n in 0..60u32 {
        let (x, y) = (f64::from(n % 10) * 130.0, f64::from(n / 10) * 120.0);
        let polygon = Polygon::new(site.lobe(x, y, 38.0, f64::from(n)), vec![]);
        project.areas.push(area(&format!("Block {}", n + 1), vec![polygon]));
        for k in 0..5u32 {
            let place = site.point(x + f64::from(k) * 14.0 - 28.0, y + f64::from(k * 7 % 5) * 9.0 - 18.0);
            project.plots.push(plot(&format!("{}.{}", n + 1, k + 1), "Block 1", place));
        }
    }
    project
}

pub(crate) fn one_area(lon: f64, lat: f64, grid: Option<u16>, radius: f64) -> Project {
    let site = Site { lon, lat };
    let mut project = empty();
    project.identity.grid = grid;
    project.areas = vec![area("Only area", vec![Polygon::new(site.lobe(0.0, 0.0, radius, 1.0), vec![])])];
    project
}

fn far_apart() -> Project {
    let site = Site { lon: 148.0, lat: -36.0 };
    let mut project = empty();
    project.areas = vec![
        area("East end", vec![Polygon::new(site.lobe(80_000.0, 0.0, 200.0, 0.0), vec![])]),
        area("West end", vec![Polygon::new(site.lobe(0.0, 0.0, 150.0, 2.0), vec![])]),
    ];
    project
}

pub(crate) fn long_names() -> Project {
    let mut project = support::small_project();
    let long = "A very long name of a paddock that goes on ".repeat(8);
    project.areas[0].id = area_id(&long);
    project.areas[1].id = area_id("مزرعة الوادي & <script>");
    project.features[0].name = Some(long);
    project.plots.iter_mut().for_each(|plot| plot.id = PlotId(format!("{}#panic()", plot.id).into()));
    project
}

/// Every made-up site by name.
pub(crate) fn sites() -> Vec<(&'static str, Project)> {
    vec![
        ("small", support::small_project()),
        ("everything", everything()),
        ("tall", tall()),
        ("spread", spread()),
        ("crowded", crowded()),
        ("tiny", one_area(148.0, -36.0, Some(7855), 1.6)),
        ("no-grid", one_area(148.0, -36.0, None, 300.0)),
        ("tiny-no-grid", one_area(148.0, -36.0, None, 1.6)),
        ("date-line", one_area(180.0, -17.0, Some(32760), 400.0)),
        ("date-line-no-grid", one_area(179.9995, -17.0, None, 400.0)),
        ("polar", one_area(20.0, 89.97, Some(32633), 400.0)),
        ("far-apart", far_apart()),
        ("long-names", long_names()),
    ]
}
