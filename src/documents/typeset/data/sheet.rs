//! A map on a sheet of its own.

use schemars::JsonSchema;
use serde::Serialize;
use typst_pdf::PdfStandard;

use crate::{
    draw::Drawing,
    typeset::{
        ReportInputs,
        data::{
            Job,
            drawings::Picture,
            meta::{Meta, footer},
            printed, tree,
        },
    },
};

/// Written as PDF/A-2a and PDF/UA-1.
const STANDARDS: &[PdfStandard] = &[PdfStandard::A_2a, PdfStandard::Ua_1];

/// Letters of a sheet's heading.
const LONGEST_HEADING: usize = 60;

/// The tree of a map sheet.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Sheet {
    meta: Meta,
    footer: String,
    /// One line above the map, so that the map keeps its size.
    heading: String,
    map: Picture,
}

/// The sheet of `map` to be set.
pub(crate) fn job(inputs: &ReportInputs<'_>, map: &Drawing) -> Job {
    let data = Sheet {
        meta: Meta::of(inputs, &map.title, "PDF/A-2a and PDF/UA-1"),
        footer: footer(inputs),
        heading: printed::shortened(
            &format!("{}: {}", map.title, inputs.project.identity.name),
            LONGEST_HEADING,
        ),
        map: Picture::of("map", 0, map),
    };
    Job {
        name: format!("maps/{}.pdf", map.name),
        template: "map-sheet.typ",
        data: tree(&data),
        images: Vec::new(),
        drawings: vec![("map-0".to_owned(), map.svg.clone())],
        standards: STANDARDS,
    }
}
