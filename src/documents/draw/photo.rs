//! Photographs made small enough to print: turned upright, cut down to size, and stripped of everything but the picture.
//!
//! A camera's file holds the place where it was taken, often a home. A JPEG would pass into a PDF byte for byte, so
//! every picture is decoded and written anew; nothing of the old file is carried over.

use std::io::Cursor;

use fast_image_resize::{
    FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer,
    images::{Image, ImageRef},
};
use image::{
    DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, RgbImage, metadata::Orientation,
};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use thiserror::Error;

use hillfolio_core::project::Photo;

/// No side of a photograph is longer than this, px.
const LONGEST_SIDE: u32 = Photo::LONGEST_SIDE;

/// A decoded photograph takes no more memory than this, bytes: 170 megapixels in colour.
const MOST_MEMORY: u64 = 512 << 20;

/// A photograph ready to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The picture as JPEG, without EXIF.
    pub jpeg: Vec<u8>,
    /// Width, px.
    pub width: u32,
    /// Height, px.
    pub height: u32,
}

/// Why a photograph can't be printed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PictureFailure {
    /// Another kind of file.
    #[error("this is neither a JPEG nor a PNG picture")]
    OtherFormat,
    /// A picture of the format that telephones use to save space, of a kind that is not decoded here.
    #[error("this HEIF picture can't be decoded ({0}); save it as JPEG")]
    Heif(String),
    /// More pixels than any camera gives.
    #[error("the picture is larger than {LONGEST_SIDE} px on a side or {} megapixels", MOST_MEMORY / 3_000_000)]
    TooLarge,
    /// The file ends before the picture does.
    #[error("the file is cut short")]
    CutShort,
    /// A variant of its format that can't be read.
    #[error("the picture is of a kind that can't be read: {0}")]
    Unsupported(String),
    /// The file contradicts itself.
    #[error("the picture is damaged: {0}")]
    Damaged(String),
}

/// The photograph in `bytes`, upright, its longer side no more than `longest_px`, as JPEG of `quality` 1 to 100.
///
/// A small photograph is not enlarged. What is transparent becomes white.
///
/// # Errors
///
/// When the bytes hold no whole JPEG or PNG picture of a sane size.
pub fn shrink(bytes: &[u8], longest_px: u32, quality: u8) -> Result<Picture, PictureFailure> {
    let upright = upright(bytes)?;
    let colour = on_white(upright);
    let small = resized(colour, longest_px.max(1))?;
    let jpeg = encoded(&small, quality.clamp(1, 100))?;
    let (width, height) = small.dimensions();
    Ok(Picture { jpeg, width, height })
}

/// The picture as JPEG, its colours at half the sharpness of its light, as cameras write them.
fn encoded(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, PictureFailure> {
    let side = |length: u32| u16::try_from(length).map_err(|_| PictureFailure::TooLarge);
    let (width, height) = (side(picture.width())?, side(picture.height())?);
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, quality);
    encoder.set_sampling_factor(SamplingFactor::R_4_2_0);
    encoder.encode(picture.as_raw(), width, height, ColorType::Rgb).map_err(|why| damaged(&why))?;
    Ok(jpeg)
}

/// The picture decoded, and turned as its EXIF orientation asks.
fn upright(bytes: &[u8]) -> Result<DynamicImage, PictureFailure> {
    if is_heif(bytes) {
        return heif(bytes);
    }
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| PictureFailure::Damaged(error.to_string()))?;
    match reader.format() {
        Some(ImageFormat::Jpeg) if !is_whole_jpeg(bytes) => return Err(PictureFailure::CutShort),
        Some(ImageFormat::Jpeg | ImageFormat::Png) => {}
        _ => return Err(PictureFailure::OtherFormat),
    }
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(failure)?;
    if decoder.total_bytes() > MOST_MEMORY {
        return Err(PictureFailure::TooLarge);
    }
    // A picture is worth printing even where its EXIF block is broken: it is then taken as it lies.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(failure)?;
    picture.apply_orientation(orientation);
    Ok(picture)
}

/// A HEIF picture, as upright as its container says: its EXIF says the same once more and is passed over.
fn heif(bytes: &[u8]) -> Result<DynamicImage, PictureFailure> {
    let wrong = |error: heic_decoder::HeifError| PictureFailure::Heif(error.to_string());
    let info = heic_decoder::probe(bytes).map_err(wrong)?;
    let side = |length: usize| u32::try_from(length).ok().filter(|side| *side <= LONGEST_SIDE);
    let (Some(width), Some(height)) = (side(info.width), side(info.height)) else {
        return Err(PictureFailure::TooLarge);
    };
    if u64::from(width) * u64::from(height) * 3 > MOST_MEMORY {
        return Err(PictureFailure::TooLarge);
    }
    let colour = heic_decoder::decode(bytes).and_then(|picture| picture.to_rgb8()).map_err(wrong)?;
    let picture = RgbImage::from_raw(width, height, colour.data);
    picture
        .map(DynamicImage::ImageRgb8)
        .ok_or_else(|| PictureFailure::Damaged("its size does not fit its pixels".to_owned()))
}

/// The picture in 8-bit colour, laid on white paper.
fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let clear = picture.into_rgba8();
    let mut paper = RgbImage::new(clear.width(), clear.height());
    for (from, to) in clear.pixels().zip(paper.pixels_mut()) {
        let [red, green, blue, alpha] = from.0;
        let over_white = |part: u8| {
            let (part, alpha) = (u32::from(part), u32::from(alpha));
            u8::try_from((part * alpha + 255 * (255 - alpha) + 127) / 255).unwrap_or(u8::MAX)
        };
        to.0 = [red, green, blue].map(over_white);
    }
    paper
}

/// The picture with its longer side at most `longest` px, by Lanczos' filter of three lobes.
fn resized(picture: RgbImage, longest: u32) -> Result<RgbImage, PictureFailure> {
    let (width, height) = picture.dimensions();
    let side = width.max(height);
    if side <= longest {
        return Ok(picture);
    }
    let (small_width, small_height) = (scaled(width, longest, side), scaled(height, longest, side));
    let source = ImageRef::new(width, height, picture.as_raw(), PixelType::U8x3).map_err(|e| damaged(&e))?;
    let mut small = Image::new(small_width, small_height, PixelType::U8x3);
    let filter = ResizeAlg::Convolution(FilterType::Lanczos3);
    Resizer::new()
        .resize(&source, &mut small, &ResizeOptions::new().resize_alg(filter))
        .map_err(|e| damaged(&e))?;
    RgbImage::from_raw(small_width, small_height, small.into_vec())
        .ok_or_else(|| PictureFailure::Damaged("its size does not fit its pixels".to_owned()))
}

/// `length` × `longest` / `side`, rounded, never nothing.
fn scaled(length: u32, longest: u32, side: u32) -> u32 {
    let (length, longest, side) = (u64::from(length), u64::from(longest), u64::from(side));
    let rounded = (length * longest + side / 2) / side.max(1);
    u32::try_from(rounded).unwrap_or(u32::MAX).max(1)
}

/// Whether the end-of-image marker stands after the picture data (ITU-T T.81, B.1.1.3).
///
/// A decoder fills what is missing with grey and says nothing; in a before-and-after pair that would mislead. Markers
/// are walked by their lengths, since a thumbnail in the EXIF block has an end of its own.
fn is_whole_jpeg(bytes: &[u8]) -> bool {
    const START_OF_SCAN: u8 = 0xda;
    const END_OF_IMAGE: [u8; 2] = [0xff, 0xd9];
    let mut at = 2;
    loop {
        let Some(&[first, marker, high, low]) = bytes.get(at..at + 4) else { return false };
        if first != 0xff || marker == 0xff {
            at += 1; // a fill byte, or what a careless editor left between segments
            continue;
        }
        at += 2 + usize::from(u16::from_be_bytes([high, low]));
        if marker == START_OF_SCAN {
            return bytes.get(at..).is_some_and(|data| data.windows(2).any(|pair| pair == END_OF_IMAGE));
        }
    }
}

/// Whether the file is of the HEIF family (ISO/IEC 23008-12): its brand stands behind `ftyp`.
fn is_heif(bytes: &[u8]) -> bool {
    const BRANDS: [&[u8]; 7] = [b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"];
    bytes.get(4..8) == Some(b"ftyp") && bytes.get(8..12).is_some_and(|brand| BRANDS.contains(&brand))
}

fn damaged(error: &dyn std::error::Error) -> PictureFailure {
    PictureFailure::Damaged(error.to_string())
}

fn failure(error: ImageError) -> PictureFailure {
    match error {
        ImageError::Limits(_) => PictureFailure::TooLarge,
        ImageError::Unsupported(what) => PictureFailure::Unsupported(what.to_string()),
        ImageError::IoError(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => {
            PictureFailure::CutShort
        }
        other => PictureFailure::Damaged(other.to_string()),
    }
}
