//! Tables as Apache Parquet: one flat table, each column in one page of plain values, compressed with gzip.
//!
//! The format's own library would do the same and far more; for a flat table of three types the plain encoding is all there is to
//! it, and the program stays as small as it is. What this file writes is held against another implementation in the tests.
//!
//! # Reference
//! Apache Parquet format 2.10 (parquet.thrift, README, Encodings.md); Apache Thrift, *Thrift compact protocol encoding*; RFC 1952 (gzip).

use std::io::Write as _;

use chrono::{Datelike as _, NaiveDate};
use flate2::{Compression, GzBuilder};

/// First and last bytes of a file.
const MAGIC: &[u8; 4] = b"PAR1";

/// Rows in a group: a reader that wants few of them skips the rest.
const GROUP: usize = 50_000;

/// A column: its name, and its cells in order of rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Column<'a> {
    /// The name.
    pub name: &'a str,
    /// The cells.
    pub cells: Cells<'a>,
}

/// The cells of a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Cells<'a> {
    /// Text, UTF-8.
    Text(Vec<&'a str>),
    /// Days.
    Days(Vec<NaiveDate>),
    /// Numbers as doubles; what is not there is null.
    Numbers(Vec<Option<f64>>),
}

/// The file that holds `columns`, all of one length; a shorter one ends the table. The same columns give the same bytes.
#[must_use]
pub fn parquet(columns: &[Column<'_>]) -> Vec<u8> {
    let rows = columns.iter().map(|column| column.cells.len()).min().unwrap_or(0);
    let mut file = MAGIC.to_vec();
    let mut groups = Vec::new();
    let mut first = 0;
    while first < rows {
        let end = rows.min(first + GROUP);
        let chunks = columns.iter().map(|column| chunk(&mut file, column, first, end)).collect::<Vec<_>>();
        groups.push((end - first, chunks));
        first = end;
    }
    let footer = footer(columns, rows, &groups);
    file.extend_from_slice(&footer);
    file.extend_from_slice(&length(footer.len()));
    file.extend_from_slice(MAGIC);
    file
}

/// Where a column's page lies in the file, and how large it is, header and all.
struct Chunk {
    offset: usize,
    packed: usize,
    unpacked: usize,
    rows: usize,
}

/// Writes the page of a column's cells from `first` to before `end`.
fn chunk(file: &mut Vec<u8>, column: &Column<'_>, first: usize, end: usize) -> Chunk {
    let plain = column.cells.plain(first, end);
    let packed = gzip(&plain);
    let rows = end - first;
    let mut header = Thrift::default();
    header.int(1, 0); // a data page
    header.int(2, plain.len());
    header.int(3, packed.len());
    header.group(5, |page| {
        page.int(1, rows);
        page.int(2, 0); // plain values
        page.int(3, 3); // levels in runs
        page.int(4, 3);
    });
    let header = header.finish();
    let chunk = Chunk {
        offset: file.len(),
        packed: header.len() + packed.len(),
        unpacked: header.len() + plain.len(),
        rows,
    };
    file.extend_from_slice(&header);
    file.extend_from_slice(&packed);
    chunk
}

impl Cells<'_> {
    fn len(&self) -> usize {
        match self {
            Cells::Text(cells) => cells.len(),
            Cells::Days(cells) => cells.len(),
            Cells::Numbers(cells) => cells.len(),
        }
    }

    /// The cells in plain encoding: texts with their length before them, days and numbers little-endian; before numbers, which
    /// may be wanting, the runs of those that are there and those that are not.
    fn plain(&self, first: usize, end: usize) -> Vec<u8> {
        let mut bytes = Vec::new();
        match self {
            Cells::Text(cells) => {
                for text in &cells[first..end] {
                    bytes.extend_from_slice(&length(text.len()));
                    bytes.extend_from_slice(text.as_bytes());
                }
            }
            Cells::Days(cells) => {
                let epoch = NaiveDate::default().num_days_from_ce();
                for day in &cells[first..end] {
                    bytes.extend_from_slice(&(day.num_days_from_ce() - epoch).to_le_bytes());
                }
            }
            Cells::Numbers(cells) => {
                let mut levels = Vec::new();
                for run in cells[first..end].chunk_by(|one, next| one.is_some() == next.is_some()) {
                    varint(&mut levels, (run.len() as u64) << 1);
                    levels.push(u8::from(run[0].is_some()));
                }
                bytes.extend_from_slice(&length(levels.len()));
                bytes.extend_from_slice(&levels);
                for number in cells[first..end].iter().flatten() {
                    bytes.extend_from_slice(&number.to_le_bytes());
                }
            }
        }
        bytes
    }

    /// The format's numbers of the type, of whether a cell may be wanting, of the older name of the kind, and the newer.
    fn kind(&self) -> (usize, usize, Option<usize>, Option<i16>) {
        match self {
            Cells::Text(_) => (6, 0, Some(0), Some(1)),
            Cells::Days(_) => (1, 0, Some(6), Some(6)),
            Cells::Numbers(_) => (5, 1, None, None),
        }
    }
}

fn footer(columns: &[Column<'_>], rows: usize, groups: &[(usize, Vec<Chunk>)]) -> Vec<u8> {
    let mut footer = Thrift::default();
    footer.int(1, 1);
    footer.list(2, columns.len() + 1, |list| {
        list.item(|root| {
            root.text(4, "table");
            root.int(5, columns.len());
        });
        for column in columns {
            let (kind, may_be_null, old, new) = column.cells.kind();
            list.item(|element| {
                element.int(1, kind);
                element.int(3, may_be_null);
                element.text(4, column.name);
                if let Some(old) = old {
                    element.int(6, old);
                }
                if let Some(new) = new {
                    element.group(10, |logical| logical.group(new, |_| ()));
                }
            });
        }
    });
    footer.long(3, rows);
    footer.list(4, groups.len(), |list| {
        for (rows, chunks) in groups {
            list.item(|group| {
                group.list(1, chunks.len(), |list| {
                    for (column, chunk) in columns.iter().zip(chunks) {
                        list.item(|item| column_chunk(item, column, chunk));
                    }
                });
                group.long(2, chunks.iter().map(|chunk| chunk.unpacked).sum());
                group.long(3, *rows);
            });
        }
    });
    footer.text(6, concat!("hillfolio version ", env!("CARGO_PKG_VERSION")));
    footer.finish()
}

fn column_chunk(item: &mut Thrift, column: &Column<'_>, chunk: &Chunk) {
    item.long(2, chunk.offset);
    item.group(3, |about| {
        about.int(1, column.cells.kind().0);
        about.ints(2, &[0, 3]);
        about.texts(3, &[column.name]);
        about.int(4, 2); // gzip
        about.long(5, chunk.rows);
        about.long(6, chunk.unpacked);
        about.long(7, chunk.packed);
        about.long(9, chunk.offset);
    });
}

/// A structure in the compact protocol of Thrift.
#[derive(Default)]
struct Thrift {
    bytes: Vec<u8>,
    last: i16,
}

const I32: u8 = 5;
const I64: u8 = 6;
const BINARY: u8 = 8;
const LIST: u8 = 9;
const STRUCT: u8 = 12;

impl Thrift {
    /// The head of field `id`: the step from the field before, and the type. All steps here are under 16.
    #[allow(clippy::cast_sign_loss, clippy::cast_possible_truncation, reason = "ids rise, by less than 16")]
    fn field(&mut self, id: i16, kind: u8) {
        let step = (id - self.last) as u8;
        self.last = id;
        self.bytes.push(step << 4 | kind);
    }

    fn int(&mut self, id: i16, value: usize) {
        self.field(id, I32);
        varint(&mut self.bytes, (value as u64) << 1);
    }

    fn long(&mut self, id: i16, value: usize) {
        self.field(id, I64);
        varint(&mut self.bytes, (value as u64) << 1);
    }

    fn text(&mut self, id: i16, text: &str) {
        self.field(id, BINARY);
        self.words(text);
    }

    fn words(&mut self, text: &str) {
        varint(&mut self.bytes, text.len() as u64);
        self.bytes.extend_from_slice(text.as_bytes());
    }

    fn ints(&mut self, id: i16, values: &[u64]) {
        self.list_head(id, values.len(), I32);
        values.iter().for_each(|value| varint(&mut self.bytes, value << 1));
    }

    fn texts(&mut self, id: i16, texts: &[&str]) {
        self.list_head(id, texts.len(), BINARY);
        texts.iter().for_each(|text| self.words(text));
    }

    fn group(&mut self, id: i16, fill: impl FnOnce(&mut Thrift)) {
        self.field(id, STRUCT);
        self.item(fill);
    }

    /// A structure without a head, as it stands in a list.
    fn item(&mut self, fill: impl FnOnce(&mut Thrift)) {
        let mut inner = Thrift::default();
        fill(&mut inner);
        self.bytes.extend(inner.finish());
    }

    /// A list of `items` structures, which `fill` adds.
    fn list(&mut self, id: i16, items: usize, fill: impl FnOnce(&mut Thrift)) {
        self.list_head(id, items, STRUCT);
        fill(self);
    }

    #[allow(clippy::cast_possible_truncation, reason = "under 15")]
    fn list_head(&mut self, id: i16, items: usize, kind: u8) {
        self.field(id, LIST);
        if items < 15 {
            self.bytes.push((items as u8) << 4 | kind);
        } else {
            self.bytes.push(0xF0 | kind);
            varint(&mut self.bytes, items as u64);
        }
    }

    fn finish(mut self) -> Vec<u8> {
        self.bytes.push(0);
        self.bytes
    }
}

/// A number in groups of seven bits, the lowest first.
fn varint(bytes: &mut Vec<u8>, mut value: u64) {
    while value >= 0x80 {
        bytes.push((value & 0x7F) as u8 | 0x80);
        value >>= 7;
    }
    bytes.push(value as u8);
}

/// A length in four bytes, the lowest first.
#[allow(clippy::cast_possible_truncation, reason = "no page reaches 4 GB: a group of rows is bounded")]
fn length(bytes: usize) -> [u8; 4] {
    (bytes as u32).to_le_bytes()
}

fn gzip(bytes: &[u8]) -> Vec<u8> {
    // Time and system are left out of the head, so that the same bytes give the same.
    let mut packer = GzBuilder::new().mtime(0).operating_system(255).write(Vec::new(), Compression::new(6));
    let written = packer.write_all(bytes);
    debug_assert!(written.is_ok(), "memory takes every write");
    packer.finish().unwrap_or_default()
}
