//! The shape of the program, checked: which room may use which, and who may touch the world.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at once")]
use std::{fs, path::Path};

use hillfolio_core::ledger::{Series, catalogue};

/// A crate and, for each of its rooms, the rooms it may name. Data flows down this list; nothing points back up.
type Rooms = &'static [(&'static str, &'static [&'static str])];

const CRATES: &[(&str, Rooms)] = &[
    (
        "core",
        &[
            ("units", &[]),
            ("source", &["units"]),
            ("problem", &["units", "source"]),
            ("geometry", &["units"]),
            ("terrain", &["units", "geometry"]),
            ("project", &["units", "source", "geometry", "terrain"]),
            ("sharing", &["units", "source", "geometry", "project"]),
            ("intake", &["units", "source", "problem", "geometry", "project", "terrain", "sharing"]),
            ("estimate", &["units", "source", "geometry", "project", "terrain", "sharing"]),
            ("plan", &["units", "source", "geometry", "project", "terrain", "estimate"]),
            ("ledger", &["units", "source", "problem", "terrain", "project", "estimate", "plan"]),
        ],
    ),
    (
        "documents",
        &[
            ("draw", &["units", "geometry", "terrain", "project", "plan", "ledger"]),
            ("typeset", &["units", "source", "problem", "project", "estimate", "plan", "ledger", "draw"]),
            ("exports", &["units", "source", "geometry", "problem", "project", "plan", "ledger"]),
            ("forms", &["units", "problem", "project", "ledger", "draw", "typeset"]),
            ("pack", &["source", "problem", "project"]),
            ("thumbnails", &["source", "intake", "draw", "pack"]),
        ],
    ),
    (
        "program",
        &[
            ("audit", &["source", "problem", "ledger", "pack"]),
            ("portfolio", &["@core", "@documents", "audit"]),
            ("cli", &[]),
            ("console", &["units", "problem", "ledger", "pack", "audit", "portfolio"]),
            ("commands", &["@core", "@documents", "audit", "portfolio", "cli", "console"]),
            ("lib", &["commands"]),
            ("main", &["cli", "commands"]),
        ],
    ),
];

/// Words that reach outside the program, or to a crate that only one room has a use for, and the rooms that may say them.
const REACHES_OUT: &[(&str, &[&str])] = &[
    ("std::fs", &["intake", "pack"]),
    ("fs::", &["intake", "pack"]),
    ("process::", &["main", "portfolio"]),
    ("std::env", &[]),
    ("env::current_exe", &["commands"]),
    ("std::net", &[]),
    ("SystemTime", &[]),
    // The run log says how long each project took; no document does.
    ("Instant::now", &["portfolio"]),
    ("HashMap", &[]),
    ("HashSet", &[]),
    ("csv::", &["intake", "ledger", "exports", "portfolio"]),
    ("tiff::", &["intake"]),
    ("exif::", &["intake"]),
    ("quick_xml::", &["intake", "forms"]),
    ("geojson::", &["intake", "exports", "portfolio"]),
    ("shapefile::", &["intake", "exports"]),
    ("zip::", &["intake", "exports", "forms", "pack"]),
    ("image::", &["intake", "draw", "typeset"]),
    ("resvg::", &["typeset"]),
    ("parquet::", &["exports", "portfolio"]),
    ("rust_xlsxwriter::", &["exports"]),
    ("tempfile::", &["intake", "pack"]),
    ("rustix::", &["intake", "pack"]),
    ("sysinfo::", &["portfolio"]),
    ("dirs::", &["commands"]),
    ("typst::", &["typeset"]),
    ("typst_", &["typeset"]),
    ("plotters::", &["draw"]),
    ("plotters_backend::", &["draw"]),
    ("clap::", &["cli", "main"]),
    ("indicatif::", &["console"]),
];

fn rooms() -> impl Iterator<Item = &'static (&'static str, &'static [&'static str])> {
    CRATES.iter().flat_map(|(_, rooms)| rooms.iter())
}

/// Whether `allowed` holds `room`, by its name or by that of its crate after an `@`.
fn holds(allowed: &[&str], room: &str) -> bool {
    let of_crate = |name: &str| {
        CRATES.iter().any(|(own, rooms)| *own == name && rooms.iter().any(|(known, _)| *known == room))
    };
    allowed.iter().any(|word| word.strip_prefix('@').map_or(*word == room, of_crate))
}

#[test]
fn every_room_looks_only_up_the_list() {
    for (room, file, text) in sources() {
        // The list of what a crate holds names its own rooms and no others.
        if room == "lib" && !file.starts_with("program") {
            assert!(named(&text).is_empty(), "{file}: only names rooms");
            continue;
        }
        let Some((_, allowed)) = rooms().find(|(name, _)| *name == room) else {
            panic!("{file}: no room is called `{room}`");
        };
        for path in named(&text).iter().filter(|path| rooms().any(|(name, _)| name == path)) {
            assert!(*path == room || holds(allowed, path), "{file}: `{room}` may not use `{path}`");
        }
        let parent = text.replace("super::*", "").replace("pub(super)", "");
        assert!(!parent.contains("super::"), "{file}: write `crate::` so this test can see it");
    }
}

#[test]
fn only_the_ends_touch_the_world_and_no_file_is_long() {
    for (room, file, text) in sources() {
        // A test may lay files out for itself.
        let code = text.split("\n#[cfg(test)]\nmod ").next().unwrap();
        let code: String = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        for (word, rooms) in REACHES_OUT {
            assert!(!says(&code, word) || rooms.contains(&room.as_str()), "{file}: `{word}`");
        }
        assert!(text.lines().count() <= 500, "{file}: over 500 lines, split it by idea");
    }
}

#[test]
fn the_room_table_of_the_developers_page_is_this_one() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    for (room, allowed) in rooms() {
        let words = allowed.iter().map(|word| match word.strip_prefix('@') {
            Some("program") => "everything".to_owned(),
            Some(own) => format!("all of `{own}`"),
            None => (*word).to_owned(),
        });
        let uses: Vec<String> =
            if allowed.contains(&"@program") { vec!["everything".to_owned()] } else { words.collect() };
        let uses = if uses.is_empty() { "–".to_owned() } else { uses.join(", ") };
        let row = page.lines().find(|line| line.starts_with(&format!("| `{room}` |")));
        let row = row.unwrap_or_else(|| panic!("DEVELOPERS.md has no row for `{room}`"));
        assert!(row.ends_with(&format!("| {uses} |")), "DEVELOPERS.md says {row}; the test says {uses}");
    }
}

/// Whether `code` holds `word` as a word of its own: `unzip::` is not `zip::`.
fn says(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, _)| {
        !code[..at]
            .chars()
            .next_back()
            .is_some_and(|before| before.is_alphanumeric() || before == '_' || before == ':')
    })
}

/// Rooms named after `crate::` or the name of one of the crates, those inside a braced group included.
fn named(text: &str) -> Vec<String> {
    ["crate::", "hillfolio_core::", "hillfolio_documents::", "hillfolio::"]
        .iter()
        .flat_map(|from| named_after(text, from))
        .collect()
}

fn named_after(text: &str, from: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for after in text.split(from).skip(1) {
        let Some(group) = after.strip_prefix('{') else {
            rooms.push(first_word(after));
            continue;
        };
        let (mut depth, mut start) = (0, true);
        for (at, letter) in group.char_indices() {
            match letter {
                '}' if depth == 0 => break,
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 0 => start = true,
                letter if start && letter.is_alphabetic() => {
                    rooms.push(first_word(&group[at..]));
                    start = false;
                }
                _ => {}
            }
        }
    }
    rooms
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

/// (room, file, text) of everything under src; `documents/draw/map.rs` and `documents/draw.rs` are both room `draw`.
fn sources() -> Vec<(String, String, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut folders, mut found) = (vec![src.clone()], vec![]);
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            if path.extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let file = path.strip_prefix(&src).unwrap().to_str().unwrap().replace('\\', "/");
            let room = file.split(['/', '.']).nth(1).unwrap().to_owned();
            found.push((room, file, fs::read_to_string(&path).unwrap()));
        }
    }
    assert!(!found.is_empty());
    found
}

#[test]
fn no_figure_is_asked_for_by_a_literal() {
    let stems = || catalogue::ALL.iter().map(|series| series.stem).filter(|stem| stem.contains('.'));
    for (_, file, text) in sources() {
        let code = text.split("\n#[cfg(test)]\nmod ").next().unwrap();
        let code: Vec<&str> = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        for literal in code.iter().flat_map(|line| line.split('"').skip(1).step_by(2)) {
            let id = Series::find(literal).is_some()
                || stems()
                    .any(|stem| literal.strip_prefix(stem).is_some_and(|rest| matches!(rest, "" | ".")));
            assert!(
                !id || file == "core/ledger/catalogue.rs",
                "{file}: \"{literal}\" is a figure of the catalogue"
            );
        }
    }
}
