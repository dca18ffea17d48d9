//! The plants of the plan: what is to hand, how they are raised.

use crate::{
    project::{Column, SpeciesId, Stock, TableRow},
    source::Row,
    units::{Share, Stems},
};

/// How plants are ordered and raised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NurseryRules {
    /// Plants beyond those in the plan, as a share of them.
    pub spares: Share,
    /// Plants in a tray; orders are made up to whole trays.
    pub tray: Option<u8>,
    /// Of seedlings pricked out, those that grow on.
    pub pricking: Option<Share>,
    /// Of plants hardened off, those fit to plant.
    pub hardening: Option<Share>,
    /// Months before planting by which the nursery wants the order, where it says so.
    pub order_months: Option<u8>,
}

impl Default for NurseryRules {
    /// A twentieth more than planned: losses come by the tray and by the frost (advice, no source).
    fn default() -> NurseryRules {
        NurseryRules {
            spares: Share::nearest(0.05),
            tray: None,
            pricking: None,
            hardening: None,
            order_months: None,
        }
    }
}

/// One row of the stock table.
#[derive(Debug, Clone, PartialEq)]
pub struct StockLine {
    /// The species.
    pub species: SpeciesId,
    /// Its share of the stems, against the other rows' shares.
    pub share: Option<f64>,
    /// Plants to hand already.
    pub in_hand: Option<Stems>,
    /// Share of pure seeds that give a normal seedling.
    pub germination: Option<Share>,
    /// Share of the mass of the seed lot that is seed of the species.
    pub purity: Option<Share>,
    /// Pure seeds in a gram.
    pub seeds_per_gram: Option<f64>,
    /// Seed sown beyond what the shares ask for.
    pub overage: Option<Share>,
    /// The stock to order.
    pub stock: Option<Stock>,
    /// Where its seed is to come from.
    pub provenance: Option<String>,
    /// Months before planting by which this species must be ordered, where it differs from the others.
    pub order_months: Option<u32>,
    /// The row of the table.
    pub source: Row,
}

impl StockLine {
    /// The lines that ask for a share of the stems, with it.
    pub fn shares(stock: &[StockLine]) -> impl Iterator<Item = (&StockLine, f64)> {
        stock.iter().filter_map(|line| Some((line, line.share?))).filter(|(_, share)| *share > 0.0)
    }
}

fn percent(share: Share) -> f64 {
    share.part() * 100.0
}

impl TableRow for StockLine {
    const TABLE: &'static str = "stock";
    const COLUMNS: &'static [Column<StockLine>] = &[
        Column::needed("species", |row| (&row.species).into()),
        Column::optional("share", |row| row.share.into()),
        Column::optional("in_hand", |row| row.in_hand.into()),
        Column::optional("germination_percent", |row| row.germination.map(percent).into()),
        Column::optional("purity_percent", |row| row.purity.map(percent).into()),
        Column::optional("seeds_per_gram", |row| row.seeds_per_gram.into()),
        Column::optional("overage_percent", |row| row.overage.map(percent).into()),
        Column::optional("stock", |row| row.stock.map(Stock::words).into()),
        Column::optional("provenance", |row| row.provenance.as_deref().into()),
        Column::optional("order_months", |row| row.order_months.map(f64::from).into()),
        Column::taken_up("note"),
    ];
}
