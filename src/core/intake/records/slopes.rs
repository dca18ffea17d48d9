//! `slopes`: slopes measured by clinometer where there is no terrain model.

use crate::{
    intake::{records::Known, table::Table},
    problem::{Problem, Reading},
    project::MeasuredSlope,
    units::{Degrees, PercentSlope},
};

/// The longest slope that is measured in one, m.
const LONGEST: f64 = 10_000.0;

/// Every measured slope.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<MeasuredSlope> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let area = row.area("area", known);
        let degrees = row.number("slope_deg", (0.0, 89.0), "a slope from 0 to 89 degrees").map(Degrees);
        let percent = row.number("slope_percent", (0.0, 1000.0), "a slope from 0 to 1,000 per cent");
        let length = row.metres("length_m", LONGEST);
        match (row.raw("slope_deg"), row.raw("slope_percent")) {
            (None, None) => row.say(
                "slope_deg",
                Reading::CellEmpty {
                    table: "",
                    column: "slope_deg or slope_percent".to_owned(),
                    above: None,
                },
            ),
            (Some(_), Some(_)) => {
                row.say("slope_deg", Reading::OneOrTheOther { one: "slope_deg", other: "slope_percent" });
            }
            _ => {}
        }
        let slope = degrees.or(percent.map(|percent| PercentSlope(percent).into()));
        Some(MeasuredSlope {
            area: area?,
            slope: slope?,
            length,
            note: row.text("note"),
            source: row.source(),
        })
    })
}
