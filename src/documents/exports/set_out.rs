//! The rows and stems of the plan as features.

use geo::Point;
use geojson::Feature;

use crate::exports::layers::{feature, rounded};
use hillfolio_core::plan::{AreaPlan, Plan, RowEnd, row_list};

/// What a row is called: its area and its number.
fn name(area: &AreaPlan, number: u32) -> String {
    format!("{} {number}", area.rows.plantable.area)
}

/// Every row as a line.
pub(super) fn rows(plan: &Plan) -> Vec<Feature> {
    let of = |area: &AreaPlan| -> Vec<Feature> {
        let one = |row: &hillfolio_core::plan::Row| {
            feature(
                (&rounded(&area.rows.course(row))).into(),
                [
                    ("row", name(area, row.number).into()),
                    ("area", (&*area.rows.plantable.area.0).into()),
                    ("number", row.number.into()),
                    ("length_m", centimetres(row.length.0).into()),
                ],
            )
        };
        area.rows.rows.iter().map(one).collect()
    };
    plan.areas.iter().flat_map(of).collect()
}

/// Where each row starts.
pub(super) fn starts(plan: &Plan) -> Vec<Feature> {
    let one = |row: hillfolio_core::plan::RowLine| {
        feature(
            (&rounded(&row.start)).into(),
            [
                ("row", format!("{} {}", row.area, row.number).into()),
                ("area", (&*row.area.0).into()),
                ("length_m", centimetres(row.length.0).into()),
                ("stems", row.stems.0.into()),
            ],
        )
    };
    row_list(plan).into_iter().map(one).collect()
}

/// Every stem, where its species was dealt with that.
pub(super) fn stems(plan: &Plan) -> Vec<Feature> {
    let of = |area: &AreaPlan| -> Vec<Feature> {
        let (mut row, mut nth) = (0, 0u32);
        let mut one = |(at, stem): (usize, &hillfolio_core::plan::Stem)| {
            nth = if stem.row == row { nth + 1 } else { 1 };
            row = stem.row;
            let species = area.species.get(at).and_then(Option::as_ref).map(|id| id.to_string());
            let place: Point<f64> = area.rows.plantable.plane.position(stem.place);
            feature(
                (&rounded(&place)).into(),
                [
                    ("stem", format!("{}-{nth}", name(area, stem.row)).into()),
                    ("area", (&*area.rows.plantable.area.0).into()),
                    ("row", stem.row.into()),
                    ("along_m", centimetres(stem.along.0).into()),
                    ("species", species.into()),
                ],
            )
        };
        area.stems.iter().enumerate().map(&mut one).collect()
    };
    plan.areas.iter().flat_map(of).collect()
}

/// Every peg of the work orders: those of the control rows, what is taped from them, and the ends of the rows between.
pub(super) fn pegs(plan: &Plan) -> Vec<Feature> {
    let mut pegs = Vec::new();
    for (area, table) in &plan.work_orders.tables {
        let Some(planned) = plan.areas.iter().find(|planned| &planned.rows.plantable.area == area) else {
            continue;
        };
        let day = plan
            .work_orders
            .days
            .iter()
            .find(|day| &day.area == area && day.rows.iter().any(|row| row.row == table.row));
        let day = day.map(|day| day.number);
        let mut one = |name: String, row: u32, place: geo::Coord<f64>, what: &str| {
            let position: Point<f64> = planned.rows.plantable.plane.position(place);
            pegs.push(feature(
                (&rounded(&position)).into(),
                [
                    ("peg", name.into()),
                    ("area", (&*area.0).into()),
                    ("row", row.into()),
                    ("what", what.into()),
                    ("crew_day", day.into()),
                ],
            ));
        };
        for peg in &table.pegs {
            let name = format!("{area} {}/{}", table.row, peg.number);
            one(name, table.row, peg.place, "peg of a control row");
            for taped in &peg.taped {
                let name = format!("{area} {} at {}/{}", taped.row, table.row, peg.number);
                one(name, taped.row, taped.place, "taped from a peg");
            }
        }
        for (nth, leg) in (1..).zip(&table.beyond) {
            let what = match leg.end {
                Some(RowEnd::Start) => "start of a row",
                Some(RowEnd::End) => "end of a row",
                None => "peg of a row between",
            };
            one(format!("{area} {} beyond {nth}", leg.row), leg.row, leg.place, what);
        }
    }
    pegs
}

fn centimetres(metres: f64) -> f64 {
    (metres * 100.0).round() / 100.0
}
