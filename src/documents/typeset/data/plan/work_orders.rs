//! Work orders: for each crew-day its rows, peg tables, plants by row and tray, and the log to write in.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{photos::degrees, printed::Printed},
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    plan::{self, CrewDay, LegFrom, Peg, PegTable, Plan, RowEnd, TraverseLeg},
    units::{number, whole},
};

/// The work orders of the plan.
#[derive(Serialize, JsonSchema)]
pub(super) struct WorkOrders {
    /// Key figures of all of them.
    figures: Vec<Printed>,
    /// How far a compass points east of true north, where bearings are given as it reads them.
    declination: Option<String>,
    /// Plants in a tray.
    tray: String,
    days: Vec<Day>,
}

/// One crew-day.
#[derive(Serialize, JsonSchema)]
struct Day {
    number: String,
    area: String,
    /// Its figures: rows, metres, stems, trays, hours, metres by slope, what goes along.
    figures: Vec<Printed>,
    /// Whether some of its rows lie on 12° to under 15°, and on 15° and more.
    manual: bool,
    hand: bool,
    tables: Vec<Table>,
    /// Letters of its species, as heads of the columns of plants.
    species: Vec<String>,
    rows: Vec<Row>,
}

/// A peg table.
#[derive(Serialize, JsonSchema)]
struct Table {
    row: String,
    rows: Vec<String>,
    latitude: String,
    longitude: String,
    pegs: Vec<PegRow>,
    beyond: Vec<Beyond>,
}

/// A line of a peg table.
#[derive(Serialize, JsonSchema)]
struct PegRow {
    peg: String,
    chainage: String,
    /// From where, where that is not the peg before.
    from: String,
    leg: LegRow,
    slope: String,
    /// The bearing straight down the slope.
    down: String,
    /// Row and tape in metres, up the slope.
    up: Vec<(String, String)>,
    /// Row and tape in metres, down the slope.
    below: Vec<(String, String)>,
}

/// Bearing, distance and rise as they are printed.
#[derive(Serialize, JsonSchema)]
struct LegRow {
    bearing: String,
    distance: String,
    /// Whether the distance is held level.
    level: bool,
    /// Centimetres; empty where no model tells.
    rise: String,
}

/// A peg of a row between.
#[derive(Serialize, JsonSchema)]
struct Beyond {
    row: String,
    from: String,
    leg: LegRow,
    what: &'static str,
}

/// A row of the day with its plants.
#[derive(Serialize, JsonSchema)]
struct Row {
    number: String,
    length: String,
    by_hand: String,
    first: String,
    stems: String,
    /// Stems of each of the day's species.
    species: Vec<String>,
    /// Where each tray is put down, metres from the row's start, and what it holds.
    trays: Vec<(String, String)>,
}

const ALL: [&Series; 6] = [
    &catalogue::CREW_DAYS,
    &catalogue::CREW_DAY_HOURS,
    &catalogue::SET_OUT_PACE,
    &catalogue::PLANTING_PACE,
    &catalogue::CONTROL_ROWS,
    &catalogue::PEGS,
];

const OF_A_DAY: [&Series; 8] = [
    &catalogue::DAY_ROWS,
    &catalogue::DAY_LENGTH,
    &catalogue::DAY_STEMS,
    &catalogue::DAY_TRAYS,
    &catalogue::DAY_HOURS,
    &catalogue::DAY_BY_MACHINE,
    &catalogue::DAY_BY_MANUAL,
    &catalogue::DAY_BY_HAND,
];

pub(super) fn work_orders(inputs: &ReportInputs<'_>, plan: &Plan) -> Option<WorkOrders> {
    let orders = &plan.work_orders;
    let letters = plan::letters(plan);
    (!orders.days.is_empty()).then(|| WorkOrders {
        figures: ALL
            .iter()
            .filter_map(|series| Printed::find(inputs.ledger, &series.whole()))
            .filter(|one| one.text.is_some())
            .collect(),
        declination: orders.north.declination.map(|east| number(east.0, 1)),
        tray: orders.tray.to_string(),
        days: orders.days.iter().map(|day| of_day(inputs, plan, day, &letters)).collect(),
    })
}

type Letters = std::collections::BTreeMap<hillfolio_core::project::SpeciesId, char>;

fn of_day(inputs: &ReportInputs<'_>, plan: &Plan, day: &CrewDay, letters: &Letters) -> Day {
    let code = day.number.to_string();
    let figures = OF_A_DAY.iter().map(|series| series.id(&[&code]));
    let things = inputs.project.crew.each_stem.iter();
    let things = things.map(|(thing, _)| catalogue::DAY_MATERIAL.id(&[&code, thing]));
    let mut named: Vec<(char, &hillfolio_core::project::SpeciesId)> = day
        .rows
        .iter()
        .flat_map(|row| &row.species)
        .filter_map(|(id, _)| Some((*letters.get(id)?, id)))
        .collect();
    named.sort_unstable();
    named.dedup();
    let bands = day.bands();
    let row = |row: &plan::DayRow| Row {
        number: row.row.to_string(),
        length: number(row.length.0, 0),
        by_hand: if row.bands.by_hand().0 >= 0.5 { number(row.bands.by_hand().0, 0) } else { String::new() },
        first: number(row.first.0, 1),
        stems: whole(row.stems.0),
        species: named
            .iter()
            .map(|(_, id)| {
                let own = row.species.iter().find(|(species, _)| species == *id);
                own.map(|(_, stems)| whole(stems.0)).unwrap_or_default()
            })
            .collect(),
        trays: row
            .loads
            .iter()
            .map(|load| {
                let mut held: Vec<(char, u64)> = load
                    .species
                    .iter()
                    .filter_map(|(id, stems)| Some((*letters.get(id)?, stems.0)))
                    .collect();
                held.sort_unstable();
                let held: Vec<String> =
                    held.into_iter().map(|(letter, stems)| format!("{letter}\u{a0}{stems}")).collect();
                (number(load.from.0, 1), held.join("  "))
            })
            .collect(),
    };
    Day {
        figures: figures.chain(things).filter_map(|id| Printed::find(inputs.ledger, &id)).collect(),
        number: code,
        area: day.area.to_string(),
        manual: bands.manual.0 >= 0.5,
        hand: bands.by_hand().0 >= 0.5,
        tables: day
            .tables
            .iter()
            .filter_map(|at| plan.work_orders.tables.get(*at))
            .map(|(_, one)| table(one))
            .collect(),
        species: named.iter().map(|(letter, _)| letter.to_string()).collect(),
        rows: day.rows.iter().map(row).collect(),
    }
}

fn table(table: &PegTable) -> Table {
    Table {
        row: table.row.to_string(),
        rows: table.rows.iter().map(u32::to_string).collect(),
        latitude: degrees(table.start.y(), 'N', 'S'),
        longitude: degrees(table.start.x(), 'E', 'W'),
        pegs: table.pegs.iter().map(peg).collect(),
        beyond: table
            .beyond
            .iter()
            .map(|one| Beyond {
                row: one.row.to_string(),
                from: from(&one.leg.from),
                leg: leg(&one.leg),
                what: match one.end {
                    Some(RowEnd::Start) => "start",
                    Some(RowEnd::End) => "end",
                    None => "peg",
                },
            })
            .collect(),
    }
}

fn peg(peg: &Peg) -> PegRow {
    let side = |down: bool| {
        let own = peg.taped.iter().filter(|taped| taped.down == down);
        own.map(|taped| {
            let end = match taped.end {
                Some(RowEnd::Start) => " start",
                Some(RowEnd::End) => " end",
                None => "",
            };
            (format!("{}{end}", taped.row), number(taped.tape.0, 1))
        })
        .collect()
    };
    PegRow {
        peg: peg.number.to_string(),
        chainage: number(peg.chainage.0, 1),
        from: if peg.leg.from == LegFrom::Before { String::new() } else { from(&peg.leg.from) },
        leg: leg(&peg.leg),
        slope: peg.slope.map(|slope| format!("{}°", number(slope.0, 0))).unwrap_or_default(),
        down: format!("{:03.0}°", peg.down.0),
        up: side(false),
        below: side(true),
    }
}

fn from(from: &LegFrom) -> String {
    match from {
        LegFrom::Mark(words) => words.clone(),
        LegFrom::Peg { row, peg } => format!("row {row}, peg {peg}"),
        LegFrom::Taped(peg) => format!("its mark at peg {peg}"),
        LegFrom::Before => "the one before".to_owned(),
        LegFrom::Nothing => String::new(),
    }
}

fn leg(leg: &TraverseLeg) -> LegRow {
    LegRow {
        bearing: leg.bearing_words(),
        distance: leg.distance_words(),
        level: leg.level,
        rise: leg.rise_words().unwrap_or_default(),
    }
}
