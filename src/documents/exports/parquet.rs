//! Tables as Apache Parquet: one flat table of texts, days and numbers, compressed with gzip, which every reader knows.

use std::sync::Arc;

use chrono::{Datelike as _, NaiveDate};
use parquet::{
    basic::{Compression, GzipLevel},
    data_type::{ByteArray, ByteArrayType, DoubleType, Int32Type},
    errors::ParquetError,
    file::{
        properties::WriterProperties,
        writer::{SerializedColumnWriter, SerializedFileWriter},
    },
    schema::parser::parse_message_type,
};

/// Rows in a group: a reader that wants few of them skips the rest.
const GROUP: usize = 100_000;

/// A column: its name, and its cells in order of rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Column<'a> {
    /// The name: letters, digits and underscores.
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
///
/// # Errors
/// A name that no column can have, or more than the format can hold.
pub fn parquet(columns: &[Column<'_>]) -> Result<Vec<u8>, ParquetError> {
    let rows = columns.iter().map(|column| column.cells.len()).min().unwrap_or(0);
    let fields: String = columns.iter().map(|column| column.cells.field(column.name)).collect();
    let schema = parse_message_type(&format!("message table {{ {fields} }}"))?;
    let properties = WriterProperties::builder()
        .set_created_by(concat!("hillfolio ", env!("CARGO_PKG_VERSION")).to_owned())
        .set_compression(Compression::GZIP(GzipLevel::default()))
        .build();
    let mut writer = SerializedFileWriter::new(Vec::new(), Arc::new(schema), Arc::new(properties))?;
    for first in (0..rows).step_by(GROUP) {
        let end = rows.min(first + GROUP);
        let mut group = writer.next_row_group()?;
        for column in columns {
            if let Some(mut page) = group.next_column()? {
                column.cells.write(&mut page, first, end)?;
                page.close()?;
            }
        }
        group.close()?;
    }
    writer.into_inner()
}

impl Cells<'_> {
    fn len(&self) -> usize {
        match self {
            Cells::Text(cells) => cells.len(),
            Cells::Days(cells) => cells.len(),
            Cells::Numbers(cells) => cells.len(),
        }
    }

    /// The column's line in the schema.
    fn field(&self, name: &str) -> String {
        match self {
            Cells::Text(_) => format!("required binary {name} (utf8); "),
            Cells::Days(_) => format!("required int32 {name} (date); "),
            Cells::Numbers(_) => format!("optional double {name}; "),
        }
    }

    /// Writes the cells from `first` to before `end`.
    fn write(
        &self,
        page: &mut SerializedColumnWriter<'_>,
        first: usize,
        end: usize,
    ) -> Result<(), ParquetError> {
        match self {
            Cells::Text(cells) => {
                let texts: Vec<ByteArray> =
                    cells[first..end].iter().map(|&text| ByteArray::from(text)).collect();
                page.typed::<ByteArrayType>().write_batch(&texts, None, None)?;
            }
            Cells::Days(cells) => {
                let epoch = NaiveDate::default().num_days_from_ce();
                let days: Vec<i32> =
                    cells[first..end].iter().map(|day| day.num_days_from_ce() - epoch).collect();
                page.typed::<Int32Type>().write_batch(&days, None, None)?;
            }
            Cells::Numbers(cells) => {
                let there: Vec<i16> =
                    cells[first..end].iter().map(|cell| i16::from(cell.is_some())).collect();
                let numbers: Vec<f64> = cells[first..end].iter().copied().flatten().collect();
                page.typed::<DoubleType>().write_batch(&numbers, Some(&there), None)?;
            }
        }
        Ok(())
    }
}
