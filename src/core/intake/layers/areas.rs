//! Planting areas: one polygon or several under one id.

use geo::MultiPolygon;

use crate::{
    geometry::{self, Datum},
    intake::{
        layers::{
            closed::closed,
            drawn::{Drawn, drawn},
            file::LayerFile,
        },
        limits,
        mapping::Mapping,
        nearest,
    },
    problem::{Grade, Ground, Place, Problem, Reading},
    project::{Area, AreaId, Shape, slug},
    source::Row,
};

/// The property that names an area.
const NAME: &str = "area";

/// The planting areas of `layer`, on `datum`.
pub(crate) fn areas(
    layer: &LayerFile,
    datum: Datum,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Area> {
    let before = problems.len();
    let mut drawn = drawn(layer, NAME, datum, mapping, problems);
    let faulty = problems[before..].iter().any(|problem| problem.grade() == Grade::Error);
    if drawn.is_empty() && !faulty {
        problems.push(Problem::new(Ground::LayerEmpty, Place::file(layer.path.as_str())));
    }
    leave_out_waypoints(&mut drawn, problems);
    if drawn.len() > limits::AREAS {
        let kind = Ground::TooManyShapes { shapes: drawn.len(), limit: limits::AREAS };
        problems.push(Problem::new(kind, Place::file(layer.path.as_str())));
        return Vec::new();
    }
    let mut areas: Vec<Area> = Vec::with_capacity(drawn.len());
    for one in &drawn {
        let Some(area) = area(one, problems) else { continue };
        match areas.iter().find(|known| nearest::same(&known.id.0, &area.id.0)) {
            Some(known) => {
                let kind = Ground::AreaTwice { id: area.id.to_string(), first: known.source.row };
                problems.push(one.problem(kind, NAME));
            }
            None => {
                problems.extend(ill_named(&area.id, &areas).map(|kind| one.problem(kind, NAME)));
                areas.push(area);
            }
        }
    }
    areas
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

fn area(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<Area> {
    let Some(id) = drawn.property(NAME) else {
        let nearest = drawn.likely(NAME);
        problems.push(drawn.problem(Ground::Nameless { property: NAME.to_owned(), nearest }, NAME));
        return None;
    };
    let polygons = match polygons(drawn, id, problems) {
        Ok(polygons) => polygons,
        Err(kind) => {
            problems.push(drawn.problem(turned(kind, id), "geometry"));
            return None;
        }
    };
    let Some(cleaned) = geometry::clean(&polygons) else {
        problems.push(drawn.problem(Ground::NoShape, "geometry"));
        return None;
    };
    if let Some(hectares) = cleaned.repaired {
        let kind = Ground::CrossesItself { id: id.to_owned(), hectares: hectares.0 };
        problems.push(drawn.problem(kind, "geometry"));
    }
    Some(Area {
        id: AreaId(id.into()),
        boundary: cleaned.shape,
        stated_hectares: stated_hectares(drawn, problems),
        frosty: marked(drawn, "frosty", problems),
        dry: marked(drawn, "dry", problems),
        waterlogged: marked(drawn, "waterlogged", problems),
        note: drawn.property("note").map(str::to_owned),
        source: drawn.source.clone(),
    })
}

/// The polygons of an area: drawn as such, or walked round.
fn polygons(drawn: &Drawn, id: &str, problems: &mut Vec<Problem>) -> Result<MultiPolygon<f64>, Ground> {
    match drawn.shape()? {
        Shape::Polygons(polygons) => Ok(polygons),
        Shape::Lines(lines) if drawn.walked => {
            let (polygons, doubt) = closed(&lines, id)?;
            problems.extend(doubt.map(|doubt| drawn.problem(doubt, "geometry")));
            Ok(polygons)
        }
        _ => Err(Ground::WrongShape { found: drawn.type_name().to_owned(), wanted: "a polygon" }),
    }
}

/// Telephones keep waypoints beside the tracks: where an area was walked round, points are no areas.
fn leave_out_waypoints(drawn: &mut Vec<Drawn>, problems: &mut Vec<Problem>) {
    let is_point = |one: &Drawn| one.walked && matches!(one.shape(), Ok(Shape::Points(_)));
    if drawn.iter().all(is_point) {
        return;
    }
    let points: Vec<Row> = drawn.iter().filter(|one| is_point(one)).map(|one| one.source.clone()).collect();
    drawn.retain(|one| !is_point(one));
    if let Some(first) = points.first() {
        let kind = Ground::PointsLeftOut { points: points.len() };
        problems.push(Problem::new(kind, Place::row(first)));
    }
}

/// A latitude beyond the poles is a longitude, if the other number can be a latitude.
fn turned(kind: Ground, id: &str) -> Ground {
    match &kind {
        Ground::NotOnEarth { longitude, latitude } => {
            let within =
                |text: &str, limit: f64| text.parse::<f64>().is_ok_and(|degrees| degrees.abs() <= limit);
            match within(longitude, 90.0) && within(latitude, 180.0) && !within(latitude, 90.0) {
                true => Ground::AxesSwapped { id: id.to_owned() },
                false => kind,
            }
        }
        _ => kind,
    }
}

fn stated_hectares(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<f64> {
    let (name, text) = ["stated_hectares", "hectares", "area_ha"]
        .into_iter()
        .find_map(|name| Some((name, drawn.property(name)?)))?;
    let number = text.parse::<f64>().ok().filter(|hectares| hectares.is_finite() && *hectares >= 0.0);
    if number.is_none() {
        let kind =
            Reading::CellUnreadable { found: text.to_owned(), wanted: "a number of hectares, such as 3.25" };
        problems.push(drawn.problem(kind, name));
    }
    number
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
        let areas = areas(&layer, Datum::Wgs84, &Mapping::default(), &mut problems);
        (areas, problems.iter().map(|problem| problem.kind.own_code()).collect())
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
        let areas = areas(&layer, Datum::Wgs84, &mapping, &mut problems);
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
        assert_eq!(areas.len(), 2);
        assert_eq!(
            problems,
            [
                "nameless-shape",
                "axes-swapped",
                "wrong-shape",
                "too-few-corners",
                "area-twice",
                "crosses-itself",
                "no-shape"
            ]
        );
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
