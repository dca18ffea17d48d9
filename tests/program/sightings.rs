//! The place of a sensitive sighting stays in the folder.

use std::{fs, io::Read as _, path::Path};

use hillfolio::intake::{self, Folder, Intake};

use crate::commands::{copy, hillfolio};

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

fn holds(bytes: &[u8], word: &str) -> bool {
    bytes.windows(word.len()).any(|window| window == word.as_bytes())
}

#[test]
fn no_byte_of_a_sensitive_place_leaves_the_folder() {
    let folder = folder();
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
    for (name, bytes) in &found {
        for secret in SECRETS {
            // The heading of an own column tells no place.
            assert!(secret == "nest tree" || !holds(bytes, secret), "{name} holds `{secret}`");
        }
    }
    assert!(
        found.iter().any(|(name, bytes)| name.ends_with("sightings.geojson") && holds(bytes, "lyrebird"))
    );
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
