//! The landholder's plan, whole.

mod infill;
mod plants;
mod rows;
mod sheets;
mod work_orders;

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::typeset::{
    Document, ReportInputs,
    data::{
        Job,
        cover::{self, Cover},
        drawings::{self, Picture},
        meta::{Colophon, Meta, footer_for},
        printed::{self, Printed},
        tree,
    },
};
use hillfolio_core::{
    ledger::{Series, catalogue},
    plan::{self, Plan},
    units::{self, as_written, number},
};

/// Written as PDF/A-2a and PDF/UA-1.
const STANDARDS: &[PdfStandard] = &[PdfStandard::A_2a, PdfStandard::Ua_1];

/// The tree of the plan.
#[derive(Serialize, JsonSchema)]
pub(crate) struct PlanTree {
    meta: Meta,
    footer: String,
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    /// Key figures of the set-out.
    summary: Vec<Printed>,
    design: Design,
    /// By machine and by hand, and the hours that follow.
    work: Vec<Printed>,
    /// How even and how level the rows came out.
    outcome: Vec<Printed>,
    /// What the roundness of the model's heights makes of that.
    by_rounding: Option<String>,
    ground: Vec<rows::PlantableRow>,
    without_rows: Vec<(String, String)>,
    areas: Vec<rows::AreaRows>,
    /// What was planted before and what of it is set again.
    infill: Vec<infill::Infill>,
    /// Whether so many stems can meet the targets on density, in words.
    enough: Vec<String>,
    species: Vec<plants::SpeciesRow>,
    deal: Option<plants::Deal>,
    order: Vec<plants::OrderRow>,
    /// Sums of the order.
    order_totals: Vec<String>,
    nursery: Option<plants::Nursery>,
    /// Plants beyond those in the plan, as the settings say.
    spares: String,
    window: Option<String>,
    calendar: Vec<Task>,
    drawings: PlanDrawings,
    /// How the rows are set out and planted, a crew-day at a time.
    work_orders: Option<work_orders::WorkOrders>,
    sheets: Vec<sheets::TallySheet>,
    photo_points: Vec<(String, String, String)>,
    seed: String,
}

/// What was asked for.
#[derive(Serialize, JsonSchema)]
struct Design {
    spacing: String,
    stem_spacing: String,
    strip: Option<String>,
    pattern: Vec<String>,
    steepest: Option<String>,
    setbacks: Vec<(String, String)>,
    /// Whether stems stand across from the gaps of the row above.
    stagger: bool,
}

/// Something to do.
#[derive(Serialize, JsonSchema)]
struct Task {
    when: String,
    what: &'static str,
}

/// The drawings of the plan.
#[derive(Serialize, JsonSchema)]
struct PlanDrawings {
    overview: Vec<Picture>,
    rows: Vec<Picture>,
    section: Vec<Picture>,
    pattern: Vec<Picture>,
    calendar: Vec<Picture>,
}

/// Key figures, in the order of the page.
const SUMMARY: [&Series; 9] = [
    &catalogue::PLANTABLE,
    &catalogue::ROWS,
    &catalogue::ROW_LENGTH,
    &catalogue::PLANNED_STEMS,
    &catalogue::PLANNED_DENSITY,
    &catalogue::ROW_SPACING_P50,
    &catalogue::ROW_SPACING_HELD,
    &catalogue::ROWS_LEVEL,
    &catalogue::GRASS_EDGE,
];

/// By machine and by hand, in the order of the table.
const WORK: [&Series; 6] = [
    &catalogue::ROWS_BY_MACHINE,
    &catalogue::ROWS_BY_MANUAL,
    &catalogue::ROWS_BY_HAND,
    &catalogue::ROWS_HAND_SHARE,
    &catalogue::SLASHING_HOURS,
    &catalogue::PLANTING_HOURS,
];

/// How rows came out, in the order of the table.
const OUTCOME: [&Series; 11] = [
    &catalogue::ROW_SPACING_P05,
    &catalogue::ROW_SPACING_P50,
    &catalogue::ROW_SPACING_P95,
    &catalogue::ROW_SPACING_HELD,
    &catalogue::ROW_SPACING_HELD_UNSMOOTHED,
    &catalogue::ROWS_LEVEL_LAID,
    &catalogue::ROWS_LEVEL,
    &catalogue::ROWS_LEVEL_PIECES,
    &catalogue::ROWS_LEVEL_STRAIGHT,
    &catalogue::WORKING_CELL,
    &catalogue::WORKING_CELL_CHANGE,
];

/// The grade that rounding makes, in per cent.
fn by_rounding(plan: &Plan) -> Option<String> {
    let grade = plan.as_measured()?.by_rounding.0;
    (grade > 0.0).then(|| number(grade, 1))
}

/// The plan to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>) -> Job {
    let standard = "PDF/A-2a and PDF/UA-1";
    let ledger = inputs.ledger;
    let sheets = inputs.sheets;
    let mut drawings =
        drawings::keyed(&[("map", &sheets.maps), ("rows", &sheets.rows), ("plan", &sheets.plan)]);
    drawings.extend(cover::drawing(inputs));
    let empty = Vec::new();
    let data = PlanTree {
        meta: Meta::of(inputs, Document::Plan.title(), standard),
        footer: footer_for(inputs, &time(inputs)),
        interval_heading: String::new(),
        colophon: Colophon::of(inputs, standard),
        cover: Cover::of(inputs, Document::Plan).for_time(time(inputs)),
        summary: SUMMARY
            .iter()
            .filter_map(|series| Printed::find(ledger, &series.whole()))
            .filter(|one| one.text.is_some())
            .collect(),
        design: design(inputs),
        work: WORK
            .iter()
            .filter_map(|series| Printed::find(ledger, &series.whole()))
            .filter(|one| one.text.is_some())
            .collect(),
        outcome: OUTCOME
            .iter()
            .filter_map(|series| Printed::find(ledger, &series.whole()))
            .filter(|one| one.text.is_some())
            .collect(),
        by_rounding: inputs.plan.and_then(by_rounding),
        ground: inputs.plan.map(|plan| rows::ground(inputs, plan)).unwrap_or_default(),
        without_rows: inputs
            .plan
            .map_or(&empty, |plan| &plan.without_rows)
            .iter()
            .map(|(area, why)| (area.to_string(), why.to_string()))
            .collect(),
        areas: inputs.plan.map(|plan| rows::areas(inputs, plan)).unwrap_or_default(),
        infill: inputs.plan.map(|plan| infill::infill(inputs, plan)).unwrap_or_default(),
        enough: ledger
            .figure_of(&catalogue::PLANNED_DENSITY, &[])
            .map(|figure| figure.notes.clone())
            .unwrap_or_default(),
        species: inputs.plan.map(|plan| plants::species(inputs, plan)).unwrap_or_default(),
        deal: inputs.plan.and_then(plants::assignment),
        order: inputs.plan.map(|plan| plants::order(inputs, plan)).unwrap_or_default(),
        order_totals: inputs.plan.map(plants::totals).unwrap_or_default(),
        nursery: inputs.plan.and_then(plants::nursery),
        spares: units::percent(inputs.project.nursery.spares.part(), 0),
        window: inputs.plan.and_then(window),
        calendar: inputs.plan.map(|plan| calendar(inputs, plan)).unwrap_or_default(),
        drawings: plan_drawings(inputs),
        work_orders: inputs.plan.and_then(|plan| work_orders::work_orders(inputs, plan)),
        sheets: sheets::tallies(inputs),
        photo_points: inputs
            .project
            .photo_points
            .iter()
            .map(|point| {
                (
                    point.id.to_string(),
                    format!("{:03.0}°", point.bearing.0),
                    point.about.clone().unwrap_or_default(),
                )
            })
            .collect(),
        seed: plan::SEED.to_string(),
    };
    Job {
        name: format!("{}.pdf", Document::Plan.name()),
        template: "plan.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings,
        standards: STANDARDS,
    }
}

/// The time that the plan is for: its planting and the care that follows; where no planting is in sight, what it was made from.
fn time(inputs: &ReportInputs<'_>) -> String {
    let to = printed::day(inputs.project.period.to);
    match inputs.plan.and_then(|plan| plan.planting) {
        Some(planting) => format!("planting from {}, records to {to}", planting.format("%B %Y")),
        None => format!("records to {to}"),
    }
}

fn metres(metres: f64) -> String {
    format!("{}\u{a0}m", as_written(metres))
}

fn design(inputs: &ReportInputs<'_>) -> Design {
    let Some(design) = &inputs.project.design else {
        let none = String::new;
        return Design {
            spacing: none(),
            stem_spacing: none(),
            strip: None,
            pattern: Vec::new(),
            steepest: None,
            setbacks: Vec::new(),
            stagger: false,
        };
    };
    Design {
        spacing: metres(design.spacing.0),
        stem_spacing: metres(design.stem_spacing.0),
        strip: design.strip.map(|strip| metres(strip.0)),
        pattern: design.pattern.clone(),
        steepest: design.steepest.map(|steepest| format!("{}°", number(steepest.0, 0))),
        setbacks: design
            .setback
            .iter()
            .map(|(kind, metres_of)| (kind.words().to_owned(), metres(metres_of.0)))
            .collect(),
        stagger: design.stagger,
    }
}

fn window(plan: &Plan) -> Option<String> {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let months = &plan.window.as_ref()?.months;
    let name = |month: &u32| MONTHS.get(*month as usize - 1).copied();
    let (first, last) = (months.first().and_then(name)?, months.last().and_then(name)?);
    Some(if first == last { first.to_owned() } else { format!("{first} to {last}") })
}

/// What to do when; what should have been begun before the reporting period ended is to be done at once.
fn calendar(inputs: &ReportInputs<'_>, plan: &Plan) -> Vec<Task> {
    let when = |day: chrono::NaiveDate| {
        let month = day.format("%B %Y");
        if day > inputs.project.period.to { month.to_string() } else { format!("at once (due {month})") }
    };
    plan.calendar.iter().map(|entry| Task { when: when(entry.day), what: entry.task.words() }).collect()
}

fn plan_drawings(inputs: &ReportInputs<'_>) -> PlanDrawings {
    let sheets = inputs.sheets;
    let named = |name: &'static str| {
        let found = sheets.plan.iter().enumerate().filter(move |(_, one)| one.name == name);
        found.map(|(at, one)| Picture::of("plan", at, one)).collect()
    };
    let overview = sheets.maps.iter().enumerate();
    let overview = overview.filter(|(_, map)| map.name == "site-map" || map.name.starts_with("slope-map"));
    PlanDrawings {
        overview: overview.map(|(at, map)| Picture::of("map", at, map)).collect(),
        rows: sheets.rows.iter().enumerate().map(|(at, map)| Picture::of("rows", at, map)).collect(),
        section: named("section"),
        pattern: named("pattern"),
        calendar: named("calendar"),
    }
}
