//! The numbers of rows at their starts: upright, off one another, thinned evenly where they would crowd.

use geo::{Coord, LineString, Rect};

use crate::draw::{
    map::{
        inked::Inked,
        item::Named,
        paint::START_MM,
        patch::Patch,
        placement::Placed,
        sign::Sign,
        window::{Drawn, grown},
    },
    text::{CAP_HEIGHT, Line, POINT_MM},
};

/// Every row is numbered, or every second, and so on.
const STEPS: [u32; 6] = [1, 2, 5, 10, 20, 50];

/// Numbers are thinned until so many of those that are wanted find room.
const ENOUGH: f64 = 0.9;

/// Paper between two numbers, mm.
const APART: f64 = 0.35;

/// What a row under a number costs.
const ROW_COST: f64 = 1.5;

/// A number may stand over no more rows than this.
const MOST_ROWS: usize = 1;

/// Places tried behind a start: how much farther back, how far to the side, and what each costs.
const BEHIND: [(f64, f64, f64); 7] = [
    (0.0, 0.0, 0.0),
    (0.0, 0.9, 0.4),
    (0.0, -0.9, 0.4),
    (0.0, 1.8, 0.9),
    (0.0, -1.8, 0.9),
    (1.5, 0.0, 0.6),
    (3.0, 0.0, 1.2),
];

/// Places tried on the row itself, by their distance from its start, mm; each costs this and a little more by distance.
const ON_ROW: [f64; 4] = [3.0, 7.0, 11.0, 15.0];
const ON_ROW_COST: f64 = 1.6;

/// The numbers of a map's rows.
pub(super) struct Numbers {
    /// In their places.
    pub(super) placed: Vec<Placed>,
    /// Every row whose number is a multiple of this is numbered, and the first.
    step: u32,
    /// How many of those found no room.
    left_out: usize,
}

impl Numbers {
    /// The paper that they take.
    pub(super) fn patches(&self) -> impl Iterator<Item = Patch> {
        self.placed.iter().map(|label| label.patch)
    }

    /// What a caption says of numbers that are not there.
    pub(super) fn words(&self) -> String {
        let mut words = match self.step {
            1 => String::new(),
            step => format!(
                " Of the numbers every {} stands on the map; count the starts between.",
                ordinal(step)
            ),
        };
        if self.left_out > 0 {
            let starts = if self.left_out == 1 { "start has" } else { "starts have" };
            words += &format!(
                " {} {starts} no number for want of room: count on from the row above.",
                self.left_out
            );
        }
        words
    }
}

fn ordinal(step: u32) -> String {
    match step {
        2 => "second".to_owned(),
        5 => "fifth".to_owned(),
        10 => "tenth".to_owned(),
        step => format!("{step}th"),
    }
}

struct Start<'a> {
    number: u32,
    label: &'a Line,
    at: Coord<f64>,
    /// The way the row runs.
    way: Coord<f64>,
    row: Option<&'a LineString<f64>>,
}

/// Numbers the starts of rows among `inked` within `frame`, off the `symbols` of the map.
pub(super) fn numbered(inked: &[Inked<'_>], symbols: &[Patch], frame: Rect<f64>) -> Numbers {
    let rows: Vec<&LineString<f64>> = inked
        .iter()
        .filter(|one| matches!(one.item.sign, Sign::Row(_)))
        .filter_map(|one| if let Drawn::Lines(lines) = &one.drawn { Some(lines) } else { None })
        .flatten()
        .collect();
    let mut starts: Vec<Start<'_>> = inked.iter().filter_map(|one| start(one, &rows)).collect();
    starts.sort_by_key(|start| start.number);
    let legs: Vec<geo::Line<f64>> = rows.iter().flat_map(|row| row.lines()).collect();
    let desk = RowNumberSpace { frame: grown(frame, -0.6), symbols, legs: &legs };
    let mut numbers = Numbers { placed: Vec::new(), step: 1, left_out: 0 };
    let first = starts.first().map_or(1, |start| start.number);
    for step in STEPS {
        let wanted: Vec<&Start<'_>> = starts
            .iter()
            .filter(|start| start.number == first || start.number.is_multiple_of(step))
            .collect();
        let placed = desk.place(&wanted);
        numbers = Numbers { left_out: wanted.len() - placed.len(), placed, step };
        if numbers.placed.len() as f64 >= ENOUGH * wanted.len() as f64 {
            break;
        }
    }
    numbers
}

fn start<'a>(one: &'a Inked<'a>, rows: &[&'a LineString<f64>]) -> Option<Start<'a>> {
    let label = one.item.label.as_ref()?;
    let (Named::Row(number), Drawn::Points(places)) = (label.named, &one.drawn) else { return None };
    let at = *places.first()?;
    let bearing = one.bearing?;
    let near = |place: &Coord<f64>| (place.x - at.x).abs() < 0.01 && (place.y - at.y).abs() < 0.01;
    let row = rows.iter().find(|row| row.0.first().is_some_and(near)).copied();
    let way = Coord { x: bearing.sin(), y: -bearing.cos() };
    Some(Start { number, label: label.forms.first()?.first()?, at, way, row })
}

/// The space for row numbers: the frame, the symbols and the legs of rows that they keep off.
struct RowNumberSpace<'a> {
    frame: Rect<f64>,
    symbols: &'a [Patch],
    legs: &'a [geo::Line<f64>],
}

impl RowNumberSpace<'_> {
    /// Places the numbers one after another; those without room are left out.
    fn place(&self, starts: &[&Start<'_>]) -> Vec<Placed> {
        let mut placed: Vec<Placed> = Vec::new();
        for start in starts {
            let spots = spots(start).into_iter().filter(|(patch, _)| self.free(patch, &placed));
            let priced = spots.filter_map(|(patch, cost)| {
                let rows = self.rows_under(&patch, start.row);
                (rows <= MOST_ROWS).then_some((patch, cost + ROW_COST * rows as f64))
            });
            if let Some((patch, _)) = priced.min_by(|one, other| one.1.total_cmp(&other.1)) {
                placed.push(Placed { lines: vec![start.label.clone()], patch, leader: None });
            }
        }
        placed
    }

    fn free(&self, patch: &Patch, placed: &[Placed]) -> bool {
        let room = patch.grown(APART);
        room.within(self.frame)
            && !self.symbols.iter().any(|symbol| symbol.overlaps(patch))
            && !placed.iter().any(|label| label.patch.overlaps(&room))
    }

    /// How many other rows than its own run under the patch.
    fn rows_under(&self, patch: &Patch, own: Option<&LineString<f64>>) -> usize {
        let reach = libm::hypot(patch.half.0, patch.half.1);
        let under = |leg: &geo::Line<f64>| {
            let beside =
                |one: f64, other: f64, at: f64| one.min(other) - reach > at || one.max(other) + reach < at;
            !beside(leg.start.x, leg.end.x, patch.centre.x)
                && !beside(leg.start.y, leg.end.y, patch.centre.y)
                && Patch::along(leg.start, leg.end, 0.4).overlaps(patch)
        };
        let all = self.legs.iter().filter(|leg| under(leg)).count();
        let own = own.map_or(0, |row| row.lines().filter(under).count());
        all.saturating_sub(own)
    }
}

/// Places for a number with what each costs: behind the start, then on the row.
fn spots(start: &Start<'_>) -> Vec<(Patch, f64)> {
    let size = (start.label.width(), CAP_HEIGHT * start.label.points * POINT_MM + 0.1);
    let Start { at, way, .. } = *start;
    // From the middle of the number to its edge, along the row.
    let reach = (way.x.abs() * size.0 + way.y.abs() * size.1) / 2.0;
    let behind = BEHIND.iter().map(|(back, aside, cost)| {
        let off = START_MM + 0.5 + reach + back;
        let centre = Coord { x: at.x - off * way.x - aside * way.y, y: at.y - off * way.y + aside * way.x };
        (Patch::new(centre, size, 0.0), *cost)
    });
    let on_row = ON_ROW.iter().filter_map(|along| {
        let centre = at_run(start.row?, along + reach)?;
        Some((Patch::new(centre, size, 0.0), ON_ROW_COST + 0.05 * along))
    });
    behind.chain(on_row).collect()
}

/// The place so far along a line; `None` where it is shorter.
fn at_run(line: &LineString<f64>, run: f64) -> Option<Coord<f64>> {
    let mut left = run;
    for leg in line.lines() {
        let length = libm::hypot(leg.dx(), leg.dy());
        if left <= length {
            return Some(leg.start + leg.delta() * (left / length.max(1e-9)));
        }
        left -= length;
    }
    None
}
