//! Photo points and photos, three of them out of place.

use super::super::{
    album::{self, Point},
    hill::Hill,
    scene::Moment,
};

pub(super) fn files(hill: &Hill) -> Vec<(String, Vec<u8>)> {
    let points = points();
    let pictured = &points[..points.len() - 1];
    let moments = moments();
    let mut files = album::photos(hill, pictured, &moments);
    // The clock of the second telephone had never been set.
    let misdated = album::photo(hill, &points[1], &moments[3], "2025-06-30");
    replace(&mut files, "photos/T2/2025-11-20.jpg", misdated);
    // One picture was taken from the wrong side of the basin.
    let elsewhere = Point { stands: (330.0, 40.0), ..points[3] };
    replace(
        &mut files,
        "photos/T4/2024-11-19.jpg",
        album::photo(hill, &elsewhere, &moments[2], "2024-11-19"),
    );
    files.push(("photopoints.csv".to_owned(), album::table(hill, &points).csv()));
    files
}

fn replace(files: &mut [(String, Vec<u8>)], path: &str, bytes: Vec<u8>) {
    files.iter_mut().find(|file| file.0 == path).unwrap().1 = bytes;
}

fn moments() -> [Moment<'static>; 4] {
    [
        ("2023-05-30", -1.0, 0.60, false),
        ("2023-11-28", 0.05, 0.95, true),
        ("2024-11-19", 0.35, 0.80, true),
        ("2025-11-20", 0.80, 0.90, true),
    ]
    .map(|(day, growth, green, fenced)| Moment { day, growth, green, fenced })
}

fn points() -> [Point; 7] {
    [
        ("T1", (-20.0, -30.0), (130.0, 60.0), "Woolshed Face", "Woolshed Face from the drive", false),
        (
            "T2",
            (270.0, -20.0),
            (150.0, 60.0),
            "Woolshed Face",
            "Back along the face; the slip in the middle",
            false,
        ),
        ("T3", (440.0, -30.0), (366.0, 70.0), "Totara Gully", "Up the gully to the old tōtara", true),
        ("T4", (50.0, 180.0), (200.0, 270.0), "Basin", "Into the basin, rock knob behind", false),
        ("T5", (460.0, 50.0), (580.0, -10.0), "Kahikatea Flat", "Over the flat to the lower dam", false),
        ("T6", (-160.0, -84.0), (60.0, -50.0), "Roadside", "Along the road", false),
        ("T7", (310.0, 176.0), (275.0, 90.0), "Lambing Spur", "Down the spur; no picture yet", false),
    ]
    .map(|(id, stands, looks_at, area, about, upright)| Point {
        id,
        stands,
        looks_at,
        area,
        about,
        upright,
    })
}
