//! Fences, tracks, watercourses and whatever else stands on or beside the site.

use chrono::NaiveDate;
use geo::MultiLineString;

use crate::{
    geometry::Datum,
    intake::{
        layers::{
            closed::closed,
            drawn::{Drawn, drawn},
            file::LayerFile,
            stated,
            strays::listed,
            word_list::{Said, no_name, said},
        },
        mapping::{Mapping, Told},
        nearest,
    },
    problem::{Ground, Place, Problem, Reading, Settings},
    project::{Feature, FeatureKind, Shape, Standing},
};

/// The property that says what a feature is.
const KIND: &str = "kind";

/// The property that says when a new feature was made.
const MADE: &str = "made";

/// Properties whose words say what a feature is where no other does.
const ALSO_KINDS: [&str; 7] = ["type", "class", "category", "layer", "feature", "name", "label"];

/// The features of `layer`, on `datum`. A layer without any is no problem.
pub(crate) fn features(
    layer: &LayerFile,
    datum: Datum,
    mapping: &Mapping,
    problems: &mut Vec<Problem>,
) -> Vec<Feature> {
    let drawn = drawn(layer, "name", datum, mapping, problems);
    let mut shapes = Vec::with_capacity(drawn.len());
    for one in &drawn {
        match one.shape() {
            Ok(shape) => shapes.push((one, shape)),
            Err(kind) => {
                problems.push(one.problem(kind, "geometry"));
                // What else is wrong with it is said too.
                let _ = kind_said(one, problems);
            }
        }
    }
    told_of(shapes, layer.path.as_str(), mapping.told, problems)
}

/// Features made of `shapes` of the file at `path`; what was read by the word list, and what says nothing of itself, is told
/// once.
pub(super) fn told_of(
    shapes: Vec<(&Drawn, Shape)>,
    path: &str,
    told: Told,
    problems: &mut Vec<Problem>,
) -> Vec<Feature> {
    // A file of points and lines together bears the name of the place, and not of what each of them is.
    let of_one_kind = shapes
        .windows(2)
        .all(|pair| std::mem::discriminant(&pair[0].1) == std::mem::discriminant(&pair[1].1));
    let of_file = said(path.rsplit('/').next().unwrap_or(path).split('.').next().unwrap_or_default()).kind;
    let of_file = of_file.filter(|_| of_one_kind);
    let (mut features, mut by_words, mut nothing, mut planned) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for (one, shape) in shapes {
        let hints = Hints::of(one);
        let name = one.name().map(str::to_owned);
        let Ok(explicit) = kind_said(one, problems) else { continue };
        let standing = standing_said(one, problems).or(told.status);
        let made = made(one, problems);
        if let Shape::Polygons(polygons) = &shape {
            stated::differs(one, polygons, problems);
        }
        // No point is a gully, a creek, a fence or a track.
        let of_file = of_file.filter(|kind| {
            use FeatureKind::{Fence, Gully, PowerLine, Track, Watercourse};
            !matches!(shape, Shape::Points(_))
                || ![Fence, Gully, PowerLine, Track, Watercourse].contains(kind)
        });
        let kind = explicit.or(told.kind).or(hints.kind).or(of_file).or(hints.coverage);
        let called = || format!("`{}`", name.clone().unwrap_or_else(|| format!("shape {}", one.source.row)));
        let guessed = explicit.or(told.kind).is_none() && kind.is_some();
        let stood = standing.is_none() && hints.standing == Some(Standing::New);
        if guessed || stood {
            let new = if standing.or(hints.standing) == Some(Standing::New) { "new " } else { "" };
            by_words.push(format!("{} as {new}{}", called(), kind.unwrap_or(FeatureKind::Other).words()));
        }
        if kind.is_none() {
            nothing.push(called());
        }
        if hints.planned && standing.is_none() {
            planned.push(called());
        }
        features.push(Feature {
            kind: kind.unwrap_or(FeatureKind::Other),
            standing: standing.or(hints.standing).unwrap_or_default(),
            made,
            name,
            shape,
            source: one.source.clone(),
        });
    }
    let mut say = |kind: Ground| problems.push(Problem::new(kind, Place::file(path)));
    by_words.dedup();
    if !by_words.is_empty() {
        say(Ground::ReadByNames { features: by_words.len(), names: listed(&by_words) });
    }
    if !nothing.is_empty() {
        say(Ground::WithoutKind { features: nothing.len(), names: listed(&nothing) });
    }
    if !planned.is_empty() {
        say(Ground::OnlyPlanned { names: listed(&planned) });
    }
    features
}

/// The day on which it was made, by its property `made`; a time of day behind it is passed over.
fn made(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<NaiveDate> {
    let found = drawn.property(MADE)?;
    let day = found.get(..10).unwrap_or(found).parse().ok();
    if day.is_none() {
        let wanted = "the day on which it was made, such as 2025-03-01".to_owned();
        let kind = Settings::ValueUnreadable {
            key: MADE.to_owned(),
            found: found.to_owned(),
            wanted,
            nearest: None,
        };
        problems.push(drawn.problem(kind, MADE));
    }
    day
}

/// What a shape's words say of it.
#[derive(Debug, Default)]
pub(super) struct Hints {
    pub(super) kind: Option<FeatureKind>,
    /// Whether it says so in so many words.
    pub(super) said: bool,
    standing: Option<Standing>,
    planned: bool,
    /// What the table of an old coverage is called, which stands in the names of its columns.
    coverage: Option<FeatureKind>,
}

impl Hints {
    /// The hints of one shape.
    pub(super) fn of(drawn: &Drawn) -> Hints {
        let explicit = drawn.property(KIND).and_then(|found| known(found).or_else(|| said(found).kind));
        // What a program for drawing calls every line is no name, and says nothing.
        let own = |name: &str| drawn.property(name).filter(|text| name != "name" || !no_name(text)).map(said);
        // A folder is often called after a place: what it says of the kind gives way to the shape's own name, and must fit the shape.
        let around = |text: &str| {
            let found = said(text);
            Said { kind: found.kind.filter(|kind| fits(drawn, *kind)), ..found }
        };
        let named = |name: &str| drawn.property(name).filter(|text| !no_name(text));
        let document = drawn.name().filter(|_| named("name").is_none());
        let words: Vec<Said> = ALSO_KINDS
            .into_iter()
            .filter_map(own)
            .chain(named("folder").map(around))
            .chain(["note", KIND].into_iter().filter_map(own))
            .chain(document.map(around))
            .collect();
        let coverage = drawn.properties().find_map(|name| {
            let stem = name.strip_suffix("_id").or_else(|| name.strip_suffix('_'))?;
            said(stem).kind
        });
        Hints {
            kind: explicit.or_else(|| words.iter().find_map(|said| said.kind)),
            said: drawn.property(KIND).and_then(known).is_some(),
            standing: words.iter().find_map(|said| said.standing),
            planned: words.iter().any(|said| said.planned),
            coverage,
        }
    }
}

/// Whether the shape can be a thing of that kind, where only what stands around it says so: no point and nothing that encloses ground
/// is a line, and no line is a gate or a trough.
fn fits(drawn: &Drawn, kind: FeatureKind) -> bool {
    use FeatureKind::{
        BuriedService, Fence, Gate, GuideLine, Gully, PowerLine, Road, Track, WaterPoint, Watercourse,
    };
    let is_line =
        [Fence, Track, Road, Watercourse, Gully, PowerLine, BuriedService, GuideLine].contains(&kind);
    let is_point = [Gate, WaterPoint].contains(&kind);
    let Ok(parts) = drawn.parts() else { return true };
    let lines = MultiLineString(parts.lines);
    match (parts.polygons.is_empty(), lines.0.is_empty()) {
        (false, _) => !is_line && !is_point,
        (true, true) => !is_line,
        (true, false) => !(is_point || is_line && closed(&lines, "").is_ok()),
    }
}

/// The kind that is called `found` in so many words.
fn known(found: &str) -> Option<FeatureKind> {
    let wanted = nearest::folded(found).replace(['_', '-'], " ");
    FeatureKind::ALL.into_iter().find(|kind| kind.words() == wanted)
}

/// The kind that the shape gives itself, or nothing where it gives none.
///
/// # Errors
/// The property is most likely misspelt, which has been said.
fn kind_said(drawn: &Drawn, problems: &mut Vec<Problem>) -> Result<Option<FeatureKind>, ()> {
    let Some(found) = drawn.property(KIND) else {
        return match drawn.likely(KIND) {
            Some(nearest) => {
                let kind = Ground::Nameless { property: KIND.to_owned(), nearest: Some(nearest) };
                problems.push(drawn.problem(kind, KIND));
                Err(())
            }
            None => Ok(None),
        };
    };
    if let Some(kind) = known(found) {
        return Ok(Some(kind));
    }
    // What people walk a track for stands where the kind would: its name and folder say more.
    if Hints::of(drawn).kind.is_some() || drawn.walked {
        return Ok(None);
    }
    let nearest = nearest::nearest(found, FeatureKind::ALL.map(FeatureKind::words));
    problems.push(drawn.problem(Ground::FeatureKindUnknown { found: found.to_owned(), nearest }, KIND));
    Ok(Some(FeatureKind::Other))
}

/// Whether the shape says itself that it is new or was there.
fn standing_said(drawn: &Drawn, problems: &mut Vec<Problem>) -> Option<Standing> {
    let known = [Standing::Existing, Standing::New];
    let found = drawn.property("status")?;
    let same = known.into_iter().find(|standing| nearest::same(standing.word(), found));
    same.or_else(|| said(found).standing).or_else(|| {
        let words = known.map(Standing::word);
        let kind = Reading::WordUnknown {
            found: found.to_owned(),
            known: words.map(str::to_owned).to_vec(),
            nearest: nearest::nearest(found, words),
        };
        problems.push(drawn.problem(kind, "status"));
        None
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<Feature>, Vec<(Option<u32>, &'static str)>) {
        let mut problems = Vec::new();
        let layer = LayerFile::geojson("features.geojson", text);
        let features = features(&layer, Datum::Wgs84, &Mapping::default(), &mut problems);
        let codes = problems.iter().map(|problem| (problem.place.row, problem.kind.own_code())).collect();
        (features, codes)
    }

    #[test]
    fn features_are_read_by_kind_and_what_is_wrong_is_said() {
        let (features, codes) = read(
            r#"{"type":"FeatureCollection","features":[
            {"type":"Feature","properties":{"kind":"Power_line","name":"11 kV"},"geometry":{"type":"LineString","coordinates":[[148,-36,800],[148.1,-36,810]]}},
            {"type":"Feature","properties":{"kind":"fense","status":"nwe"},"geometry":{"type":"LineString","coordinates":[[148,-36],[148.1,-36]]}},
            {"type":"Feature","properties":{"knid":"gate"},"geometry":{"type":"Point","coordinates":[148,-36]}},
            {"type":"Feature","properties":{"kind":"gate","status":"new"},"geometry":{"type":"Point","coordinates":[148,-96]}}]}"#,
        );
        assert_eq!(features.len(), 2);
        assert_eq!(features[0].kind, FeatureKind::PowerLine);
        assert!(matches!(features[0].shape, Shape::Lines(_)));
        let mut expected =
            [(4, "not-on-earth"), (2, "feature-kind-unknown"), (2, "word-unknown"), (3, "nameless-shape")];
        expected.sort_unstable();
        let mut found: Vec<_> = codes.into_iter().map(|(row, code)| (row.unwrap(), code)).collect();
        found.sort_unstable();
        assert_eq!(found, expected);
    }

    #[test]
    fn names_that_people_give_say_kind_and_status_once() {
        let line = r#""geometry":{"type":"LineString","coordinates":[[148,-36],[148.1,-36]]}"#;
        let (features, codes) = read(&format!(
            r#"{{"type":"FeatureCollection","features":[
            {{"type":"Feature","properties":{{"name":"New fence"}},{line}}},
            {{"type":"Feature","properties":{{"name":"Creek"}},{line}}},
            {{"type":"Feature","properties":{{"kind":"fence","status":"existing","name":"New fence"}},{line}}},
            {{"type":"Feature","properties":{{"name":"Proposed gate"}},{line}}},
            {{"type":"Feature","properties":{{"name":"?"}},{line}}}]}}"#
        ));
        let found: Vec<_> = features.iter().map(|one| (one.kind, one.standing)).collect();
        let expected = [
            (FeatureKind::Fence, Standing::New),
            (FeatureKind::Watercourse, Standing::Existing),
            (FeatureKind::Fence, Standing::Existing),
            (FeatureKind::Gate, Standing::Existing),
            (FeatureKind::Other, Standing::Existing),
        ];
        assert_eq!(found, expected);
        assert_eq!(
            codes.iter().map(|(_, code)| *code).collect::<Vec<_>>(),
            ["features-by-name", "features-without-kind", "features-only-planned"]
        );
    }

    #[test]
    fn a_shapes_own_name_goes_before_its_folder() {
        let ring = "148,-36 148.01,-36 148.01,-35.99 148,-35.99 148,-36";
        let one = |name: &str, shape: &str, at: &str| {
            format!(
                "<Placemark><name>{name}</name><{shape}><coordinates>{at}</coordinates></{shape}></Placemark>"
            )
        };
        let text = format!(
            "<kml><Folder><name>Wallaby ck</name>{}{}{}{}{}{}</Folder></kml>",
            one("Home block", "LineString", ring),
            one("Gate 2", "Point", "148,-36"),
            one("P1", "Point", "148,-36"),
            one("top fence", "LineString", "148,-36 148.01,-36"),
            one("the wet one", "LineString", "148,-36 148.01,-36"),
            format_args!(
                "<Placemark><name>Low block</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{ring}</coordinates></LinearRing>\
                 </outerBoundaryIs></Polygon></Placemark>"
            ),
        );
        let layer = LayerFile {
            content: crate::intake::layers::file::Content::Kml(text),
            ..LayerFile::geojson("My places.kml", "")
        };
        let features = features(&layer, Datum::Wgs84, &Mapping::default(), &mut Vec::new());
        use FeatureKind::{Fence, Gate, Other, Watercourse};
        let kinds: Vec<_> = features.iter().map(|one| one.kind).collect();
        assert_eq!(kinds, [Other, Gate, Other, Fence, Watercourse, Other]);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
            let layer = LayerFile::geojson("features.geojson", &text);
            features(&layer, Datum::Wgs84, &Mapping::default(), &mut Vec::new());
        }
    }
}
