//! How much is read before a file is refused: enough for any planting project, too little to choke on.

use crate::project::Photo;

/// Bytes of `project.toml` or a chapter of the narrative.
pub(crate) const WORDS: u64 = 2 << 20;

/// Bytes of a table or a layer.
pub(crate) const TABLE: u64 = 64 << 20;

/// Bytes that one zip, KMZ or workbook may unpack to.
pub(crate) const UNPACKED: u64 = 256 << 20;

/// Cells of one sheet of a workbook, the empty ones before the last of a row counted with the others.
pub(crate) const SHEET: usize = 10_000_000;

/// Rows of a table: ten times the stems that a hundred plots of five hundred have in ten surveys.
pub(crate) const ROWS: usize = 500_000;

/// Errors in one table after which no more of its rows are looked at.
pub(crate) const ERRORS: usize = 20_000;

/// Parts in a zip, a KMZ or a workbook.
pub(crate) const PARTS: usize = 10_000;

/// Bytes that a pack may have, and that it may unpack to.
pub(crate) const PACK: u64 = 16 << 30;

/// Bytes of a key or of a seal.
pub(crate) const KEY: u64 = 10_000;

/// Members of a pack: the files of a folder and what is made of them.
pub(crate) const MEMBERS: usize = FILES + 1_000;

/// Bytes that one member of a pack may unpack to.
pub(crate) const MEMBER: u64 = 2 << 30;

/// Bytes of a ledger, `figures.json`, that is read back.
pub(crate) const LEDGER: u64 = 64 << 20;

/// Bytes of a path inside the folder or a pack.
pub(crate) const PATH: usize = 1024;

/// Bytes of the text that spells a coordinate reference system.
pub(crate) const CRS_TEXT: usize = 64 << 10;

/// Elements within elements of an XML document.
pub(crate) const NESTING: usize = 100;

/// Bytes of a photo.
pub(crate) const PHOTO: u64 = 64 << 20;

/// Bytes of one photo made small that an earlier build kept: at the size of print and the quality of print, noise itself has less.
pub const THUMBNAIL: u64 = 16 << 20;

/// Bytes of all photos made small that are kept between builds: some thousand photos.
pub const THUMBNAILS: u64 = 512 << 20;

/// Bytes of a terrain model.
pub(crate) const TERRAIN: u64 = 2 << 30;

/// Cells of terrain that are held at once: a site of 6 km by 6 km in cells of 1 m.
pub(crate) const CELLS: u64 = 36_000_000;

/// Bytes of one strip or tile of a GeoTIFF, unpacked.
pub(crate) const BLOCK: u64 = 256 << 20;

/// Cells along one side of a terrain model.
pub(crate) const SIDE: u32 = 1_000_000;

/// Files in the folder.
pub(crate) const FILES: usize = 50_000;

/// Folders within folders.
pub(crate) const DEPTH: usize = 8;

/// Corners that one shape may have: a corner every half metre round a hundred kilometres.
pub(crate) const CORNERS: usize = 200_000;

/// Planting areas: each is held against every other.
pub(crate) const AREAS: usize = 1_000;

/// Shapes of a layer.
pub(crate) const SHAPES: usize = 50_000;

/// Pixels along one side of a photo.
pub(crate) const PIXELS: u32 = Photo::LONGEST_SIDE;

/// A count in one row.
pub(crate) const COUNT: u64 = 1_000_000;

/// First and last year that a date may lie in.
pub(crate) const YEARS: (i32, i32) = (1900, 2200);

/// Bytes that the file at `path` may have, by its ending.
pub(crate) fn bytes(path: &str) -> u64 {
    let ending = path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    match ending.as_deref() {
        Some("toml" | "md") => WORDS,
        Some("jpg" | "jpeg" | "png" | "heic" | "heif") => PHOTO,
        Some("tif" | "tiff" | "asc") => TERRAIN,
        _ => TABLE,
    }
}
