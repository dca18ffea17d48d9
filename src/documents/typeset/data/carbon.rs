//! Carbon of living wood: by area, from survey to survey, and where it may go.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        notes::sentence,
        places::areas_and_all,
        printed::{self, Printed, each},
    },
};
use hillfolio_core::ledger::catalogue;

/// The carbon section.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Carbon {
    rows: Vec<Row>,
    rounds: Vec<Round>,
    change: Option<Printed>,
    /// The two surveys between which the stock changed.
    change_between: Option<[String; 2]>,
    projection: Vec<Ahead>,
    /// What a reader must know of the stock of all areas.
    notes: Vec<String>,
}

/// The carbon of one area.
#[derive(Serialize, JsonSchema)]
struct Row {
    area: String,
    above: Printed,
    below: Printed,
    stock: Printed,
    cautious: Printed,
}

/// The stock at one survey.
#[derive(Serialize, JsonSchema)]
struct Round {
    date: String,
    stock: Printed,
}

/// The stock that a year to come may hold.
#[derive(Serialize, JsonSchema)]
struct Ahead {
    year: String,
    stock: Printed,
}

impl Carbon {
    /// `None` where nothing was measured that carbon could be told from.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Option<Carbon> {
        let ledger = inputs.ledger;
        let all = ledger.figure_of(&catalogue::CARBON_STOCK, &["all"])?;
        let row = |(area, name): (String, &str)| Row {
            area,
            above: Printed::about(ledger, &catalogue::CARBON_ABOVE_GROUND, name),
            below: Printed::about(ledger, &catalogue::CARBON_BELOW_GROUND, name),
            stock: Printed::about(ledger, &catalogue::CARBON_STOCK, name),
            cautious: Printed::about(ledger, &catalogue::CARBON_STOCK_CAUTIOUS, name),
        };
        let rounds = ledger.rounds(&catalogue::CARBON_STOCK.whole());
        let ahead = |(codes, stock): (Vec<&str>, Printed)| match codes.as_slice() {
            [year, "all"] => Some(Ahead { year: (*year).to_owned(), stock }),
            _ => None,
        };
        Some(Carbon {
            rows: areas_and_all(inputs).map(row).collect(),
            change_between: match rounds.as_slice() {
                [.., (then, _), (now, _)] => Some([printed::day(*then), printed::day(*now)]),
                _ => None,
            },
            rounds: rounds
                .into_iter()
                .map(|(date, id)| Round { date: printed::short_day(date), stock: Printed::of(ledger, &id) })
                .collect(),
            change: Printed::find(ledger, &catalogue::CARBON_STOCK_CHANGE.whole()),
            projection: each(ledger, &catalogue::CARBON_PROJECTION).filter_map(ahead).collect(),
            notes: all.notes.iter().map(|note| sentence(note)).collect(),
        })
    }
}
