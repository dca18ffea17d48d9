//! The order of species along the rows: by chance within their allotment, none beside its own kind where that can be.

use crate::{estimate::chance::Chance, plan::species_assignment::Slot};

/// A kind for every place, by chance in proportion to what its group has left, but not the one before it in the row.
pub(crate) fn draw(
    slots: &[Slot],
    group_of: &[usize],
    mut left: Vec<Vec<u64>>,
    seed: u64,
) -> Vec<Option<usize>> {
    let chance = Chance::new(seed);
    let mut drawn: Vec<Option<usize>> = Vec::with_capacity(slots.len());
    for (at, slot) in slots.iter().enumerate() {
        let left = &mut left[group_of[at]];
        let before = at.checked_sub(1).filter(|before| slots[*before].row == slot.row);
        let before = before.and_then(|before| drawn[before]);
        let free = |kind: usize, left: &[u64]| if Some(kind) == before { 0 } else { left[kind] };
        let sum: u64 = (0..left.len()).map(|kind| free(kind, left)).sum();
        let kind = if sum == 0 {
            before.filter(|kind| left[*kind] > 0)
        } else {
            let mut rest = (uniform(&chance, at as u64) * sum as f64).floor() as u64;
            (0..left.len()).find(|kind| {
                let own = free(*kind, left);
                let found = rest < own;
                rest = rest.saturating_sub(own);
                found
            })
        };
        if let Some(kind) = kind {
            left[kind] -= 1;
        }
        drawn.push(kind);
    }
    drawn
}

/// A number between 0 and 1: half the square of a pair of normal numbers' length is exponential, as Box and Muller made it.
fn uniform(chance: &Chance, draw: u64) -> f64 {
    let [one, other] = chance.normals(draw, 0);
    libm::exp(-(one * one + other * other) / 2.0)
}

/// Whether two places, one after another, are of one row and one kind.
pub(crate) fn side_by_side(slots: &[Slot], drawn: &[Option<usize>], one: usize, other: usize) -> bool {
    slots[one].row == slots[other].row && drawn[one].is_some() && drawn[one] == drawn[other]
}

/// Parts pairs of one kind by exchanging one of them within its group, where that makes no new pair.
pub(crate) fn part(slots: &[Slot], group_of: &[usize], groups: &[&Vec<usize>], drawn: &mut [Option<usize>]) {
    let paired = |drawn: &[Option<usize>], at: usize| {
        (at > 0 && side_by_side(slots, drawn, at - 1, at))
            || (at + 1 < slots.len() && side_by_side(slots, drawn, at, at + 1))
    };
    for at in 0..slots.len() {
        if !paired(drawn, at) {
            continue;
        }
        let group = groups[group_of[at]];
        let from = group.partition_point(|place| *place <= at);
        let others = group[from..].iter().chain(&group[..from]).copied();
        for other in others {
            if drawn[other] == drawn[at] {
                continue;
            }
            drawn.swap(at, other);
            if !paired(drawn, at) && !paired(drawn, other) {
                break;
            }
            drawn.swap(at, other);
        }
    }
}
