//! `photopoints`: fixed photo points.

use std::{collections::BTreeMap, sync::Arc};

use crate::{
    intake::{nearest::folded, records::Known, table::Table},
    problem::{Problem, Records},
    project::PhotoPoint,
    units::Degrees,
};

/// Every photo point.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<PhotoPoint> {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    table.each(problems, |row| {
        let (id, position, area) = (row.text("photopoint"), row.degrees(), row.area("area", known));
        let wanted = "degrees clockwise from true north, from 0 to 360";
        let bearing = row.number("bearing_deg", (0.0, 360.0), wanted).map(|deg| Degrees(deg % 360.0));
        let (id, source) = (id?, row.source());
        if let Some(&first) = seen.get(&folded(&id)) {
            row.say("photopoint", Records::IdTwice { what: "photo point", id: id.clone(), first });
        } else {
            seen.insert(folded(&id), source.row);
        }
        let (id, about) = (Arc::from(id), row.text("about"));
        Some(PhotoPoint { id, position: position?, bearing: bearing?, area, about, source })
    })
}
