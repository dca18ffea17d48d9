//! `plots`: survey plots, their place and size.

use std::{collections::BTreeMap, f64::consts::PI};

use crate::{
    intake::{cell::Cells, nearest::folded, records::Known, table::Table},
    problem::{Problem, Records},
    project::{MeasuredOn, Plot, PlotId, PlotShape, Stratum},
    units::{Hectares, Metres, SquareMetres},
};

/// The longest side of a plot, m.
const LONGEST: f64 = 1000.0;

/// The least size of a plot, m²: a quadrat of ten centimetres.
const SMALLEST: f64 = 0.01;

/// The least and the largest stratum, ha.
const HECTARES: (f64, f64) = (0.000_1, 100_000.0);

/// How far two sizes of one plot may lie apart and still be one.
const SAME_SIZE: f64 = 0.01;

/// The columns that say how large a plot is.
const SIZES: [&str; 4] = ["size_m2", "radius_m", "length_m", "width_m"];

/// Every plot.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<Plot> {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    let nowhere = table.lacks_all(&SIZES, "size_m2, or radius_m, or length_m and width_m", problems);
    table.each(problems, |row| {
        let (id, area, shape) = (row.text("plot"), row.area("area", known), shape(row));
        let position = row.position(known);
        let measured_on = row.word("measured_on", &MeasuredOn::ALL, MeasuredOn::word);
        let planted_stems = row.stems("planted_stems");
        let sizes = (
            row.stems("stratum_stems"),
            row.number("stratum_ha", HECTARES, "hectares above 0 and up to 100,000"),
        );
        let stratum =
            row.text("stratum").map(|name| Stratum { name, stems: sizes.0, hectares: sizes.1.map(Hectares) });
        let (id, source) = (id?, row.source());
        if let Some(&first) = seen.get(&folded(&id)) {
            row.say("plot", Records::IdTwice { what: "plot", id: id.clone(), first });
        } else {
            seen.insert(folded(&id), source.row);
        }
        if shape.is_none() && !nowhere && SIZES.iter().all(|column| row.raw(column).is_none()) {
            row.say("plot", Records::PlotWithoutSize { plot: id.clone() });
        }
        Some(Plot {
            id: PlotId(id.into()),
            area: area?,
            shape: shape?,
            position,
            measured_on: measured_on.unwrap_or_default(),
            stratum,
            planted_stems,
            note: row.text("note"),
            source,
        })
    })
}

/// The outline: a rectangle or a circle where its measures are given, else the bare size.
fn shape(row: &mut Cells<'_>) -> Option<PlotShape> {
    row.both("length_m", "width_m");
    let (length, width) = (row.metres("length_m", LONGEST), row.metres("width_m", LONGEST));
    let wanted = "an area from 0.01 to 1,000,000 m²";
    let size = row.number("size_m2", (SMALLEST, LONGEST * LONGEST), wanted).map(SquareMetres);
    let radius = row.metres("radius_m", LONGEST);
    let sides = length.zip(width);
    let shapes = [
        sides.map(|(length, width)| (PlotShape::Rectangle(length, width), length.0 * width.0)),
        radius.map(|radius: Metres| (PlotShape::Circle(radius), PI * radius.0 * radius.0)),
        size.map(|size| (PlotShape::Area(size), size.0)),
    ];
    let mut given = shapes.into_iter().flatten();
    let (shape, area) = given.next()?;
    if let Some((_, other)) = given.find(|(_, other)| (other - area).abs() > SAME_SIZE * area) {
        row.say("size_m2", Records::PlotSizesDiffer { used: area, other });
    }
    Some(shape)
}
