//! `stock`: the plants of the plan: shares, plants to hand, seed.

use std::collections::BTreeMap;

use crate::{
    intake::{records::Known, table::Table},
    problem::{Problem, Records},
    project::{Stock, StockLine},
    units::{Share, Stems},
};

/// More seeds than the finest dust holds in a gram.
const MOST_SEEDS: f64 = 1e6;

/// Every species of the stock, once.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<StockLine> {
    let mut seen = BTreeMap::new();
    table.each(problems, |row| {
        let species = row.species("species", known);
        let share = row.number("share", (0.0, 1e6), "a share of the stems, 0 or more");
        let in_hand = row.whole("in_hand", (0, 1_000_000), "a whole number of plants, 0 or more");
        let mut percent = |column: &str| {
            row.number(column, (0.0, 100.0), "a percentage from 0 to 100")
                .map(|percent| Share::nearest(percent / 100.0))
        };
        let (germination, purity) = (percent("germination_percent"), percent("purity_percent"));
        let overage = percent("overage_percent");
        let seeds_per_gram = row.number("seeds_per_gram", (0.0, MOST_SEEDS), "pure seeds in a gram");
        let stock = row.word("stock", &Stock::ALL, Stock::words);
        let provenance = row.text("provenance");
        let order_months = row.whole("order_months", (1, 60), "whole months, from 1 to 60");
        let line = StockLine {
            species: species?,
            share,
            in_hand: in_hand.map(|plants: u32| Stems(plants.into())),
            germination,
            purity,
            seeds_per_gram,
            overage,
            stock,
            provenance,
            order_months,
            source: row.source(),
        };
        if let Some(&first) = seen.get(&line.species) {
            row.say("species", Records::IdTwice { what: "species", id: line.species.to_string(), first });
            return None;
        }
        seen.insert(line.species.clone(), line.source.row);
        Some(line)
    })
}
