//! Work orders: a crew-day tried on paper. From what is printed alone, rounded as it is printed, the pegs are drawn again and held
//! against the rows.

use std::{collections::BTreeMap, sync::LazyLock};

use geo::{Coord, LineString, Point};
use hillfolio_core::{
    ledger,
    plan::{LegFrom, PegTable, Plan, TraverseLeg, make},
    project::{Feature, FeatureKind, Project, Shape, Standing},
    units::{Degrees, Hours, Metres},
};

use crate::support::{
    designed::{designed, on_a_hill},
    row,
};

/// A gate beside the hill's area.
fn gate() -> Feature {
    Feature {
        kind: FeatureKind::Gate,
        standing: Standing::Existing,
        made: None,
        name: Some("Bottom gate".to_owned()),
        shape: Shape::Points(Point::new(148.0005, -36.0008).into()),
        source: row("features.geojson", 12),
    }
}

fn hill_with_gate() -> Project {
    let mut project = on_a_hill();
    project.features.push(gate());
    project
}

static ON_A_HILL: LazyLock<Plan> = LazyLock::new(|| make(&hill_with_gate()).unwrap());

/// A number as somebody reads it off the sheet.
fn read(words: &str) -> f64 {
    words
        .trim_end_matches('°')
        .replace('−', "-")
        .replace(['+', '\u{a0}', '\u{202f}', ' ', ','], "")
        .parse()
        .unwrap()
}

fn way(bearing: f64) -> Coord<f64> {
    Coord { x: libm::sin(bearing.to_radians()), y: libm::cos(bearing.to_radians()) }
}

/// Where a leg leads on paper: bearing, distance and rise as printed.
fn led(leg: &TraverseLeg, from: Coord<f64>) -> Coord<f64> {
    let distance = read(&leg.distance_words());
    let rise = if leg.level { 0.0 } else { read(&leg.rise_words().unwrap()) / 100.0 };
    from + way(read(&leg.bearing_words())) * (distance * distance - rise * rise).sqrt()
}

/// Every peg and every taped mark of the tables, drawn on paper: row and place.
fn drawn(tables: &[&PegTable], marks: &BTreeMap<String, Coord<f64>>) -> Vec<(u32, Coord<f64>)> {
    let mut pegs: BTreeMap<(u32, u32), Coord<f64>> = BTreeMap::new();
    let mut all = Vec::new();
    for table in tables {
        let mut taped: BTreeMap<(u32, u32), Coord<f64>> = BTreeMap::new();
        let mut at = Coord::zero();
        for peg in &table.pegs {
            at = match &peg.leg.from {
                LegFrom::Mark(words) => led(&peg.leg, marks[words]),
                LegFrom::Peg { row, peg: number } => led(&peg.leg, pegs[&(*row, *number)]),
                LegFrom::Before => led(&peg.leg, at),
                other => panic!("{other:?}"),
            };
            pegs.insert((table.row, peg.number), at);
            all.push((table.row, at));
            let level = peg.slope.map_or(1.0, |slope| libm::cos(slope.0.round().to_radians()));
            for one in &peg.taped {
                let down = way(peg.down.0.round());
                let tape = read(&hillfolio_core::units::number(one.tape.0, 1)) * level;
                let there = if one.down { at + down * tape } else { at - down * tape };
                taped.insert((peg.number, one.row), there);
                all.push((one.row, there));
            }
        }
        for leg in &table.beyond {
            at = match &leg.leg.from {
                LegFrom::Peg { row, peg } => led(&leg.leg, pegs[&(*row, *peg)]),
                LegFrom::Taped(peg) => led(&leg.leg, taped[&(*peg, leg.row)]),
                LegFrom::Before => led(&leg.leg, at),
                other => panic!("{other:?}"),
            };
            all.push((leg.row, at));
        }
    }
    all
}

fn off(line: &LineString<f64>, place: Coord<f64>) -> f64 {
    let from = |edge: geo::Line<f64>| {
        let (piece, apart) = (edge.delta(), place - edge.start);
        let square = piece.x * piece.x + piece.y * piece.y;
        let share = ((apart.x * piece.x + apart.y * piece.y) / square.max(1e-12)).clamp(0.0, 1.0);
        libm::hypot(apart.x - piece.x * share, apart.y - piece.y * share)
    };
    line.lines().map(from).fold(f64::INFINITY, f64::min)
}

/// Nine in ten of the pegs of a work order, drawn again from what is printed, lie within half a metre of their rows; every row is
/// reached, and so are both its ends.
#[test]
fn pegs_drawn_from_the_sheet_lie_on_the_rows() {
    let plan = &*ON_A_HILL;
    let area = &plan.areas[0];
    let plane = &area.rows.plantable.plane;
    let marks = BTreeMap::from([("Bottom gate".to_owned(), plane.xy(Point::new(148.0005, -36.0008)))]);
    let project = hill_with_gate();
    let mut marks = marks;
    for point in &project.photo_points {
        marks.insert(format!("photo point {}", point.id), plane.xy(point.position));
    }
    for plot in &project.plots {
        if let Some(at) = plot.position {
            marks.insert(format!("middle of plot {}", plot.id), plane.xy(at));
        }
    }
    let tables: Vec<&PegTable> = plan.work_orders.tables.iter().map(|(_, table)| table).collect();
    let pegs = drawn(&tables, &marks);
    // Rows as the layer has them: seven digits of a degree.
    let digits = |degrees: f64| (degrees * 1e7).round() / 1e7;
    let rows: BTreeMap<u32, LineString<f64>> = area
        .rows
        .rows
        .iter()
        .map(|row| {
            let course = area.rows.course(row);
            let corners = course.0.iter().map(|at| plane.xy(Point::new(digits(at.x), digits(at.y))));
            (row.number, corners.collect())
        })
        .collect();
    let mut errors: Vec<f64> = pegs.iter().map(|(row, place)| off(&rows[row], *place)).collect();
    errors.sort_by(f64::total_cmp);
    let share = errors.iter().filter(|error| **error <= 0.5).count() as f64 / errors.len() as f64;
    let worst = errors[errors.len() - 1];
    assert!(share >= 0.9 && worst <= 0.5 && errors.len() > 100, "{share}, {worst}");
    // The same of the first crew-day that holds five rows or more.
    let day = plan.work_orders.days.iter().find(|day| day.rows.len() >= 5).unwrap();
    let own: Vec<f64> = pegs
        .iter()
        .filter(|(row, _)| day.rows.iter().take(5).any(|one| one.row == *row))
        .map(|(row, place)| off(&rows[row], *place))
        .collect();
    let near = own.iter().filter(|error| **error <= 0.5).count();
    assert!(near * 10 >= own.len() * 9 && own.len() >= 20, "{near} of {}", own.len());
    // Both ends of every open row are among the pegs.
    for row in area.rows.rows.iter().filter(|row| !row.closed()) {
        for end in [row.line.0[0], row.line.0[row.line.0.len() - 1]] {
            let nearest = pegs
                .iter()
                .filter(|(number, _)| *number == row.number)
                .map(|(_, at)| libm::hypot(at.x - end.x, at.y - end.y))
                .fold(f64::INFINITY, f64::min);
            assert!(nearest < 1.0, "row {} {nearest}", row.number);
        }
    }
}

/// Each row and each stem is of one day; days come to no more than the crew's hours but where one row alone is more.
#[test]
fn days_hold_every_row_once() {
    let plan = &*ON_A_HILL;
    let orders = &plan.work_orders;
    let mut rows: Vec<u32> = orders.days.iter().flat_map(|day| day.rows.iter().map(|row| row.row)).collect();
    rows.sort_unstable();
    assert_eq!(rows, (1..=plan.rows() as u32).collect::<Vec<u32>>());
    assert_eq!(orders.days.iter().map(|day| day.stems().0).sum::<u64>(), plan.stems().0);
    for day in &orders.days {
        assert!(day.hours().0 <= orders.capacity.0 + 1e-9 || day.rows.len() == 1, "{}", day.number);
        for row in &day.rows {
            let carried: u64 = row.loads.iter().map(|load| load.stems.0).sum();
            let by_species: u64 = row.species.iter().map(|(_, stems)| stems.0).sum();
            assert_eq!((carried, by_species), (row.stems.0, row.stems.0));
            // By hand: a tray of 40, nothing being said.
            assert_eq!(row.loads.len() as u64, row.stems.0.div_ceil(40));
        }
    }
    let mut tabled: Vec<u32> = orders.tables.iter().flat_map(|(_, table)| table.rows.clone()).collect();
    tabled.sort_unstable();
    assert_eq!(tabled, rows, "every row is set out from one table");
}

/// By hand: ten people of seven hours are 70 h; 50 stems in an hour are 2 h for a hundred, 200 m of row half an hour for a hundred.
#[test]
fn the_crew_is_that_of_the_settings() {
    let mut project = hill_with_gate();
    project.crew.people = Some(10);
    project.crew.hours = Some(Hours(7.0));
    project.crew.stems_per_hour = Some(50.0);
    project.crew.pegged_per_hour = Some(Metres(200.0));
    project.crew.each_stem = vec![("guards".to_owned(), 1.0), ("litres of water".to_owned(), 5.0)];
    project.crew.declination = Some(Degrees(12.0));
    let plan = make(&project).unwrap();
    let ledger = ledger::fill_with(&project, Some(&plan));
    let value = |id: &str| ledger.figure(id).unwrap().value;
    assert_eq!(
        [value("plan.crew-day-hours"), value("plan.pace.planting"), value("plan.pace.set-out")],
        [70.0, 2.0, 0.5]
    );
    let (stems, metres) = (value("plan.day.stems.1"), plan.work_orders.days[0].length().0);
    assert!((value("plan.day.hours.1") - stems * 0.02 - metres * 0.005).abs() < 1e-9);
    assert_eq!(value("plan.day.material.1.litres-of-water"), 5.0 * stems);
    assert_eq!(value("plan.material.guards"), value("plan.stems.all"));
    let bands = ["machine", "manual", "hand"].map(|band| value(&format!("plan.day.{band}.1")));
    assert!((bands.iter().sum::<f64>() - metres).abs() < 1e-6);
    // A compass 12° east of true reads 12° less.
    let first = |plan: &Plan| plan.work_orders.tables[0].1.pegs[1].down.0;
    let turned = (first(&ON_A_HILL) - first(&plan)).rem_euclid(360.0);
    assert!((turned - 12.0).abs() <= 1.0, "{turned}");
}

/// Without a model there is no rise to print, and without a mark only positions tie the rows.
#[test]
fn what_is_not_known_is_not_printed() {
    let mut project = designed();
    project.areas.truncate(1);
    let line = LineString::from(vec![(148.0, -35.9995), (148.003, -35.9992)]);
    project.features.push(Feature {
        kind: FeatureKind::GuideLine,
        shape: Shape::Lines(geo::MultiLineString(vec![line])),
        ..gate()
    });
    project.photo_points.clear();
    project.plots.clear();
    project.features.retain(|feature| !matches!(feature.shape, Shape::Points(_)));
    let plan = make(&project).unwrap();
    let table = &plan.work_orders.tables[0].1;
    assert_eq!(table.pegs[0].leg.from, LegFrom::Nothing);
    assert!(table.pegs.iter().all(|peg| peg.leg.rise_words().is_none()));
    let ledger = ledger::fill_with(&project, Some(&plan));
    let notes = &ledger.figure("plan.pegs").unwrap().notes;
    assert!(
        notes.iter().any(|note| note.contains("no model"))
            && notes.iter().any(|note| note.contains("no mark"))
    );
}
