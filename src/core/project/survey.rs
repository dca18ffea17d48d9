//! Survey plots and what was counted, measured and read in them.

use std::{fmt, sync::Arc};

use chrono::NaiveDate;
use geo::Point;

use crate::{
    project::{AreaId, Cell, Column, SpeciesId, TableRow},
    source::Row,
    units::{Degrees, Hectares, Metres, SquareMetres, Stems},
};

/// The id of a survey plot.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlotId(pub Arc<str>);

impl fmt::Display for PlotId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Whether a plot was laid out level (plan) or with the tape on the ground (slope).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MeasuredOn {
    /// Plan distances.
    #[default]
    Plan,
    /// Distances on the slope.
    Slope,
}

impl MeasuredOn {
    /// Both.
    pub const ALL: [MeasuredOn; 2] = [MeasuredOn::Plan, MeasuredOn::Slope];

    /// It as it is written in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            MeasuredOn::Plan => "plan",
            MeasuredOn::Slope => "slope",
        }
    }
}

/// The outline of a plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlotShape {
    /// Only its area is known.
    Area(SquareMetres),
    /// A circle of this radius.
    Circle(Metres),
    /// A rectangle or belt: length, width.
    Rectangle(Metres, Metres),
}

/// A part of an area that is surveyed for itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Stratum {
    /// What it is called.
    pub name: String,
    /// Stems planted in it.
    pub stems: Option<Stems>,
    /// Its plan area.
    pub hectares: Option<Hectares>,
}

impl Stratum {
    /// Stems planted in it, as a weight.
    #[must_use]
    #[allow(clippy::cast_precision_loss, reason = "no folder holds 2^53 stems")]
    pub fn planted(&self) -> Option<f64> {
        self.stems.map(|stems| stems.0 as f64)
    }
}

/// One survey plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Its id.
    pub id: PlotId,
    /// The area it lies in.
    pub area: AreaId,
    /// Its outline.
    pub shape: PlotShape,
    /// Its centre, longitude and latitude in degrees (WGS 84).
    pub position: Option<Point<f64>>,
    /// How it was laid out.
    pub measured_on: MeasuredOn,
    /// The stratum, where it is not the area.
    pub stratum: Option<Stratum>,
    /// Stems set in the plot.
    pub planted_stems: Option<Stems>,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

/// One row of the tally sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// The day of the visit.
    pub date: NaiveDate,
    /// The plot.
    pub plot: PlotId,
    /// The species.
    pub species: SpeciesId,
    /// Planted stems found alive.
    pub alive: Stems,
    /// Planted stems found dead; `None` where it was not recorded.
    pub dead: Option<Stems>,
    /// Planted stems that were not found; `None` where it was not recorded.
    pub missing: Option<Stems>,
    /// Self-sown stems, beside the planted ones.
    pub recruits: Option<Stems>,
    /// The year in which the stems were planted.
    pub cohort: Option<i32>,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl Tally {
    /// Stems set in the plot, by this row: alive, dead and missing.
    #[must_use]
    pub fn set(&self) -> u64 {
        self.alive.0 + self.dead.map_or(0, |stems| stems.0) + self.missing.map_or(0, |stems| stems.0)
    }
}

/// Where on the stem a diameter was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DiameterAt {
    /// 10 cm above the ground.
    Base,
    /// Breast height, 130 cm above the ground.
    Breast,
}

impl DiameterAt {
    /// Both.
    pub const ALL: [DiameterAt; 2] = [DiameterAt::Base, DiameterAt::Breast];

    /// It as it is written in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            DiameterAt::Base => "base",
            DiameterAt::Breast => "breast",
        }
    }
}

/// Whether a measured stem lives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StemStatus {
    /// Alive.
    #[default]
    Alive,
    /// Dead.
    Dead,
    /// Not found.
    Missing,
}

impl StemStatus {
    /// Every status.
    pub const ALL: [StemStatus; 3] = [StemStatus::Alive, StemStatus::Dead, StemStatus::Missing];

    /// It as it is written in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            StemStatus::Alive => "alive",
            StemStatus::Dead => "dead",
            StemStatus::Missing => "missing",
        }
    }
}

/// One row of the stem measurements.
#[derive(Debug, Clone, PartialEq)]
pub struct Stem {
    /// The day of the visit.
    pub date: NaiveDate,
    /// The plot.
    pub plot: PlotId,
    /// The species.
    pub species: SpeciesId,
    /// The tag on the stem.
    pub tag: Option<String>,
    /// Its height.
    pub height: Option<Metres>,
    /// Its diameter, mm.
    pub diameter_mm: Option<f64>,
    /// Where the diameter was taken.
    pub diameter_at: Option<DiameterAt>,
    /// Which stem of a tree with several.
    pub stem: Option<u32>,
    /// Whether it lives.
    pub status: StemStatus,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

/// A slope measured with a clinometer.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredSlope {
    /// The area.
    pub area: AreaId,
    /// The slope.
    pub slope: Degrees,
    /// Length of the slope, along the ground.
    pub length: Option<Metres>,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Plot {
    const TABLE: &'static str = "plots";
    const COLUMNS: &'static [Column<Plot>] = &[
        Column::needed("plot", |row| (&row.id).into()),
        Column::needed("area", |row| (&row.area).into()),
        Column::optional("size_m2", |row| match row.shape {
            PlotShape::Area(area) => area.0.into(),
            _ => Cell::Empty,
        }),
        Column::optional("radius_m", |row| match row.shape {
            PlotShape::Circle(radius) => radius.into(),
            _ => Cell::Empty,
        }),
        Column::optional("length_m", |row| match row.shape {
            PlotShape::Rectangle(length, _) => length.into(),
            _ => Cell::Empty,
        }),
        Column::optional("width_m", |row| match row.shape {
            PlotShape::Rectangle(_, width) => width.into(),
            _ => Cell::Empty,
        }),
        Column::optional("longitude", |row| row.position.map(|position| position.x()).into()),
        Column::optional("latitude", |row| row.position.map(|position| position.y()).into()),
        Column::taken_up("easting"),
        Column::taken_up("northing"),
        Column::optional("measured_on", |row| row.measured_on.word().into()),
        Column::optional("stratum", |row| row.stratum.as_ref().map(|stratum| &stratum.name).into()),
        Column::optional("stratum_stems", |row| {
            row.stratum.as_ref().and_then(|stratum| stratum.stems).into()
        }),
        Column::optional("stratum_ha", |row| {
            row.stratum.as_ref().and_then(|stratum| stratum.hectares).into()
        }),
        Column::optional("planted_stems", |row| row.planted_stems.into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}

impl TableRow for Tally {
    const TABLE: &'static str = "tallies";
    const COLUMNS: &'static [Column<Tally>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("plot", |row| (&row.plot).into()),
        Column::needed("species", |row| (&row.species).into()),
        Column::needed("alive", |row| row.alive.into()),
        Column::optional("dead", |row| row.dead.into()),
        Column::optional("missing", |row| row.missing.into()),
        Column::optional("recruits", |row| row.recruits.into()),
        Column::taken_up("planted"),
        Column::taken_up("status"),
        Column::optional("cohort", |row| row.cohort.map(f64::from).into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}

impl TableRow for Stem {
    const TABLE: &'static str = "stems";
    const COLUMNS: &'static [Column<Stem>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("plot", |row| (&row.plot).into()),
        Column::needed("species", |row| (&row.species).into()),
        Column::optional("tag", |row| row.tag.as_ref().into()),
        Column::optional("height_m", |row| row.height.into()),
        Column::optional("diameter_mm", |row| row.diameter_mm.into()),
        Column::optional("diameter_at", |row| row.diameter_at.map(DiameterAt::word).into()),
        Column::optional("stem", |row| row.stem.into()),
        Column::optional("status", |row| row.status.word().into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}

impl TableRow for MeasuredSlope {
    const TABLE: &'static str = "slopes";
    const COLUMNS: &'static [Column<MeasuredSlope>] = &[
        Column::needed("area", |row| (&row.area).into()),
        Column::optional("slope_deg", |row| row.slope.0.into()),
        Column::taken_up("slope_percent"),
        Column::optional("length_m", |row| row.length.into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}
