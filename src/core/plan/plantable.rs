//! The ground that can be planted: an area less what must be kept free, with the hectares that each reason takes.

use std::{collections::BTreeMap, fmt};

use geo::{
    Area as _, BooleanOps, BoundingRect, Buffer, Centroid, Intersects, MapCoords, MultiLineString,
    MultiPolygon, Point,
    buffer::{BufferStyle, LineCap, LineJoin},
    unary_union,
};

use crate::{
    geometry::{Plane, area},
    plan::steep::{steep_ground, unknown_ground},
    project::{Area, AreaId, Feature, FeatureKind, PlantingDesign, Shape},
    terrain::Grid,
    units::{Degrees, Hectares, Metres, as_written},
};

/// The angle, in radians, between the corners of a buffer's round parts: they fall short of the distance by 0.03 %.
const ROUND: f64 = 0.05;

/// Why ground is not planted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reason {
    /// It is a feature of this kind itself.
    Within(FeatureKind),
    /// It lies nearer than this to a feature of this kind.
    Beside(FeatureKind, Metres),
    /// It is this steep or steeper.
    Steep(Degrees),
    /// The terrain model that the rows of the rest are laid on says nothing of it.
    NoModel,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Reason::Within(kind) => f.write_str(kind.words()),
            Reason::Beside(kind, Metres(distance)) => {
                write!(f, "within {} m of {}", as_written(*distance), kind.words())
            }
            Reason::Steep(Degrees(limit)) => write!(f, "{}° or steeper", as_written(*limit)),
            Reason::NoModel => f.write_str("no ground model here"),
        }
    }
}

/// Ground taken out of an area.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenOut {
    /// Why; where reasons overlap, the first of them.
    pub reason: Reason,
    /// How much.
    pub hectares: Hectares,
    /// The ground taken, on the plane of the area.
    pub shape: MultiPolygon<f64>,
}

/// What is left of an area for planting.
#[derive(Debug, Clone)]
pub struct Plantable {
    /// The area.
    pub area: AreaId,
    /// The plane about the area's middle, in metres, on which rows are laid out.
    pub plane: Plane,
    /// The ground to plant, on that plane.
    pub ground: MultiPolygon<f64>,
    /// The whole area, plan hectares.
    pub whole: Hectares,
    /// The ground to plant, plan hectares.
    pub hectares: Hectares,
    /// What was taken out, in the order in which it was; with `hectares` it adds up to `whole`.
    pub taken_out: Vec<TakenOut>,
}

impl Plantable {
    /// The ground to plant in longitude and latitude.
    #[must_use]
    pub fn outline(&self) -> MultiPolygon<f64> {
        outline(&self.ground, &self.plane)
    }

    /// `shape`, drawn on its plane, in longitude and latitude.
    #[must_use]
    pub fn placed(&self, shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
        outline(shape, &self.plane)
    }
}

/// What the terrain model tells of the ground.
#[derive(Debug, Clone, Copy)]
pub struct Modelled<'a> {
    /// Heights, in metres.
    pub heights: &'a Grid,
    /// Slopes, in degrees.
    pub slope: &'a Grid,
}

/// What can be planted of `whole` by `design`, as far as `model` tells of the ground.
///
/// # Method
/// Taken out one after another: what features cover, then the design's setbacks round them, kind by kind, then ground steeper
/// than the design allows, then ground of which the model says nothing; where it says nothing of any, none is taken out for that: rows
/// can follow a drawn line there. Each takes only what those before it left, so that hectares add up. Features at a point or along
/// a line cover nothing by themselves; a fence, a property and the like cover nothing inside their ring.
#[must_use]
pub fn plantable(
    whole: &Area,
    features: &[Feature],
    design: &PlantingDesign,
    model: Option<Modelled<'_>>,
) -> Plantable {
    let plane = Plane::about(whole.boundary.centroid().unwrap_or(Point::new(0.0, 0.0)));
    let on_plane = |shape: &MultiPolygon<f64>| shape.map_coords(|corner| plane.xy(Point(corner)));
    let drawn: BTreeMap<FeatureKind, Vec<Shape>> =
        features.iter().fold(BTreeMap::new(), |mut drawn, feature| {
            drawn.entry(feature.kind).or_insert_with(Vec::new).push(put(&feature.shape, &plane));
            drawn
        });
    let hectares = Hectares::from(area(&whole.boundary));
    let ground = on_plane(&whole.boundary);
    let mut left = Left { plane, ground, hectares, taken_out: Vec::new() };
    for (kind, shapes) in &drawn {
        if covers(*kind) {
            let polygons: Vec<_> = shapes.iter().filter_map(polygons).flatten().collect();
            left.take(Reason::Within(*kind), &unary_union(polygons));
        }
    }
    for (kind, distance) in &design.setback {
        let shapes = drawn.get(kind).into_iter().flatten();
        let around: Vec<_> = shapes.flat_map(|shape| around(shape, *kind, distance.0).0).collect();
        left.take(Reason::Beside(*kind, *distance), &unary_union(&around));
    }
    if let (Some(limit), Some(model)) = (design.steepest, model) {
        let steep = steep_ground(&left.ground, &plane, model.slope, limit);
        left.take(Reason::Steep(limit), &steep);
    }
    if let Some(model) = model {
        let unknown = unknown_ground(&left.ground, &plane, model.heights);
        // A hair is left of a whole that was cut by itself.
        if unknown.unsigned_area() < (1.0 - 1e-6) * left.ground.unsigned_area() {
            left.take(Reason::NoModel, &unknown);
        }
    }
    Plantable {
        area: whole.id.clone(),
        plane,
        ground: left.ground,
        whole: hectares,
        hectares: left.hectares,
        taken_out: left.taken_out,
    }
}

/// What is left while reasons are taken out.
struct Left {
    plane: Plane,
    ground: MultiPolygon<f64>,
    hectares: Hectares,
    taken_out: Vec<TakenOut>,
}

impl Left {
    fn take(&mut self, reason: Reason, shape: &MultiPolygon<f64>) {
        let meets = |one: &MultiPolygon<f64>| one.bounding_rect().zip(self.ground.bounding_rect());
        if !meets(shape).is_some_and(|(one, other)| one.intersects(&other)) || !shape.intersects(&self.ground)
        {
            return;
        }
        let taken_shape = self.ground.intersection(shape);
        self.ground = self.ground.difference(shape);
        let hectares = Hectares::from(area(&outline(&self.ground, &self.plane)));
        let taken = Hectares((self.hectares.0 - hectares.0).max(0.0));
        self.hectares = Hectares(self.hectares.0 - taken.0);
        self.taken_out.push(TakenOut { reason, hectares: taken, shape: taken_shape });
    }
}

fn outline(ground: &MultiPolygon<f64>, plane: &Plane) -> MultiPolygon<f64> {
    ground.map_coords(|corner| plane.position(corner).0)
}

/// Whether a polygon of this kind is ground that can't be planted.
fn covers(kind: FeatureKind) -> bool {
    match kind {
        FeatureKind::Track
        | FeatureKind::Road
        | FeatureKind::Watercourse
        | FeatureKind::Gully
        | FeatureKind::Water
        | FeatureKind::WaterPoint
        | FeatureKind::PowerLine
        | FeatureKind::BuriedService
        | FeatureKind::Building
        | FeatureKind::Exclusion
        | FeatureKind::Remnant
        | FeatureKind::Slip => true,
        FeatureKind::Fence
        | FeatureKind::Property
        | FeatureKind::Gate
        | FeatureKind::GuideLine
        | FeatureKind::Other => false,
    }
}

fn put(shape: &Shape, plane: &Plane) -> Shape {
    let xy = |corner| plane.xy(Point(corner));
    match shape {
        Shape::Points(points) => Shape::Points(points.map_coords(xy)),
        Shape::Lines(lines) => Shape::Lines(lines.map_coords(xy)),
        Shape::Polygons(polygons) => Shape::Polygons(polygons.map_coords(xy)),
    }
}

fn polygons(shape: &Shape) -> Option<&MultiPolygon<f64>> {
    match shape {
        Shape::Polygons(polygons) => Some(polygons),
        Shape::Points(_) | Shape::Lines(_) => None,
    }
}

fn around(shape: &Shape, kind: FeatureKind, distance: f64) -> MultiPolygon<f64> {
    let style = BufferStyle::new(distance).line_join(LineJoin::Round(ROUND)).line_cap(LineCap::Round(ROUND));
    match shape {
        Shape::Points(points) => points.buffer_with_style(style),
        Shape::Lines(lines) => lines.buffer_with_style(style),
        Shape::Polygons(polygons) if covers(kind) => polygons.buffer_with_style(style),
        Shape::Polygons(polygons) => {
            let rings = polygons
                .iter()
                .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()).cloned());
            MultiLineString(rings.collect()).buffer_with_style(style)
        }
    }
}

#[cfg(test)]
mod tests {
    use geo::{Coord, LineString, MultiPoint, Polygon, Rect};

    use super::*;
    use crate::{
        source::Row,
        terrain::{Coordinates, Lattice, Raster},
    };

    /// A field of 400 × 200 m about 148° E, 36° S, and shapes drawn on its plane.
    fn plane() -> Plane {
        Plane::about(Point::new(148.0, -36.0))
    }

    fn oblong(west: f64, south: f64, east: f64, north: f64) -> MultiPolygon<f64> {
        let on_plane = MultiPolygon(vec![Rect::new((west, south), (east, north)).to_polygon()]);
        outline(&on_plane, &plane())
    }

    fn row() -> Row {
        Row { file: "features.geojson".into(), row: 1 }
    }

    fn field() -> Area {
        Area {
            id: AreaId("Field".into()),
            boundary: oblong(-200.0, -100.0, 200.0, 100.0),
            stated_hectares: None,
            stated_as: None,
            frosty: false,
            dry: false,
            waterlogged: false,
            note: None,
            source: row(),
        }
    }

    fn feature(kind: FeatureKind, shape: Shape) -> Feature {
        Feature {
            kind,
            standing: crate::project::Standing::Existing,
            made: None,
            name: None,
            shape,
            source: row(),
        }
    }

    fn line(places: &[(f64, f64)]) -> Shape {
        let at = |&(x, y): &(f64, f64)| plane().position(Coord { x, y }).0;
        Shape::Lines(MultiLineString(vec![LineString(places.iter().map(at).collect())]))
    }

    fn design(setback: &[(FeatureKind, f64)], steepest: Option<f64>) -> PlantingDesign {
        PlantingDesign {
            areas: None,
            spacing: Metres(4.0),
            stem_spacing: Metres(2.0),
            strip: None,
            machine_rate: None,
            hand_rate: None,
            setback: setback.iter().map(|(kind, metres)| (*kind, Metres(*metres))).collect(),
            pattern: Vec::new(),
            steepest: steepest.map(Degrees),
            exposed: None,
            stagger: true,
        }
    }

    fn square_metres(plantable: &Plantable) -> Vec<f64> {
        plantable.taken_out.iter().map(|taken| taken.hectares.0 * 10_000.0).collect()
    }

    /// By hand: a dam of 40 × 30 m; a creek across the whole field with 5 m on either side, 30 m of it in the dam that is
    /// gone already; a point with 2 m round it.
    #[test]
    fn each_reason_takes_what_those_before_it_left() {
        let features = [
            feature(FeatureKind::Water, Shape::Polygons(oblong(-20.0, -15.0, 20.0, 15.0))),
            feature(FeatureKind::Watercourse, line(&[(0.0, -150.0), (0.0, 150.0)])),
            feature(
                FeatureKind::WaterPoint,
                Shape::Points(MultiPoint(vec![plane().position(Coord { x: 100.0, y: 50.0 })])),
            ),
            feature(FeatureKind::Fence, line(&[(-300.0, 0.0), (-250.0, 0.0)])),
        ];
        let setbacks =
            [(FeatureKind::Watercourse, 5.0), (FeatureKind::WaterPoint, 2.0), (FeatureKind::Fence, 3.0)];
        let left = plantable(&field(), &features, &design(&setbacks, None), None);
        let reasons: Vec<String> = left.taken_out.iter().map(|taken| taken.reason.to_string()).collect();
        assert_eq!(reasons, ["water", "within 5 m of watercourse", "within 2 m of water point"]);
        let expected = [1_200.0, 10.0 * 200.0 - 10.0 * 30.0, std::f64::consts::PI * 4.0];
        for (taken, expected) in square_metres(&left).iter().zip(expected) {
            assert!((taken / expected - 1.0).abs() < 1e-3, "{taken} m², not {expected}");
        }
        let sum: f64 = left.hectares.0 + left.taken_out.iter().map(|taken| taken.hectares.0).sum::<f64>();
        assert!((sum - left.whole.0).abs() < 1e-12, "{sum} of {}", left.whole.0);
        assert!((left.whole.0 - 8.0).abs() < 1e-4);
    }

    /// A boundary fence drawn as a ring takes a strip inside it and not the field.
    #[test]
    fn a_ring_of_fence_takes_a_strip_alone() {
        let fence = feature(FeatureKind::Fence, Shape::Polygons(field().boundary));
        let left = plantable(&field(), &[fence], &design(&[(FeatureKind::Fence, 3.0)], None), None);
        let strip = 400.0 * 200.0 - 394.0 * 194.0;
        assert!((square_metres(&left)[0] / strip - 1.0).abs() < 1e-3, "{:?}", left.taken_out);
    }

    /// A slope that grows by 0.1° for each metre eastward passes 15° at 50 m east of the middle.
    #[test]
    fn ground_steeper_than_the_limit_is_left_out() {
        let middle = crate::geometry::Grid::of_epsg(32755).unwrap();
        let (x, y) = middle.to_grid(Point::new(148.0, -36.0)).unwrap();
        let lattice = Lattice {
            west: x - 400.0,
            north: y + 400.0,
            cell_x: 10.0,
            cell_y: 10.0,
            rows: 80,
            columns: 80,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            crs: crate::geometry::Crs::of_epsg(32755),
        };
        let values =
            (0..80 * 80).map(|cell| (10.0 + 0.1 * (lattice.centre(0, cell % 80).x - x)) as f32).collect();
        let slope = Raster { lattice, values };
        let model = Modelled { heights: &slope, slope: &slope };
        let left = plantable(&field(), &[], &design(&[], Some(15.0)), Some(model));
        assert_eq!(left.taken_out[0].reason.to_string(), "15° or steeper");
        // Grid north is half a degree off the plane's, and the grid's scale 0.9996.
        assert!((square_metres(&left)[0] - 150.0 * 200.0).abs() < 60.0, "{:?}", left.taken_out);
    }

    proptest::proptest! {
        /// Whatever stands in the field, hectares add up, and nothing is planted beyond its boundary.
        #[test]
        fn hectares_add_up(
            corners in proptest::collection::vec((-260.0f64..260.0, -160.0f64..160.0), 3..9),
            track in proptest::collection::vec((-260.0f64..260.0, -160.0f64..160.0), 2..6),
            setback in 0.5f64..40.0,
        ) {
            let at = |(x, y): (f64, f64)| plane().position(Coord { x, y }).0;
            let ring = LineString(corners.into_iter().map(at).collect());
            let drawn = MultiPolygon(vec![Polygon::new(ring, vec![])]);
            let Ok(drawn) = crate::geometry::clean(&drawn) else { return Ok(()) };
            let features = [
                feature(FeatureKind::Slip, Shape::Polygons(drawn.shape)),
                feature(FeatureKind::Track, line(&track)),
            ];
            let setbacks = [(FeatureKind::Slip, setback / 2.0), (FeatureKind::Track, setback)];
            let left = plantable(&field(), &features, &design(&setbacks, None), None);
            let sum: f64 = left.hectares.0 + left.taken_out.iter().map(|taken| taken.hectares.0).sum::<f64>();
            proptest::prop_assert!((sum - left.whole.0).abs() < 1e-9);
            let measured = Hectares::from(area(&left.outline())).0;
            for taken in &left.taken_out {
                let shape = Hectares::from(area(&left.placed(&taken.shape))).0;
                proptest::prop_assert!((shape - taken.hectares.0).abs() < 1e-4, "{} {:?}", shape, taken.reason);
            }
            proptest::prop_assert!((measured - left.hectares.0).abs() < 1e-4, "{} {}", measured, left.hectares.0);
            proptest::prop_assert!(left.hectares.0 >= 0.0 && left.hectares.0 <= left.whole.0);
        }
    }
}
