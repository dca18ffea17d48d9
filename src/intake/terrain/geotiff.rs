//! GeoTIFF: one height a cell, in strips or tiles, read for a window of it.

use std::io::{Read, Seek, SeekFrom};

use tiff::{
    TiffError,
    decoder::{ChunkType, Decoder, DecodingResult, Limits},
    tags::Tag,
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
    terrain::{Grid, Lattice, Raster, Window},
};

/// The tag in which the texts of geo keys stand.
const KEY_TEXTS: Tag = Tag::Unknown(34737);

/// The tag in which GDAL keeps what has no tag of its own, such as the unit of heights.
const GDAL_METADATA: Tag = Tag::Unknown(42112);

/// Bytes of one tag that are taken in: the places of a million blocks.
const TAG_BYTES: usize = 16 << 20;

/// How many times smaller than its cells a file can be: no compression that is read does better.
const MOST_PACKED: u64 = 4096;

/// An opened GeoTIFF.
pub struct GeoTiff<R: Read + Seek> {
    decoder: Decoder<R>,
    lattice: Lattice,
    reference: Reference,
    no_data: Option<f64>,
    /// Columns and rows of a block.
    block: (u32, u32),
}

impl<R: Read + Seek> GeoTiff<R> {
    /// Reads the tags: where the cells lie and how they are stored.
    ///
    /// # Errors
    /// The file is no GeoTIFF of heights, or larger than is read.
    pub fn open(mut reader: R) -> Result<GeoTiff<R>, Terrain> {
        let length = reader.seek(SeekFrom::End(0)).map_err(|why| unreadable(why.to_string()))?;
        reader.rewind().map_err(|why| unreadable(why.to_string()))?;
        let mut allowed = Limits::default();
        allowed.decoding_buffer_size = usize::try_from(limits::BLOCK).unwrap_or(usize::MAX);
        allowed.intermediate_buffer_size = allowed.decoding_buffer_size;
        allowed.ifd_value_size = TAG_BYTES;
        let mut decoder = Decoder::new(reader).map_err(|why| wrong(&why))?.with_limits(allowed);
        let (columns, rows) = decoder.dimensions().map_err(|why| wrong(&why))?;
        if columns == 0 || rows == 0 || columns > limits::SIDE || rows > limits::SIDE {
            return Err(unreadable(format!("{columns} columns and {rows} rows")));
        }
        single_band(&mut decoder)?;
        let block = block(&mut decoder, columns, rows)?;
        let cells = u64::from(columns) * u64::from(rows);
        // A file that promises more than it can hold would only waste memory.
        if cells.max(u64::from(block.0) * u64::from(block.1)) / MOST_PACKED > length {
            return Err(unreadable(format!("{length} bytes can't hold {columns} columns and {rows} rows")));
        }
        let reference = reference(&mut decoder)?;
        let (west, north, cell_x, cell_y) = place(&mut decoder)?;
        let no_data = text(&mut decoder, Tag::GdalNodata).and_then(|text| text.trim().parse().ok());
        let lattice = Lattice {
            west,
            north,
            cell_x,
            cell_y,
            rows: rows as usize,
            columns: columns as usize,
            coordinates: reference.coordinates,
            epsg: reference.epsg,
        };
        Ok(GeoTiff { decoder, lattice, reference, no_data, block })
    }

    /// Where the cells lie.
    pub fn lattice(&self) -> &Lattice {
        &self.lattice
    }

    /// What the file says of its coordinates and heights.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// The heights in `window`, in metres; only the blocks that hold them are unpacked.
    ///
    /// # Errors
    /// The window is larger than is read, or a block can't be unpacked.
    pub fn read(&mut self, window: &Window) -> Result<Grid, Terrain> {
        let rows = window.rows.start..window.rows.end.min(self.lattice.rows);
        let columns = window.columns.start..window.columns.end.min(self.lattice.columns);
        let window = Window { rows, columns };
        let cells = window.rows.len() as u64 * window.columns.len() as u64;
        if cells > limits::CELLS {
            return Err(Terrain::TooManyCells { cells, limit: limits::CELLS });
        }
        let lattice = self.lattice.within(&window);
        let mut grid = Raster { values: vec![f32::NAN; lattice.cells()], lattice };
        if cells == 0 {
            return Ok(grid);
        }
        let (width, height) = (self.block.0 as usize, self.block.1 as usize);
        let across = self.lattice.columns.div_ceil(width);
        for block_row in window.rows.start / height..=(window.rows.end - 1) / height {
            for block_column in window.columns.start / width..=(window.columns.end - 1) / width {
                let index = u32::try_from(block_row * across + block_column)
                    .map_err(|_| unreadable("more blocks than it can have".to_owned()))?;
                let values = self.decoder.read_chunk(index).map_err(|why| wrong(&why))?;
                let stored = self.decoder.chunk_data_dimensions(index);
                let place = (block_row * height, block_column * width);
                self.copy(&values, (stored.0 as usize, stored.1 as usize), place, &window, &mut grid)?;
            }
        }
        Ok(grid)
    }

    /// Puts the cells of a block whose north-west cell is `place` where the window has them.
    fn copy(
        &self,
        values: &DecodingResult,
        (width, height): (usize, usize),
        (first_row, first_column): (usize, usize),
        window: &Window,
        grid: &mut Grid,
    ) -> Result<(), Terrain> {
        let rows = first_row.max(window.rows.start)..(first_row + height).min(window.rows.end);
        let columns = first_column.max(window.columns.start)..(first_column + width).min(window.columns.end);
        for row in rows {
            for column in columns.clone() {
                let from = (row - first_row) * width + (column - first_column);
                let to = (row - window.rows.start) * window.columns.len() + (column - window.columns.start);
                let value =
                    number(values, from).ok_or_else(|| unreadable("a block is too short".to_owned()))?;
                grid.values[to] = self.metres(value);
            }
        }
        Ok(())
    }

    #[allow(clippy::cast_possible_truncation, reason = "heights are kept in single precision")]
    fn metres(&self, value: f64) -> f32 {
        // Files in single precision often write the mark with more digits than their cells hold.
        let missing = self.no_data.is_some_and(|mark| value == mark || value as f32 == mark as f32);
        if missing || !value.is_finite() { f32::NAN } else { (value * self.reference.height_unit) as f32 }
    }
}

fn number(values: &DecodingResult, at: usize) -> Option<f64> {
    #[allow(clippy::cast_precision_loss, reason = "heights are far below 2^53")]
    match values {
        DecodingResult::U8(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::U16(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::U32(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::U64(values) => values.get(at).map(|&value| value as f64),
        DecodingResult::I8(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::I16(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::I32(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::I64(values) => values.get(at).map(|&value| value as f64),
        DecodingResult::F32(values) => values.get(at).map(|&value| f64::from(value)),
        DecodingResult::F64(values) => values.get(at).copied(),
        DecodingResult::F16(values) => values.get(at).map(|value| f64::from(value.to_f32())),
    }
}

fn single_band<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<(), Terrain> {
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
fn block<R: Read + Seek>(decoder: &mut Decoder<R>, columns: u32, rows: u32) -> Result<(u32, u32), Terrain> {
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

fn unsigned<R: Read + Seek>(decoder: &mut Decoder<R>, tag: Tag) -> Result<Option<u64>, Terrain> {
    // A tag with a value for each band: the first will do, for there is one band.
    let values = decoder.find_tag_unsigned_vec::<u64>(tag).map_err(|why| wrong(&why))?;
    Ok(values.and_then(|values| values.first().copied()))
}

fn reference<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<Reference, Terrain> {
    let directory =
        decoder.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag).map_err(|why| wrong(&why))?;
    let texts = text(decoder, KEY_TEXTS).unwrap_or_default();
    let directory = directory.unwrap_or_default();
    let mut reference = GeoKeys::new(&directory, &texts).reference().unwrap_or_else(Reference::unnamed);
    let metadata = text(decoder, GDAL_METADATA).unwrap_or_default();
    if let Some((_, rest)) = metadata.split_once("role=\"unittype\">") {
        reference.height_unit = match rest.split('<').next().unwrap_or_default().trim() {
            "ft" | "foot" | "feet" => FOOT,
            "US survey foot" | "ftUS" | "us-ft" | "sfoot" => SURVEY_FOOT,
            _ => reference.height_unit,
        };
    }
    Ok(reference)
}

fn text<R: Read + Seek>(decoder: &mut Decoder<R>, tag: Tag) -> Option<String> {
    decoder.find_tag(tag).ok().flatten()?.into_string().ok()
}

/// West, north, width and height of a cell.
fn place<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<(f64, f64, f64, f64), Terrain> {
    let mut numbers = |tag| {
        let value = decoder.find_tag(tag).map_err(|why| wrong(&why))?;
        value.map(|value| value.into_f64_vec().map_err(|why| wrong(&why))).transpose()
    };
    let scale = numbers(Tag::ModelPixelScaleTag)?;
    let tie = numbers(Tag::ModelTiepointTag)?;
    let matrix = numbers(Tag::ModelTransformationTag)?;
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
    if GeoKeys::new(&directory.unwrap_or_default(), "").point() {
        west -= cell_x / 2.0;
        north += cell_y / 2.0;
    }
    if cell_x < 0.0 || cell_y < 0.0 {
        return Err(Terrain::NotNorthUp);
    }
    let sound = cell_x > 0.0 && cell_y > 0.0 && (west + north + cell_x + cell_y).is_finite();
    if sound { Ok((west, north, cell_x, cell_y)) } else { Err(Terrain::NoPlace) }
}

fn unreadable(why: String) -> Terrain {
    Terrain::Unreadable { format: "GeoTIFF", why }
}

fn wrong(why: &TiffError) -> Terrain {
    use tiff::TiffUnsupportedError::{UnknownCompressionMethod, UnsupportedCompressionMethod};
    match why {
        TiffError::UnsupportedError(UnsupportedCompressionMethod(method)) => {
            Terrain::CompressionNotRead { which: format!("{method:?}") }
        }
        TiffError::UnsupportedError(UnknownCompressionMethod) => {
            Terrain::CompressionNotRead { which: "an unknown method".to_owned() }
        }
        TiffError::LimitsExceeded => Terrain::BlockTooBig { bytes: limits::BLOCK + 1, limit: limits::BLOCK },
        other => unreadable(other.to_string()),
    }
}
