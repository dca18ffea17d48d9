//! The slope factor grid: L × S of every cell of the terrain about the areas, from its heights.

use geo::{CoordsIter, LineString, MultiLineString, MultiPolygon};

use crate::{
    estimate::{
        Gap,
        erosion::{Factor, SlopeLength, beyond_note, ls_area, ls_layer},
    },
    project::{Feature, FeatureKind, Ground, Shape},
    source::Sources,
    terrain::{
        Grid, Placing, Raster, coarser, coverage, crossed, fed_from_beyond, fill_depressions,
        flow_accumulation, slope_and_aspect,
    },
};

/// Cells are joined until they are at least this wide, m: finer models count ruts as slopes (judgement: cells of 5 to 10 m suit
/// slope lengths).
const FINE_ENOUGH: f64 = 5.0;

/// What leads water away, so that slopes end there.
const LEADS_AWAY: [FeatureKind; 5] =
    [FeatureKind::Track, FeatureKind::Road, FeatureKind::Watercourse, FeatureKind::Gully, FeatureKind::Water];

/// Every cell's slope and slope factor.
#[derive(Debug, Clone)]
pub struct SlopeFactorGrid {
    slope: Raster<f32>,
    inflow: Raster<f32>,
    fed: Vec<bool>,
    /// L × S of the cells that the areas touch; NaN elsewhere, where the slope is not known or water has gathered in a channel.
    pub ls: Raster<f32>,
    rules: SlopeLength,
    placing: Placing,
    sources: Sources,
}

impl SlopeFactorGrid {
    /// The hillside of `ground` about `areas`, longitude and latitude in degrees; slopes end at tracks, roads, watercourses, gullies
    /// and open water among `features`.
    ///
    /// # Errors
    /// The terrain's coordinates are not known.
    pub fn of<'a>(
        ground: &Ground,
        areas: impl Iterator<Item = &'a MultiPolygon<f64>>,
        features: &[Feature],
        rules: SlopeLength,
    ) -> Result<SlopeFactorGrid, Gap> {
        let placing = ground.heights.lattice.placing().ok_or(Gap::NoTerrain)?;
        let joined = joined(&ground.heights);
        let heights = joined.as_ref().unwrap_or(&ground.heights);
        let barriers = crossed(&heights.lattice, &flow_barriers(features, &placing));
        let ((inflow, fed), (slope, aspect)) = rayon::join(
            || {
                let directions = fill_depressions(heights);
                (
                    flow_accumulation(&directions, Some(&barriers)),
                    fed_from_beyond(&directions, Some(&barriers)),
                )
            },
            || slope_and_aspect(heights),
        );
        let mut within = vec![false; slope.lattice.cells()];
        for area in areas.filter_map(|area| placing.area(area)) {
            for (row, column, _) in coverage(&slope.lattice, &area).cells() {
                within[row * slope.lattice.columns + column] = true;
            }
        }
        let ls = ls_layer(&slope, &aspect, &inflow, rules, |row, column| {
            within[row * slope.lattice.columns + column]
        });
        Ok(SlopeFactorGrid { slope, inflow, fed, ls, rules, placing, sources: ground.sources() })
    }

    /// An area's boundary, longitude and latitude in degrees, in the unit of the terrain's coordinates.
    #[must_use]
    pub fn placed(&self, boundary: &MultiPolygon<f64>) -> Option<MultiPolygon<f64>> {
        self.placing.area(boundary)
    }

    /// L × S of an area, longitude and latitude in degrees.
    ///
    /// # Errors
    /// The terrain does not hold it, or most of it is too steep.
    pub fn factor(&self, boundary: &MultiPolygon<f64>) -> Result<Factor<f64>, Gap> {
        let placed = self.placed(boundary).ok_or(Gap::NoTerrain)?;
        let covered = coverage(&self.slope.lattice, &placed);
        let factor = ls_area(&self.ls, &self.slope, &covered, self.rules, self.sources.clone())?;
        Ok(match beyond_note(&self.fed, &self.inflow, &covered, self.rules) {
            Some(note) => factor.note(note),
            None => factor,
        })
    }
}

/// The heights in cells wide enough for slope lengths; `None` where they are so already.
fn joined(heights: &Grid) -> Option<Grid> {
    let (width, height) = heights.lattice.cell_metres(heights.lattice.rows / 2);
    let times = (FINE_ENOUGH / width.max(height) + 1e-9).floor();
    (times >= 2.0).then(|| coarser(heights, whole(times)))
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few cells")]
fn whole(times: f64) -> usize {
    times.clamp(1.0, 1000.0) as usize
}

fn flow_barriers(features: &[Feature], placing: &Placing) -> MultiLineString<f64> {
    let lines =
        features.iter().filter(|feature| LEADS_AWAY.contains(&feature.kind)).flat_map(
            |feature| match &feature.shape {
                Shape::Points(_) => Vec::new(),
                Shape::Lines(lines) => lines.0.clone(),
                Shape::Polygons(polygons) => {
                    polygons.iter().map(|polygon| polygon.exterior().clone()).collect()
                }
            },
        );
    let lines: Vec<LineString<f64>> = lines.filter(|line| line.coords_count() > 1).collect();
    let placed = |line: LineString<f64>| placing.lines(&MultiLineString(vec![line]));
    MultiLineString(lines.into_iter().filter_map(placed).flatten().collect())
}
