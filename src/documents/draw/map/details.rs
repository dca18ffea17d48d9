//! Which areas are too small to be read on the site map, and how they are gathered into detail maps.

use geo::{CoordsIter, Point, Rect};

use crate::draw::map::{
    layout,
    scale::Scale,
    window::{Window, extent},
};
use hillfolio_core::project::Area;

/// An area drawn smaller than this, in mm, has no room for what stands in it. The site map shows such an area on a detail map too.
pub(super) const READABLE_MM: f64 = 40.0;

/// The most detail maps that a report carries.
const MOST: usize = 8;

/// A detail map shows its areas at least so many times larger.
const WORTH_IT: u32 = 2;

/// No detail map is drawn larger than this to make a tiny area readable.
const LARGEST: Scale = Scale::of(500);

/// Rows of a legend that a detail map is planned with.
const LEGEND_ROWS: usize = 12;

/// Neighbouring areas that share one detail map: the room they take and their numbers.
#[derive(Debug, Clone)]
struct Group {
    room: Room,
    areas: Vec<usize>,
}

/// A box on the ground about areas.
#[derive(Debug, Clone, Copy)]
struct Room {
    ground: Rect<f64>,
    /// The smallest of its areas: the longer side, in metres.
    smallest: f64,
}

impl Group {
    fn joined(&self, other: &Group) -> Group {
        let mut areas = [self.areas.clone(), other.areas.clone()].concat();
        areas.sort_unstable();
        Group { room: self.room.joined(&other.room), areas }
    }
}

impl Room {
    fn joined(&self, other: &Room) -> Room {
        let (a, b) = (self.ground, other.ground);
        let low = (a.min().x.min(b.min().x), a.min().y.min(b.min().y));
        let high = (a.max().x.max(b.max().x), a.max().y.max(b.max().y));
        Room { ground: Rect::new(low, high), smallest: self.smallest.min(other.smallest) }
    }

    fn scale(&self) -> Scale {
        layout::largest(layout::Paper::Page, LEGEND_ROWS, 1, (self.ground.width(), self.ground.height())).1
    }

    fn readable(&self) -> bool {
        let scale = self.scale();
        scale <= LARGEST || scale.paper(self.smallest) >= READABLE_MM
    }

    fn side(&self) -> f64 {
        self.ground.width().max(self.ground.height())
    }
}

/// The numbers of the areas on each detail map, none where the map in `window` shows all of them at least `large_enough` mm
/// large.
#[must_use]
pub(super) fn groups(areas: &[Area], window: &Window, large_enough: f64) -> Vec<Vec<usize>> {
    let mut groups: Vec<Group> = Vec::new();
    for (at, area) in areas.iter().enumerate() {
        let corners: Vec<Point<f64>> = area.boundary.exterior_coords_iter().map(Point).collect();
        let Some(ground) = extent(&window.plane, &corners) else { continue };
        let room = Room { ground, smallest: ground.width().max(ground.height()) };
        if window.scale.paper(room.smallest) < large_enough {
            groups.push(Group { room, areas: vec![at] });
        }
    }
    while let Some((a, b)) = closest(&groups, Room::readable) {
        join(&mut groups, a, b);
    }
    while groups.len() > MOST {
        let Some((a, b)) = closest(&groups, |_| true) else { break };
        join(&mut groups, a, b);
    }
    let worth_it = |group: &Group| {
        group.room.scale().denominator().saturating_mul(WORTH_IT) <= window.scale.denominator()
    };
    let mut groups: Vec<Vec<usize>> = groups.into_iter().filter(worth_it).map(|group| group.areas).collect();
    groups.sort();
    groups
}

/// The two groups that make the smallest box together, of those whose union is `allowed`.
fn closest(groups: &[Group], allowed: impl Fn(&Room) -> bool) -> Option<(usize, usize)> {
    let mut best: Option<(f64, (usize, usize))> = None;
    for (a, first) in groups.iter().enumerate() {
        for (b, second) in groups.iter().enumerate().skip(a + 1) {
            let union = first.room.joined(&second.room);
            let side = union.side();
            if best.is_none_or(|(least, _)| side < least) && allowed(&union) {
                best = Some((side, (a, b)));
            }
        }
    }
    best.map(|(_, pair)| pair)
}

fn join(groups: &mut Vec<Group>, a: usize, b: usize) {
    let second = groups.remove(b);
    groups[a] = groups[a].joined(&second);
}
