//! Items brought to paper, the rings about those too small to see, and the paper that their signs take.

use std::cell::OnceCell;

use geo::{BoundingRect, Centroid, Coord, MultiPolygon, Point};

use crate::draw::map::{
    item::Item,
    paint,
    patch::Patch,
    sign::{Sign, surface_fill},
    window::{Drawn, Window, bearing_on_paper},
};
use hillfolio_core::{project::Shape, units::Degrees};

/// An area drawn smaller than this, in mm, is ringed so that it is found.
const SEEN_MM: f64 = 2.0;

/// An item that is brought to the plane of its map once, when it is first asked for, for windows of every scale.
pub(super) struct Laid<'a> {
    /// The item.
    pub(super) item: &'a Item,
    ground: OnceCell<Shape>,
}

impl<'a> Laid<'a> {
    pub(super) fn new(item: &'a Item) -> Laid<'a> {
        Laid { item, ground: OnceCell::new() }
    }

    /// Its shape on the plane of `window`, in metres.
    fn ground(&self, window: &Window) -> &Shape {
        self.ground.get_or_init(|| window.on_plane(&self.item.shape))
    }
}

/// An item brought to paper.
pub(super) struct Inked<'a> {
    /// The item.
    pub(super) item: &'a Item,
    /// Its shape on paper.
    pub(super) drawn: Drawn,
    /// Which way a camera looks or a row runs, clockwise from the top of the paper.
    pub(super) bearing: Option<Degrees>,
}

/// An item on the paper of `window`; `None` where nothing of it shows.
pub(super) fn ink<'a>(laid: &Laid<'a>, window: &Window) -> Option<Inked<'a>> {
    let item = laid.item;
    if window.is_far_off(&item.shape) {
        return None;
    }
    let drawn = window.drawn(laid.ground(window))?;
    // A surface without a fill shows by its outline only.
    if surface_fill(item.sign).is_none() && !drawn.outline_shows(window.frame) {
        return None;
    }
    let bearing = item.bearing.map(|bearing| bearing_on_paper(&window.plane, bearing));
    Some(Inked { item, drawn, bearing })
}

/// A ring about each part of an area that is too small to see.
pub(super) fn rings_about(items: &[Laid<'_>], window: &Window) -> Vec<Item> {
    let is_area = |sign| matches!(sign, Sign::Area | Sign::Planted(_) | Sign::Unplanted | Sign::Outlined);
    let mut rings = Vec::new();
    for laid in items.iter().filter(|laid| is_area(laid.item.sign)) {
        let Shape::Polygons(polygons) = &laid.item.shape else { continue };
        let Shape::Polygons(ground) = laid.ground(window) else { continue };
        if speck(&window.surface(ground)).is_some() {
            let middle: Vec<Point<f64>> = polygons.centroid().into_iter().collect();
            rings.push(Item {
                sign: Sign::Ring,
                words: "Area too small to see here".to_owned(),
                shape: Shape::Points(middle.into()),
                bearing: None,
                label: None,
            });
        }
    }
    rings
}

/// The middle of a surface that is too small to see.
pub(super) fn speck(surface: &MultiPolygon<f64>) -> Option<Coord<f64>> {
    let bounds = surface.bounding_rect()?;
    (bounds.width().max(bounds.height()) < SEEN_MM).then(|| bounds.center())
}

/// The paper that an item's signs take.
pub(super) fn symbols(one: &Inked<'_>) -> Vec<Patch> {
    let Drawn::Points(places) = &one.drawn else { return Vec::new() };
    let square = |place: &Coord<f64>| {
        let side = 2.0 * radius(one.item.sign);
        Patch::new(*place, (side, side), 0.0)
    };
    let mut patches: Vec<Patch> = places.iter().map(square).collect();
    if let Some(bearing) = one.bearing.filter(|_| one.item.sign == Sign::PhotoPoint) {
        let end = |from: &Coord<f64>| Coord {
            x: from.x + paint::WEDGE_MM * bearing.sin(),
            y: from.y - paint::WEDGE_MM * bearing.cos(),
        };
        // Narrow by the camera, wide at the far end.
        for from in places {
            let to = end(from);
            let middle = Coord { x: (from.x + to.x) / 2.0, y: (from.y + to.y) / 2.0 };
            patches.extend([Patch::along(*from, middle, 2.0), Patch::along(middle, to, 3.9)]);
        }
    }
    patches
}

/// The room that a point's sign takes about its middle, mm.
pub(super) fn radius(sign: Sign) -> f64 {
    match sign {
        Sign::Ring => paint::RING_MM,
        Sign::Feature(..) => paint::FEATURE_MM,
        Sign::RowStart => paint::START_MM,
        Sign::Site(_) => paint::SITE_MM + 0.2,
        Sign::Sighting(_) => 1.5,
        _ => paint::PLOT_MM + 0.1,
    }
}
