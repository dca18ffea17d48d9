//! Planting areas: one polygon or several under one id.

use geo::MultiPolygon;

use crate::{
    geometry::{self, Datum, Unclean},
    intake::{
        layers::{
            area_names::{AreaNames, NAME},
            drawn::{Drawn, drawn},
            features::told_of,
            file::LayerFile,
            stated,
            strays::sorted,
        },
        limits,
        mapping::Mapping,
        nearest,
    },
    problem::{Grade, Ground, Place, Problem, Reading},
    project::{Area, AreaId, Feature, slug},
};

/// Adds the planting areas of `layer`, on `datum`, to those of other files in `areas`; gives the features that were drawn among them.
pub(crate) fn areas(
    layer: &LayerFile,
    datum: Datum,
    mapping: &Mapping,
    areas: &mut Vec<Area>,
    problems: &mut Vec<Problem>,
) -> Vec<Feature> {
    let before = problems.len();
    let path = layer.path.as_str();
    let mut drawn = drawn(layer, NAME, datum, mapping, problems);
    stated::put_sizes(&mut drawn, mapping);
    let mut sorted = sorted(&drawn);
    sorted.say(path, problems);
    let faulty = problems[before..].iter().any(|problem| problem.grade() == Grade::Error);
    if sorted.boundaries.is_empty() && !faulty {
        problems.push(Problem::new(Ground::LayerEmpty, Place::file(path)));
    }
    if sorted.boundaries.len() > limits::AREAS {
        let kind = Ground::TooManyShapes { shapes: sorted.boundaries.len(), limit: limits::AREAS };
        problems.push(Problem::new(kind, Place::file(path)));
        return Vec::new();
    }
    let boundaries: Vec<&Drawn> = sorted.boundaries.iter().map(|(one, ..)| *one).collect();
    let mut names = AreaNames::of(&boundaries, path);
    for (one, polygons, doubt) in &sorted.boundaries {
        let Some(id) = names.name(one, problems) else { continue };
        problems.extend(doubt.clone().map(|doubt| one.problem(doubt, "geometry")));
        let area = match area(one, &id, polygons, problems) {
            Ok(area) => area,
            Err(why) => {
                let kind = match (why, one.property(NAME)) {
                    (Unclean::Scrambled, _) => Ground::BoundaryScrambled { id, most: "20,000" },
                    (Unclean::Empty, Some(_)) => Ground::NoShape,
                    (Unclean::Empty, None) => Ground::EmptyLeftOut { shapes: 1 },
                };
                problems.push(one.problem(kind, "geometry"));
                continue;
            }
        };
        match areas.iter_mut().find(|known| nearest::same(&known.id.0, &area.id.0)) {
            Some(known) => problems.extend(join(known, area).map(|kind| one.problem(kind, NAME))),
            None => {
                problems.extend(ill_named(&area.id, areas).map(|kind| one.problem(kind, NAME)));
                areas.push(area);
            }
        }
    }
    names.say(&boundaries, path, problems);
    // Without a boundary the file is another, and what its shapes could be is not worth saying.
    match boundaries.is_empty() {
        true => Vec::new(),
        false => told_of(sorted.features, path, mapping.told, problems),
    }
}

/// Joins a further part of an area to those that were drawn before it, and says so.
fn join(known: &mut Area, part: Area) -> Option<Ground> {
    let (id, first) = (part.id.to_string(), known.source.row);
    let both = MultiPolygon(known.boundary.iter().chain(&part.boundary).cloned().collect());
    let cleaned = geometry::clean(&both).ok()?;
    known.boundary = cleaned.shape;
    known.stated_hectares = match (known.stated_hectares, part.stated_hectares) {
        // The whole is stated beside each of its parts.
        (Some(one), Some(other)) if (one - other).abs() > f64::EPSILON * one => Some(one + other),
        (one, other) => one.or(other),
    };
    known.frosty |= part.frosty;
    known.dry |= part.dry;
    known.waterlogged |= part.waterlogged;
    known.note = known.note.take().or(part.note);
    Some(match cleaned.repaired {
        Some(hectares) => Ground::AreaTwice { id, first, hectares: hectares.0 },
        None => Ground::PartsJoined { id, first },
    })
}

/// Why the figures of the area called `id` could not be told from others.
fn ill_named(id: &AreaId, areas: &[Area]) -> Option<Ground> {
    let word = slug(&id.0);
    let why = match word.as_str() {
        "" => Some("it has neither a letter nor a digit"),
        "all" => Some("the word stands for all areas together"),
        _ => None,
    };
    if let Some(why) = why {
        return Some(Ground::AreaUnnamable { id: id.to_string(), why });
    }
    let alike = areas.iter().find(|area| slug(&area.id.0) == word)?;
    Some(Ground::AreasAlike { id: id.to_string(), other: alike.id.to_string(), first: alike.source.row })
}

/// The area; not where its polygons enclose nothing, or nothing that can be told.
fn area(
    drawn: &Drawn,
    id: &str,
    polygons: &MultiPolygon<f64>,
    problems: &mut Vec<Problem>,
) -> Result<Area, Unclean> {
    let cleaned = geometry::clean(polygons)?;
    if let Some([walked, loops]) = cleaned.unclear {
        let kind = Ground::LoopsUnclear { id: id.to_owned(), walked: walked.0, loops: loops.0 };
        problems.push(drawn.problem(kind, "geometry"));
    } else if let Some(hectares) = cleaned.repaired {
        let kind = Ground::CrossesItself { id: id.to_owned(), hectares: hectares.0 };
        problems.push(drawn.problem(kind, "geometry"));
    }
    Ok(Area {
        id: AreaId(id.into()),
        boundary: cleaned.shape,
        stated_hectares: stated::hectares(drawn, problems),
        stated_as: stated::heading(drawn).map(Into::into),
        frosty: marked(drawn, "frosty", problems),
        dry: marked(drawn, "dry", problems),
        waterlogged: marked(drawn, "waterlogged", problems),
        note: drawn.property("note").map(str::to_owned),
        source: drawn.source.clone(),
    })
}

fn marked(drawn: &Drawn, property: &'static str, problems: &mut Vec<Problem>) -> bool {
    match drawn.property(property).map(str::to_lowercase).as_deref() {
        Some("yes" | "true" | "y" | "1") => true,
        None | Some("no" | "false" | "n" | "0") => false,
        Some(other) => {
            let known = ["yes", "no"].map(str::to_owned).to_vec();
            let kind = Reading::WordUnknown { found: other.to_owned(), known, nearest: None };
            problems.push(drawn.problem(kind, property));
            false
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<Area>, Vec<&'static str>) {
        let mut problems = Vec::new();
        let layer = LayerFile::geojson("areas.geojson", text);
        let mut found = Vec::new();
        areas(&layer, Datum::Wgs84, &Mapping::default(), &mut found, &mut problems);
        (found, problems.iter().map(|problem| problem.kind.own_code()).collect())
    }

    fn layer(features: &[(&str, &str)]) -> String {
        let one = |(properties, geometry): &(&str, &str)| {
            format!(r#"{{"type":"Feature","properties":{properties},"geometry":{geometry}}}"#)
        };
        let features: Vec<String> = features.iter().map(one).collect();
        format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, features.join(","))
    }

    const SQUARE: &str =
        r#"{"type":"Polygon","coordinates":[[[148,-36],[148.01,-36],[148.01,-35.99],[148,-35.99]]]}"#;

    #[test]
    fn an_area_is_read_with_what_is_said_of_it() {
        let (areas, problems) =
            read(&layer(&[(r#"{"Area":" North face ","hectares":"98.5","frosty":true}"#, SQUARE)]));
        assert_eq!(problems, [""; 0]);
        assert_eq!(&*areas[0].id.0, "North face");
        assert_eq!(areas[0].stated_hectares, Some(98.5));
        assert!(areas[0].frosty);
    }

    #[test]
    fn a_property_of_another_name_is_mapped() {
        let mapping =
            Mapping { columns: [("BLOCK".to_owned(), "area".to_owned())].into(), ..Mapping::default() };
        let mut problems = Vec::new();
        let layer = LayerFile::geojson("a.geojson", &layer(&[(r#"{"block":7}"#, SQUARE)]));
        let mut found = Vec::new();
        areas(&layer, Datum::Wgs84, &mapping, &mut found, &mut problems);
        let areas = found;
        assert_eq!(&*areas[0].id.0, "7");
        assert!(problems.is_empty());
    }

    #[test]
    fn what_is_wrong_is_said_of_every_shape() {
        let swapped = r#"{"type":"Polygon","coordinates":[[[-36,148],[-36,148.01],[-35.99,148.01]]]}"#;
        let line = r#"{"type":"LineString","coordinates":[[148,-36],[148.1,-36]]}"#;
        let thin = r#"{"type":"Polygon","coordinates":[[[148,-36],[148.1,-36],[148,-36]]]}"#;
        let tie = r#"{"type":"Polygon","coordinates":[[[148,-36],[148.01,-35.99],[148.01,-36],[148,-35.99],[148,-36]]]}"#;
        let named = |name: &str| format!(r#"{{"area":"{name}"}}"#);
        let (a, b, c, d, e) = (named("A"), named("B"), named("C"), named("D"), named("a"));
        let (areas, problems) = read(&layer(&[
            (&a, SQUARE),
            (r#"{"aera":"x"}"#, SQUARE),
            (&b, swapped),
            (&c, line),
            (&d, thin),
            (&e, SQUARE),
            (r#"{"area":"F"}"#, tie),
            (r#"{"area":"G"}"#, "null"),
        ]));
        assert_eq!(areas.iter().map(|area| &*area.id.0).collect::<Vec<_>>(), ["A", "F"]);
        assert_eq!(
            problems,
            [
                "axes-swapped",
                "too-few-corners",
                "no-shape",
                "nameless-shape",
                "area-twice",
                "loops-unclear",
                "features-without-kind"
            ]
        );
    }

    #[test]
    fn the_nameless_are_numbered_and_parts_of_one_name_joined() {
        let next = r#"{"type":"Polygon","coordinates":[[[148.02,-36],[148.03,-36],[148.03,-35.99],[148.02,-35.99]]]}"#;
        let (areas, problems) = read(&layer(&[("{}", SQUARE), ("{}", next)]));
        assert_eq!(areas.iter().map(|area| &*area.id.0).collect::<Vec<_>>(), ["1", "2"]);
        assert_eq!(problems, ["names-given"]);
        let named = r#"{"area":"A"}"#;
        let (areas, problems) = read(&layer(&[(named, SQUARE), (named, next)]));
        assert_eq!((areas.len(), areas[0].boundary.0.len()), (1, 2));
        assert_eq!(problems, ["parts-joined"]);
        let (areas, problems) = read(&layer(&[(r#"{"Block":"Top"}"#, SQUARE), (r#"{"Block":"Low"}"#, next)]));
        assert_eq!(areas.iter().map(|area| &*area.id.0).collect::<Vec<_>>(), ["Top", "Low"]);
        assert_eq!(problems, ["named-by"]);
    }

    #[test]
    fn another_reference_system_is_read_where_it_is_known_and_nonsense_is_not() {
        let text = |code: u16, shape: &str| {
            let crs = format!(
                r#"{{"crs":{{"type":"name","properties":{{"name":"urn:ogc:def:crs:EPSG::{code}"}}}},"#
            );
            layer(&[(r#"{"area":"A"}"#, shape)]).replacen('{', &crs, 1)
        };
        assert_eq!(read(&text(27200, SQUARE)).1, ["crs-not-read"]);
        let metres =
            r#"{"type":"Polygon","coordinates":[[[590000,6015000],[591000,6015000],[591000,6016000]]]}"#;
        let (areas, problems) = read(&text(7855, metres));
        assert_eq!(problems, [""; 0]);
        assert!((crate::geometry::area(&areas[0].boundary).0 - 500_000.0).abs() < 500.0);
        assert_eq!(read(&text(4283, SQUARE)).1, ["datum-taken"]);
        assert_eq!(read("{").1, ["malformed"]);
        assert_eq!(read(r#"{"type":"FeatureCollection","features":[]}"#).1, ["layer-empty"]);
    }
}
