//! GeoTIFFs as GDAL writes them: every storage that is read, and what is not read said plainly; then bytes gone wrong.

use std::io::Cursor;

use hillfolio_core::{
    intake::terrain::{GeoTiff, Reference, read_ascii, read_prj},
    problem::Terrain,
    terrain::{Coordinates, Grid, Window},
};
use proptest::prelude::*;

use crate::terrain_cases::{grid, path};

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(path("geotiff").join(name)).unwrap()
}

fn whole(bytes: Vec<u8>) -> Result<Grid, Terrain> {
    let mut file = GeoTiff::open(Cursor::new(bytes), None)?;
    let window = file.lattice().whole();
    file.read(&window)
}

/// `gdal_translate` (GDAL 3.6.2) wrote the same window of one terrain in each storage, and as text.
#[test]
fn every_storage_holds_what_gdal_says_it_holds() {
    let (text, text_whole) = (grid("geotiff/window.asc"), grid("geotiff/window-whole-metres.asc"));
    for (name, expected) in [
        ("strips-f32.tif", &text),
        ("tiles-lzw-p3-f32.tif", &text),
        ("strips-deflate-p3-f32.tif", &text),
        ("tiles-deflate-f64.tif", &text),
        ("big-endian-bigtiff-f32.tif", &text),
        ("point-f32.tif", &text),
        ("strips-packbits-i16.tif", &text_whole),
        ("strips-deflate-p2-i16.tif", &text_whole),
    ] {
        let found = whole(bytes(name)).unwrap();
        assert_eq!(found.lattice.epsg(), Some(32616), "{name}");
        let (here, there) = (&found.lattice, &expected.lattice);
        assert_eq!(
            (here.rows, here.columns, here.cell_x, here.cell_y),
            (there.rows, there.columns, 90.0, 90.0),
            "{name}"
        );
        assert!((here.west - there.west).abs() < 1e-6 && (here.north - there.north).abs() < 1e-6, "{name}");
        for (at, (found, expected)) in found.values.iter().zip(&expected.values).enumerate() {
            assert!((found - expected).abs() < 0.001, "{name} cell {at}: {found}, not {expected}");
        }
    }
}

#[test]
fn a_window_is_the_same_cells_whatever_blocks_they_lie_in() {
    for name in ["strips-f32.tif", "tiles-lzw-p3-f32.tif", "tiles-deflate-f64.tif"] {
        let all = whole(bytes(name)).unwrap();
        let mut file = GeoTiff::open(Cursor::new(bytes(name)), None).unwrap();
        for (rows, columns) in
            [(0..1, 0..1), (3..20, 15..17), (16..30, 16..40), (29..30, 39..40), (5..5, 0..3)]
        {
            let window = Window { rows, columns };
            assert_eq!(file.read(&window).unwrap(), all.within(&window), "{name} {window:?}");
        }
        let beyond = Window { rows: 20..99, columns: 30..99 };
        assert_eq!(file.read(&beyond).unwrap(), all.within(&Window { rows: 20..30, columns: 30..40 }));
    }
}

#[test]
fn heights_in_feet_and_degrees_are_known_by_their_keys() {
    let feet = GeoTiff::open(Cursor::new(bytes("feet-f32.tif")), None).unwrap();
    assert!(feet.reference().in_feet() && feet.reference().epsg() == Some(32616));
    let (feet, metres) = (whole(bytes("feet-f32.tif")).unwrap(), whole(bytes("strips-f32.tif")).unwrap());
    assert!((f64::from(feet.values[0]) - f64::from(metres.values[0]) * 1200.0 / 3937.0).abs() < 1e-3);
    let degrees = GeoTiff::open(Cursor::new(bytes("geographic-i16.tif")), None).unwrap();
    assert_eq!(degrees.lattice().coordinates, Coordinates::Geographic);
}

#[test]
fn what_is_not_read_is_named() {
    assert!(matches!(whole(bytes("lerc-f32.tif")), Err(Terrain::CompressionNotRead { .. })));
    assert!(matches!(whole(bytes("zstd-f32.tif")), Err(Terrain::CompressionNotRead { .. })));
    assert!(matches!(whole(bytes("picture.tif")), Err(Terrain::NotHeights { .. })));
    assert!(matches!(whole(Vec::new()), Err(Terrain::Unreadable { .. })));
    assert!(matches!(whole(b"%PDF-1.7".to_vec()), Err(Terrain::Unreadable { .. })));
    assert!(matches!(whole(vec![0x49, 0x49, 0x2a, 0, 8, 0, 0, 0]), Err(Terrain::Unreadable { .. })));
}

/// Every length to which the file could have been cut.
#[test]
fn a_file_cut_off_anywhere_is_an_error_or_whole() {
    for name in ["tiles-lzw-p3-f32.tif", "strips-packbits-i16.tif"] {
        let (all, expected) = (bytes(name), whole(bytes(name)).unwrap());
        for length in 0..all.len() {
            if let Ok(grid) = whole(all[..length].to_vec()) {
                assert_eq!(grid.values.len(), expected.values.len(), "{name} cut at {length}");
            }
        }
    }
}

/// Every byte of the header and the tags, set to each of a few values that lie about sizes.
#[test]
fn a_lie_in_any_byte_of_the_tags_is_no_panic() {
    for name in ["strips-f32.tif", "tiles-lzw-p3-f32.tif", "big-endian-bigtiff-f32.tif"] {
        let all = bytes(name);
        for at in 0..all.len().min(700) {
            for lie in [0x00, 0x01, 0x7f, 0x80, 0xff] {
                let mut bytes = all.clone();
                bytes[at] = lie;
                let _ = whole(bytes);
            }
        }
    }
}

const SEEDS: [&str; 6] = [
    "strips-f32.tif",
    "tiles-lzw-p3-f32.tif",
    "tiles-deflate-f64.tif",
    "strips-packbits-i16.tif",
    "strips-deflate-p2-i16.tif",
    "big-endian-bigtiff-f32.tif",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn bytes_gone_wrong_are_no_panic(
        seed in prop::sample::select(&SEEDS[..]),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..24),
        words in prop::collection::vec((0usize..180, any::<u32>()), 0..4),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = bytes(seed);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        for (at, word) in words {
            bytes[at * 4..at * 4 + 4].copy_from_slice(&word.to_le_bytes());
        }
        if let Some(cut) = cut {
            let length = cut.index(bytes.len());
            bytes.truncate(length);
        }
        if let Ok(grid) = whole(bytes) {
            prop_assert_eq!(grid.values.len(), grid.lattice.cells());
        }
    }

    #[test]
    fn any_text_is_a_grid_or_an_error(text in "(ncols [0-9]{1,8}\n)?(nrows [0-9]{1,8}\n)?(xllcorner 0\nyllcorner 0\n)?(cellsize [-0-9.]{1,4}\n)?[-0-9. e\\n]{0,80}") {
        let metres = Coordinates::Projected { metres_per_unit: 1.0 };
        let reference = Reference { coordinates: metres, ..Reference::unnamed() };
        if let Ok(grid) = read_ascii(text.as_bytes(), &reference) {
            prop_assert_eq!(grid.values.len(), grid.lattice.cells());
        }
    }

    #[test]
    fn any_text_is_a_system_or_none(text in "(PROJCS|GEOGCS|VERT_CS|UNIT|AUTHORITY|\\[|\\]|\"|,|EPSG|é|[0-9]|[a-z]){0,40}") {
        let _ = read_prj(&text);
    }
}
