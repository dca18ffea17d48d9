//! The place of a sensitive sighting stays in the folder.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    io::Read as _,
    path::Path,
};

use geo::Point;
use hillfolio_core::{
    geometry::Grid,
    intake::{self, Folder, Intake},
};

use crate::{
    commands::{copy, hillfolio},
    pdf::{Opened, opened},
};

/// What tells the place of the owl and of the frog: area, position, note, an own column, a title row.
const SECRETS: [&str; 8] =
    ["148.0123", "-36.0077", "hollow", "nest tree", "Gang-gang", "148.00155", "creek bend", "Owls of"];

const TABLE: &str = "Owls of the spur,,,,,,,\n\
    date,species,count,area,longitude,latitude,sensitive,note,nest tree\n\
    2025-09-14,Powerful owl,2,North,148.0123,-36.0077,yes,\"in the hollow, Gang-gang gully\",T19\n\
    2025-09-15,Superb lyrebird,1,North,148.0011,-35.9991,,by the gate,\n\
    2025-10-02,Powerful owl,1,,,,YES,,\n\
    2025-10-03,Barred frog,3,South,148.00155,-36.0011,yes,creek bend,\n";

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"), folder.path());
    fs::write(folder.path().join("sightings.csv"), TABLE).unwrap();
    folder
}

/// Every file below `folder`; of an archive what is in it, be it one within another.
fn contents(name: &str, bytes: Vec<u8>, found: &mut Vec<(String, Vec<u8>)>) {
    if !bytes.starts_with(b"PK") {
        found.push((name.to_owned(), bytes));
        return;
    }
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    for at in 0..archive.len() {
        let mut file = archive.by_index(at).unwrap();
        let mut inside = Vec::new();
        file.read_to_end(&mut inside).unwrap();
        let inner = format!("{name}/{}", file.name().unwrap());
        contents(&inner, inside, found);
    }
}

fn holds(bytes: &[u8], word: &[u8]) -> bool {
    memchr::memmem::find(bytes, word).is_some()
}

/// The places of the owl and of the frog, longitude and latitude.
const PLACES: [(f64, f64); 2] = [(148.0123, -36.0077), (148.00155, -36.0011)];

/// A place as it could be written: degrees, degrees and minutes, degrees with minutes and seconds, metres of the grid and of the
/// planes that layers and maps use.
fn notations() -> Vec<String> {
    let grid = Grid::of_epsg(7855).unwrap();
    let mut written = Vec::new();
    for (longitude, latitude) in PLACES {
        for degrees in [longitude, latitude] {
            let (whole, part) = (degrees.abs().floor(), degrees.abs().fract());
            let minutes = part * 60.0;
            let seconds = minutes.fract() * 60.0;
            written.push(format!("{:.4}", degrees.abs()));
            // Minutes and seconds alone would be found in many a number: the degrees stand before them.
            for (degree, minute) in [("°", "′"), ("°", "'"), (" ", " "), (":", ":")] {
                written.push(format!("{whole:.0}{degree}{:.2}", minutes));
                for seconds in [format!("{seconds:.0}"), format!("{seconds:.1}"), format!("{seconds:04.1}")] {
                    written.push(format!("{whole:.0}{degree}{:.0}{minute}{seconds}", minutes.floor()));
                    written.push(format!("{whole:.0}{degree}{:02.0}{minute}{seconds}", minutes.floor()));
                    written.push(format!("{whole:.0}{degree} {:02.0}{minute} {seconds}", minutes.floor()));
                }
            }
        }
        let (easting, northing) = grid.to_grid(Point::new(longitude, latitude)).unwrap();
        for metres in [easting, northing] {
            let digits = format!("{metres:.0}");
            let (thousands, rest) = digits.split_at(digits.len() - 3);
            for space in ["", " ", ",", "\u{a0}", "\u{202f}", "\u{2009}"] {
                written.push(format!("{thousands}{space}{rest}"));
            }
        }
    }
    written
}

/// The ways in which `word` could stand in a file: as it is, in both orders of two bytes a letter, and those in hexadecimal.
fn encoded(word: &str) -> Vec<Vec<u8>> {
    let big: Vec<u8> = word.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let little: Vec<u8> = word.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let hex = |bytes: &[u8]| bytes.iter().map(|byte| format!("{byte:02X}")).collect::<String>().into_bytes();
    vec![word.as_bytes().to_vec(), hex(word.as_bytes()), hex(&big), big, little]
}

#[test]
fn no_byte_of_a_sensitive_place_leaves_the_folder() {
    let folder = folder();
    let settings = folder.path().join("project.toml");
    let written = fs::read_to_string(&settings).unwrap();
    // An offset report too, which lists and maps wildlife.
    fs::write(&settings, written + "\n[approval]\nauthority = \"The authority\"\n").unwrap();
    let build = hillfolio().args(["build".as_ref(), folder.path().as_os_str()]).output().unwrap();
    assert!(build.status.success(), "{}", String::from_utf8_lossy(&build.stdout));
    let mut found = Vec::new();
    let mut folders = vec![folder.path().join("out")];
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() {
                true => folders.push(path),
                false => contents(path.to_str().unwrap(), fs::read(&path).unwrap(), &mut found),
            }
        }
    }
    let packed =
        found.iter().find(|(name, _)| name.ends_with("inputs/sightings.csv")).expect("a copy in the pack");
    let text = String::from_utf8(packed.1.clone()).unwrap();
    assert!(text.contains("2025-09-14,Powerful owl,2,,,,yes,,\n") && text.contains("by the gate"), "{text}");
    assert_eq!(text.lines().count(), TABLE.lines().count(), "rows keep their numbers");

    let mut drawn = BTreeMap::new();
    let mut laid_open = Vec::new();
    for (name, bytes) in &found {
        if bytes.starts_with(b"%PDF") {
            let Opened { streams, words } = opened(bytes);
            assert!(streams.len() > 3, "{name} could not be laid open");
            laid_open.extend(streams.into_iter().map(|stream| (format!("{name}, a stream"), stream)));
            drawn.insert(name.clone(), words);
        }
    }
    found.extend(laid_open);
    // The pack holds most files a second time.
    let mut seen = BTreeSet::new();
    found.retain(|(_, bytes)| seen.insert(bytes.clone()));

    // An own column's heading tells no place.
    let secrets = || SECRETS.iter().copied().filter(|&secret| secret != "nest tree").map(str::to_owned);
    let wanted: Vec<String> = secrets().chain(notations()).collect();
    for word in &wanted {
        let ways = encoded(word);
        for (name, bytes) in &found {
            assert!(!ways.iter().any(|way| holds(bytes, way)), "{name} holds `{word}`");
        }
        let bare: String = word.chars().filter(|letter| !letter.is_whitespace()).collect();
        for (name, words) in &drawn {
            assert!(!words.iter().any(|words| words.contains(&bare)), "{name} shows `{word}`");
        }
    }
    for degrees in PLACES.iter().flat_map(|&(longitude, latitude)| [longitude, latitude]) {
        for (name, bytes) in &found {
            let binary = holds(bytes, &degrees.to_le_bytes()) || holds(bytes, &degrees.to_be_bytes());
            assert!(!binary, "{name} holds {degrees} as a binary number");
        }
    }

    // The same search finds what is not withheld, so it would find a leak.
    let shows = |file: &str, word: &str| {
        let mut of_file = drawn.iter().filter(|(name, _)| name.ends_with(file));
        of_file.any(|(_, words)| words.iter().any(|words| words.contains(word)))
    };
    assert!(shows("offset.pdf", "Superblyrebird") && shows("offset.pdf", "bythegate"));
    assert!(shows("offset.pdf", "Powerfulowl") && shows("offset.pdf", "withheld"));
    assert!(shows("wildlife-map.pdf", "1Superblyrebird") && !shows("wildlife-map.pdf", "owl"));
    let place = found.iter().find(|(name, _)| name.ends_with("sightings.geojson")).expect("a layer");
    assert!(holds(&place.1, b"lyrebird") && holds(&place.1, b"148.0011"));
    let points = found.iter().find(|(name, _)| name.ends_with("sightings.shp")).expect("a shapefile");
    assert!(holds(&points.1, &148.0011_f64.to_le_bytes()));
}

/// Documents, maps and whatever is made later can't give away what the project does not hold.
#[test]
fn the_project_itself_does_not_know_the_place() {
    let folder = folder();
    let read = |dir: &Path| intake::read(&Folder::open(dir).unwrap(), &|_| true).unwrap();
    let Intake { project, problems, withheld } = read(folder.path());
    let (project_words, problem_words) = (format!("{project:?}"), format!("{problems:?}"));
    for secret in SECRETS {
        assert!(!project_words.contains(secret), "the project holds `{secret}`");
        assert!(
            secret == "nest tree" || secret == "Owls of" || !problem_words.contains(secret),
            "a message holds `{secret}`"
        );
    }
    let seen: Vec<(&str, bool, bool)> = project
        .sightings
        .iter()
        .map(|sighting| (&*sighting.species, sighting.sensitive, sighting.position.is_some()))
        .collect();
    let expected = [
        ("Powerful owl", true, false),
        ("Superb lyrebird", false, true),
        ("Powerful owl", true, false),
        ("Barred frog", true, false),
    ];
    assert_eq!(seen, expected);
    // What the pack holds gives the same project again.
    fs::write(folder.path().join("sightings.csv"), &withheld["sightings.csv"]).unwrap();
    let again = read(folder.path());
    assert_eq!(again.project, project);
    assert!(again.withheld["sightings.csv"] == withheld["sightings.csv"]);
}
