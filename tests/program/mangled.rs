//! Folders spoilt at random: whatever stands in a file, the program says what is wrong or works with it, and never falls over.

#![allow(clippy::print_stdout, reason = "a failing test shows which round it was")]

use std::{
    env, fs,
    io::{Cursor, Read as _},
    path::Path,
};

use crate::{broken::laid_out, commands::copy, layers::zipped, samples::make_samples::dice::Dice};

/// What finds its way into cells and settings.
const ODD: [&str; 24] = [
    "",
    " ",
    "NaN",
    "inf",
    "-1",
    "-0",
    "1e999",
    "1e-999",
    "0",
    "99999999999999999999",
    "0.1",
    "1,234,5",
    "2025-02-30",
    "9999-12-31",
    "0000-00-00",
    "31/12/2025",
    "\"",
    "\u{feff}",
    "\0",
    "🌲",
    "שלום",
    "../../etc/passwd",
    "null",
    "#panic()",
];

/// Rounds of spoiling for each sample; `ROUNDS=5000` looks harder.
const ROUNDS: u64 = 40;

#[test]
fn no_spoilt_folder_makes_it_fall_over() {
    let rounds = env::var("ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(ROUNDS);
    for sample in ["brindle-spur", "tussock-fold"] {
        let folder = tempfile::tempdir().unwrap();
        copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects").join(sample), folder.path());
        // Pictures take long to read, and are spoilt elsewhere.
        fs::remove_dir_all(folder.path().join("photos")).unwrap();
        let below = |folder: &Path| fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let mut files: Vec<_> = below(folder.path()).chain(below(&folder.path().join("narrative"))).collect();
        files.retain(|file| file.is_file());
        files.sort();
        for round in 0..rounds {
            let mut dice = Dice::new(&format!("{sample} {round}"));
            let file = dice.one(&files);
            let sound = fs::read(file).unwrap();
            fs::write(file, spoilt(&sound, &mut dice)).unwrap();
            // What was spoilt is told by the output of a failing test.
            println!("{sample}, round {round}: {}", file.display());
            if let Ok(intake) = hillfolio::check(folder.path()) {
                let filled = hillfolio_core::ledger::fill_but_plan(&intake.project);
                let _ = hillfolio_documents::draw::sheets(&intake.project, None, &filled);
            }
            fs::write(file, sound).unwrap();
        }
    }
}

#[test]
fn no_spoilt_picture_makes_it_fall_over() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().unwrap();
    copy(&root.join("tests/program/broken/base"), folder.path());
    // Held upright: its EXIF tells day, place and orientation.
    let sound = fs::read(root.join("sample-projects/brindle-spur/photos/P4/2026-05-12.jpg")).unwrap();
    for round in 0..ROUNDS {
        let mut dice = Dice::new(&format!("picture {round}"));
        let mut bytes = sound.clone();
        for _ in 0..dice.whole(1, 6) {
            // Whatever tells the sizes stands in the first bytes.
            let at = dice.whole(2, 700) as usize;
            bytes[at] = dice.whole(0, 255) as u8;
        }
        if dice.happens(0.3) {
            bytes.truncate(dice.whole(0, 2_000) as usize);
        }
        fs::write(folder.path().join("photos/P1/2026-05-12.jpg"), bytes).unwrap();
        println!("picture, round {round}");
        let _ = hillfolio::check(folder.path());
    }
}

/// Layers and workbooks, spoilt within their zips, so that what is spoilt is not found out by its checksum.
#[test]
fn no_spoilt_layer_or_workbook_makes_it_fall_over() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program");
    let rounds = env::var("ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(ROUNDS);
    for (case, file) in [
        ("shapefile-beside", "areas.shp"),
        ("shapefile-beside", "areas.dbf"),
        ("shapefile-beside", "areas.prj"),
        ("kml-that-is-a-kmz", "areas.kml"),
        ("kmz-that-is-a-kml", "areas.kmz"),
        ("track-with-a-pause", "areas.gpx"),
        ("workbook", "plantings.xlsx"),
        ("open-document", "plantings.ods"),
    ] {
        let folder = laid_out(&tests.join("tolerated").join(case));
        let path = folder.path().join(file);
        let sound = fs::read(&path).unwrap();
        for round in 0..rounds {
            let mut dice = Dice::new(&format!("{case} {file} {round}"));
            println!("{case}, {file}, round {round}");
            fs::write(&path, spoilt_within(&sound, &mut dice)).unwrap();
            let _ = hillfolio::check(folder.path());
        }
    }
}

/// The bytes with something done to them; to one part of them, if they are a zip.
fn spoilt_within(sound: &[u8], dice: &mut Dice) -> Vec<u8> {
    let Ok(mut zip) = zip::ZipArchive::new(Cursor::new(sound)) else { return spoilt(sound, dice) };
    if dice.happens(0.2) {
        return spoilt(sound, dice);
    }
    let one = dice.whole(0, zip.len() as u64 - 1) as usize;
    let mut parts = Vec::new();
    for at in 0..zip.len() {
        let mut part = zip.by_index(at).unwrap();
        let mut bytes = Vec::new();
        part.read_to_end(&mut bytes).unwrap();
        let bytes = if at == one { spoilt(&bytes, dice) } else { bytes };
        parts.push((part.name().unwrap().into_owned(), bytes));
    }
    let parts: Vec<(&str, &[u8])> = parts.iter().map(|(name, bytes)| (name.as_str(), &bytes[..])).collect();
    zipped(&parts)
}

/// The text with one to four things done to it.
fn spoilt(sound: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut text = sound.to_vec();
    for _ in 0..dice.whole(1, 4) {
        let at = |dice: &mut Dice, text: &[u8]| dice.whole(0, text.len() as u64) as usize;
        match dice.whole(0, 5) {
            0 => text.truncate(at(dice, &text)),
            1 => {
                let at = at(dice, &text);
                text.splice(at..at, dice.one(&ODD).bytes());
            }
            2 => {
                if let Some(byte) = text.len().checked_sub(1).map(|last| dice.whole(0, last as u64) as usize)
                {
                    text[byte] = dice.whole(0, 255) as u8;
                }
            }
            3 => swap_lines(&mut text, dice),
            _ => swap_cell(&mut text, dice),
        }
    }
    text
}

fn swap_lines(text: &mut Vec<u8>, dice: &mut Dice) {
    let mut lines: Vec<&[u8]> = text.split(|byte| *byte == b'\n').collect();
    let (one, other) =
        (dice.whole(0, lines.len() as u64 - 1) as usize, dice.whole(0, lines.len() as u64 - 1) as usize);
    lines.swap(one, other);
    *text = lines.join(&b'\n');
}

/// Puts something odd in the place of what stands between two marks.
fn swap_cell(text: &mut Vec<u8>, dice: &mut Dice) {
    let marks: Vec<usize> = (0..text.len()).filter(|at| b",;=[]{}:\n".contains(&text[*at])).collect();
    if marks.len() < 2 {
        return;
    }
    let mark = dice.whole(0, marks.len() as u64 - 2) as usize;
    text.splice(marks[mark] + 1..marks[mark + 1], dice.one(&ODD).bytes());
}
