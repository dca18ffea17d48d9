//! Carbon of living wood: by area, from survey to survey, and where it may go.

use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        notes::sentence,
        places::areas_and_all,
        printed::{self, Printed, under},
    },
};
use hillfolio_core::ledger::FigureId;

/// The carbon section.
#[derive(Serialize)]
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
#[derive(Serialize)]
struct Row {
    area: String,
    above: Printed,
    below: Printed,
    stock: Printed,
    cautious: Printed,
}

/// The stock at one survey.
#[derive(Serialize)]
struct Round {
    date: String,
    stock: Printed,
}

/// The stock that a year to come may hold.
#[derive(Serialize)]
struct Ahead {
    year: String,
    stock: Printed,
}

impl Carbon {
    /// `None` where nothing was measured that carbon could be told from.
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Option<Carbon> {
        let ledger = inputs.ledger;
        let all = ledger.figure("carbon.stock.all")?;
        let row = |(area, name): (String, &str)| Row {
            area,
            above: Printed::about(ledger, "carbon.above-ground", name),
            below: Printed::about(ledger, "carbon.below-ground", name),
            stock: Printed::about(ledger, "carbon.stock", name),
            cautious: Printed::about(ledger, "carbon.stock-cautious", name),
        };
        let rounds = ledger.rounds(&FigureId::fixed("carbon.stock.all"));
        let year = |id: &str| Some(id.strip_prefix("carbon.projection.")?.strip_suffix(".all")?.to_owned());
        Some(Carbon {
            rows: areas_and_all(inputs).map(row).collect(),
            change_between: match rounds.as_slice() {
                [.., (then, _), (now, _)] => Some([printed::day(*then), printed::day(*now)]),
                _ => None,
            },
            rounds: rounds
                .into_iter()
                .map(|(date, id)| Round {
                    date: printed::short_day(date),
                    stock: Printed::of(ledger, id.as_str()),
                })
                .collect(),
            change: Printed::find(ledger, "carbon.stock-change.all"),
            projection: under(ledger, "carbon.projection")
                .into_iter()
                .filter_map(|stock| Some(Ahead { year: year(&stock.id)?, stock }))
                .collect(),
            notes: all.notes.iter().map(|note| sentence(note)).collect(),
        })
    }
}
