//! The rows of an area: on the contour where the ground is known, else along a drawn line.

use std::fmt;

use geo::{LineString, MapCoords, MultiLineString, Point};

use crate::{
    plan::{
        contour_rows::{Asked, contour_rows},
        ground::ground_about,
        guided_rows::guided_rows,
        plantable::Plantable,
        row_quality::{AsMeasured, as_measured},
        spread::{Reading, readings},
        surface::Surface,
    },
    project::{Feature, FeatureKind, PlantingDesign, Shape},
    terrain::Grid,
    units::{Degrees, Hectares, Metres, SquareMetres, Stems, number, whole},
};

/// Rows shorter than this many spacings are left out.
pub(crate) const SHORTEST: f64 = 2.5;

/// A corner that lies nearer than this to the straight line between its neighbours is left out, m.
pub(crate) const STRAIGHT: f64 = 0.01;

/// An area whose rows would need more knots than this is too large to be laid out as one.
const MOST_KNOTS: f64 = 800_000.0;

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its number within the area, from 1 at the top of the slope (or at one side, along a drawn line).
    pub number: u32,
    /// Its course on the plane of the area.
    pub line: LineString<f64>,
    /// Its length along the ground.
    pub length: Metres,
}

impl Row {
    /// Whether it comes back to its beginning.
    #[must_use]
    pub fn closed(&self) -> bool {
        self.line.is_closed()
    }
}

/// What rows were laid on.
#[derive(Debug, Clone, PartialEq)]
pub enum LaidOn {
    /// The contour, by the terrain model.
    Contour(Box<Surface>),
    /// A drawn guide line, on ground of this slope.
    GuideLine(Degrees),
}

/// The rows of one area.
#[derive(Debug, Clone)]
pub struct AreaRows {
    /// The ground that they lie on, and the plane of their courses.
    pub plantable: Plantable,
    /// What they follow.
    pub laid_on: LaidOn,
    /// From the top of the slope downward.
    pub rows: Vec<Row>,
    /// How far apart they lie and how level, piece by piece; empty along a drawn line, whose ground is not known.
    pub readings: Vec<Reading>,
    /// The same on the terrain model's own heights, unsmoothed; empty along a drawn line.
    pub measured: AsMeasured,
}

/// Why an area has no rows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoRows {
    /// So many stems were planted there already.
    Planted(Stems),
    /// The settings ask for new rows elsewhere.
    NotAsked,
    /// Nothing of it may be planted.
    NothingPlantable,
    /// There is neither a terrain model nor a guide line.
    NoGuide,
    /// It reaches over more than these hectares, from west to east and from south to north: too large to be laid out in one piece.
    TooLarge(Hectares),
    /// No row of the least length has room.
    NoRoom,
}

impl fmt::Display for NoRows {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoRows::Planted(Stems(stems)) => {
                write!(f, "{} stems were planted there; what died of them is in the infill", whole(*stems))
            }
            NoRows::NotAsked => f.write_str("new rows are asked for elsewhere"),
            NoRows::NothingPlantable => f.write_str("nothing of it may be planted"),
            NoRows::NoGuide => f.write_str(
                "neither a terrain model reaches it nor is a guide line drawn for its rows to follow",
            ),
            NoRows::TooLarge(Hectares(most)) => write!(
                f,
                "it reaches over more than {} ha from west to east and south to north, too much for rows so close together; draw it \
                 as several areas",
                number(*most, 0)
            ),
            NoRows::NoRoom => f.write_str("no row of the least length has room in it"),
        }
    }
}

/// The rows of `plantable` by `design`: on the contour where `heights` reach it, else along the longest guide line of
/// `features`, with `slope` the slope across it as far as it is known. Of the heights the first are laid on, and the second, the
/// model's own, are what the rows are read on afterwards.
///
/// # Errors
/// The area can have no rows; the error says why.
pub fn area_rows(
    plantable: Plantable,
    design: &PlantingDesign,
    features: &[Feature],
    heights: Option<(&Grid, &Grid)>,
    slope: Option<Degrees>,
) -> Result<AreaRows, NoRows> {
    let spacing = design.spacing;
    if plantable.ground.0.is_empty() {
        return Err(NoRows::NothingPlantable);
    }
    if knots(&plantable, spacing) > MOST_KNOTS {
        let most = SquareMetres(MOST_KNOTS * spacing.0 * spacing.0 / 4.0);
        return Err(NoRows::TooLarge(Hectares::from(most)));
    }
    let ground =
        heights.and_then(|(heights, _)| ground_about(&plantable.ground, &plantable.plane, heights, spacing));
    let (lines, laid_on) = match (ground, guide(&plantable, features)) {
        (Some(ground), _) => {
            let asked = Asked { spacing, shortest: Metres(SHORTEST * spacing.0) };
            let lines = contour_rows(&ground, &plantable.ground, &asked);
            (lines, LaidOn::Contour(Box::new(ground)))
        }
        (None, Some(guide)) => {
            let slope = slope.unwrap_or_default();
            (guided_rows(&guide, &plantable.ground, spacing, slope), LaidOn::GuideLine(slope))
        }
        (None, None) => return Err(NoRows::NoGuide),
    };
    if lines.is_empty() {
        return Err(NoRows::NoRoom);
    }
    let readings = match &laid_on {
        LaidOn::Contour(ground) => readings(ground, &lines, spacing, &plantable.ground),
        LaidOn::GuideLine(_) => Vec::new(),
    };
    let measured = match (&laid_on, heights) {
        (LaidOn::Contour(_), Some((_, own))) => {
            as_measured(&lines, &plantable.ground, (own, &plantable.plane), spacing)
        }
        _ => None,
    };
    let rows = (1..).zip(lines).map(|(number, line)| Row { number, length: laid_on.length(&line), line });
    Ok(AreaRows {
        rows: rows.collect(),
        plantable,
        laid_on,
        readings,
        measured: measured.unwrap_or_default(),
    })
}

impl LaidOn {
    /// Length of `line` along the ground; rows along a drawn line are taken to be level.
    #[must_use]
    pub fn length(&self, line: &LineString<f64>) -> Metres {
        match self {
            LaidOn::Contour(ground) => ground.length(line),
            LaidOn::GuideLine(_) => Metres(line.lines().map(|edge| libm::hypot(edge.dx(), edge.dy())).sum()),
        }
    }
}

impl AreaRows {
    /// The rows together, along the ground.
    #[must_use]
    pub fn length(&self) -> Metres {
        Metres(self.rows.iter().map(|row| row.length.0).sum())
    }

    /// Edge between planted bands and the grass between them: both sides of every band and its two ends; a closed row has none.
    ///
    /// A band is what `strip` leaves of `spacing`.
    #[must_use]
    pub fn edge(&self, spacing: Metres, strip: Metres) -> Metres {
        let band = (spacing.0 - strip.0).max(0.0);
        let edge = |row: &Row| 2.0 * row.length.0 + if row.closed() { 0.0 } else { 2.0 * band };
        Metres(self.rows.iter().map(edge).sum())
    }

    /// The mean slope of the ground under the rows, every metre of row counting the same.
    #[must_use]
    pub fn mean_slope(&self) -> Degrees {
        let ground = match &self.laid_on {
            LaidOn::GuideLine(slope) => return *slope,
            LaidOn::Contour(ground) => ground,
        };
        let slopes = self.readings.iter().filter_map(|reading| {
            let steepness = ground.at(reading.place)?.steepness();
            Some((libm::atan(steepness).to_degrees(), reading.length.0))
        });
        let (sum, length) =
            slopes.fold((0.0, 0.0), |(sum, length), (slope, here)| (sum + slope * here, length + here));
        Degrees(if length > 0.0 { sum / length } else { 0.0 })
    }

    /// A row's course in longitude and latitude.
    #[must_use]
    pub fn course(&self, row: &Row) -> LineString<f64> {
        row.line.map_coords(|corner| self.plantable.plane.position(corner).0)
    }
}

/// Knots of the finest net over the ground.
fn knots(plantable: &Plantable, spacing: Metres) -> f64 {
    use geo::BoundingRect;
    let bounds = plantable.ground.bounding_rect();
    bounds.map_or(0.0, |bounds| 4.0 * bounds.width() * bounds.height() / (spacing.0 * spacing.0))
}

/// The longest guide line that comes nearer to the area than the area is wide, on its plane.
fn guide(plantable: &Plantable, features: &[Feature]) -> Option<LineString<f64>> {
    use geo::{BoundingRect, Intersects};
    let bounds = plantable.ground.bounding_rect()?;
    let (width, height) = (bounds.width(), bounds.height());
    let about = geo::Rect::new(
        (bounds.min().x - width, bounds.min().y - height),
        (bounds.max().x + width, bounds.max().y + height),
    );
    let guides = features.iter().filter(|feature| feature.kind == FeatureKind::GuideLine);
    let lines = guides.filter_map(|feature| match &feature.shape {
        Shape::Lines(lines) => Some(lines),
        Shape::Points(_) | Shape::Polygons(_) => None,
    });
    let on_plane = |lines: &MultiLineString<f64>| lines.map_coords(|at| plantable.plane.xy(Point(at)));
    let near = lines.flat_map(on_plane).filter(|line| about.intersects(line));
    let length =
        |line: &LineString<f64>| -> f64 { line.lines().map(|edge| libm::hypot(edge.dx(), edge.dy())).sum() };
    near.max_by(|one, other| length(one).total_cmp(&length(other)))
}
