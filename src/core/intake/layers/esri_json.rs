//! Feature sets in ESRI's JSON, as map services give them, written as GeoJSON; and TopoJSON, which is told.
//!
//! # Reference
//! ESRI, *ArcGIS REST API*, common data types, feature object and geometry objects (from memory): a polygon has `rings`, of which outer
//! ones run clockwise, a line `paths`, a set of points `points`, a point `x` and `y`.

use geo::LineString;
use geojson::GeometryValue;
use serde_json::{Map, Value, json};

use crate::intake::layers::rings;

/// The system of Web maps under the number that it had before it was given one.
const WEB_MERCATOR: (u64, u64) = (102_100, 3_857);

/// The features of `text` as GeoJSON, if it is ESRI's JSON.
pub(super) fn as_geojson(text: &str) -> Option<String> {
    let set: Value = serde_json::from_str(text).ok()?;
    let features = set.get("features")?.as_array()?;
    if set.get("type").is_some() || !features.iter().any(|feature| feature.get("attributes").is_some()) {
        return None;
    }
    let features: Vec<Value> = features
        .iter()
        .map(|feature| {
            let properties = feature.get("attributes").cloned().unwrap_or(Value::Object(Map::new()));
            let geometry = feature.get("geometry").and_then(geometry).unwrap_or(Value::Null);
            json!({ "type": "Feature", "properties": properties, "geometry": geometry })
        })
        .collect();
    let mut layer = json!({ "type": "FeatureCollection", "features": features });
    let reference = set.get("spatialReference");
    let of = |name: &str| reference.and_then(|reference| reference.get(name)?.as_u64());
    if let Some(code) = of("latestWkid").or_else(|| of("wkid")) {
        let code = if code == WEB_MERCATOR.0 { WEB_MERCATOR.1 } else { code };
        layer["crs"] =
            json!({ "type": "name", "properties": { "name": format!("urn:ogc:def:crs:EPSG::{code}") } });
    } else if let Some(words) = reference.and_then(|reference| reference.get("wkt")?.as_str()) {
        layer["crs"] = json!({ "type": "name", "properties": { "name": words } });
    }
    Some(layer.to_string())
}

/// Whether `text` is TopoJSON, whose shapes are put together of shared borders.
pub(super) fn is_topology(text: &str) -> bool {
    serde_json::from_str::<Value>(text)
        .is_ok_and(|value| value.get("type").is_some_and(|it| it == "Topology"))
}

fn geometry(geometry: &Value) -> Option<Value> {
    let of = |name: &str| geometry.get(name);
    if let Some(parts) = of("rings").and_then(Value::as_array) {
        let rings = parts.iter().map(line).collect::<Option<Vec<_>>>()?;
        let polygons = rings::polygons(rings);
        return serde_json::to_value(GeometryValue::from(&polygons)).ok();
    }
    if let Some(paths) = of("paths") {
        return Some(json!({ "type": "MultiLineString", "coordinates": paths }));
    }
    if let Some(points) = of("points") {
        return Some(json!({ "type": "MultiPoint", "coordinates": points }));
    }
    Some(json!({ "type": "Point", "coordinates": [of("x")?, of("y")?] }))
}

fn line(ring: &Value) -> Option<LineString<f64>> {
    let corner = |corner: &Value| Some((corner.get(0)?.as_f64()?, corner.get(1)?.as_f64()?));
    Some(ring.as_array()?.iter().map(corner).collect::<Option<Vec<_>>>()?.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rings_paths_and_points_are_geojson() {
        let text = r#"{"geometryType":"esriGeometryPolygon","spatialReference":{"wkid":102100,"latestWkid":3857},"features":[
            {"attributes":{"area":"North","n":1},"geometry":{"rings":[[[0,0],[0,9],[9,9],[9,0],[0,0]],[[2,2],[4,2],[4,4],[2,4],[2,2]]]}},
            {"attributes":{"name":"Fence"},"geometry":{"paths":[[[0,0],[1,1]]]}},{"attributes":{"name":"Gate"},"geometry":{"x":1,"y":2}},
            {"attributes":{"name":"Lost"}}]}"#;
        let layer: Value = serde_json::from_str(&as_geojson(text).unwrap()).unwrap();
        let kind = |at: usize| layer["features"][at]["geometry"]["type"].as_str().map(str::to_owned);
        assert_eq!(
            [0, 1, 2, 3].map(kind),
            [Some("MultiPolygon".into()), Some("MultiLineString".into()), Some("Point".into()), None]
        );
        assert_eq!(
            layer["features"][0]["geometry"]["coordinates"][0].as_array().unwrap().len(),
            2,
            "one ring and its hole"
        );
        assert!(layer["crs"].to_string().contains("EPSG::3857"), "{layer}");
        for other in ["{}", "[]", "x", r#"{"type":"FeatureCollection","features":[]}"#, r#"{"features":[1]}"#]
        {
            assert_eq!(as_geojson(other), None, "{other}");
        }
        assert!(is_topology(r#"{"type":"Topology","arcs":[]}"#) && !is_topology("{}"));
    }
}
