//! How a table that lives elsewhere is taken up: `[tables.NAME]` of `project.toml`.

use std::collections::BTreeMap;

use encoding_rs::Encoding;
use rust_decimal::Decimal;

use crate::{
    intake::{
        cell::number::Mark,
        corrected::Corrections,
        mapped::{Pattern, Template},
    },
    project::{FeatureKind, Standing},
};

/// Where a table or layer is, how its rows are laid out there, and what its columns and cells stand for.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Mapping {
    /// The files, where it is not called as the table: names, or patterns such as `tallies/*.csv`.
    pub(crate) files: Vec<String>,
    /// The sheets of a workbook.
    pub(crate) sheets: Sheets,
    /// How the letters of its files are encoded, where no mark in them says so.
    pub(crate) encoding: Option<&'static Encoding>,
    /// The headings of a file that has none.
    pub(crate) headings: Vec<String>,
    /// How many rows the headings take; 0 is not said: one.
    pub(crate) heading_rows: usize,
    /// A heading: rows in which its cell is empty go on from the row above.
    pub(crate) wrapped: Option<String>,
    /// Columns whose empty cells repeat the cell above.
    pub(crate) fill_down: Vec<String>,
    /// Rows that are left out, by column and what stands in it.
    pub(crate) skip: BTreeMap<String, Vec<Pattern>>,
    /// The only rows that are taken, by column and what stands in it.
    pub(crate) only: BTreeMap<String, Vec<Pattern>>,
    /// Columns of which each set of cells is taken once, by its first row.
    pub(crate) once: Vec<String>,
    /// Headings that hold values, and the column into which their cells go, a row each.
    pub(crate) wide: Vec<(Pattern, String)>,
    /// Whether each row is one plant.
    pub(crate) plants: bool,
    /// Headings that are none of ours, whatever they are called.
    pub(crate) ignore: Vec<Pattern>,
    /// Headings as they stand in the file, and the columns that they stand for.
    pub(crate) columns: BTreeMap<String, String>,
    /// Columns whose cells are made: of a text, or of other cells.
    pub(crate) set: BTreeMap<String, Template>,
    /// By column, what stands in a cell and what it stands for.
    pub(crate) values: BTreeMap<String, BTreeMap<String, String>>,
    /// Words for an empty cell.
    pub(crate) empty: Vec<String>,
    /// What an empty cell stands for, by column.
    pub(crate) blank: BTreeMap<String, Blank>,
    /// By column, what its numbers are multiplied by to be in its unit.
    pub(crate) times: BTreeMap<String, Decimal>,
    /// Columns that are added up over rows that agree in all others that are read.
    pub(crate) sum: Vec<String>,
    /// How dates are written that ISO 8601 does not settle.
    pub(crate) dates: DateOrder,
    /// What stands before the decimals.
    pub(crate) decimals: Option<Mark>,
    /// Which sums are money out.
    pub(crate) sign: Option<Sign>,
    /// Rows whose sums came in, by column and what stands in it.
    pub(crate) came_in: BTreeMap<String, Vec<Pattern>>,
    /// What becomes of money that came in.
    pub(crate) money_in: Option<MoneyIn>,
    /// Words of rows, and what becomes of money that came in by them.
    pub(crate) money_in_by: Vec<(String, MoneyIn)>,
    /// The tax within each payment that does not state its own.
    pub(crate) tax: Option<Tax>,
    /// What a layer or a terrain model does not say of itself.
    pub(crate) told: Told,
    /// The lines of the budget, by which the column of them is known.
    pub(crate) budget: Vec<String>,
    /// Corrections of single cells, of whatever table.
    pub(crate) corrections: Corrections,
}

/// What the settings say of a layer or a terrain model in its stead.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Told {
    /// EPSG code of the coordinate reference system.
    pub(crate) crs: Option<u16>,
    /// Metres in one unit of height.
    pub(crate) heights: Option<f64>,
    /// The height that stands for none.
    pub(crate) missing: Option<f64>,
    /// What every feature is that does not say so itself.
    pub(crate) kind: Option<FeatureKind>,
    /// Whether every feature that does not say so itself was there before.
    pub(crate) status: Option<Standing>,
}

impl Mapping {
    /// Whether rows are laid out otherwise than in the file.
    pub(crate) fn reshapes(&self) -> bool {
        self.files.len() > 1
            || matches!(self.sheets, Sheets::These(_) | Sheets::All)
            || self.plants
            || self.wrapped.is_some()
            || !(self.headings.is_empty()
                && self.fill_down.is_empty()
                && self.skip.is_empty()
                && self.only.is_empty()
                && self.once.is_empty()
                && self.wide.is_empty()
                && self.sum.is_empty()
                && self.set.is_empty())
    }
}

/// Which sheets of a workbook hold the table.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) enum Sheets {
    /// Not said: the one that bears its name or its headings.
    #[default]
    Likely,
    /// This one; whatever others hold is asked about.
    One(String),
    /// These, one after another, and no others.
    These(Vec<String>),
    /// Every sheet in view.
    All,
}

/// What an empty cell stands for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Blank {
    /// Nothing was recorded.
    NotRecorded,
    /// This.
    Text(String),
}

/// Which comes first in a date such as 3/4/2025.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// Not said: a date that could be two days is a doubt.
    #[default]
    Unstated,
    /// The day.
    DayFirst,
    /// The month.
    MonthFirst,
}

/// Which sums are money out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// Those above nothing; those below are refunds.
    OutIsPositive,
    /// Those below nothing; those above came in.
    OutIsNegative,
}

/// What becomes of money that came in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum MoneyIn {
    /// It is no spending.
    LeftOut,
    /// It was paid back, and is taken off what was spent.
    Refunds,
}

/// Tax within a payment: this part of it, the first number over the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Tax(pub(crate) Decimal, pub(crate) Decimal);
