//! Cover readings, in the four ways in which cover is read: by eye in per cent or in classes, by points, along a line.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::{
    project::{Cell, Column, PlotId, TableRow},
    source::Row,
    units::Metres,
};

/// A layer of the vegetation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade")]
pub enum Layer {
    Canopy,
    Shrub,
    Ground,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Layer; 3] = [Layer::Canopy, Layer::Shrub, Layer::Ground];

    /// The layer as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Layer::Canopy => "canopy",
            Layer::Shrub => "shrub",
            Layer::Ground => "ground",
        }
    }
}

/// One class of a scale of cover.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverClass {
    /// The scale that it belongs to, with its source.
    pub scale: Arc<str>,
    /// How it is written on a field sheet.
    pub code: Arc<str>,
    /// Its lower edge, per cent.
    pub low: f64,
    /// Its upper edge, per cent.
    pub high: f64,
}

impl CoverClass {
    /// What stands for the class in a mean: its midpoint, per cent.
    #[must_use]
    pub fn middle(&self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}

/// A published scale of cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Its name.
    pub name: &'static str,
    /// Where it was published.
    pub source: &'static str,
    /// Code, lower and upper edge in per cent, of each class.
    classes: &'static [(&'static str, f64, f64)],
}

impl Scale {
    /// Its classes, from the least cover to the most.
    #[must_use]
    pub fn classes(&self) -> Vec<CoverClass> {
        let scale: Arc<str> = format!("{}, {}", self.name, self.source).into();
        let class =
            |&(code, low, high): &_| CoverClass { scale: scale.clone(), code: Arc::from(code), low, high };
        self.classes.iter().map(class).collect()
    }
}

/// The published scales of cover.
///
/// # Reference
/// Braun-Blanquet (1964), *Pflanzensoziologie*, 3rd ed., edges below 5 % and codes as in `coverscale` of the R package vegan
/// 2.6-4; Domin as in Rodwell (2006), *National Vegetation Classification: Users' Handbook* (as remembered; the edges 25, 33, 50, 75 and 90
/// agree with vegan's); Daubenmire (1959), *Northwest Science* 33:43-64.
pub const SCALES: [Scale; 3] = [
    Scale {
        name: "Braun-Blanquet",
        source: "Braun-Blanquet (1964)",
        classes: &[
            ("r", 0.0, 0.1),
            ("+", 0.1, 1.0),
            ("1", 1.0, 5.0),
            ("2", 5.0, 25.0),
            ("3", 25.0, 50.0),
            ("4", 50.0, 75.0),
            ("5", 75.0, 100.0),
        ],
    },
    Scale {
        name: "Domin",
        source: "Rodwell (2006)",
        classes: &[
            ("+", 0.0, 1.0),
            ("1", 0.0, 1.0),
            ("2", 0.0, 1.0),
            ("3", 1.0, 4.0),
            ("4", 4.0, 10.0),
            ("5", 10.0, 25.0),
            ("6", 25.0, 33.0),
            ("7", 33.0, 50.0),
            ("8", 50.0, 75.0),
            ("9", 75.0, 90.0),
            ("10", 90.0, 100.0),
        ],
    },
    Scale {
        name: "Daubenmire",
        source: "Daubenmire (1959)",
        classes: &[
            ("1", 0.0, 5.0),
            ("2", 5.0, 25.0),
            ("3", 25.0, 50.0),
            ("4", 50.0, 75.0),
            ("5", 75.0, 95.0),
            ("6", 95.0, 100.0),
        ],
    },
];

/// How a cover was read.
#[derive(Debug, Clone, PartialEq)]
pub enum CoverMeasure {
    /// Per cent of the plot.
    Percent(f64),
    /// Hits of points.
    Hits {
        /// Points that hit the cover.
        hits: u32,
        /// Points read.
        points: u32,
    },
    /// A class of a scale.
    Class(Arc<CoverClass>),
    /// Length of a line that the cover takes.
    Intercept {
        /// What it takes, by this row.
        covered: Metres,
        /// The whole line.
        line: Metres,
        /// Which line, where the plot has several.
        name: Option<Arc<str>>,
    },
}

/// One cover reading.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverReading {
    /// The day of the visit.
    pub date: NaiveDate,
    /// The plot.
    pub plot: PlotId,
    /// The layer.
    pub layer: Layer,
    /// What covers: native grass, litter, bare …, as written.
    pub cover: String,
    /// The reading.
    pub measure: CoverMeasure,
    /// Height of the layer's underside.
    pub height: Option<Metres>,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for CoverReading {
    const TABLE: &'static str = "cover";
    const COLUMNS: &'static [Column<CoverReading>] = &[
        Column::needed("date", |row| row.date.into()),
        Column::needed("plot", |row| (&row.plot).into()),
        Column::needed("layer", |row| row.layer.word().into()),
        Column::needed("cover", |row| (&row.cover).into()),
        Column::optional("percent", |row| match &row.measure {
            CoverMeasure::Percent(read) => (*read).into(),
            _ => Cell::Empty,
        }),
        Column::optional("hits", |row| match &row.measure {
            CoverMeasure::Hits { hits, .. } => (*hits).into(),
            _ => Cell::Empty,
        }),
        Column::optional("points", |row| match &row.measure {
            CoverMeasure::Hits { points, .. } => (*points).into(),
            _ => Cell::Empty,
        }),
        Column::optional("class", |row| match &row.measure {
            CoverMeasure::Class(class) => (&class.code).into(),
            _ => Cell::Empty,
        }),
        Column::optional("intercept_m", |row| match &row.measure {
            CoverMeasure::Intercept { covered, .. } => (*covered).into(),
            _ => Cell::Empty,
        }),
        Column::optional("line_m", |row| match &row.measure {
            CoverMeasure::Intercept { line, .. } => (*line).into(),
            _ => Cell::Empty,
        }),
        Column::optional("line", |row| match &row.measure {
            CoverMeasure::Intercept { name, .. } => name.as_ref().into(),
            _ => Cell::Empty,
        }),
        Column::optional("height_m", |row| row.height.into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}
