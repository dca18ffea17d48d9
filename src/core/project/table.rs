//! Tables: the columns that each has, declared once beside its row type, and its rows as cells.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::{
    project::{AreaId, PlotId, SpeciesId},
    units::{Hectares, Metres, Money, Stems},
};

/// A row of one of the folder's tables.
///
/// The declaration is all that the reader, `project.toml`'s mappings, the workbook and the README know of the table.
pub trait TableRow: Sized + 'static {
    /// The table's name, which is also its file's and that of its mapping.
    const TABLE: &'static str;
    /// Its columns, in the order in which the workbook has them.
    const COLUMNS: &'static [Column<Self>];
}

/// A column of the table of which `R` is a row.
pub struct Column<R> {
    name: &'static str,
    needed: bool,
    /// Whether it is left out of a table in which no row has it.
    where_used: bool,
    cell: Option<fn(&R) -> Cell>,
}

impl<R> Column<R> {
    /// Its name.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// Its name, and its cell in `row`; `None` for a column whose cells live on in others.
    pub fn of(&self, row: &R) -> Option<(&'static str, Cell)> {
        Some((self.name, (self.cell?)(row)))
    }

    /// A column that must be there and be filled in every row.
    pub const fn needed(name: &'static str, cell: fn(&R) -> Cell) -> Column<R> {
        Column { name, needed: true, where_used: false, cell: Some(cell) }
    }

    /// A column that may be there.
    pub const fn optional(name: &'static str, cell: fn(&R) -> Cell) -> Column<R> {
        Column { name, needed: false, where_used: false, cell: Some(cell) }
    }

    /// A column that may be there, and that the table as it was understood has only where a row has something in it.
    pub const fn where_used(name: &'static str, cell: fn(&R) -> Cell) -> Column<R> {
        Column { name, needed: false, where_used: true, cell: Some(cell) }
    }

    /// A column that may be there and whose cells live on in others: an easting becomes a longitude.
    pub const fn taken_up(name: &'static str) -> Column<R> {
        Column { name, needed: false, where_used: false, cell: None }
    }
}

/// The head of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// Its name, with its unit.
    pub name: &'static str,
    /// Whether it must be there and be filled in every row.
    pub needed: bool,
    /// Whether the rows of the table, as it was understood, have a cell for it.
    pub kept: bool,
}

/// One table as it was understood.
pub struct Table<'a> {
    /// Its name.
    pub name: &'static str,
    /// Its columns.
    pub heads: Vec<Head>,
    /// Its rows, a cell for each column that is kept, made one by one: a million of them at once would fill the memory.
    pub rows: Box<dyn Iterator<Item = Vec<Cell>> + 'a>,
}

impl<'a> Table<'a> {
    /// The table of these `rows`.
    pub(crate) fn of<R: TableRow>(rows: impl IntoIterator<Item = &'a R, IntoIter: Clone + 'a>) -> Table<'a> {
        let rows = rows.into_iter();
        let kept = |column: &Column<R>| match column.cell {
            Some(cell) if column.where_used => rows.clone().any(|row| cell(row) != Cell::Empty),
            cell => cell.is_some(),
        };
        let columns: Vec<(&Column<R>, bool)> =
            R::COLUMNS.iter().map(|column| (column, kept(column))).collect();
        let head = |(column, kept): &(&Column<R>, bool)| Head {
            name: column.name,
            needed: column.needed,
            kept: *kept,
        };
        let heads = columns.iter().map(head).collect();
        let cells = move |row: &R| {
            let kept = columns.iter().filter(|(_, kept)| *kept);
            kept.filter_map(|(column, _)| Some(column.cell?(row))).collect()
        };
        Table { name: R::TABLE, heads, rows: Box::new(rows.map(cells)) }
    }
}

/// One cell, as any spreadsheet can hold it.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing was recorded.
    Empty,
    /// Text, never a formula.
    Text(String),
    /// A number.
    Number(f64),
    /// A sum of money, which is told to the cent.
    Money(Money),
    /// A day.
    Day(NaiveDate),
}

impl Cell {
    /// `yes` or `no`.
    #[must_use]
    pub fn yes(is: bool) -> Cell {
        if is { "yes" } else { "no" }.into()
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Cell {
        Cell::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Cell {
        Cell::Text(text)
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Cell {
        Cell::Text(text.clone())
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Cell {
        match number.is_finite() {
            true => Cell::Number(number),
            false => Cell::Empty,
        }
    }
}

impl From<u64> for Cell {
    #[allow(clippy::cast_precision_loss, reason = "a spreadsheet holds no larger number exactly")]
    fn from(number: u64) -> Cell {
        Cell::Number(number as f64)
    }
}

impl From<u32> for Cell {
    fn from(number: u32) -> Cell {
        Cell::Number(f64::from(number))
    }
}

impl From<Money> for Cell {
    fn from(sum: Money) -> Cell {
        Cell::Money(sum)
    }
}

impl From<NaiveDate> for Cell {
    fn from(day: NaiveDate) -> Cell {
        Cell::Day(day)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Cell {
        cell.map_or(Cell::Empty, Into::into)
    }
}

/// The text or the number inside a type that means more than its inside.
macro_rules! inside {
    ($($outer:ty => |$it:ident| $inside:expr),* $(,)?) => {
        $(impl From<$outer> for Cell {
            fn from($it: $outer) -> Cell {
                $inside.into()
            }
        })*
    };
}

inside! {
    &Arc<str> => |text| &**text,
    &AreaId => |id| &*id.0,
    &PlotId => |id| &*id.0,
    &SpeciesId => |id| &*id.0,
    Stems => |stems| stems.0,
    Metres => |length| length.0,
    Hectares => |size| size.0,
}
