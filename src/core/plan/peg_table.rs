//! The peg table of a control row: how each peg is found from the one before, and what is taped from it up and down the slope.

use geo::{Coord, LineString, Point};

use crate::{
    geometry::Plane,
    plan::{
        across::Across,
        control_rows::{ControlGroup, REACH},
        leg::{LegFrom, North, TraverseLeg},
        rows::AreaRows,
        tie::Mark,
        walk::Walk,
    },
    units::{Degrees, Metres},
};

/// From peg to peg along a row.
pub const PEG_EVERY: Metres = Metres(20.0);

/// Where a row bends away from the tape between two pegs by more than this, they stand nearer together.
pub const BEND: Metres = Metres(0.5);

/// A row whose taped mark is nearer to its end than this ends at the mark.
const AT_END: f64 = 0.25;

/// A row is pegged along itself where no mark was taped on it for so many pegs' distances.
const GAP: f64 = 1.5;

/// One peg of a control row.
#[derive(Debug, Clone, PartialEq)]
pub struct Peg {
    /// Its number along the row, 0 at the row's start.
    pub number: u32,
    /// The tape along the row from its start.
    pub chainage: Metres,
    /// How it is found: from the peg before it, or, the first, from a mark or an earlier row.
    pub leg: TraverseLeg,
    /// Its place on the plane of the area.
    pub place: Coord<f64>,
    /// The slope of the ground across the row, in whole degrees; `None` where nobody has measured it.
    pub slope: Option<Degrees>,
    /// The bearing straight down the slope.
    pub down: Degrees,
    /// What is taped from it, up the slope and then down it, nearest first.
    pub taped: Vec<Taped>,
}

/// A row reached by tape from a peg.
#[derive(Debug, Clone, PartialEq)]
pub struct Taped {
    /// The row's number.
    pub row: u32,
    /// Down the slope, or up it.
    pub down: bool,
    /// Along the ground, to a tenth of a metre.
    pub tape: Metres,
    /// The place on the row.
    pub place: Coord<f64>,
    /// Where the printed figures lead to.
    pub drawn: Coord<f64>,
    /// Whether the row starts or ends there.
    pub end: Option<RowEnd>,
}

/// An end of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowEnd {
    /// Its start.
    Start,
    /// Its end.
    End,
}

/// A peg of a row between control rows beyond what is taped.
#[derive(Debug, Clone, PartialEq)]
pub struct RowLeg {
    /// The row's number.
    pub row: u32,
    /// How the peg is found.
    pub leg: TraverseLeg,
    /// Its place on the plane of the area.
    pub place: Coord<f64>,
    /// The end of the row that it is; `None` for a peg on the way.
    pub end: Option<RowEnd>,
}

/// The peg table of a control row and of the rows between that are set out from it.
#[derive(Debug, Clone, PartialEq)]
pub struct PegTable {
    /// The number of the control row.
    pub row: u32,
    /// The numbers of all rows that it sets out, its own too, from the access side on.
    pub rows: Vec<u32>,
    /// Longitude and latitude of the first peg.
    pub start: Point<f64>,
    /// Its pegs.
    pub pegs: Vec<Peg>,
    /// Pegs of the rows between that no tape from it reaches: their ends, and what lies beside no control row.
    pub beyond: Vec<RowLeg>,
}

/// What peg tables of an area are worked out from.
pub(crate) struct SetOutGround<'a> {
    pub(crate) rows: &'a AreaRows,
    pub(crate) lines: &'a [LineString<f64>],
    pub(crate) across: &'a Across<'a>,
    /// The model's own heights.
    pub(crate) height: &'a dyn Fn(Coord<f64>) -> Option<f64>,
    pub(crate) north: North,
    pub(crate) spacing: Metres,
}

/// The peg tables of `groups` in their order, the first tied to the nearest of `marks`, each later one to that or to a peg that stands.
pub(crate) fn peg_tables(
    ground: &SetOutGround<'_>,
    groups: &[ControlGroup],
    marks: &[Mark],
) -> Vec<PegTable> {
    // Everything that a tie can start from: what it is, its place, and where the printed figures have it.
    let mut known: Vec<(LegFrom, Coord<f64>, Coord<f64>)> =
        marks.iter().map(|mark| (LegFrom::Mark(mark.words.clone()), mark.place, mark.place)).collect();
    let mut tables = Vec::new();
    for group in groups {
        let Some(table) = ground.table(group, &known) else { continue };
        for peg in &table.pegs {
            let from = LegFrom::Peg { row: table.row, peg: peg.number };
            known.push((from, peg.place, peg.leg.drawn));
        }
        tables.push(table);
    }
    tables
}

impl SetOutGround<'_> {
    fn table(&self, group: &ControlGroup, known: &[(LegFrom, Coord<f64>, Coord<f64>)]) -> Option<PegTable> {
        let line = self.lines.get(group.control)?;
        let walk = Walk::of(line);
        let number = self.rows.rows.get(group.control)?.number;
        let start = walk.at(0.0);
        let far = |place: Coord<f64>| libm::hypot(place.x - start.x, place.y - start.y);
        let nearest = known.iter().min_by(|one, other| far(one.1).total_cmp(&far(other.1)));
        let tie = match nearest {
            Some((from, place, drawn)) => {
                TraverseLeg::to(from.clone(), *drawn, start, self.rise(*place, start), self.north)
            }
            None => self.leg(LegFrom::Nothing, start, start, start),
        };
        let mut pegs: Vec<Peg> = Vec::new();
        let stations = std::iter::once(0.0).chain(walk.steps(0.0, walk.length(), PEG_EVERY.0, BEND.0));
        let mut chainage = 0.0;
        for (peg, along) in (0..).zip(stations) {
            let place = walk.at(along);
            let leg = match pegs.last() {
                None => tie.clone(),
                Some(before) => self.leg(LegFrom::Before, before.leg.drawn, before.place, place),
            };
            chainage += if peg == 0 { 0.0 } else { leg.distance.0 };
            let beyond = walk.at(along + 1.0) - walk.at(along - 1.0);
            pegs.push(self.peg(group, peg, Metres(chainage), leg, (place, beyond)));
        }
        let mut beyond = Vec::new();
        for row in group.rows.iter().copied().filter(|row| *row != group.control) {
            self.beyond(row, number, &mut pegs, &mut beyond);
        }
        Some(PegTable {
            row: number,
            rows: group.rows.iter().filter_map(|row| Some(self.rows.rows.get(*row)?.number)).collect(),
            start: self.plane().position(start),
            pegs,
            beyond,
        })
    }

    fn plane(&self) -> &Plane {
        &self.rows.plantable.plane
    }

    fn rise(&self, from: Coord<f64>, to: Coord<f64>) -> Option<f64> {
        Some((self.height)(to)? - (self.height)(from)?)
    }

    /// The leg from the place `before`, which the printed figures have at `drawn`, to `place`.
    fn leg(&self, from: LegFrom, drawn: Coord<f64>, before: Coord<f64>, place: Coord<f64>) -> TraverseLeg {
        TraverseLeg::to(from, drawn, place, self.rise(before, place), self.north)
    }

    fn peg(
        &self,
        group: &ControlGroup,
        number: u32,
        chainage: Metres,
        leg: TraverseLeg,
        (place, along): (Coord<f64>, Coord<f64>),
    ) -> Peg {
        let down = self.north.bearing(self.across.down(place, along), 0);
        let way = self.north.way(down);
        let mut met: Vec<(bool, usize, Coord<f64>, Metres)> = Vec::new();
        for (downward, way) in [(false, way * -1.0), (true, way)] {
            for (row, there) in self.across.met(leg.drawn, way, REACH * self.spacing.0) {
                if row != group.control && group.rows.contains(&row) {
                    met.push((downward, row, there, self.across.tape(leg.drawn, there)));
                }
            }
        }
        // A row that bends round the peg is taped the shorter way.
        let shorter = |one: &(bool, usize, Coord<f64>, Metres)| {
            met.iter().all(|other| other.1 != one.1 || other.3.0 >= one.3.0)
        };
        let met: Vec<_> = met.iter().filter(|one| shorter(one)).copied().collect();
        let plan = |there: Coord<f64>| libm::hypot(there.x - leg.drawn.x, there.y - leg.drawn.y);
        // Of the longest tape to either side: the slope that takes ground to plan.
        let longest = |downward: bool| {
            met.iter().filter(|one| one.0 == downward).max_by(|one, other| one.3.0.total_cmp(&other.3.0))
        };
        let ways = [longest(false), longest(true)].into_iter().flatten();
        let (level, taped) =
            ways.fold((0.0, 0.0), |(level, taped), one| (level + plan(one.2), taped + one.3.0));
        let slope = if taped > 0.0 {
            let own = Degrees(libm::acos((level / taped).min(1.0)).to_degrees());
            self.across.slope(place).map(|_| own)
        } else {
            self.across.slope(place)
        };
        let slope = slope.map(|slope| Degrees(slope.0.round()));
        let shrink = slope.map_or(1.0, Degrees::cos);
        let taped = met.into_iter().filter_map(|(downward, row, there, tape)| {
            let tape = Metres((tape.0 * 10.0).round() / 10.0);
            let way = if downward { way } else { way * -1.0 };
            Some(Taped {
                row: self.rows.rows.get(row)?.number,
                down: downward,
                tape,
                place: there,
                drawn: leg.drawn + way * (tape.0 * shrink),
                end: None,
            })
        });
        Peg { number, chainage, place, slope, down, taped: taped.collect(), leg }
    }

    /// Pegs of a row between: its ends, and what no tape reaches.
    fn beyond(&self, row: usize, control: u32, pegs: &mut [Peg], legs: &mut Vec<RowLeg>) {
        let (Some(line), Some(own)) = (self.lines.get(row), self.rows.rows.get(row)) else { return };
        let (walk, number) = (Walk::of(line), own.number);
        let length = walk.length();
        let mut marks: Vec<(f64, u32, Coord<f64>)> = pegs
            .iter()
            .flat_map(|peg| {
                peg.taped.iter().filter(|taped| taped.row == number).map(move |taped| (peg, taped))
            })
            .map(|(peg, taped)| (walk.along(taped.place), peg.number, taped.drawn))
            .collect();
        marks.sort_by(|one, other| one.0.total_cmp(&other.0));
        let closed = own.closed();
        let mut name = |peg: u32, end: RowEnd| {
            let taped = pegs.iter_mut().filter(|one| one.number == peg).flat_map(|one| one.taped.iter_mut());
            taped.filter(|taped| taped.row == number).for_each(|taped| taped.end = Some(end));
        };
        let mut go =
            |from: LegFrom, (start, drawn): (f64, Coord<f64>), to: f64, stop: f64, end: Option<RowEnd>| {
                let (mut from, mut before, mut drawn) = (from, walk.at(start), drawn);
                for along in walk.steps(start, to, PEG_EVERY.0, BEND.0) {
                    if end.is_none() && (stop - along).abs() < PEG_EVERY.0 / 2.0 {
                        break;
                    }
                    let place = walk.at(along);
                    let leg = self.leg(from, drawn, before, place);
                    (from, before, drawn) = (LegFrom::Before, place, leg.drawn);
                    let end = if (along - to).abs() < 1e-6 { end } else { None };
                    legs.push(RowLeg { row: number, leg, place, end });
                }
            };
        let (Some(first), Some(last)) = (marks.first().copied(), marks.last().copied()) else {
            // Nothing was taped: from the nearest peg to its start, then along it.
            let start = walk.at(0.0);
            let far = |peg: &&Peg| libm::hypot(peg.place.x - start.x, peg.place.y - start.y);
            let Some(peg) = pegs.iter().min_by(|one, other| far(one).total_cmp(&far(other))) else { return };
            let from = LegFrom::Peg { row: control, peg: peg.number };
            let leg = self.leg(from, peg.leg.drawn, peg.place, start);
            let drawn = leg.drawn;
            legs.push(RowLeg { row: number, leg, place: start, end: Some(RowEnd::Start) });
            let mut before = (LegFrom::Before, start, drawn);
            for along in walk.steps(0.0, length, PEG_EVERY.0, BEND.0) {
                let place = walk.at(along);
                let leg = self.leg(before.0, before.2, before.1, place);
                before = (LegFrom::Before, place, leg.drawn);
                let end = ((along - length).abs() < 1e-6).then_some(RowEnd::End);
                legs.push(RowLeg { row: number, leg, place, end });
            }
            return;
        };
        if !closed {
            if first.0 <= AT_END {
                name(first.1, RowEnd::Start);
            } else {
                go(LegFrom::Taped(first.1), (first.0, first.2), 0.0, 0.0, Some(RowEnd::Start));
            }
        }
        for pair in marks.windows(2) {
            if pair[1].0 - pair[0].0 > GAP * PEG_EVERY.0 {
                go(LegFrom::Taped(pair[0].1), (pair[0].0, pair[0].2), pair[1].0, pair[1].0, None);
            }
        }
        if closed {
            let (from, to) = (last.0, length);
            if first.0 + length - last.0 > GAP * PEG_EVERY.0 {
                go(LegFrom::Taped(last.1), (from, last.2), to, to + first.0, None);
            }
        } else if length - last.0 <= AT_END {
            name(last.1, RowEnd::End);
        } else {
            go(LegFrom::Taped(last.1), (last.0, last.2), length, length, Some(RowEnd::End));
        }
    }
}
