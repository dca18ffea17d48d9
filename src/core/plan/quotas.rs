//! Whole stems out of shares, and a place for every one of them.

use std::{cmp::Reverse, collections::VecDeque};

/// `total` shared out in proportion to `shares`, the largest remainders rounded up; equal remainders go to whoever stands first.
///
/// # Reference
/// The largest-remainder (Hamilton) method: Balinski and Young (2001), *Fair Representation*, 2nd ed., Brookings.
#[must_use]
pub fn largest_remainder(total: u64, shares: &[f64]) -> Vec<u64> {
    let sum: f64 = shares.iter().filter(|share| share.is_finite()).sum();
    if sum.is_nan() || sum <= 0.0 {
        return vec![0; shares.len()];
    }
    let exact: Vec<f64> =
        shares.iter().map(|share| if share.is_finite() { total as f64 * share / sum } else { 0.0 }).collect();
    let mut whole: Vec<u64> = exact.iter().map(|part| part.floor().max(0.0) as u64).collect();
    let mut order: Vec<usize> = (0..shares.len()).filter(|at| exact[*at] > 0.0).collect();
    order.sort_by(|&one, &other| exact[other].fract().total_cmp(&exact[one].fract()));
    let left = total.saturating_sub(whole.iter().sum());
    for at in order.into_iter().take(left as usize) {
        whole[at] += 1;
    }
    whole
}

/// Stems of each kind for each group of places: as many of the `quotas` as `may` lets find a place, in proportion as far as it goes.
///
/// # Method
/// Groups that few kinds may go to choose first, in proportion to what is left; what then finds no place moves others aside along
/// the shortest chain of exchanges.
///
/// # Reference
/// Edmonds and Karp (1972), *Theoretical improvements in algorithmic efficiency for network flow problems*, J. ACM 19:248-264.
pub(crate) fn allot(groups: &[u64], quotas: &[u64], may: &[Vec<bool>]) -> Vec<Vec<u64>> {
    let mut left = quotas.to_vec();
    let mut allotted = vec![vec![0; quotas.len()]; groups.len()];
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by_key(|&group| (may[group].iter().filter(|may| **may).count(), Reverse(groups[group])));
    for group in order {
        let free: Vec<u64> =
            left.iter().zip(&may[group]).map(|(left, may)| if *may { *left } else { 0 }).collect();
        let most = free.iter().sum::<u64>().min(groups[group]);
        let shares: Vec<f64> = free.iter().map(|free| *free as f64).collect();
        for (kind, stems) in largest_remainder(most, &shares).into_iter().enumerate() {
            let stems = stems.min(left[kind]);
            allotted[group][kind] = stems;
            left[kind] -= stems;
        }
    }
    place_rest(groups, quotas, may, &mut allotted);
    allotted
}

/// Finds places, as `may` lets them, for as many as it can of the `quotas` that `allotted` leaves over.
pub(crate) fn place_rest(groups: &[u64], quotas: &[u64], may: &[Vec<bool>], allotted: &mut [Vec<u64>]) {
    let placed = |kind: usize| allotted.iter().map(|group| group[kind]).sum::<u64>();
    let mut left: Vec<u64> =
        quotas.iter().enumerate().map(|(kind, quota)| quota.saturating_sub(placed(kind))).collect();
    while let Some(chain) = chain(groups, &left, may, allotted) {
        exchange(allotted, &mut left, &chain, groups);
    }
}

/// From a kind that has stems left to a group that has room: kind, group, the kind that makes way there, the next group and so on.
fn chain(groups: &[u64], left: &[u64], may: &[Vec<bool>], allotted: &[Vec<u64>]) -> Option<Vec<usize>> {
    let mut came: Vec<Option<usize>> = vec![None; groups.len()];
    let mut from: Vec<Option<usize>> = vec![None; left.len()];
    let mut queue: VecDeque<usize> = (0..left.len()).filter(|kind| left[*kind] > 0).collect();
    let mut seen: Vec<bool> = left.iter().map(|left| *left > 0).collect();
    while let Some(kind) = queue.pop_front() {
        for group in 0..groups.len() {
            if !may[group][kind] || came[group].is_some() {
                continue;
            }
            came[group] = Some(kind);
            if allotted[group].iter().sum::<u64>() < groups[group] {
                let mut chain = vec![group];
                let mut at = Some(kind);
                while let Some(kind) = at {
                    chain.push(kind);
                    let before = from[kind];
                    chain.extend(before);
                    at = before.and_then(|group| came[group]);
                }
                chain.reverse();
                return Some(chain);
            }
            for other in 0..left.len() {
                if allotted[group][other] > 0 && !seen[other] {
                    seen[other] = true;
                    from[other] = Some(group);
                    queue.push_back(other);
                }
            }
        }
    }
    None
}

/// Moves as many stems along `chain` as every link of it bears.
fn exchange(allotted: &mut [Vec<u64>], left: &mut [u64], chain: &[usize], groups: &[u64]) {
    let (Some(&first), Some(&last)) = (chain.first(), chain.last()) else { return };
    let room = groups[last] - allotted[last].iter().sum::<u64>();
    // Kinds stand at even places, groups at odd ones; the kind after a group makes way in it.
    let making_way = chain[1..].chunks_exact(2).map(|pair| allotted[pair[0]][pair[1]]);
    let stems = making_way.fold(room.min(left[first]), u64::min);
    for pair in chain[1..].chunks_exact(2) {
        allotted[pair[0]][pair[1]] -= stems;
    }
    for pair in chain.chunks_exact(2) {
        allotted[pair[1]][pair[0]] += stems;
    }
    left[first] -= stems;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hand-worked: 1,943 stems at 30, 25, 20, 15 and 10 %.
    #[test]
    fn shares_become_whole_stems_that_add_up() {
        assert_eq!(largest_remainder(1943, &[30.0, 25.0, 20.0, 15.0, 10.0]), [583, 486, 389, 291, 194]);
        assert_eq!(largest_remainder(2, &[1.0, 1.0, 1.0]), [1, 1, 0]);
        assert_eq!(largest_remainder(5, &[0.0, 0.0]), [0, 0]);
    }

    /// The second group bears the first kind alone, so the first group must take all of the others.
    #[test]
    fn kinds_make_way_where_others_have_no_choice() {
        let may = [vec![true, true, true], vec![true, false, false]];
        assert_eq!(allot(&[10, 6], &[6, 5, 5], &may), [vec![0, 5, 5], vec![6, 0, 0]]);
        let may = [vec![true, true], vec![true, true], vec![false, true]];
        let allotted = allot(&[4, 4, 4], &[8, 4], &may);
        assert_eq!(allotted[2], [0, 4]);
        assert_eq!(allotted[0][0] + allotted[1][0], 8);
    }

    proptest::proptest! {
        #[test]
        fn remainders_add_up(total in 0u64..100_000, shares in proptest::collection::vec(0.01f64..9.0, 1..20)) {
            let whole = largest_remainder(total, &shares);
            let sum: f64 = shares.iter().sum();
            proptest::prop_assert_eq!(whole.iter().sum::<u64>(), total);
            for (whole, share) in whole.iter().zip(&shares) {
                proptest::prop_assert!((*whole as f64 - total as f64 * share / sum).abs() < 1.0 + 1e-6);
            }
        }

        /// No more than fits and no more than there is; and nothing is left over beside a place that it may take.
        #[test]
        fn what_may_find_a_place_finds_one(
            groups in proptest::collection::vec(0u64..50, 1..6),
            quotas in proptest::collection::vec(0u64..50, 1..6),
            bits in proptest::num::u64::ANY,
        ) {
            let may: Vec<Vec<bool>> = (0..groups.len())
                .map(|group| (0..quotas.len()).map(|kind| bits >> (group * 6 + kind) & 1 == 1).collect())
                .collect();
            let allotted = allot(&groups, &quotas, &may);
            for (group, size) in groups.iter().enumerate() {
                let held: u64 = allotted[group].iter().sum();
                proptest::prop_assert!(held <= *size);
                for (kind, quota) in quotas.iter().enumerate() {
                    let dealt: u64 = allotted.iter().map(|group| group[kind]).sum();
                    proptest::prop_assert!(dealt <= *quota);
                    proptest::prop_assert!(may[group][kind] || allotted[group][kind] == 0);
                    proptest::prop_assert!(!(may[group][kind] && held < *size && dealt < *quota));
                }
            }
        }
    }
}
