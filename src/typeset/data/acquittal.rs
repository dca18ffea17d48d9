//! The grant acquittal, whole.

use chrono::Datelike;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::{
    project::Paper,
    typeset::{
        Document, Matter,
        data::{
            Job,
            cover::{self, Cover},
            declaration::Declaration,
            done::Done,
            drawings::{self, Drawings},
            evidence::Receipt,
            ground::GroundSection,
            methods::Workings,
            money::Money,
            narrative::{self, Chapter},
            notes::{self, FileNotes},
            photos::{self, PhotoPoints},
            printed,
            species::Species,
            summary::Summary,
            survival::Survival,
            targets::Targets,
            tree,
        },
    },
    units,
};

/// Written as PDF/A-3a, which may carry its source data with it, and PDF/UA-1.
const STANDARDS: &[PdfStandard] = &[PdfStandard::A_3a, PdfStandard::Ua_1];

/// What the file says of itself, and what every page of it bears.
#[derive(Serialize)]
pub(crate) struct Meta {
    title: String,
    author: String,
    description: String,
    date: Date,
    paper: &'static str,
    accent: String,
    footer: String,
    program: String,
    standard: &'static str,
}

/// A day as the typesetter takes it.
#[derive(Serialize)]
struct Date {
    year: i32,
    month: u32,
    day: u32,
}

/// The tree of the acquittal.
#[derive(Serialize)]
struct Acquittal {
    meta: Meta,
    footer: String,
    /// The heading of every column of intervals.
    interval_heading: String,
    colophon: Colophon,
    cover: Cover,
    summary: Summary,
    targets: Targets,
    drawings: Drawings,
    done: Done,
    species: Species,
    survival: Survival,
    ground: GroundSection,
    money: Money,
    narrative: Vec<Chapter>,
    photos: PhotoPoints,
    receipts: Vec<Receipt>,
    notes: Vec<FileNotes>,
    workings: Workings,
    declaration: Declaration,
}

/// The closing words about the document itself.
#[derive(Serialize)]
struct Colophon {
    program: String,
    standard: &'static str,
}

impl Meta {
    /// The properties of a file with this title.
    pub(crate) fn of(matter: &Matter<'_>, title: &str, standard: &'static str) -> Meta {
        let identity = &matter.project.identity;
        let period = matter.project.period;
        Meta {
            title: format!("{title}: {}", printed::shortened(&identity.name, 120)),
            author: identity.author.clone().unwrap_or_else(|| identity.landholder.clone()),
            description: format!(
                "{title} of {} ({}), {} to {}",
                printed::shortened(&identity.name, 120),
                printed::shortened(&identity.reference, 60),
                printed::day(period.from),
                printed::day(period.to)
            ),
            date: Date { year: period.to.year(), month: period.to.month(), day: period.to.day() },
            paper: match identity.paper {
                Paper::A4 => "a4",
                Paper::Letter => "us-letter",
            },
            accent: identity.accent.clone().unwrap_or_else(|| crate::draw::palette::ACCENT.to_owned()),
            footer: footer(matter),
            program: format!("Hillfolio {}", matter.version),
            standard,
        }
    }
}

/// Project, reference and period as they stand at the foot of every page.
pub(crate) fn footer(matter: &Matter<'_>) -> String {
    let (identity, period) = (&matter.project.identity, matter.project.period);
    [
        printed::shortened(&identity.name, 36),
        printed::shortened(&identity.reference, 20),
        format!("{} to {}", printed::day(period.from), printed::day(period.to)),
    ]
    .into_iter()
    .filter(|part| !part.is_empty())
    .collect::<Vec<_>>()
    .join("  ·  ")
}

/// The acquittal to be set.
pub(crate) fn job(matter: &Matter<'_>) -> Job {
    let standard = "PDF/A-3a and PDF/UA-1";
    let mut images = drawings::images(matter);
    images.extend(photos::images(matter));
    images.extend(cover::images(matter));
    images.extend(matter.records.iter().cloned());
    let data = Acquittal {
        meta: Meta::of(matter, Document::Acquittal.title(), standard),
        footer: footer(matter),
        interval_heading: format!("{} interval", units::percent(matter.project.statistics.confidence, 0)),
        colophon: Colophon { program: format!("Hillfolio {}", matter.version), standard },
        cover: Cover::of(matter),
        summary: Summary::of(matter),
        targets: Targets::of(matter),
        drawings: Drawings::of(matter),
        done: Done::of(matter),
        species: Species::of(matter),
        survival: Survival::of(matter),
        ground: GroundSection::of(matter),
        money: Money::of(matter),
        narrative: narrative::chapters(matter),
        photos: PhotoPoints::of(matter),
        receipts: Receipt::all(matter),
        notes: notes::by_file(matter),
        workings: Workings::of(matter),
        declaration: Declaration::of(matter),
    };
    Job {
        name: format!("{}.pdf", Document::Acquittal.name()),
        template: "acquittal.typ",
        data: tree(&data),
        images,
        standards: STANDARDS,
    }
}
