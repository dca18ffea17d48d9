//! GeoTIFF: one height a cell, in strips or tiles, read for a window of it.

use std::io::{Read, Seek, SeekFrom};

use tiff::{
    decoder::{Decoder, DecodingResult, Limits},
    tags::Tag,
};

use crate::{
    intake::{
        limits,
        terrain::{
            reference::Reference,
            tags::{block, place, reference, single_band, text, unreadable, wrong},
        },
    },
    problem::Terrain,
    terrain::{Grid, Lattice, Raster, Window},
};

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
    /// Reads the tags: where the cells lie and how they are stored. `world` are the numbers of the world file beside it, for a
    /// file that does not say itself where it lies.
    ///
    /// # Errors
    /// The file is no GeoTIFF of heights, or larger than is read.
    pub fn open(mut reader: R, world: Option<[f64; 6]>) -> Result<GeoTiff<R>, Terrain> {
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
        let (west, north, cell_x, cell_y) = place(&mut decoder, world)?;
        let no_data = text(&mut decoder, Tag::GdalNodata).and_then(|text| text.trim().parse().ok());
        let lattice = Lattice {
            west,
            north,
            cell_x,
            cell_y,
            rows: rows as usize,
            columns: columns as usize,
            coordinates: reference.coordinates,
            crs: reference.crs.clone(),
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

    /// Puts what is known of the terrain in place of what its file says.
    pub(crate) fn told(&mut self, reference: Reference) {
        (self.lattice.coordinates, self.lattice.crs) = (reference.coordinates, reference.crs.clone());
        self.reference = reference;
    }

    /// Whether its heights are whole numbers from 0 to 255.
    pub(crate) fn in_bytes(&mut self) -> bool {
        matches!(self.decoder.colortype(), Ok(tiff::ColorType::Gray(8)))
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
        let is = |mark: f64| value == mark || value as f32 == mark as f32;
        let missing = [self.no_data, self.reference.missing].into_iter().flatten().any(is);
        if missing || !value.is_finite() {
            f32::NAN
        } else {
            (value * self.reference.metres_per_height()) as f32
        }
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
