//! What the tags of a GeoTIFF say: where it lies, how it is stored, what its heights count.

use std::io::{Read, Seek};

use tiff::{
    TiffError,
    decoder::{ChunkType, Decoder},
    tags::{CompressionMethod, Tag},
};

use crate::{
    intake::{
        limits,
        terrain::{
            geo_keys::GeoKeys,
            reference::{FOOT, Reference, SURVEY_FOOT},
        },
    },
    problem::Terrain,
};

/// The tags in which the numbers and the texts of geo keys stand.
const KEY_NUMBERS: Tag = Tag::Unknown(34736);
const KEY_TEXTS: Tag = Tag::Unknown(34737);

/// The tag in which GDAL keeps what has no tag of its own, such as the unit of heights.
const GDAL_METADATA: Tag = Tag::Unknown(42112);

/// Refuses pictures and files of several bands.
pub(crate) fn single_band<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<(), Terrain> {
    let bands = unsigned(decoder, Tag::SamplesPerPixel)?.unwrap_or(1);
    if bands != 1 {
        return Err(Terrain::NotHeights { found: format!("{bands} bands") });
    }
    match decoder.colortype() {
        Ok(tiff::ColorType::Gray(_)) => Ok(()),
        Ok(tiff::ColorType::Palette(_)) => {
            Err(Terrain::NotHeights { found: "a coloured picture".to_owned() })
        }
        Ok(other) => Err(Terrain::NotHeights { found: format!("{other:?}") }),
        Err(why) => Err(wrong(&why)),
    }
}

/// Columns and rows of a block, read from the tags themselves so that a lie is an error.
pub(crate) fn block<R: Read + Seek>(
    decoder: &mut Decoder<R>,
    columns: u32,
    rows: u32,
) -> Result<(u32, u32), Terrain> {
    let bits = unsigned(decoder, Tag::BitsPerSample)?.unwrap_or(1);
    let (width, height) = match decoder.get_chunk_type() {
        ChunkType::Tile => (
            unsigned(decoder, Tag::TileWidth)?.unwrap_or(0),
            unsigned(decoder, Tag::TileLength)?.unwrap_or(0),
        ),
        ChunkType::Strip => {
            let rows_each = unsigned(decoder, Tag::RowsPerStrip)?.unwrap_or_else(|| u64::from(rows));
            (u64::from(columns), rows_each.min(u64::from(rows)))
        }
    };
    let bytes = width.saturating_mul(height).saturating_mul(bits.div_ceil(8).max(1));
    if bytes > limits::BLOCK {
        return Err(Terrain::BlockTooBig { bytes, limit: limits::BLOCK });
    }
    match (u32::try_from(width), u32::try_from(height)) {
        (Ok(width), Ok(height)) if width > 0 && height > 0 => Ok((width, height)),
        _ => Err(unreadable(format!("blocks of {width} by {height} cells"))),
    }
}

pub(crate) fn unsigned<R: Read + Seek>(decoder: &mut Decoder<R>, tag: Tag) -> Result<Option<u64>, Terrain> {
    // A tag with a value for each band: the first will do, for there is one band.
    let values = decoder.find_tag_unsigned_vec::<u64>(tag).map_err(|why| wrong(&why))?;
    Ok(values.and_then(|values| values.first().copied()))
}

pub(crate) fn reference<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<Reference, Terrain> {
    let directory =
        decoder.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag).map_err(|why| wrong(&why))?;
    let texts = text(decoder, KEY_TEXTS).unwrap_or_default();
    let numbers = decoder.find_tag(KEY_NUMBERS).map_err(|why| wrong(&why))?;
    let numbers = numbers.and_then(|numbers| numbers.into_f64_vec().ok()).unwrap_or_default();
    let directory = directory.unwrap_or_default();
    let keys = GeoKeys::new(&directory, &numbers, &texts);
    let mut reference = keys.reference().unwrap_or_else(Reference::unnamed);
    let metadata = text(decoder, GDAL_METADATA).unwrap_or_default();
    if let Some((_, rest)) = metadata.split_once("role=\"unittype\">") {
        reference.height_unit = match rest.split('<').next().unwrap_or_default().trim() {
            "ft" | "foot" | "feet" => Some(FOOT),
            "US survey foot" | "ftUS" | "us-ft" | "sfoot" => Some(SURVEY_FOOT),
            "m" | "metre" | "meter" | "metres" | "meters" => Some(1.0),
            _ => reference.height_unit,
        };
    }
    Ok(reference)
}

pub(crate) fn text<R: Read + Seek>(decoder: &mut Decoder<R>, tag: Tag) -> Option<String> {
    decoder.find_tag(tag).ok().flatten()?.into_string().ok()
}

/// West, north, width and height of a cell; `world` is what the world file beside it says.
pub(crate) fn place<R: Read + Seek>(
    decoder: &mut Decoder<R>,
    world: Option<[f64; 6]>,
) -> Result<(f64, f64, f64, f64), Terrain> {
    let mut numbers = |tag| {
        let value = decoder.find_tag(tag).map_err(|why| wrong(&why))?;
        value.map(|value| value.into_f64_vec().map_err(|why| wrong(&why))).transpose()
    };
    let scale = numbers(Tag::ModelPixelScaleTag)?;
    let tie = numbers(Tag::ModelTiepointTag)?;
    let matrix = numbers(Tag::ModelTransformationTag)?;
    let own = scale.is_some() && tie.is_some() || matrix.is_some();
    if let Some([cell_x, turn, other, cell_y, x, y]) = world.filter(|_| !own) {
        if turn != 0.0 || other != 0.0 || cell_x <= 0.0 || cell_y >= 0.0 {
            return Err(Terrain::NotNorthUp);
        }
        let (west, north) = (x - cell_x / 2.0, y - cell_y / 2.0);
        let sound = (west + north + cell_x + cell_y).is_finite();
        return if sound { Ok((west, north, cell_x, -cell_y)) } else { Err(Terrain::NoPlace) };
    }
    let (mut west, mut north, cell_x, cell_y) = match (scale.as_deref(), tie.as_deref(), matrix.as_deref()) {
        (Some(&[cell_x, cell_y, ..]), Some(&[column, row, _, x, y, ..]), _) => {
            (x - column * cell_x, y + row * cell_y, cell_x, cell_y)
        }
        (_, _, Some(&[a, b, _, x, c, d, _, y, ..])) => {
            if b != 0.0 || c != 0.0 {
                return Err(Terrain::NotNorthUp);
            }
            (x, y, a, -d)
        }
        _ => return Err(Terrain::NoPlace),
    };
    let directory =
        decoder.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag).map_err(|why| wrong(&why))?;
    if GeoKeys::new(&directory.unwrap_or_default(), &[], "").point() {
        west -= cell_x / 2.0;
        north += cell_y / 2.0;
    }
    if cell_x < 0.0 || cell_y < 0.0 {
        return Err(Terrain::NotNorthUp);
    }
    let sound = cell_x > 0.0 && cell_y > 0.0 && (west + north + cell_x + cell_y).is_finite();
    if sound { Ok((west, north, cell_x, cell_y)) } else { Err(Terrain::NoPlace) }
}

pub(crate) fn unreadable(why: String) -> Terrain {
    Terrain::Unreadable { format: "GeoTIFF", why }
}

/// The name of a compression: those that GDAL writes beside the ones that are read.
fn compression(method: CompressionMethod) -> String {
    match method.to_u16() {
        34887 => "LERC".to_owned(),
        34925 => "LZMA".to_owned(),
        50000 => "Zstandard".to_owned(),
        50001 => "WebP".to_owned(),
        50002 => "JPEG XL".to_owned(),
        6 | 7 => "JPEG".to_owned(),
        code => format!("method {code}"),
    }
}

pub(crate) fn wrong(why: &TiffError) -> Terrain {
    use tiff::TiffUnsupportedError::{UnknownCompressionMethod, UnsupportedCompressionMethod};
    match why {
        TiffError::UnsupportedError(UnsupportedCompressionMethod(method)) => {
            Terrain::CompressionNotRead { which: compression(*method) }
        }
        TiffError::UnsupportedError(UnknownCompressionMethod) => {
            Terrain::CompressionNotRead { which: "an unknown method".to_owned() }
        }
        TiffError::LimitsExceeded => Terrain::BlockTooBig { bytes: limits::BLOCK + 1, limit: limits::BLOCK },
        other => unreadable(other.to_string()),
    }
}
