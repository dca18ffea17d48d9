//! Putting labels where they cover neither one another nor a symbol: greedy, the most important first.

use std::cmp::Reverse;

use geo::{Coord, Line, Rect};

use crate::draw::{map::patch::Patch, text};

/// Paper between two labels, mm on each side.
const BREATHING: f64 = 0.5;

/// What each shorter wording costs: less is said.
const SHORTER_COST: f64 = 2.5;

/// Side of a cell of the indexes of lines and patches, mm.
const CELL: f64 = 6.0;

/// What a line under a label costs, beside the costs of its spots: more than a leader to clean paper.
const LINE_COST: f64 = 2.0;

/// What a line under a leader costs.
const LEADER_COST: f64 = 0.4;

/// What a symbol close by costs: it wants the room for a label of its own.
const CROWD_COST: f64 = 0.5;

/// How close a symbol has to be to count as close by, mm.
const CROWD: f64 = 3.0;

/// How far about its best spot a label looks for what presses it, mm.
const PRESSED: f64 = 5.0;

/// One place where a label may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Centre of the label, mm.
    pub centre: Coord<f64>,
    /// Degrees by which it is turned clockwise.
    pub turn: f64,
    /// The place it points at by a leader.
    pub leader: Option<Coord<f64>>,
    /// How much worse than the best spot it is.
    pub cost: f64,
}

/// One wording of a label with the spots that suit it.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Its lines, from the top.
    pub lines: Vec<text::Line>,
    /// Where it may stand.
    pub spots: Vec<Spot>,
    /// Whether it may stand anywhere on a surface, and so had better leave the room beside symbols to their own labels.
    pub roams: bool,
}

impl Form {
    /// Width and height of its lines together, mm.
    #[must_use]
    pub fn size(lines: &[text::Line]) -> (f64, f64) {
        let width = lines.iter().map(text::Line::width).fold(0.0, f64::max);
        (width, lines.iter().map(text::Line::height).sum())
    }
}

/// A label that wants a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Lower ranks are placed first.
    pub rank: u8,
    /// Its wordings, the fullest first.
    pub forms: Vec<Form>,
    /// Whether it is rather left out than set over a line.
    pub clean: bool,
}

/// A label in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Its lines, from the top.
    pub lines: Vec<text::Line>,
    /// The paper that it takes.
    pub patch: Patch,
    /// The leader from the label to what it names.
    pub leader: Option<Line<f64>>,
}

/// The space for labels: the symbols, lines and labels that a new label has to keep off.
#[derive(Debug)]
pub struct LabelSpace {
    net: CellIndex,
    symbols: Occupied,
    labels: Occupied,
    /// Narrow patches under the lines.
    lines: Occupied,
}

/// A grid index over a frame. What lies beyond it counts to the cells at its edge.
#[derive(Debug, Clone, Copy)]
struct CellIndex {
    frame: Rect<f64>,
    columns: usize,
    rows: usize,
}

impl CellIndex {
    fn over(frame: Rect<f64>) -> CellIndex {
        let count = |length: f64| (length / CELL).ceil().clamp(1.0, 1000.0) as usize;
        CellIndex { frame, columns: count(frame.width()), rows: count(frame.height()) }
    }

    /// A list for every cell.
    fn lists<T: Clone>(&self) -> Vec<Vec<T>> {
        vec![Vec::new(); self.columns * self.rows]
    }

    /// The cells of the box that `a` and `b` span.
    fn between(&self, a: Coord<f64>, b: Coord<f64>) -> impl Iterator<Item = usize> + use<> {
        let (origin, columns) = (self.frame.min(), self.columns);
        let cell = |at: f64, count: usize| (at / CELL).floor().clamp(0.0, count as f64 - 1.0) as usize;
        let (left, right) = (cell(a.x.min(b.x) - origin.x, columns), cell(a.x.max(b.x) - origin.x, columns));
        let (top, bottom) =
            (cell(a.y.min(b.y) - origin.y, self.rows), cell(a.y.max(b.y) - origin.y, self.rows));
        (top..=bottom).flat_map(move |row| (left..=right).map(move |column| row * columns + column))
    }

    /// The cells that `patch` may reach into.
    fn under(&self, patch: &Patch) -> impl Iterator<Item = usize> + use<> {
        let [a, _, c, _] = patch.corners();
        let reach = libm::hypot(patch.half.0, patch.half.1);
        let (low, high) = if patch.axes()[0].y == 0.0 {
            (a, c)
        } else {
            let Coord { x, y } = patch.centre;
            (Coord { x: x - reach, y: y - reach }, Coord { x: x + reach, y: y + reach })
        };
        self.between(low, high)
    }
}

/// Occupied patches, by the cells they may reach into.
#[derive(Debug)]
struct Occupied {
    patches: Vec<Patch>,
    cells: Vec<Vec<usize>>,
}

impl Occupied {
    fn of(net: &CellIndex, patches: Vec<Patch>) -> Occupied {
        let mut taken = Occupied { patches: Vec::with_capacity(patches.len()), cells: net.lists() };
        patches.into_iter().for_each(|patch| taken.add(net, patch));
        taken
    }

    fn add(&mut self, net: &CellIndex, patch: Patch) {
        for cell in net.under(&patch) {
            self.cells[cell].push(self.patches.len());
        }
        self.patches.push(patch);
    }

    fn add_line(&mut self, net: &CellIndex, line: &Line<f64>) {
        for cell in net.between(line.start, line.end) {
            self.cells[cell].push(self.patches.len());
        }
        self.patches.push(Patch::along(line.start, line.end, 0.1));
    }

    /// Whether any of them shares paper with `patch`.
    fn any_under(&self, net: &CellIndex, patch: &Patch) -> bool {
        let mut here = net.under(patch).flat_map(|cell| &self.cells[cell]);
        here.any(|&at| self.patches[at].overlaps(patch))
    }

    /// How many of them share paper with `patch`.
    fn count_under(&self, net: &CellIndex, patch: &Patch) -> usize {
        let mut here: Vec<usize> = net.under(patch).flat_map(|cell| &self.cells[cell]).copied().collect();
        here.sort_unstable();
        here.dedup();
        here.into_iter().filter(|&at| self.patches[at].overlaps(patch)).count()
    }
}

impl LabelSpace {
    /// Clean paper inside `frame`, with symbols that no label may cover and lines that one had better not cross.
    #[must_use]
    pub fn new(frame: Rect<f64>, symbols: Vec<Patch>, lines: &[Line<f64>]) -> LabelSpace {
        let net = CellIndex::over(frame);
        let mut drawn = Occupied::of(&net, Vec::with_capacity(lines.len()));
        lines.iter().for_each(|line| drawn.add_line(&net, line));
        LabelSpace {
            net,
            symbols: Occupied::of(&net, symbols),
            labels: Occupied::of(&net, Vec::new()),
            lines: drawn,
        }
    }

    /// How many symbols stand about a label's best spot: what is pressed chooses first among its like.
    fn pressed(&self, wanted: &Wanted) -> usize {
        let first = wanted.forms.first().filter(|form| !form.roams);
        let spot = first.and_then(|form| Some((form, form.spots.first()?)));
        spot.map_or(0, |(form, spot)| {
            let patch = Patch::new(spot.centre, Form::size(&form.lines), spot.turn);
            self.symbols.count_under(&self.net, &patch.grown(PRESSED))
        })
    }

    /// Places `wanted` in order of rank; the answers stand in the order of `wanted`, `None` where there was no room.
    #[must_use]
    pub fn place(mut self, wanted: &[Wanted]) -> Vec<Option<Placed>> {
        let mut order: Vec<usize> = (0..wanted.len()).collect();
        order.sort_by_cached_key(|&at| (wanted[at].rank, Reverse(self.pressed(&wanted[at]))));
        let mut placed = vec![None; wanted.len()];
        for at in order {
            let found = self.best(&wanted[at]);
            if let Some(label) = &found {
                self.labels.add(&self.net, label.patch.grown(BREATHING));
                if let Some(leader) = label.leader {
                    self.labels.add(&self.net, Patch::along(leader.start, leader.end, 0.6));
                }
            }
            placed[at] = found;
        }
        placed
    }

    /// The cheapest free spot of any wording; of equals the first.
    fn best(&self, wanted: &Wanted) -> Option<Placed> {
        let mut best: Option<(f64, Placed)> = None;
        let spots = wanted
            .forms
            .iter()
            .enumerate()
            .flat_map(|(at, form)| form.spots.iter().map(move |spot| (at, form, spot)));
        for (at, form, spot) in spots {
            let beaten = |cost: f64| best.as_ref().is_some_and(|(least, _)| *least <= cost);
            let least = spot.cost + SHORTER_COST * at as f64;
            if beaten(least) {
                continue;
            }
            let Some(label) = self.free(form, spot) else { continue };
            let over = self.crossed(&label.patch);
            if wanted.clean && over > 0.0 {
                continue;
            }
            let led =
                label.leader.map_or(0.0, |leader| self.crossed(&Patch::along(leader.start, leader.end, 0.1)));
            let cost =
                least + LINE_COST * over + LEADER_COST * led + CROWD_COST * self.crowd(form, &label.patch);
            if !beaten(cost) {
                best = Some((cost, label));
            }
        }
        best.map(|(_, label)| label)
    }

    fn free(&self, form: &Form, spot: &Spot) -> Option<Placed> {
        let patch = Patch::new(spot.centre, Form::size(&form.lines), spot.turn);
        let room = patch.grown(BREATHING);
        let covered = |patch: &Patch| self.labels.any_under(&self.net, patch);
        let hidden = |patch: &Patch| self.symbols.any_under(&self.net, patch);
        if !room.within(self.net.frame) || covered(&room) || hidden(&room) {
            return None;
        }
        let leader = spot.leader.map(|target| Line::new(edge_towards(&patch, target), target));
        if let Some(leader) = leader {
            // The last millimetre lies on what is named, whose own symbol may be there.
            let shy = shortened(leader, 1.0);
            if covered(&Patch::along(leader.start, leader.end, 0.4))
                || hidden(&Patch::along(shy.start, shy.end, 0.4))
            {
                return None;
            }
        }
        Some(Placed { lines: form.lines.clone(), patch, leader })
    }

    /// How many symbols other than its own stand close by, in fours at most. A label without a choice doesn't ask.
    fn crowd(&self, form: &Form, patch: &Patch) -> f64 {
        if !form.roams {
            return 0.0;
        }
        self.symbols.count_under(&self.net, &patch.grown(CROWD)).min(4) as f64
    }

    /// How many lines run under the patch, in fours at most.
    fn crossed(&self, patch: &Patch) -> f64 {
        self.lines.count_under(&self.net, patch).min(4) as f64
    }
}

/// Where the straight way from the centre of `patch` (not turned) to `target` leaves it.
fn edge_towards(patch: &Patch, target: Coord<f64>) -> Coord<f64> {
    let (dx, dy) = (target.x - patch.centre.x, target.y - patch.centre.y);
    let (w, h) = (patch.half.0 + 0.3, patch.half.1);
    let part = (w / dx.abs().max(1e-9)).min(h / dy.abs().max(1e-9)).min(1.0);
    Coord { x: patch.centre.x + part * dx, y: patch.centre.y + part * dy }
}

/// `line` without its last `length` millimetres.
fn shortened(line: Line<f64>, length: f64) -> Line<f64> {
    let (dx, dy) = (line.end.x - line.start.x, line.end.y - line.start.y);
    let part = 1.0 - (length / libm::hypot(dx, dy).max(1e-9)).min(0.9);
    Line::new(line.start, Coord { x: line.start.x + part * dx, y: line.start.y + part * dy })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn frame() -> Rect<f64> {
        Rect::new(Coord { x: 0.0, y: 0.0 }, Coord { x: 120.0, y: 80.0 })
    }

    fn wanted(rank: u8, x: f64, y: f64, turn: f64) -> Wanted {
        let lines = vec![text::Line::new("Long ridge", 7.0), text::Line::new("1.25 ha", 6.5)];
        let spot = |dx: f64, dy: f64, cost: f64| Spot {
            centre: Coord { x: x + dx, y: y + dy },
            turn,
            leader: (cost > 1.5).then_some(Coord { x, y }),
            cost,
        };
        let spots =
            vec![spot(0.0, 0.0, 0.0), spot(8.0, 0.0, 1.0), spot(-14.0, 6.0, 2.0), spot(3.0, -12.0, 3.0)];
        Wanted { rank, forms: vec![Form { lines, spots, roams: false }], clean: false }
    }

    #[test]
    fn the_more_important_label_takes_the_place() {
        let (less, more) = (wanted(5, 60.0, 40.0, 0.0), wanted(1, 60.0, 40.0, 0.0));
        let placed = LabelSpace::new(frame(), vec![], &[]).place(&[less, more]);
        let centre = |at: usize| placed[at].as_ref().map(|label| label.patch.centre.x);
        assert_eq!(centre(1), Some(60.0));
        assert_ne!(centre(0), Some(60.0));
    }

    #[test]
    fn a_line_is_crossed_only_where_there_is_no_better_spot() {
        let fence = Line::new(Coord { x: 0.0, y: 40.0 }, Coord { x: 62.0, y: 40.0 });
        let mut label = wanted(1, 60.0, 40.0, 0.0);
        label.forms[0].spots[1].cost = 0.5;
        label.forms[0].spots[1].centre.x = 80.0;
        let placed = LabelSpace::new(frame(), vec![], &[fence]).place(&[label]);
        assert_eq!(placed[0].as_ref().map(|label| label.patch.centre.x), Some(80.0));
    }

    proptest! {
        #[test]
        fn labels_never_overlap_nor_leave_the_frame(
            places in prop::collection::vec((0u8..4, 0.0..120.0_f64, 0.0..80.0_f64, -90.0..90.0_f64), 0..60),
            symbols in prop::collection::vec((0.0..120.0_f64, 0.0..80.0_f64), 0..30),
        ) {
            let symbols: Vec<Patch> =
                symbols.into_iter().map(|(x, y)| Patch::new(Coord { x, y }, (2.0, 2.0), 0.0)).collect();
            let wanted: Vec<Wanted> = places.into_iter().map(|(r, x, y, t)| wanted(r, x, y, t)).collect();
            let placed = LabelSpace::new(frame(), symbols.clone(), &[]).place(&wanted);
            prop_assert_eq!(placed.len(), wanted.len());
            let labels: Vec<Placed> = placed.into_iter().flatten().collect();
            for (at, label) in labels.iter().enumerate() {
                prop_assert!(label.patch.within(frame()));
                prop_assert!(symbols.iter().all(|symbol| !symbol.overlaps(&label.patch)));
                for other in &labels[at + 1..] {
                    prop_assert!(!label.patch.overlaps(&other.patch));
                    let crossed = |leader: Option<Line<f64>>, patch: &Patch| {
                        leader.is_some_and(|line| Patch::along(line.start, line.end, 0.1).overlaps(patch))
                    };
                    prop_assert!(!crossed(other.leader, &label.patch) && !crossed(label.leader, &other.patch));
                }
            }
        }
    }
}
