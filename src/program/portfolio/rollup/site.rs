//! A site as its own documents tell of it: the ledger, the targets, the doubts, the place.

use std::{collections::BTreeMap, path::Path};

use chrono::NaiveDate;
use geo::{BoundingRect, Rect};

use crate::portfolio::members::Member;
use hillfolio_core::{
    estimate::Interval,
    intake::stamp,
    ledger::{self, DoubtRecord, FigureId, LedgerRecord, Series, Standing, TargetRecord},
};
use hillfolio_documents::typeset::{Doubted, TargetLine};

/// A site whose documents are current.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Site {
    /// Its path in the portfolio.
    pub(crate) path: String,
    pub(crate) name: String,
    pub(crate) reference: String,
    pub(crate) from: NaiveDate,
    pub(crate) to: NaiveDate,
    /// Its ledger, in order of id.
    pub(crate) lines: Vec<Line>,
    /// Where the figures stand among `lines`, by id.
    at: BTreeMap<String, usize>,
    pub(crate) targets: Vec<TargetLine>,
    pub(crate) doubts: Vec<Doubted>,
    /// How many doubts there are in all.
    pub(crate) doubt_count: usize,
    /// The box about its planting areas, in longitude and latitude.
    pub(crate) extent: Option<Rect<f64>>,
}

/// One line of a site's ledger, each cell as the table has it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line(pub(crate) csv::StringRecord);

impl Line {
    fn cell(&self, heading: &str) -> &str {
        let at = ledger::HEADINGS.iter().position(|known| *known == heading);
        at.and_then(|at| self.0.get(at)).unwrap_or_default()
    }

    pub(crate) fn id(&self) -> &str {
        self.cell("id")
    }

    pub(crate) fn value(&self) -> &str {
        self.cell("value")
    }

    pub(crate) fn unit(&self) -> &str {
        self.cell("unit")
    }

    /// The value; `None` for a figure that can't be given.
    pub(crate) fn number(&self) -> Option<f64> {
        self.value().parse().ok()
    }

    pub(crate) fn confidence(&self) -> Option<f64> {
        self.cell("confidence").parse().ok()
    }

    /// The interval with its confidence.
    pub(crate) fn interval(&self) -> Option<Interval<f64>> {
        let (low, high) = (self.cell("low").parse().ok()?, self.cell("high").parse().ok()?);
        Some(Interval { low, high, confidence: self.confidence()? })
    }
}

impl Site {
    /// The site of `member`, whose documents stand in `out`.
    ///
    /// # Errors
    /// They are not to be understood, in words.
    pub(crate) fn read(member: &Member, out: &Path) -> Result<Site, String> {
        let text = |path: &str| {
            stamp::text(&out.join(path)).map_err(|why| format!("{path} can't be read back: {why}"))
        };
        let unclear =
            |path: &str, why: &dyn std::fmt::Display| format!("{path} is not to be understood: {why}");
        let (table, record) = ("data/figures.csv", "data/figures.json");
        let cells = text(table)?;
        let mut rows = csv::Reader::from_reader(cells.as_bytes());
        if rows.headers().map_err(|why| unclear(table, &why))? != ledger::HEADINGS[..] {
            return Err(unclear(table, &"it has other columns"));
        }
        let lines: Result<Vec<Line>, csv::Error> = rows.records().map(|row| row.map(Line)).collect();
        let lines = lines.map_err(|why| unclear(table, &why))?;
        let record = LedgerRecord::read(text(record)?.as_bytes()).map_err(|why| unclear(record, &why))?;
        let at = lines.iter().enumerate().map(|(at, line)| (line.id().to_owned(), at)).collect();
        Ok(Site {
            path: member.path.clone(),
            name: record.project.name,
            reference: record.project.reference,
            from: record.period.from,
            to: record.period.to,
            at,
            lines,
            targets: record.targets.into_iter().map(target).collect(),
            doubt_count: record.doubts.len(),
            doubts: by_kind(record.doubts),
            extent: text("layers/areas.geojson").ok().and_then(|layer| extent(&layer)),
        })
    }

    /// The figure called `id` with the place of its line; `None` where it is not there or can't be given.
    pub(crate) fn figure(&self, id: &FigureId) -> Option<(usize, &Line)> {
        let at = *self.at.get(id.as_str())?;
        self.lines.get(at).filter(|line| line.number().is_some()).map(|line| (at, line))
    }

    /// Every figure of `series`.
    pub(crate) fn of(&self, series: &'static Series) -> impl Iterator<Item = (usize, &Line)> {
        let of = self.lines.iter().enumerate();
        of.filter(move |(_, line)| line.number().is_some() && series.codes(line.id()).is_some())
    }
}

fn target(target: TargetRecord) -> TargetLine {
    let of = target.of.map_or_else(String::new, |of| format!(" {of}"));
    let area = if target.area == "all" { String::new() } else { format!(", {}", target.area) };
    let standing = Standing::ALL.into_iter().find(|standing| standing.words() == target.standing);
    TargetLine {
        words: target.words.unwrap_or_else(|| format!("{}{of}{area}", target.measure)),
        under: target.under,
        standing: standing.unwrap_or(Standing::NotMeasured),
        because: target.because,
    }
}

/// One doubt of each kind, in the order in which they first come, with how many there are.
fn by_kind(doubts: Vec<DoubtRecord>) -> Vec<Doubted> {
    let mut kinds: Vec<Doubted> = Vec::new();
    for doubt in doubts {
        match kinds.iter_mut().find(|kind| kind.code == doubt.code) {
            Some(kind) => kind.count += 1,
            None => kinds.push(Doubted {
                place: doubt.row.map_or(doubt.path.clone(), |row| format!("{}:{row}", doubt.path)),
                code: doubt.code,
                says: doubt.says,
                count: 1,
            }),
        }
    }
    kinds
}

/// The box about every shape of a layer.
fn extent(layer: &str) -> Option<Rect<f64>> {
    let layer: geojson::FeatureCollection = layer.parse::<geojson::GeoJson>().ok()?.try_into().ok()?;
    let shapes = layer.features.into_iter();
    let shapes = shapes.filter_map(|feature| geo::Geometry::<f64>::try_from(feature.geometry?).ok());
    shapes.collect::<geo::GeometryCollection>().bounding_rect()
}
