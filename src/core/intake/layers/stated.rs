//! How large a shape is by what its file states: a column of hectares, as programs and people head it.

use geo::MultiPolygon;

use crate::{
    geometry,
    intake::{
        cell::number::{self, Mark},
        layers::{area_names::NAME, drawn::Drawn},
        mapping::Mapping,
        nearest::same,
    },
    problem::{Ground, Problem, Reading},
    units::{self, Hectares},
};

/// What such a column is called, without what stands between its words, and how many hectares one of it is. An acre is 4 840 square yards
/// of 0.9144 m (International Yard and Pound Agreement, 1959).
const NAMES: [(&str, f64); 22] = [
    ("statedhectares", 1.0),
    ("hectares", 1.0),
    ("areaha", 1.0),
    ("hectare", 1.0),
    ("ha", 1.0),
    ("areahectares", 1.0),
    ("areainha", 1.0),
    ("areainhectares", 1.0),
    ("hectaresarea", 1.0),
    ("haarea", 1.0),
    ("sizeha", 1.0),
    ("calcha", 1.0),
    ("areahas", 1.0),
    ("aream2", 1e-4),
    ("areasqm", 1e-4),
    ("sqm", 1e-4),
    ("acres", 0.404_685_642_24),
    ("acre", 0.404_685_642_24),
    ("areaacres", 0.404_685_642_24),
    ("areaac", 0.404_685_642_24),
    // What a column `area` is put under where it holds sizes: another says it more clearly.
    ("areaasha", 1.0),
    ("areaasm2", 1e-4),
];

/// Those that our own files have, in which a word is a mistake.
const OURS: [&str; 3] = ["statedhectares", "hectares", "areaha"];

/// Part by which sizes may lie apart and still be told from names (judgement).
const ROUGHLY: f64 = 0.2;

/// A name without what stands between its words.
fn bare(name: &str) -> String {
    name.chars().filter(|letter| letter.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Whether a column called so states how large a shape is.
pub(super) fn states_size(name: &str) -> bool {
    let name = bare(name);
    NAMES.iter().any(|(known, _)| *known == name)
}

/// What the column is called that states how large a shape is, where the shape has one.
pub(super) fn heading(drawn: &Drawn) -> Option<&str> {
    NAMES.iter().find_map(|(known, _)| {
        let name = drawn.properties().find(|name| bare(name) == *known)?;
        drawn.property(name).map(|_| name)
    })
}

/// The hectares that a shape is stated to have; a text that is no number is said where the column is one of ours.
pub(super) fn hectares(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<f64> {
    let stated = NAMES.iter().find_map(|(known, unit)| {
        let name = drawn.properties().find(|name| bare(name) == *known)?;
        Some((name, drawn.property(name)?, *unit, OURS.contains(known)))
    });
    let (name, text, unit, ours) = stated?;
    let found = number_of(text).map(|number| number * unit).filter(|hectares| *hectares >= 0.0);
    match found {
        // Programs fill a column that nobody has computed with noughts.
        Some(0.0) if !ours => None,
        None => {
            let kind = Reading::CellUnreadable {
                found: text.to_owned(),
                wanted: "a number of hectares, such as 3.25",
            };
            if ours {
                problems.push(drawn.problem(kind, name));
            }
            None
        }
        found => found,
    }
}

/// The number in a text, with or without `ha` behind it.
fn number_of(text: &str) -> Option<f64> {
    let text = text.trim();
    let digits = text.trim_end_matches(|letter: char| letter.is_ascii_alphabetic()).trim_end();
    let unit = text[digits.len()..].trim().to_lowercase();
    if !["", "ha", "hectares", "hectare"].contains(&unit.as_str()) {
        return None;
    }
    number::plain(digits, Mark::Unclear)?.parse::<f64>().ok().filter(|number| number.is_finite())
}

/// A column `area` that holds how large each shape is names none: it is put where sizes stand. So it is where every shape has a number there,
/// some with decimals, and all are near the hectares, or the square metres, that are drawn.
pub(super) fn put_sizes(drawn: &mut [Drawn], mapping: &Mapping) {
    if mapping.columns.values().any(|ours| same(ours, NAME)) {
        return;
    }
    let size = |one: &Drawn| {
        let polygons = MultiPolygon(one.parts().ok()?.polygons);
        let stated = number_of(one.property(NAME)?)?;
        (!polygons.0.is_empty()).then(|| (stated, Hectares::from(geometry::area(&polygons)).0))
    };
    let Some(sizes) = drawn.iter().map(size).collect::<Option<Vec<_>>>().filter(|sizes| !sizes.is_empty())
    else {
        return;
    };
    let near =
        |unit: f64| sizes.iter().all(|(stated, drawn)| (stated * unit - drawn).abs() <= ROUGHLY * drawn);
    let decimals = sizes.iter().any(|(stated, _)| stated.fract() != 0.0);
    let name = match (near(1.0) && decimals, near(1e-4)) {
        (true, _) => "area as ha",
        (_, true) => "area as m2",
        _ => return,
    };
    drawn.iter_mut().for_each(|one| one.rename(NAME, name));
}

/// The doubt that a shape which is no area, such as an exclusion, is drawn larger or smaller than it is stated to be.
pub(super) fn differs(drawn: &Drawn, polygons: &MultiPolygon<f64>, problems: &mut Vec<Problem>) {
    let Some(stated) = hectares(drawn, problems) else { return };
    let mapped = Hectares::from(geometry::area(polygons)).0;
    if units::differ(stated, mapped) {
        let id = drawn.name().map_or_else(|| format!("shape {}", drawn.source.row), str::to_owned);
        let heading = heading(drawn).unwrap_or("hectares");
        problems.push(drawn.problem(Ground::HectaresDiffer { id, stated, mapped }, heading));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_of_sizes_are_known_by_their_names() {
        for name in ["HA", "ha", "area_ha", "Area (ha)", "AREA_HA", "Hectares", "area_m2", "Acres"] {
            assert!(states_size(name), "{name}");
        }
        for name in ["area", "name", "hay", "shape_area", "has_fence"] {
            assert!(!states_size(name), "{name}");
        }
        assert_eq!(
            [number_of("3,25"), number_of("3.25 ha"), number_of("3 acres")],
            [Some(3.25), Some(3.25), None]
        );
    }
}
