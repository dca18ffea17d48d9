//! The shape of the program, checked: which room may use which, and who may touch the world.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop at once")]
use std::{fs, path::Path};

/// Each room and the rooms it may name. Data flows down this list; nothing points back up.
const MAY_USE: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("source", &["units"]),
    ("problem", &["units", "source"]),
    ("geometry", &["units"]),
    ("terrain", &["units", "geometry"]),
    ("project", &["units", "source", "geometry", "terrain"]),
    ("intake", &["units", "source", "problem", "geometry", "project", "terrain"]),
    ("estimate", &["units", "source", "geometry", "project", "terrain"]),
    ("plan", &["units", "source", "geometry", "project", "terrain", "estimate"]),
    ("ledger", &["units", "source", "problem", "terrain", "project", "estimate", "plan"]),
    ("draw", &["units", "geometry", "terrain", "project", "plan", "ledger"]),
    ("typeset", &["units", "source", "problem", "project", "estimate", "plan", "ledger", "draw"]),
    ("exports", &["units", "geometry", "problem", "project", "plan", "ledger"]),
    ("pack", &["source", "problem", "project"]),
    ("thumbnails", &["source", "intake", "draw", "pack"]),
    ("audit", &["source", "problem", "pack"]),
    (
        "making",
        &[
            "problem",
            "project",
            "intake",
            "plan",
            "ledger",
            "draw",
            "typeset",
            "exports",
            "pack",
            "thumbnails",
            "audit",
        ],
    ),
    (
        "portfolio",
        &[
            "units",
            "source",
            "problem",
            "geometry",
            "terrain",
            "project",
            "intake",
            "estimate",
            "plan",
            "ledger",
            "draw",
            "typeset",
            "exports",
            "pack",
            "thumbnails",
            "audit",
        ],
    ),
    ("cli", &[]),
    ("console", &["units", "problem", "ledger", "pack", "audit", "portfolio"]),
];

/// Words that reach outside the program, and the only rooms that may say them.
const REACHES_OUT: &[(&str, &[&str])] = &[
    ("std::fs", &["intake", "pack"]),
    ("fs::", &["intake", "pack"]),
    ("process::", &["main", "portfolio"]),
    ("std::env", &[]),
    ("env::current_exe", &["main"]),
    ("std::net", &[]),
    ("SystemTime", &[]),
    // The run log says how long each project took; no document does.
    ("Instant::now", &["portfolio"]),
    ("HashMap", &[]),
    ("HashSet", &[]),
    ("csv::", &["intake", "ledger", "exports", "portfolio"]),
    ("tiff::", &["intake"]),
    ("typst::", &["typeset"]),
    ("plotters::", &["draw"]),
    ("clap::", &["cli", "main"]),
    ("indicatif::", &["console"]),
];

#[test]
fn every_room_looks_only_up_the_list() {
    for (room, file, text) in sources() {
        if room == "main" || room == "lib" {
            continue;
        }
        let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == room) else {
            panic!("{file}: no room is called `{room}`");
        };
        for path in named(&text) {
            assert!(
                path == room || allowed.contains(&path.as_str()),
                "{file}: `{room}` may not use `{path}`"
            );
        }
        let parent = text.replace("super::*", "").replace("pub(super)", "");
        assert!(!parent.contains("super::"), "{file}: write `crate::` so this test can see it");
    }
}

#[test]
fn only_the_ends_touch_the_world_and_no_file_is_long() {
    for (room, file, text) in sources() {
        let code: String = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        for (word, rooms) in REACHES_OUT {
            assert!(!code.contains(word) || rooms.contains(&room.as_str()), "{file}: `{word}`");
        }
        assert!(text.lines().count() <= 500, "{file}: over 500 lines, split it by idea");
    }
}

#[test]
fn the_room_table_of_the_developers_page_is_this_one() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    for (room, allowed) in MAY_USE {
        let uses = if allowed.is_empty() { "–".to_owned() } else { allowed.join(", ") };
        let row = page.lines().find(|line| line.starts_with(&format!("| `{room}` |")));
        let row = row.unwrap_or_else(|| panic!("DEVELOPERS.md has no row for `{room}`"));
        assert!(row.ends_with(&format!("| {uses} |")), "DEVELOPERS.md says {row}; the test says {uses}");
    }
}

/// Rooms named after `crate::`, those inside a braced group included.
fn named(text: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for after in text.split("crate::").skip(1) {
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

/// (room, file, text) of everything under src; `draw/map.rs` and `draw.rs` are both room `draw`.
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
            let room = file.split(['/', '.']).next().unwrap().to_owned();
            found.push((room, file, fs::read_to_string(&path).unwrap()));
        }
    }
    assert!(!found.is_empty());
    found
}
