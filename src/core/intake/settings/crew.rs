//! `[crew]`: who sets out and plants, for the work orders of the plan.

use rust_decimal::prelude::ToPrimitive;

use crate::{
    intake::settings::section::Section,
    project::Crew,
    units::{Degrees, Hours, Metres},
};

/// Things that go to each stem, at the most.
const MOST_THINGS: usize = 8;

/// `[crew]`.
pub(crate) fn crew(root: &mut Section) -> Crew {
    let Some(mut section) = root.section("crew") else { return Crew::default() };
    let people = section.whole("people", 1, 200);
    let hours = section.number("hours", 0.5, 16.0, "hours on the ground in a day, from 0.5 to 16").map(Hours);
    let stems_per_hour =
        section.number("stems_per_h", 1.0, 1000.0, "stems that a person plants in an hour, from 1");
    let pegged_per_hour = section
        .number("pegged_m_per_h", 1.0, 10_000.0, "metres of row that a person sets out in an hour, from 1")
        .map(Metres);
    let declination = section
        .number(
            "declination_deg",
            -180.0,
            180.0,
            "degrees that a compass points east of true north, west below 0",
        )
        .map(Degrees);
    let each_stem = each_stem(&mut section);
    section.finish();
    Crew { people, hours, stems_per_hour, pegged_per_hour, declination, each_stem }
}

fn each_stem(section: &mut Section) -> Vec<(String, f64)> {
    let Some(mut things) = section.section("each_stem") else { return Vec::new() };
    let names = things.own_keys();
    let found: Vec<(String, f64)> =
        names.iter().filter_map(|name| Some((name.clone(), things.factor_of(name)?.to_f64()?))).collect();
    if names.len() > MOST_THINGS || names.iter().any(|name| name.trim().is_empty()) {
        section.wrong(
            "each_stem",
            "such as { guard = 1, \"litres of water\" = 5 }, of at most 8 things",
            None,
        );
    }
    found
}
