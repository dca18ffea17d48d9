//! The planting log.

use chrono::NaiveDate;

use crate::{
    project::{AreaId, Claims, Column, SpeciesId, TableRow},
    source::Row,
    units::Stems,
};

/// The stock that went into the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stock {
    /// Seedlings grown in tubes.
    Tubestock,
    /// Seedlings grown in cell trays.
    SeedlingTray,
    /// Seed sown in place.
    DirectSeed,
    /// Cuttings.
    Cutting,
    /// Plants in larger pots.
    Potted,
}

impl Stock {
    /// Every kind of stock.
    pub const ALL: [Stock; 5] =
        [Stock::Tubestock, Stock::SeedlingTray, Stock::DirectSeed, Stock::Cutting, Stock::Potted];

    /// The stock in words, as it is written in the planting log.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Stock::Tubestock => "tubestock",
            Stock::SeedlingTray => "seedling tray",
            Stock::DirectSeed => "direct seed",
            Stock::Cutting => "cutting",
            Stock::Potted => "potted",
        }
    }
}

/// One row of the planting log.
#[derive(Debug, Clone, PartialEq)]
pub struct Planting {
    /// The day of planting.
    pub date: NaiveDate,
    /// Where.
    pub area: AreaId,
    /// What.
    pub species: SpeciesId,
    /// How many.
    pub stems: Stems,
    /// Which stock.
    pub stock: Option<Stock>,
    /// Where the seed came from.
    pub provenance: Option<String>,
    /// Who grew it.
    pub supplier: Option<String>,
    /// The planting row.
    pub row: Option<String>,
    /// The batch.
    pub batch: Option<String>,
    /// The guard put round each stem.
    pub guard: Option<String>,
    /// The batch that this infill replaces.
    pub replaces: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// The agreements that it names.
    pub claims: Claims,
    /// The row of the table.
    pub source: Row,
}

impl Planting {
    /// The cohort: the year of planting.
    #[must_use]
    pub fn cohort(&self) -> i32 {
        use chrono::Datelike;
        self.date.year()
    }
}

impl TableRow for Planting {
    const TABLE: &'static str = "plantings";
    const COLUMNS: &'static [Column<Planting>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("area", |row| (&row.area).into()),
        Column::needed("species", |row| (&row.species).into()),
        Column::needed("stems", |row| row.stems.into()),
        Column::optional("stock", |row| row.stock.map(Stock::words).into()),
        Column::optional("provenance", |row| row.provenance.as_ref().into()),
        Column::optional("supplier", |row| row.supplier.as_ref().into()),
        Column::optional("row", |row| row.row.as_ref().into()),
        Column::optional("batch", |row| row.batch.as_ref().into()),
        Column::optional("guard", |row| row.guard.as_ref().into()),
        Column::optional("replaces", |row| row.replaces.as_ref().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
        Column::where_used("agreement", |row| (&row.claims).into()),
    ];
}
