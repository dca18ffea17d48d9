//! ESRI ASCII grid: a header of six lines, then the heights from the north-west, as text.
//!
//! # Reference
//! Library of Congress, *ESRI ArcInfo ASCII Grid* (format description fdd000421).

use crate::{
    intake::{limits, terrain::reference::Reference},
    problem::Terrain,
    terrain::{Grid, Lattice, Raster},
};

/// What the header says.
#[derive(Debug, Default)]
struct Header {
    columns: Option<f64>,
    rows: Option<f64>,
    west: Option<Corner>,
    south: Option<Corner>,
    cell_x: Option<f64>,
    cell_y: Option<f64>,
    no_data: Option<f64>,
}

/// A coordinate of the south-west cell.
#[derive(Debug, Clone, Copy)]
enum Corner {
    /// Of its outer corner.
    Outer(f64),
    /// Of its centre.
    Centre(f64),
}

impl Corner {
    fn outer(self, cell: f64) -> f64 {
        match self {
            Corner::Outer(place) => place,
            Corner::Centre(place) => place - cell / 2.0,
        }
    }
}

/// The grid that `bytes` hold, its heights turned into metres by what `reference` says of them.
///
/// # Errors
/// The text is not a grid, is cut off, or is larger than is read.
pub fn read(bytes: &[u8], reference: &Reference) -> Result<Grid, Terrain> {
    let mut words = Words { bytes, at: 0, line: 1 };
    let (header, first) = header(&mut words)?;
    let lattice = lattice(&header, reference, bytes.len())?;
    let mut values = Vec::with_capacity(lattice.cells());
    let mut word = first;
    while values.len() < lattice.cells() {
        let Some(text) = word else {
            return Err(wrong(format!("it ends after {} of {} heights", values.len(), lattice.cells())));
        };
        let height = number(text).ok_or_else(|| words.not_a_number(text))?;
        let missing = Some(height) == header.no_data || Some(height) == reference.missing;
        let known = !missing && height.is_finite();
        values.push(if known { single(height * reference.metres_per_height()) } else { f32::NAN });
        word = words.next();
    }
    match word {
        Some(_) => Err(wrong(format!("it goes on after the last of {} heights", values.len()))),
        None => Ok(Raster { lattice, values }),
    }
}

/// Reads the header up to the first height, which it gives back.
fn header<'a>(words: &mut Words<'a>) -> Result<(Header, Option<&'a [u8]>), Terrain> {
    let mut header = Header::default();
    loop {
        let Some(key) = words.next() else { return Ok((header, None)) };
        if number(key).is_some() {
            return Ok((header, Some(key)));
        }
        let name = String::from_utf8_lossy(key).trim_start_matches('\u{feff}').to_ascii_lowercase();
        let value = words.next().ok_or_else(|| wrong(format!("`{name}` has no value")))?;
        // Not a number, said in the header, means that NaN is the mark of a missing height.
        let value = number(value).ok_or_else(|| words.not_a_number(value))?;
        match name.as_str() {
            "ncols" => header.columns = Some(value),
            "nrows" => header.rows = Some(value),
            "xllcorner" => header.west = Some(Corner::Outer(value)),
            "yllcorner" => header.south = Some(Corner::Outer(value)),
            "xllcenter" | "xllcentre" => header.west = Some(Corner::Centre(value)),
            "yllcenter" | "yllcentre" => header.south = Some(Corner::Centre(value)),
            "cellsize" => (header.cell_x, header.cell_y) = (Some(value), Some(value)),
            "dx" => header.cell_x = Some(value),
            "dy" => header.cell_y = Some(value),
            "nodata_value" | "nodata" => header.no_data = Some(value),
            _ => return Err(wrong(format!("line {}: `{name}` is no word of its header", words.line))),
        }
    }
}

fn lattice(header: &Header, reference: &Reference, bytes: usize) -> Result<Lattice, Terrain> {
    let needed =
        |value: Option<f64>, name: &str| value.ok_or_else(|| wrong(format!("its header has no {name}")));
    let (columns, rows) = (side(needed(header.columns, "ncols")?)?, side(needed(header.rows, "nrows")?)?);
    let cells = u64::from(columns) * u64::from(rows);
    if cells > limits::CELLS {
        return Err(Terrain::TooManyCells { cells, limit: limits::CELLS });
    }
    // A height needs a digit and a space: a header that promises more than there is would only waste memory.
    if cells.saturating_mul(2) > bytes as u64 + 1 {
        return Err(wrong(format!("its header promises {cells} heights, and there are {bytes} bytes")));
    }
    let (cell_x, cell_y) = (needed(header.cell_x, "cellsize")?, needed(header.cell_y, "cellsize")?);
    let (Some(west), Some(south)) = (header.west, header.south) else { return Err(Terrain::NoPlace) };
    let (west, south) = (west.outer(cell_x), south.outer(cell_y));
    let north = south + f64::from(rows) * cell_y;
    let sound = cell_x > 0.0 && cell_y > 0.0 && (cell_x + cell_y + west + north).is_finite();
    if !sound {
        return Err(Terrain::NoPlace);
    }
    Ok(Lattice {
        west,
        north,
        cell_x,
        cell_y,
        rows: rows as usize,
        columns: columns as usize,
        coordinates: reference.coordinates,
        crs: reference.crs.clone(),
    })
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 1 and the limit, and whole"
)]
fn side(cells: f64) -> Result<u32, Terrain> {
    let sound = (1.0..=f64::from(limits::SIDE)).contains(&cells) && cells.fract() == 0.0;
    sound.then_some(cells as u32).ok_or_else(|| wrong(format!("{cells} is no number of rows or columns")))
}

#[allow(clippy::cast_possible_truncation, reason = "heights are kept in single precision")]
fn single(height: f64) -> f32 {
    height as f32
}

fn wrong(why: String) -> Terrain {
    Terrain::Unreadable { format: "an ESRI ASCII grid", why }
}

fn number(word: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(word).ok()?;
    // Some programs write the decimals of their country.
    text.parse().ok().or_else(|| text.replacen(',', ".", 1).parse().ok())
}

/// Words between spaces and line ends.
struct Words<'a> {
    bytes: &'a [u8],
    at: usize,
    line: usize,
}

impl<'a> Words<'a> {
    fn next(&mut self) -> Option<&'a [u8]> {
        while let Some(byte) = self.bytes.get(self.at).filter(|byte| byte.is_ascii_whitespace()) {
            self.line += usize::from(*byte == b'\n');
            self.at += 1;
        }
        let rest = self.bytes.get(self.at..)?;
        let length = rest.iter().position(u8::is_ascii_whitespace).unwrap_or(rest.len());
        self.at += length;
        rest.get(..length).filter(|word| !word.is_empty())
    }

    fn not_a_number(&self, word: &[u8]) -> Terrain {
        let text: String = String::from_utf8_lossy(word).chars().take(40).collect();
        wrong(format!("line {}: `{text}` is not a number", self.line))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(text: &str) -> Result<Grid, Terrain> {
        read(text.as_bytes(), &Reference::unnamed())
    }

    #[test]
    fn corners_centres_and_wrapped_lines_give_the_same_grid() {
        let corner = "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ncellsize 10\nNODATA_value -9999\n1 2 3\n4 -9999 6\n";
        let centre = "NCOLS 3\r\nNROWS 2\r\nXLLCENTER 105\r\nYLLCENTER 205\r\nDX 10\r\nDY 10\r\nnodata_value -9999\r\n1 2\r\n3 4\r\n-9999 6";
        let (one, other) = (grid(corner).unwrap(), grid(centre).unwrap());
        assert_eq!(one.lattice, other.lattice);
        assert_eq!((one.lattice.west, one.lattice.north), (100.0, 220.0));
        assert_eq!(one.at(1, 0), Some(4.0));
        assert!(one.at(1, 1).unwrap().is_nan() && other.at(1, 1).unwrap().is_nan());
    }

    #[test]
    fn feet_become_metres_and_a_missing_height_stays_missing() {
        let mut reference = Reference::unnamed();
        reference.height_unit = Some(crate::intake::terrain::reference::FOOT);
        let text = "ncols 2\nnrows 1\nxllcorner 0\nyllcorner 0\ncellsize 1\nnodata_value -9999\n1000 -9999\n";
        let grid = read(text.as_bytes(), &reference).unwrap();
        assert_eq!(grid.at(0, 0), Some(304.8));
        assert!(grid.at(0, 1).unwrap().is_nan());
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        let head = "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n";
        for (text, part) in [
            (format!("{head}1 2 3"), "ends after 3 of 4"),
            (format!("{head}1 2 3 4 5"), "goes on after"),
            (format!("{head}1 2\n3 4;5"), "line 7: `4;5`"),
            ("ncols 2000\n".to_owned(), "no nrows"),
            (
                "ncols 100000\nnrows 100\nxllcorner 0\nyllcorner 0\ncellsize 1\n1".to_owned(),
                "promises 10000000",
            ),
            ("ncols -1\nnrows 2\n".to_owned(), "no number of rows or columns"),
            (String::new(), "no ncols"),
        ] {
            let Err(Terrain::Unreadable { why, .. }) = grid(&text) else { panic!("{text}") };
            assert!(why.contains(part), "{why}");
        }
        let huge = "ncols 900000\nnrows 900000\nxllcorner 0\nyllcorner 0\ncellsize 1\n1";
        assert!(matches!(grid(huge), Err(Terrain::TooManyCells { .. })));
        assert_eq!(grid("ncols 2\nnrows 1\ncellsize 1\n1 2"), Err(Terrain::NoPlace));
        assert_eq!(
            grid("ncols 2\nnrows 1\nxllcorner 0\nyllcorner 0\ncellsize 0\n1 2"),
            Err(Terrain::NoPlace)
        );
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(
            text in "(ncols|nrows|xllcorner|yllcenter|cellsize|dx|NODATA_value|NaN|inf|-?[0-9]{1,12}|1e[0-9]{1,3}|[ \t\r\n]){0,40}",
            noise in "\\PC{0,60}",
        ) {
            let _ = grid(&text);
            let _ = grid(&format!("ncols 3\nnrows 2\nxllcorner 1\nyllcorner 2\ncellsize 10\n{text}"));
            let _ = grid(&noise);
        }
    }
}
