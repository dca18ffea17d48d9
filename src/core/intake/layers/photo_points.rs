//! Photo points from a layer: waypoints, placemarks or points with properties.

use std::{collections::BTreeMap, sync::Arc};

use geo::Point;

use crate::{
    geometry::Datum,
    intake::{
        layers::{
            drawn::{Drawn, drawn},
            file::LayerFile,
        },
        mapping::Mapping,
        nearest::folded,
        records::Known,
    },
    problem::{Evidence, Ground, Problem, Reading, Records},
    project::{AreaId, PhotoPoint, Shape},
    units::Degrees,
};

/// The property that names a point.
const NAME: &str = "photopoint";

/// The property that says which way the camera looks.
const BEARING: &str = "bearing_deg";

/// The photo points of `layer`, on `datum`.
pub(crate) fn photo_points(
    layer: &LayerFile,
    datum: Datum,
    mapping: &Mapping,
    known: &Known,
    problems: &mut Vec<Problem>,
) -> Vec<PhotoPoint> {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    let mut points = Vec::new();
    for one in &drawn(layer, NAME, datum, mapping, problems) {
        let Some(point) = photo_point(one, known, problems) else { continue };
        match seen.get(&folded(&point.id)) {
            Some(&first) => {
                let kind = Records::IdTwice { what: "photo point", id: point.id.to_string(), first };
                problems.push(one.problem(kind, NAME));
            }
            None => drop(seen.insert(folded(&point.id), point.source.row)),
        }
        points.push(point);
    }
    points
}

fn photo_point(drawn: &Drawn, known: &Known, problems: &mut Vec<Problem>) -> Option<PhotoPoint> {
    let Some(id) = drawn.property(NAME) else {
        let nearest = drawn.likely(NAME);
        problems.push(drawn.problem(Ground::Nameless { property: NAME.to_owned(), nearest }, NAME));
        return None;
    };
    let position = position(drawn).map_err(|kind| problems.push(drawn.problem(kind, "geometry"))).ok();
    let said = Said::of(drawn.property("note").unwrap_or_default());
    let bearing = match drawn.property(BEARING).or(said.bearing.as_deref()) {
        Some(text) => degrees(text).or_else(|| {
            let wanted = "degrees clockwise from true north, from 0 to 360".to_owned();
            problems.push(drawn.problem(Reading::OutOfRange { found: text.to_owned(), wanted }, BEARING));
            None
        }),
        None => {
            problems.push(drawn.problem(Evidence::NoBearing { point: id.to_owned() }, BEARING));
            None
        }
    };
    let area = drawn.property("area").and_then(|found| {
        let area = known.areas.get(found);
        if area.is_none() && known.areas.complete {
            problems.push(drawn.problem(known.areas.unknown(found), "area"));
        }
        area.map(AreaId)
    });
    let about = drawn.property("about").map(str::to_owned).or(said.about);
    let (id, source) = (Arc::from(id), drawn.source.clone());
    Some(PhotoPoint { id, position: position?, bearing: bearing?, area, about, source })
}

fn position(drawn: &Drawn) -> Result<Point<f64>, Ground> {
    match drawn.shape()? {
        Shape::Points(points) if points.0.len() == 1 => Ok(points.0[0]),
        _ => Err(Ground::WrongShape { found: drawn.type_name().to_owned(), wanted: "a single point" }),
    }
}

/// Degrees from 0 to 360, with or without their sign.
fn degrees(text: &str) -> Option<Degrees> {
    let number: f64 = text.trim().trim_end_matches('°').trim_end().parse().ok()?;
    (0.0..=360.0).contains(&number).then_some(Degrees(number % 360.0))
}

/// What a waypoint's description says: receivers know no properties.
struct Said {
    /// What stands behind the word `bearing`.
    bearing: Option<String>,
    /// The rest.
    about: Option<String>,
}

impl Said {
    /// Takes a description apart: `bearing 135`, `Bearing: 135°; up the spur` or, as this program writes them itself,
    /// `bearing_deg: 135; about: up the spur`.
    fn of(text: &str) -> Said {
        let (mut bearing, mut rest) = (None, Vec::new());
        for part in text.split([';', ',', '\n']).map(str::trim).filter(|part| !part.is_empty()) {
            match after_word(part, &["bearing_deg", "bearing"]) {
                Some(said) if bearing.is_none() => bearing = Some(said.to_owned()),
                _ => rest.push(after_word(part, &["about"]).unwrap_or(part)),
            }
        }
        Said { bearing, about: (!rest.is_empty()).then(|| rest.join("; ")) }
    }
}

/// What stands behind one of `words`, with which `part` begins in any case.
fn after_word<'p>(part: &'p str, words: &[&str]) -> Option<&'p str> {
    words.iter().find_map(|word| {
        let (first, rest) = part.split_at_checked(word.len())?;
        let begins = first.eq_ignore_ascii_case(word) && rest.starts_with([':', '=', ' ']);
        begins.then(|| rest.trim_start_matches([':', '=', ' ']))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn descriptions_say_the_bearing_and_what_is_seen() {
        for (text, bearing, about) in [
            ("bearing_deg: 135.5; about: Up the spur", Some("135.5"), Some("Up the spur")),
            ("Bearing 35°, from the gate", Some("35°"), Some("from the gate")),
            ("by the gate", None, Some("by the gate")),
            ("bearings worn out", None, Some("bearings worn out")),
            ("", None, None),
        ] {
            let said = Said::of(text);
            assert_eq!((said.bearing.as_deref(), said.about.as_deref()), (bearing, about), "{text}");
        }
        assert_eq!(degrees("360 °").map(|degrees| degrees.0), Some(0.0));
        assert!(degrees("361").is_none() && degrees("NaN").is_none() && degrees("north").is_none());
    }

    proptest::proptest! {
        #[test]
        fn any_description_is_taken_apart(text in "\\PC{0,80}") {
            let _ = Said::of(&text).bearing.as_deref().and_then(degrees);
        }
    }
}
