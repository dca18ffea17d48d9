//! The words that people give fences, tracks and creeks on a phone, and what they mean here.
//!
//! A list of the project's own, of common words; whatever is read by it is told once.

use crate::project::{FeatureKind, Standing};

/// What a name says of its shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Said {
    pub(super) kind: Option<FeatureKind>,
    pub(super) standing: Option<Standing>,
    /// Whether it is to be made and is not there yet.
    pub(super) planned: bool,
}

/// Words of one kind; of a name that holds several the longest stands, and of two as long the later.
const KINDS: [(FeatureKind, &[&str]); 16] = [
    (
        FeatureKind::Property,
        &["property", "property boundary", "title boundary", "cadastre", "homestead boundary"],
    ),
    (FeatureKind::Fence, &["fence", "fencing", "fenceline", "fence line", "exclosure"]),
    (FeatureKind::Gate, &["gate", "gateway", "cattle grid"]),
    (
        FeatureKind::Track,
        &["track", "trail", "path", "firebreak", "fire break", "access", "access track", "fire trail"],
    ),
    (FeatureKind::Road, &["road", "rd", "highway", "street", "lane", "driveway"]),
    (
        FeatureKind::Watercourse,
        &[
            "creek",
            "ck",
            "stream",
            "river",
            "brook",
            "burn",
            "rivulet",
            "watercourse",
            "waterway",
            "drain",
            "ditch",
            "canal",
            "channel",
            "drainage line",
        ],
    ),
    (
        FeatureKind::Water,
        &[
            "dam",
            "farm dam",
            "pond",
            "lake",
            "wetland",
            "lagoon",
            "swamp",
            "billabong",
            "waterhole",
            "reservoir",
            "soak",
        ],
    ),
    (
        FeatureKind::WaterPoint,
        &[
            "tank",
            "water tank",
            "trough",
            "water trough",
            "water point",
            "bore",
            "well",
            "tap",
            "standpipe",
            "hydrant",
        ],
    ),
    (FeatureKind::Gully, &["gully", "gullies", "gully head", "washout", "headcut", "head cut"]),
    (FeatureKind::Slip, &["slip", "landslip", "land slip", "landslide", "slump"]),
    (
        FeatureKind::Exclusion,
        &[
            "exclusion",
            "exclusion zone",
            "no plant",
            "no planting",
            "do not plant",
            "dont plant",
            "keep out",
            "no go",
        ],
    ),
    (
        FeatureKind::Remnant,
        &[
            "remnant",
            "remnant bush",
            "bush",
            "native vegetation",
            "woodland",
            "forest",
            "remnant trees",
            "old growth",
        ],
    ),
    (
        FeatureKind::PowerLine,
        &["powerline", "power line", "power lines", "transmission line", "power pole", "overhead line"],
    ),
    (
        FeatureKind::BuriedService,
        &[
            "pipeline",
            "pipe",
            "water pipe",
            "poly pipe",
            "water main",
            "gas main",
            "cable",
            "buried service",
            "gas pipeline",
        ],
    ),
    (
        FeatureKind::Building,
        &["building", "house", "shed", "hut", "cottage", "barn", "woolshed", "homestead"],
    ),
    (FeatureKind::GuideLine, &["guide line", "guideline", "rip line", "ripline", "contour line", "contour"]),
];

/// Words that say that a shape came with the project, that it was there before, and that it is to be made.
const NEW: [&str; 3] = ["new", "newly", "built"];
const EXISTING: [&str; 4] = ["old", "existing", "current", "original"];
const PLANNED: [&str; 5] = ["proposed", "planned", "future", "to build", "to be built"];

/// Words for a piece of ground: what ends in one is an area, whatever stands before it.
const GROUNDS: [&str; 34] = [
    "paddock",
    "flat",
    "block",
    "field",
    "area",
    "site",
    "planting",
    "revegetation",
    "reveg",
    "face",
    "hill",
    "ridge",
    "spur",
    "slope",
    "terrace",
    "bend",
    "corner",
    "side",
    "zone",
    "patch",
    "corridor",
    "buffer",
    "plot",
    "meadow",
    "knoll",
    "knob",
    "saddle",
    "bank",
    "hollow",
    "valley",
    "end",
    "piece",
    "unit",
    "section",
];

/// Words behind which stands where a thing is.
const BEHIND: [&str; 24] = [
    "by", "at", "near", "along", "to", "of", "on", "from", "beside", "behind", "above", "below", "next",
    "opposite", "towards", "around", "round", "through", "across", "over", "under", "between", "for", "with",
];

/// Names that programs give where people gave none.
const NO_NAMES: [&str; 22] = [
    "path",
    "paths",
    "line",
    "lines",
    "polygon",
    "polygons",
    "track",
    "tracks",
    "route",
    "routes",
    "point",
    "points",
    "placemark",
    "placemarks",
    "waypoint",
    "waypoints",
    "untitled",
    "my places",
    "temporary places",
    "layer",
    "shape",
    "features",
];

/// Whether `name` is one that a program gave: a word such as `Untitled Path`, `Polygon 3` or `Tracks`.
pub(super) fn no_name(name: &str) -> bool {
    let words = words(name);
    let kept: Vec<&str> = words
        .iter()
        .map(String::as_str)
        .filter(|word| *word != "untitled" && !word.chars().all(|letter| letter.is_ascii_digit()))
        .collect();
    match kept[..] {
        [] => words.iter().any(|word| word == "untitled"),
        _ => NO_NAMES.contains(&kept.join(" ").as_str()),
    }
}

/// What `name` says.
pub(super) fn said(name: &str) -> Said {
    let words = words(name);
    // What stands behind "by", "along" and the like is where the thing is and not what it is.
    let head = words.iter().position(|word| BEHIND.contains(&word.as_str())).unwrap_or(words.len());
    let holds = |phrase: &str| place(&words[..head], phrase);
    let is_ground = is_ground(&words[..head]);
    let mut kinds: Vec<(usize, usize, FeatureKind)> = Vec::new();
    for (kind, phrases) in KINDS {
        for phrase in phrases {
            if let Some(at) = holds(phrase) {
                kinds.push((phrase.split(' ').count(), at, kind));
            }
        }
    }
    let any = |phrases: &[&str]| phrases.iter().any(|phrase| holds(phrase).is_some());
    let standing = match (any(&NEW), any(&EXISTING)) {
        (true, false) => Some(Standing::New),
        (false, true) => Some(Standing::Existing),
        _ => None,
    };
    kinds.retain(|_| !is_ground);
    let kind = kinds.into_iter().max_by_key(|(length, at, _)| (*length, *at)).map(|(_, _, kind)| kind);
    Said { kind, standing, planned: standing.is_none() && any(&PLANNED) }
}

/// Whether the last of the words that is no number and no single letter is one for a piece of ground: `Creek flat`, `Fence paddock 2`.
fn is_ground(words: &[String]) -> bool {
    let is_mark =
        |word: &str| word.chars().count() == 1 || word.chars().all(|letter| letter.is_ascii_digit());
    let last = words
        .iter()
        .rev()
        .find(|word| !is_mark(word) && ![&NEW[..], &EXISTING].concat().contains(&word.as_str()));
    last.is_some_and(|last| {
        GROUNDS.iter().any(|ground| last == ground || last.strip_suffix('s') == Some(*ground))
    })
}

/// The words of a name, in small letters, a plural's `s` left on.
fn words(name: &str) -> Vec<String> {
    let lower = name.to_lowercase();
    let parts = lower.split(|letter: char| !letter.is_alphanumeric() && letter != '\'');
    parts.map(|word| word.replace('\'', "")).filter(|word| !word.is_empty()).collect()
}

/// The last place in `words` where `phrase` stands, its last word in the singular or the plural.
fn place(words: &[String], phrase: &str) -> Option<usize> {
    let phrase: Vec<&str> = phrase.split(' ').collect();
    let fits = |part: &[String]| {
        part.iter().zip(&phrase).enumerate().all(|(at, (word, wanted))| {
            word == wanted || at + 1 == phrase.len() && word.strip_suffix('s') == Some(*wanted)
        })
    };
    words.windows(phrase.len()).rposition(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_what_people_mean_by_them() {
        use FeatureKind::{Fence, Gate, PowerLine, Road, Track, Water, WaterPoint, Watercourse};
        use Standing::{Existing, New};
        for (name, kind, standing) in [
            ("New fence", Some(Fence), Some(New)),
            ("fence - new", Some(Fence), Some(New)),
            ("Creek", Some(Watercourse), None),
            ("old track", Some(Track), Some(Existing)),
            ("Gate 2", Some(Gate), None),
            ("North_fence_line", Some(Fence), None),
            ("Dam gate", Some(Gate), None),
            ("Gate by the road", Some(Gate), None),
            ("Along the creek", None, None),
            ("Creek Road", Some(Road), None),
            ("power line (11 kV)", Some(PowerLine), None),
            ("House dam", Some(Water), None),
            ("Water trough", Some(WaterPoint), None),
            ("Fences", Some(Fence), None),
            ("Newton", None, None),
            ("Top paddock", None, None),
            ("Creek flat", None, None),
            ("Fence paddock 2", None, None),
            ("Dam paddocks B", None, None),
            ("Paddock fence", Some(Fence), None),
            ("Creek flat gate", Some(Gate), None),
            ("New creek planting", None, Some(New)),
            ("", None, None),
        ] {
            let found = said(name);
            assert_eq!((found.kind, found.standing), (kind, standing), "{name}");
        }
        assert!(said("Proposed fence").planned && !said("New fence").planned);
    }

    #[test]
    fn names_that_programs_give_are_none() {
        for name in ["Untitled Path", "Path", "Polygon 3", "untitled", "Tracks", "Untitled Placemark"] {
            assert!(no_name(name), "{name}");
        }
        for name in ["3", "New fence", "Old track", "Path to the gate", "A"] {
            assert!(!no_name(name), "{name}");
        }
    }
}
