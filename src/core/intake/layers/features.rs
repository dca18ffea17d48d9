//! Fences, tracks, watercourses and whatever else stands on or beside the site.

use crate::{
    geometry::Datum,
    intake::{
        layers::{
            drawn::{Drawn, drawn},
            file::LayerFile,
        },
        mapping::Mapping,
        nearest,
    },
    problem::{Ground, Problem, Reading},
    project::{Feature, FeatureKind, Standing},
};

/// The property that says what a feature is.
const KIND: &str = "kind";

/// The features of `layer`, on `datum`. A layer without any is no problem.
pub(crate) fn features(
    layer: &LayerFile,
    datum: Datum,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Feature> {
    let drawn = drawn(layer, "name", datum, mapping, problems);
    drawn.iter().filter_map(|one| feature(one, problems)).collect()
}

fn feature(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<Feature> {
    let shape = drawn.shape().map_err(|kind| problems.push(drawn.problem(kind, "geometry"))).ok();
    let kind = kind(drawn, problems);
    let standing = standing(drawn, problems);
    Some(Feature {
        kind: kind?,
        standing,
        name: drawn.property("name").map(str::to_owned),
        shape: shape?,
        source: drawn.source.clone(),
    })
}

fn kind(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<FeatureKind> {
    let Some(found) = drawn.property(KIND) else {
        if let Some(kind) = by_words(drawn) {
            return Some(kind);
        }
        let nearest = drawn.likely(KIND);
        problems.push(drawn.problem(Ground::Nameless { property: KIND.to_owned(), nearest }, KIND));
        return None;
    };
    let wanted = words(found);
    let known = FeatureKind::ALL.into_iter().find(|kind| kind.words() == wanted);
    known.or_else(|| {
        let nearest = nearest::nearest(found, FeatureKind::ALL.map(FeatureKind::words));
        problems.push(drawn.problem(Ground::FeatureKindUnknown { found: found.to_owned(), nearest }, KIND));
        Some(FeatureKind::Other)
    })
}

fn words(text: &str) -> String {
    nearest::folded(text).replace(['_', '-'], " ")
}

/// The kind of a placemark, track or waypoint that has no other: the folder that it lies in, else how its name begins.
fn by_words(drawn: &Drawn) -> Option<FeatureKind> {
    let named = |text: &str| {
        let text = words(text);
        FeatureKind::ALL.into_iter().find(|kind| {
            let rest = text.strip_prefix(kind.words());
            rest.is_some_and(|rest| {
                rest.is_empty() || rest.starts_with("s ") || rest == "s" || rest.starts_with(' ')
            })
        })
    };
    let hints = ["folder", "name"].into_iter().filter(|_| drawn.walked);
    hints.filter_map(|hint| drawn.property(hint)).find_map(named)
}

fn standing(drawn: &Drawn, problems: &mut Vec<Problem>) -> Standing {
    let known = [Standing::Existing, Standing::New];
    let Some(found) = drawn.property("status") else { return Standing::Existing };
    let same = known.into_iter().find(|standing| nearest::same(standing.word(), found));
    same.unwrap_or_else(|| {
        let words = known.map(Standing::word);
        let kind = Reading::WordUnknown {
            found: found.to_owned(),
            known: words.map(str::to_owned).to_vec(),
            nearest: nearest::nearest(found, words),
        };
        problems.push(drawn.problem(kind, "status"));
        Standing::Existing
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Shape;

    #[test]
    fn features_are_read_by_kind_and_what_is_wrong_is_said() {
        let text = r#"{"type":"FeatureCollection","features":[
            {"type":"Feature","properties":{"kind":"Power_line","name":"11 kV"},"geometry":{"type":"LineString","coordinates":[[148,-36,800],[148.1,-36,810]]}},
            {"type":"Feature","properties":{"kind":"fense","status":"nwe"},"geometry":{"type":"LineString","coordinates":[[148,-36],[148.1,-36]]}},
            {"type":"Feature","properties":{"name":"?"},"geometry":{"type":"Point","coordinates":[148,-36]}},
            {"type":"Feature","properties":{"kind":"gate","status":"new"},"geometry":{"type":"Point","coordinates":[148,-96]}}]}"#;
        let mut problems = Vec::new();
        let layer = LayerFile::geojson("features.geojson", text);
        let features = features(&layer, Datum::Wgs84, &Mapping::default(), &mut problems);
        let codes: Vec<_> =
            problems.iter().map(|problem| (problem.place.row, problem.kind.own_code())).collect();
        assert_eq!(features.len(), 2);
        assert_eq!(features[0].kind, FeatureKind::PowerLine);
        assert!(matches!(features[0].shape, Shape::Lines(_)));
        let expected =
            [(2, "feature-kind-unknown"), (2, "word-unknown"), (3, "nameless-shape"), (4, "not-on-earth")];
        assert_eq!(codes, expected.map(|(row, code)| (Some(row), code)));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
            let layer = LayerFile::geojson("features.geojson", &text);
            features(&layer, Datum::Wgs84, &Mapping::default(), &mut Vec::new());
        }
    }
}
