//! Control rows: the rows that are pegged with instruments, from which the rows between are set out by tape.

use geo::{Coord, LineString};

use crate::{
    plan::{
        across::Across,
        row_levels::{Level, STEP, levels, looks},
        rows::AreaRows,
    },
    units::Metres,
};

/// Rows from one control row to the next: two are taped up the slope and two down it.
pub const CONTROL_EVERY: i64 = 5;

/// Rows that are taped to either side.
const BESIDE: i64 = (CONTROL_EVERY - 1) / 2;

/// The tape reaches this many spacings to either side: two rows, and what they may lie farther apart.
pub(crate) const REACH: f64 = 2.7;

/// A control row with the rows that are taped from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ControlGroup {
    /// The control row, by its place among the rows of the area.
    pub(crate) control: usize,
    /// All rows of the group, the control row too, from the access side on.
    pub(crate) rows: Vec<usize>,
}

/// The control rows of an area in the order in which a crew comes to them from `access`, where that is known.
///
/// # Method
/// Rows are counted by their position on the slope and not by their number: a row that begins or ends between others shares the
/// position of those it continues. Of the positions from the access side on the third is pegged, and then every fifth; what is left at
/// the far end has a control row in its middle. Every other row is taped from the control row within two positions that lies
/// beside most of its length, and is pegged itself where none does.
pub(crate) fn control_groups(
    rows: &AreaRows,
    lines: &[LineString<f64>],
    across: &Across<'_>,
    access: Option<Coord<f64>>,
    spacing: Metres,
) -> Vec<ControlGroup> {
    let levels = levels(lines, across, spacing);
    let away: Vec<f64> =
        rows.rows.iter().map(|row| access.map_or(0.0, |at| distance(&row.line, at))).collect();
    let mut patches: Vec<usize> = levels.iter().map(|level| level.patch).collect();
    patches.sort_unstable();
    patches.dedup();
    let members =
        |patch: usize| -> Vec<usize> { (0..lines.len()).filter(|row| levels[*row].patch == patch).collect() };
    let nearest =
        |patch: usize| members(patch).into_iter().min_by(|a, b| away[*a].total_cmp(&away[*b]).then(a.cmp(b)));
    let mut order: Vec<(f64, usize, usize)> =
        patches.iter().filter_map(|patch| nearest(*patch).map(|row| (away[row], *patch, row))).collect();
    order.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.2.cmp(&other.2)));

    let mut groups = Vec::new();
    for (_, patch, entry) in order {
        let own = members(patch);
        let low = own.iter().map(|row| levels[*row].level).min().unwrap_or_default();
        let high = own.iter().map(|row| levels[*row].level).max().unwrap_or_default();
        // From the end that the access is nearer to.
        let upward = levels[entry].level - low > high - levels[entry].level;
        let count = high - low + 1;
        let position = |level: Level| if upward { high - level.level } else { level.level - low };
        let is_control = |position: i64| {
            let rest = count % CONTROL_EVERY;
            let full = count - rest;
            if position < full { position % CONTROL_EVERY == BESIDE } else { position - full == rest / 2 }
        };
        let mut control: Vec<usize> =
            own.iter().copied().filter(|row| is_control(position(levels[*row]))).collect();
        let mut taped: Vec<(usize, usize)> = Vec::new();
        for row in own.iter().copied().filter(|row| !is_control(position(levels[*row]))) {
            match beside(row, &lines[row], across, spacing, |other| {
                is_control(position(levels[other]))
                    && levels[other].patch == patch
                    && (levels[other].level - levels[row].level).abs() <= BESIDE
            }) {
                Some(by) => taped.push((row, by)),
                None => control.push(row),
            }
        }
        control.sort_by_key(|row| (position(levels[*row]), *row));
        for control in control {
            let mut rows: Vec<usize> =
                taped.iter().filter(|(_, by)| *by == control).map(|(row, _)| *row).chain([control]).collect();
            rows.sort_by_key(|row| (position(levels[*row]), *row));
            groups.push(ControlGroup { control, rows });
        }
    }
    groups
}

/// Of the rows that `may` tape it the one beside most of a row's length.
fn beside(
    row: usize,
    line: &LineString<f64>,
    across: &Across<'_>,
    Metres(spacing): Metres,
    may: impl Fn(usize) -> bool,
) -> Option<usize> {
    let mut lengths: std::collections::BTreeMap<usize, f64> = std::collections::BTreeMap::new();
    for (place, length, along) in looks(line, STEP * spacing) {
        let down = across.down(place, along);
        for way in [down, down * -1.0] {
            let met = across.met(place, way, REACH * spacing).into_iter();
            for (other, _) in met.filter(|(other, _)| *other != row && may(*other)) {
                *lengths.entry(other).or_default() += length;
            }
        }
    }
    lengths
        .into_iter()
        .max_by(|one, other| one.1.total_cmp(&other.1).then(other.0.cmp(&one.0)))
        .map(|(row, _)| row)
}

fn distance(line: &LineString<f64>, place: Coord<f64>) -> f64 {
    let away = |corner: &Coord<f64>| libm::hypot(corner.x - place.x, corner.y - place.y);
    line.0.iter().map(away).min_by(f64::total_cmp).unwrap_or(f64::INFINITY)
}
