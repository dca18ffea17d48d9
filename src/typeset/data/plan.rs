//! The landholder's plan, whole.

use std::collections::BTreeMap;

use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::{
    plan::{self, LaidOn, Plan, RowLine},
    project::{Role, SpeciesId, Tolerance},
    typeset::{
        Document, Matter,
        data::{
            Job,
            cover::{self, Cover},
            drawings::{self, Picture},
            meta::{Colophon, Meta, footer},
            photos::degrees,
            plan_sheets::{self, TallySheet},
            printed::{self, Printed},
            tree,
        },
    },
    units::{self, number, whole},
};

/// Written as PDF/A-2a and PDF/UA-1.
const STANDARDS: &[PdfStandard] = &[PdfStandard::A_2a, PdfStandard::Ua_1];

/// The tree of the plan.
#[derive(Serialize)]
struct PlanTree {
    meta: Meta,
    footer: String,
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    /// Key figures of the set-out.
    summary: Vec<Printed>,
    design: Design,
    ground: Vec<Ground>,
    without_rows: Vec<(String, String)>,
    areas: Vec<AreaRows>,
    species: Vec<SpeciesRow>,
    order: Vec<OrderRow>,
    nursery: Option<Nursery>,
    /// Plants beyond those in the plan, as the settings say.
    spares: String,
    window: Option<String>,
    calendar: Vec<Task>,
    drawings: PlanDrawings,
    sheets: Vec<TallySheet>,
    photo_points: Vec<(String, String, String)>,
    seed: String,
}

/// What was asked for.
#[derive(Serialize)]
struct Design {
    spacing: String,
    stem_spacing: String,
    strip: Option<String>,
    pattern: Vec<String>,
    steepest: Option<String>,
    setbacks: Vec<(String, String)>,
}

/// What of an area can be planted, and what takes the rest.
#[derive(Serialize)]
struct Ground {
    area: String,
    whole: Printed,
    plantable: Printed,
    taken_out: Vec<(String, String)>,
}

/// The rows of one area.
#[derive(Serialize)]
struct AreaRows {
    area: String,
    /// Whether they follow a drawn line instead of the contour.
    guided: bool,
    rows: Vec<RowRow>,
}

/// One row.
#[derive(Serialize)]
struct RowRow {
    number: String,
    length: String,
    stems: String,
    latitude: String,
    longitude: String,
    species: String,
}

/// One species of the plan.
#[derive(Serialize)]
struct SpeciesRow {
    letter: String,
    scientific: String,
    common: String,
    form: &'static str,
    role: &'static str,
    stems: Printed,
    cautions: Vec<&'static str>,
}

/// One line of the order.
#[derive(Serialize)]
struct OrderRow {
    species: String,
    planned: String,
    spares: String,
    in_hand: String,
    order: Printed,
    trays: String,
    seeds: String,
    grams: String,
}

/// The days of the nursery.
#[derive(Serialize)]
struct Nursery {
    order: String,
    sow: String,
    plant: String,
}

/// Something to do.
#[derive(Serialize)]
struct Task {
    when: String,
    what: &'static str,
}

/// The drawings of the plan.
#[derive(Serialize)]
struct PlanDrawings {
    overview: Vec<Picture>,
    rows: Vec<Picture>,
    section: Vec<Picture>,
    pattern: Vec<Picture>,
    calendar: Vec<Picture>,
}

/// Key figures, in the order of the page.
const SUMMARY: [&str; 8] = [
    "plan.area.all",
    "plan.rows",
    "plan.row-length",
    "plan.stems.all",
    "plan.spacing.p50",
    "plan.spacing.held",
    "plan.level",
    "plan.edge",
];

/// The plan to be set.
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let standard = "PDF/A-2a and PDF/UA-1";
    let ledger = matter.ledger;
    let mut images: Vec<(String, Vec<u8>)> = cover::images(matter).into_iter().collect();
    images.extend(drawings::images(matter));
    let empty = Vec::new();
    let data = PlanTree {
        meta: Meta::of(matter, Document::Plan.title(), standard),
        footer: footer(matter),
        interval_heading: String::new(),
        colophon: Colophon::of(matter, standard),
        cover: Cover::of(matter, Document::Plan),
        summary: SUMMARY
            .iter()
            .filter_map(|id| Printed::find(ledger, id))
            .filter(|one| one.text.is_some())
            .collect(),
        design: design(matter),
        ground: matter.plan.map(|plan| ground(matter, plan)).unwrap_or_default(),
        without_rows: matter
            .plan
            .map_or(&empty, |plan| &plan.without_rows)
            .iter()
            .map(|(area, why)| (area.to_string(), why.to_string()))
            .collect(),
        areas: matter.plan.map(areas).unwrap_or_default(),
        species: matter.plan.map(|plan| species(matter, plan)).unwrap_or_default(),
        order: matter.plan.map(|plan| order(matter, plan)).unwrap_or_default(),
        nursery: matter.plan.and_then(nursery),
        spares: units::percent(matter.project.nursery.spares.part(), 0),
        window: matter.plan.and_then(window),
        calendar: matter.plan.map(calendar).unwrap_or_default(),
        drawings: plan_drawings(matter),
        sheets: plan_sheets::tallies(matter),
        photo_points: matter
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
        images,
        standards: STANDARDS,
    }
}

/// As the settings say it: a whole number without decimals.
fn metres(metres: f64) -> String {
    let decimals = match metres {
        _ if metres.fract() == 0.0 => 0,
        _ if (metres * 10.0).fract().abs() < 1e-9 => 1,
        _ => 2,
    };
    format!("{}\u{a0}m", number(metres, decimals))
}

fn design(matter: &Matter<'_>) -> Design {
    let Some(design) = &matter.project.design else {
        let none = String::new;
        return Design {
            spacing: none(),
            stem_spacing: none(),
            strip: None,
            pattern: Vec::new(),
            steepest: None,
            setbacks: Vec::new(),
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
    }
}

fn ground(matter: &Matter<'_>, plan: &Plan) -> Vec<Ground> {
    plan.plantable
        .iter()
        .map(|ground| Ground {
            area: ground.area.to_string(),
            whole: Printed::about(matter.ledger, "site.area", &ground.area.0),
            plantable: Printed::about(matter.ledger, "plan.area", &ground.area.0),
            taken_out: ground
                .taken_out
                .iter()
                .map(|taken| (taken.reason.to_string(), number(taken.hectares.0, 2)))
                .collect(),
        })
        .collect()
}

fn areas(plan: &Plan) -> Vec<AreaRows> {
    let mut rows: BTreeMap<String, Vec<RowRow>> = BTreeMap::new();
    for line in plan::row_list(plan) {
        rows.entry(line.area.to_string()).or_default().push(row(line));
    }
    plan.areas
        .iter()
        .map(|area| {
            let name = area.rows.plantable.area.to_string();
            AreaRows {
                guided: matches!(area.rows.laid_on, LaidOn::GuideLine(_)),
                rows: rows.remove(&name).unwrap_or_default(),
                area: name,
            }
        })
        .collect()
}

fn row(line: RowLine) -> RowRow {
    RowRow {
        number: line.number.to_string(),
        length: number(line.length.0, 0),
        stems: whole(line.stems.0),
        latitude: degrees(line.start.y(), 'N', 'S'),
        longitude: degrees(line.start.x(), 'E', 'W'),
        species: line.species,
    }
}

fn species(matter: &Matter<'_>, plan: &Plan) -> Vec<SpeciesRow> {
    let letters = plan::letters(plan);
    let Some(dealt) = &plan.dealt else { return Vec::new() };
    let mut rows: Vec<(u64, SpeciesRow)> = dealt
        .totals
        .iter()
        .filter(|(_, stems)| stems.0 > 0)
        .map(|(id, stems)| (stems.0, species_row(matter, id, letters.get(id).copied())))
        .collect();
    rows.sort_by_key(|(stems, _)| std::cmp::Reverse(*stems));
    rows.into_iter().map(|(_, row)| row).collect()
}

fn species_row(matter: &Matter<'_>, id: &SpeciesId, letter: Option<char>) -> SpeciesRow {
    let known = matter.project.species.get(id);
    let sensitive = known.into_iter().flat_map(|species| {
        [
            (species.frost, "not where frost settles"),
            (species.drought, "not on ground that dries out"),
            (species.waterlogging, "not in wet ground"),
        ]
    });
    SpeciesRow {
        letter: letter.map(String::from).unwrap_or_default(),
        scientific: id.to_string(),
        common: known.and_then(|species| species.common_name.clone()).unwrap_or_default(),
        form: known.and_then(|species| species.form).map_or("", |form| form.word()),
        role: match known.and_then(|species| species.role) {
            Some(Role::Pioneer) => "pioneer: comes first, grows fast, shades out grass",
            Some(Role::Secondary) => "second: follows the pioneers, feeds and shelters",
            Some(Role::Late) => "late: long-lived tree of the grown forest",
            Some(Role::Ground) => "ground layer: holds the soil between the trees",
            None => "not recorded",
        },
        stems: Printed::about(matter.ledger, "plan.stems", &id.0),
        cautions: sensitive
            .filter(|(bears, _)| *bears == Tolerance::Sensitive)
            .map(|(_, words)| words)
            .collect(),
    }
}

fn order(matter: &Matter<'_>, plan: &Plan) -> Vec<OrderRow> {
    let lines = plan.order.iter().filter(|line| line.planned.0 > 0);
    lines
        .map(|line| OrderRow {
            species: line.species.to_string(),
            planned: whole(line.planned.0),
            spares: whole(line.spares.0),
            in_hand: whole(line.in_hand.0),
            order: Printed::about(matter.ledger, "plan.order", &line.species.0),
            trays: line.trays.map(whole).unwrap_or_default(),
            seeds: line.seeds.map(whole).unwrap_or_default(),
            grams: line.grams.map(|grams| number(grams, 1)).unwrap_or_default(),
        })
        .collect()
}

fn nursery(plan: &Plan) -> Option<Nursery> {
    let dates = plan.nursery_dates()?;
    let planting = plan.planting?;
    Some(Nursery {
        order: printed::day(dates.order),
        sow: printed::day(dates.sow),
        plant: printed::day(planting),
    })
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

fn calendar(plan: &Plan) -> Vec<Task> {
    let when = |day: chrono::NaiveDate| day.format("%B %Y").to_string();
    plan.calendar.iter().map(|entry| Task { when: when(entry.day), what: entry.task.words() }).collect()
}

fn plan_drawings(matter: &Matter<'_>) -> PlanDrawings {
    let sheets = matter.sheets;
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
