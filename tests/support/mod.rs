//! A small made-up project, built in memory, for tests of the rooms that never touch a file.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "tests may stop at once"
)]

pub mod designed;
pub mod on_a_hill;

use std::sync::Arc;

use chrono::NaiveDate;
use geo::{LineString, MultiLineString, MultiPolygon, Point, Polygon};
use hillfolio_core::{
    geometry,
    project::*,
    source::{Input, Row},
    terrain::{Coordinates, Grid, Lattice},
    units::{Degrees, Metres, Money, SquareMetres, Stems},
};

pub fn day(text: &str) -> NaiveDate {
    NaiveDate::parse_from_str(text, "%Y-%m-%d").expect("a day")
}

pub fn row(file: &str, row: u32) -> Row {
    Row { file: file.into(), row }
}

pub fn area_id(id: &str) -> AreaId {
    AreaId(id.into())
}

pub fn species_id(name: &str) -> SpeciesId {
    SpeciesId(name.into())
}

/// A square or oblong of `width` × `height` degrees with its south-west corner at `lon`, `lat`.
pub fn oblong(lon: f64, lat: f64, width: f64, height: f64) -> MultiPolygon<f64> {
    let ring =
        vec![(lon, lat), (lon + width, lat), (lon + width, lat + height), (lon, lat + height), (lon, lat)];
    MultiPolygon(vec![Polygon::new(LineString::from(ring), vec![])])
}

pub fn species(name: &str, common: &str, role: Role) -> Species {
    Species {
        id: species_id(name),
        authority: None,
        common_name: Some(common.to_owned()),
        family: None,
        form: Some(Form::Tree),
        role: Some(role),
        allometry: None,
        wood_density: None,
        frost: Tolerance::Unknown,
        drought: Tolerance::Unknown,
        waterlogging: Tolerance::Unknown,
        mature_height: None,
        native: Some(true),
        group: false,
        fact_source: None,
        confidence: None,
        origin: Origin::BuiltIn,
    }
}

pub fn area(id: &str, boundary: MultiPolygon<f64>, shape: u32) -> Area {
    Area {
        id: area_id(id),
        boundary,
        stated_hectares: None,
        stated_as: None,
        frosty: false,
        dry: false,
        waterlogged: false,
        note: None,
        source: row("areas.geojson", shape),
    }
}

fn planting(n: u32, date: &str, area: &str, species: &str, stems: u64) -> Planting {
    Planting {
        date: day(date),
        area: area_id(area),
        species: species_id(species),
        stems: Stems(stems),
        stock: Some(Stock::Tubestock),
        provenance: Some("Tarrow valley".to_owned()),
        supplier: Some("Millrace Nursery".to_owned()),
        row: None,
        batch: Some(format!("B{n}")),
        guard: None,
        replaces: None,
        note: None,
        claims: Claims::default(),
        source: row("plantings.csv", n),
    }
}

pub fn plot(n: u32, id: &str, area: &str, lon: f64, lat: f64) -> Plot {
    Plot {
        id: PlotId(id.into()),
        area: area_id(area),
        shape: PlotShape::Area(SquareMetres(100.0)),
        position: Some(Point::new(lon, lat)),
        measured_on: MeasuredOn::Plan,
        stratum: None,
        planted_stems: None,
        note: None,
        source: row("plots.csv", n),
    }
}

fn tally(n: u32, date: &str, plot: &str, species: &str, alive: u64, dead: u64, missing: u64) -> Tally {
    Tally {
        date: day(date),
        plot: PlotId(plot.into()),
        species: species_id(species),
        alive: Stems(alive),
        dead: Some(Stems(dead)),
        missing: Some(Stems(missing)),
        recruits: Some(Stems(u64::from(n % 3))),
        cohort: Some(2025),
        note: None,
        source: row("tallies.csv", n),
    }
}

fn stem(n: u32, plot: &str, species: &str, height: f64) -> Stem {
    Stem {
        date: day("2026-05-12"),
        plot: PlotId(plot.into()),
        species: species_id(species),
        tag: Some(format!("T{n}")),
        height: Some(Metres(height)),
        diameter_mm: None,
        diameter_at: None,
        stem: None,
        status: StemStatus::Alive,
        note: None,
        source: row("stems.csv", n),
    }
}

/// Money from a string such as "123.45".
pub fn money(text: &str) -> Money {
    Money(text.parse().expect("money"))
}

/// Two areas, two species, one season, four plots, one fence, one photo point, two budget lines, one target.
pub fn small_project() -> Project {
    let mut list = SpeciesList::default();
    list.put(species("Acacia melanoxylon", "Blackwood", Role::Pioneer));
    list.put(species("Lophostemon confertus", "Brush box", Role::Late));
    let fence = MultiLineString(vec![LineString::from(vec![
        (147.999, -36.002),
        (148.004, -36.002),
        (148.004, -35.998),
    ])]);
    Project {
        agreements: vec![],
        sharing: vec![],
        own_cash: vec![],
        other_sources: Vec::new(),
        not_charged: Vec::new(),
        asset_shares: Vec::new(),
        whole_inputs: false,
        originals: Vec::new(),
        identity: Identity {
            name: "Brindle Spur".to_owned(),
            reference: "BS-2025".to_owned(),
            landholder: "The Brindle Spur Trust".to_owned(),
            locality: "Upper Tarrow Valley".to_owned(),
            grid: Some(7855),
            currency: "AUD".to_owned(),
            ..Identity::default()
        },
        period: Period { from: day("2025-07-01"), to: day("2026-06-30") },
        statistics: Statistics::default(),
        money: MoneyRules::default(),
        climate: Climate::default(),
        approval: None,
        reasons: Vec::new(),
        commitments: Vec::new(),
        actions: Vec::new(),
        programme: Vec::new(),
        soil: Soil::default(),
        cover_before: None,
        carbon: CarbonRules::default(),
        slope_classes: SlopeClasses::default(),
        design: None,
        nursery: NurseryRules::default(),
        crew: hillfolio_core::project::Crew::default(),
        stock: Vec::new(),
        budget: vec![
            BudgetLine {
                line: "Plants and guards".to_owned(),
                cash: money("18400"),
                in_kind: money("0"),
                source: row("project.toml", 20),
            },
            BudgetLine {
                line: "Fencing".to_owned(),
                cash: money("9500"),
                in_kind: money("1200"),
                source: row("project.toml", 25),
            },
        ],
        targets: vec![Target {
            id: "survival-y1".to_owned(),
            under: "grant".to_owned(),
            measure: Measure::Survival,
            area: None,
            bound: Bound::AtLeast(0.80),
            by: Some(day("2026-06-30")),
            words: Some("At least 80 % of planted stems alive twelve months after planting".to_owned()),
            trigger: None,
            terms: Terms::default(),
            source: row("project.toml", 30),
        }],
        areas: vec![
            area("North face", oblong(148.0, -36.0, 0.003, 0.0015), 1),
            area("Gully head", oblong(147.9995, -36.0015, 0.0025, 0.0012), 2),
        ],
        features: vec![Feature {
            kind: FeatureKind::Fence,
            standing: Standing::New,
            made: None,
            name: Some("Top fence".to_owned()),
            shape: Shape::Lines(fence),
            source: row("features.geojson", 1),
        }],
        species: list,
        plantings: vec![
            planting(2, "2025-08-20", "North face", "Acacia melanoxylon", 1200),
            planting(3, "2025-08-22", "North face", "Lophostemon confertus", 800),
            planting(4, "2025-08-27", "Gully head", "Acacia melanoxylon", 600),
            planting(5, "2025-08-28", "Gully head", "Lophostemon confertus", 900),
        ],
        plots: vec![
            plot(2, "N1", "North face", 148.001, -35.9995),
            plot(3, "N2", "North face", 148.002, -35.9990),
            plot(4, "G1", "Gully head", 148.0, -36.0010),
            plot(5, "G2", "Gully head", 148.001, -36.0008),
        ],
        tallies: vec![
            tally(2, "2026-05-12", "N1", "Acacia melanoxylon", 12, 1, 0),
            tally(3, "2026-05-12", "N1", "Lophostemon confertus", 8, 1, 1),
            tally(4, "2026-05-12", "N2", "Acacia melanoxylon", 10, 2, 0),
            tally(5, "2026-05-12", "N2", "Lophostemon confertus", 9, 0, 0),
            tally(6, "2026-05-13", "G1", "Acacia melanoxylon", 7, 1, 0),
            tally(7, "2026-05-13", "G1", "Lophostemon confertus", 12, 2, 1),
            tally(8, "2026-05-13", "G2", "Acacia melanoxylon", 9, 0, 1),
            tally(9, "2026-05-13", "G2", "Lophostemon confertus", 11, 1, 0),
        ],
        stems: (0..16)
            .map(|n| {
                let (plot, name) =
                    (["N1", "N2", "G1", "G2"][n % 4], ["Acacia melanoxylon", "Lophostemon confertus"][n / 8]);
                stem(n as u32 + 2, plot, name, 0.6 + 0.07 * n as f64)
            })
            .collect(),
        cover: vec![],
        benchmarks: vec![],
        slopes: vec![MeasuredSlope {
            area: area_id("North face"),
            slope: Degrees(18.0),
            length: None,
            note: None,
            source: row("slopes.csv", 2),
        }],
        rain: Vec::new(),
        ground: None,
        works: vec![Work {
            date: day("2025-08-20"),
            task: "Planting".to_owned(),
            area: Some(area_id("North face")),
            hours: Some(hillfolio_core::units::Hours(6.5)),
            people: 4,
            basis: Basis::Volunteer,
            person: None,
            quantity: Some(2000.0),
            unit: Some("stems".to_owned()),
            note: None,
            claims: Claims::default(),
            source: row("works.csv", 2),
        }],
        spending: vec![Spending {
            date: day("2025-08-02"),
            invoiced: None,
            delivered: None,
            line: "Plants and guards".to_owned(),
            amount: money("9350.00"),
            tax: Some(money("850.00")),
            payee: Some("Millrace Nursery".to_owned()),
            receipt: Some("R-001".to_owned()),
            receipt_total: None,
            in_kind: false,
            note: None,
            claims: Claims::default(),
            counted_on: day("2025-08-02"),
            evidence: None,
            shared: None,
            original: None,
            source: row("spending.csv", 2),
        }],
        sightings: vec![],
        photo_points: vec![PhotoPoint {
            id: Arc::from("P1"),
            position: Point::new(148.0005, -36.0001),
            bearing: Degrees(35.0),
            area: Some(area_id("North face")),
            about: Some("Up the spur from the gate".to_owned()),
            source: row("photopoints.csv", 2),
        }],
        photos: vec![],
        narrative: vec![],
        inputs: vec![Input {
            path: "plantings.csv".into(),
            sha256: "00".repeat(32),
            bytes: 512,
            rows: Some(4),
        }],
        receipts: vec![],
    }
}

/// Heights of a made-up hill about the areas of the small project, in cells of 5 m on MGA2020 zone 55: a spur that falls to the
/// south and two gullies beside it, from 4° on its crown to over 25° on its sides.
pub fn hill() -> Grid {
    let grid = geometry::Grid::of_epsg(7855).expect("a grid");
    let (east, north) = grid.to_grid(Point::new(148.001, -35.9999)).expect("a place");
    let side = 220;
    let cell = 5.0;
    let lattice = Lattice {
        west: (east / cell).round() * cell - cell * f64::from(side) / 2.0,
        north: (north / cell).round() * cell + cell * f64::from(side) / 2.0,
        cell_x: cell,
        cell_y: cell,
        rows: side as usize,
        columns: side as usize,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: hillfolio_core::geometry::Crs::of_epsg(7855),
    };
    let height = |row: usize, column: usize| {
        let place = lattice.centre(row, column);
        let (x, y) = ((place.x - east) / 100.0, (place.y - north) / 100.0);
        let spur = 38.0 * libm::exp(-(x + 0.25 * y) * (x + 0.25 * y) / 0.9);
        let gullies = -14.0 * libm::exp(-(x - 1.5 + 0.4 * y) * (x - 1.5 + 0.4 * y) / 0.12)
            - 9.0 * libm::exp(-(x + 1.7 - 0.2 * y) * (x + 1.7 - 0.2 * y) / 0.2);
        let roll = 3.0 * libm::sin(2.1 * x + 0.7) * libm::cos(1.7 * y) + 1.2 * libm::sin(5.0 * y + 2.0 * x);
        (412.0 + 9.0 * y + 1.5 * y * y + spur + gullies + roll) as f32
    };
    let values =
        (0..lattice.cells()).map(|cell| height(cell / lattice.columns, cell % lattice.columns)).collect();
    Grid { lattice, values }
}
