//! The planting areas as bare shapes, without scale or words: the mark on the cover of a project's papers.

use geo::{BoundingRect, Centroid, Coord, MapCoords, MultiPolygon, Simplify};

use crate::draw::{
    Drawing,
    palette::ACCENT,
    svg::{Svg, polygon_data},
};
use hillfolio_core::{geometry::Plane, project::Project};

/// The room it has on a cover, in millimetres.
const ROOM: (f64, f64) = (110.0, 72.0);

/// Left free all round, so that no stroke is cut.
const EDGE: f64 = 1.0;

/// Detail finer than this doesn't show.
const FINEST_MM: f64 = 0.08;

/// The outline of all areas in the project's accent colour.
#[must_use]
pub fn emblem(project: &Project) -> Option<Drawing> {
    let areas: MultiPolygon<f64> = project.areas.iter().flat_map(|area| area.boundary.0.clone()).collect();
    let plane = Plane::about(areas.centroid()?);
    let ground = areas.map_coords(|place| plane.xy(place.into()));
    let extent = ground.bounding_rect().filter(|extent| extent.width() > 0.0 && extent.height() > 0.0)?;
    let scale = ((ROOM.0 - 2.0 * EDGE) / extent.width()).min((ROOM.1 - 2.0 * EDGE) / extent.height());
    let size = (extent.width() * scale + 2.0 * EDGE, extent.height() * scale + 2.0 * EDGE);
    let paper = |place: Coord<f64>| Coord {
        x: EDGE + (place.x - extent.min().x) * scale,
        y: EDGE + (extent.max().y - place.y) * scale,
    };
    let accent = project.identity.accent.as_deref().unwrap_or(ACCENT);
    let mut svg = Svg::new(size);
    for polygon in ground.map_coords(paper).simplify(FINEST_MM).iter() {
        svg.path(&polygon_data(polygon), accent, None);
    }
    Some(Drawing {
        name: "emblem".to_owned(),
        title: "The planting areas".to_owned(),
        alt: format!(
            "The outline of the planting areas, {} in number, north at the top",
            project.areas.len()
        ),
        caption: String::new(),
        svg: svg.finish(),
        size_mm: size,
        landscape: false,
    })
}
