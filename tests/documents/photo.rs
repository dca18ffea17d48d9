//! Photographs come out upright, small and without a trace of where they were taken; a bad file is refused by name.

use std::io::Cursor;

use hillfolio_documents::draw::photo::{Picture, PictureFailure, shrink};
use image::{DynamicImage, ImageFormat, Luma, Rgb, RgbImage, Rgba, RgbaImage, codecs::jpeg::JpegEncoder};

/// Left half red, right half blue, written by Pillow 9.4: what the `image` crate can't write itself.
const PROGRESSIVE: &[u8] = include_bytes!("photos/progressive.jpg");
const CMYK: &[u8] = include_bytes!("photos/cmyk.jpg");

const RED: [u8; 3] = [200, 30, 30];
const GREEN: [u8; 3] = [30, 160, 30];
const BLUE: [u8; 3] = [30, 30, 200];
const YELLOW: [u8; 3] = [220, 200, 40];

/// A picture of four colours: red at the start of the first row, green at its end, blue and yellow in the last row.
fn quarters(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        Rgb(match (y < height / 2, x < width / 2) {
            (true, true) => RED,
            (true, false) => GREEN,
            (false, true) => BLUE,
            (false, false) => YELLOW,
        })
    })
}

fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let (width, height) = picture.dimensions();
    JpegEncoder::new_with_quality(&mut bytes, 95)
        .encode(picture.as_raw(), width, height, image::ExtendedColorType::Rgb8)
        .unwrap();
    bytes
}

fn png(picture: impl Into<DynamicImage>) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture.into().write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    bytes
}

/// An EXIF block with an orientation and a place, by hand: TIFF 6.0, little endian (CIPA DC-008).
fn exif(orientation: u16) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        [&tag.to_le_bytes()[..], &kind.to_le_bytes(), &count.to_le_bytes(), &value].concat()
    };
    let [low, high] = orientation.to_le_bytes();
    tiff.extend(2u16.to_le_bytes());
    tiff.extend(entry(0x0112, 3, 1, [low, high, 0, 0]));
    tiff.extend(entry(0x8825, 4, 1, 38u32.to_le_bytes())); // the GPS block stands at byte 38
    tiff.extend([0; 4]);
    assert_eq!(tiff.len(), 38);
    tiff.extend(1u16.to_le_bytes());
    tiff.extend(entry(0x001d, 2, 11, 56u32.to_le_bytes())); // GPSDateStamp
    tiff.extend([0; 4]);
    tiff.extend(b"2026:05:12\0HERE-I-LIVE");
    let mut block = vec![0xff, 0xe1];
    block.extend(u16::try_from(tiff.len() + 8).unwrap().to_be_bytes());
    block.extend(b"Exif\0\0");
    block.extend(tiff);
    block
}

fn with_exif(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    [&jpeg[..2], &exif(orientation), &jpeg[2..]].concat()
}

fn shown(picture: &Picture) -> RgbImage {
    let decoded = image::load_from_memory_with_format(&picture.jpeg, ImageFormat::Jpeg).unwrap().into_rgb8();
    assert_eq!(decoded.dimensions(), (picture.width, picture.height));
    decoded
}

/// Whether the picture has this colour at a place given as parts of its width and height.
fn has(picture: &RgbImage, (x, y): (f64, f64), colour: [u8; 3]) -> bool {
    let at = |part: f64, length: u32| (part * f64::from(length)) as u32;
    let pixel = picture.get_pixel(at(x, picture.width()), at(y, picture.height()));
    pixel.0.iter().zip(colour).all(|(one, other)| one.abs_diff(other) < 24)
}

/// The sides where the first row and the first column are to be seen, as CIPA DC-008 defines the eight orientations.
#[test]
fn every_orientation_comes_out_upright() {
    let sides = [
        ("top", "left"),
        ("top", "right"),
        ("bottom", "right"),
        ("bottom", "left"),
        ("left", "top"),
        ("right", "top"),
        ("right", "bottom"),
        ("left", "bottom"),
    ];
    let opposite = |side: &str| match side {
        "top" => "bottom",
        "bottom" => "top",
        "left" => "right",
        _ => "left",
    };
    let corner = |one: &str, other: &str| {
        let is = |side: &str| one == side || other == side;
        (if is("left") { 0.25 } else { 0.75 }, if is("top") { 0.25 } else { 0.75 })
    };
    let plain = jpeg(&quarters(64, 32));
    for (number, (row, column)) in (1u16..).zip(sides) {
        let picture = shrink(&with_exif(&plain, number), 1200, 90).unwrap();
        let turned = ["left", "right"].contains(&row);
        assert_eq!((picture.width, picture.height), if turned { (32, 64) } else { (64, 32) }, "{number}");
        let seen = shown(&picture);
        assert!(has(&seen, corner(row, column), RED), "{number}: red");
        assert!(has(&seen, corner(row, opposite(column)), GREEN), "{number}: green");
        assert!(has(&seen, corner(opposite(row), column), BLUE), "{number}: blue");
        assert!(has(&seen, corner(opposite(row), opposite(column)), YELLOW), "{number}: yellow");
    }
    assert_eq!(
        shrink(&with_exif(&plain, 9), 1200, 90),
        shrink(&plain, 1200, 90),
        "an unknown one is taken as it lies"
    );
}

#[test]
fn nothing_of_the_exif_block_is_left() {
    let source = with_exif(&jpeg(&quarters(64, 32)), 6);
    let holds = |bytes: &[u8], word: &[u8]| bytes.windows(word.len()).any(|window| window == word);
    assert!(holds(&source, b"HERE-I-LIVE") && holds(&source, b"Exif"));
    let picture = shrink(&source, 1200, 80).unwrap();
    for word in [&b"HERE-I-LIVE"[..], b"Exif", b"2026:05", b"II*\0"] {
        assert!(!holds(&picture.jpeg, word), "{}", String::from_utf8_lossy(word));
    }
    assert!(!holds(&picture.jpeg, &[0xff, 0xe1]), "no APP1 segment");
}

#[test]
fn the_longer_side_is_cut_down_and_small_pictures_are_left() {
    for ((width, height), longest, expected) in [
        ((400, 300), 100, (100, 75)),
        ((300, 400), 100, (75, 100)),
        ((400, 300), 400, (400, 300)),
        ((40, 30), 1200, (40, 30)),
        ((1000, 1), 10, (10, 1)),
        ((16, 16), 0, (1, 1)),
    ] {
        let picture = shrink(&jpeg(&quarters(width, height)), longest, 80).unwrap();
        assert_eq!((picture.width, picture.height), expected);
        shown(&picture);
    }
    let seen = shown(&shrink(&jpeg(&quarters(640, 480)), 64, 90).unwrap());
    for (place, colour) in
        [((0.25, 0.25), RED), ((0.75, 0.25), GREEN), ((0.25, 0.75), BLUE), ((0.75, 0.75), YELLOW)]
    {
        assert!(has(&seen, place, colour), "{colour:?}");
    }
}

#[test]
fn the_same_photo_gives_the_same_bytes_and_quality_counts() {
    let noise =
        RgbImage::from_fn(300, 200, |x, y| Rgb([(x * 7 + y * 13) as u8, (x * y) as u8, (x ^ y) as u8]));
    let source = jpeg(&noise);
    assert_eq!(shrink(&source, 150, 80), shrink(&source, 150, 80));
    let size = |quality| shrink(&source, 150, quality).unwrap().jpeg.len();
    assert!(size(40) < size(80) && size(80) < size(95));
    assert_eq!(size(0), size(1), "a quality out of range is the nearest one in it");
    assert_eq!(size(255), size(100));
}

#[test]
fn every_kind_of_pixel_is_read() {
    let grey = png(image::GrayImage::from_pixel(20, 10, Luma([128])));
    assert!(has(&shown(&shrink(&grey, 100, 90).unwrap()), (0.5, 0.5), [128; 3]));
    let deep =
        png(image::ImageBuffer::<Rgb<u16>, _>::from_pixel(20, 10, Rgb([200 * 257, 30 * 257, 30 * 257])));
    assert!(has(&shown(&shrink(&deep, 100, 90).unwrap()), (0.5, 0.5), RED));
    let clear = png(RgbaImage::from_fn(40, 10, |x, _| Rgba([0, 0, 0, if x < 20 { 0 } else { 128 }])));
    let seen = shown(&shrink(&clear, 100, 90).unwrap());
    assert!(has(&seen, (0.2, 0.5), [255; 3]), "what is clear is white");
    assert!(has(&seen, (0.8, 0.5), [127; 3]), "what is half clear is half white");
    for (name, bytes) in [("progressive", PROGRESSIVE), ("CMYK", CMYK)] {
        let seen = shown(&shrink(bytes, 100, 90).unwrap());
        assert!(has(&seen, (0.2, 0.5), RED) && has(&seen, (0.8, 0.5), BLUE), "{name}");
    }
}

#[test]
fn what_is_no_picture_is_named() {
    assert_eq!(shrink(b"", 100, 80), Err(PictureFailure::OtherFormat));
    assert_eq!(shrink(b"plot,area,size_m2\n1,North,100\n", 100, 80), Err(PictureFailure::OtherFormat));
    assert_eq!(shrink(b"GIF89a\x01\0\x01\0\0\0\0;", 100, 80), Err(PictureFailure::OtherFormat));
    assert!(matches!(shrink(b"\0\0\0\x18ftypheic\0\0\0\0", 100, 80), Err(PictureFailure::Heif(_))));
}

#[test]
fn a_file_cut_short_or_damaged_is_refused_wherever_it_ends() {
    for whole in [with_exif(&jpeg(&quarters(64, 32)), 6), PROGRESSIVE.to_vec(), png(quarters(64, 32))] {
        let is_png = whole.starts_with(b"\x89PNG");
        // A PNG's end chunk of 12 bytes holds nothing of the picture.
        for length in 0..whole.len() - if is_png { 12 } else { 1 } {
            let outcome = shrink(&whole[..length], 100, 80);
            assert!(outcome.is_err(), "{length} of {} bytes gave a picture", whole.len());
        }
        for at in 0..whole.len() {
            let mut broken = whole.clone();
            broken[at] ^= 0xff;
            let _any_outcome_but_a_panic = shrink(&broken, 100, 80);
        }
    }
    let mut trailing = jpeg(&quarters(64, 32));
    trailing.extend(b"what some cameras add");
    assert!(shrink(&trailing, 100, 80).is_ok());
}

#[test]
fn a_picture_of_monstrous_size_is_refused_before_it_is_decoded() {
    let mut huge = jpeg(&quarters(64, 32));
    let frame = huge.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    huge[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xf0, 0xff, 0xf0]);
    assert_eq!(shrink(&huge, 100, 80), Err(PictureFailure::TooLarge));
    huge[frame + 5..frame + 9].copy_from_slice(&[0x4e, 0x20, 0x4e, 0x20]); // 20,000 × 20,000
    assert_eq!(shrink(&huge, 100, 80), Err(PictureFailure::TooLarge));

    let mut bomb = png(quarters(4, 4));
    bomb[16..24].copy_from_slice(&[0, 0, 0x75, 0x30, 0, 0, 0x75, 0x30]); // 30,000 × 30,000
    let sum = crc32(&bomb[12..29]).to_be_bytes();
    bomb[29..33].copy_from_slice(&sum);
    assert_eq!(shrink(&bomb, 100, 80), Err(PictureFailure::TooLarge));
}

/// The check sum of a PNG chunk (ISO/IEC 15948, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| (sum >> 1) ^ if sum & 1 == 1 { 0xedb8_8320 } else { 0 })
    })
}

/// Pictures as telephones write them: the mean colour of each quarter as pillow-heif 1.8.1 (libheif) decodes the same file.
#[test]
fn heif_pictures_are_decoded_as_another_decoder_does() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/program/as-kept");
    let known: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("heic.json")).unwrap()).unwrap();
    assert_eq!(known.as_object().unwrap().len(), 10);
    for (path, quarters) in known.as_object().unwrap() {
        let small = shrink(&std::fs::read(folder.join(path)).unwrap(), 100, 95).unwrap();
        let small = image::load_from_memory_with_format(&small.jpeg, ImageFormat::Jpeg).unwrap().into_rgb8();
        assert_eq!(small.dimensions(), (64, 48), "{path}");
        for (at, expected) in quarters.as_array().unwrap().iter().enumerate() {
            let (left, top) = (32 * (at as u32 % 2), 24 * (at as u32 / 2));
            for part in 0..3 {
                let cells = (0..32 * 24).map(|n| small.get_pixel(left + n % 32, top + n / 32).0[part]);
                let mean = cells.map(f64::from).sum::<f64>() / f64::from(32 * 24);
                let expected = expected[part].as_f64().unwrap();
                assert!((mean - expected).abs() < 3.0, "{path} quarter {at}: {mean:.1} for {expected:.1}");
            }
        }
    }
}
