//! Two lists held side by side.

use std::collections::BTreeMap;

/// Every key of `one` and of `other`, in order, with what each of the two says under it; of a key that stands twice the last counts.
pub(crate) fn side_by_side<K: Ord, V, W>(
    one: impl IntoIterator<Item = (K, V)>,
    other: impl IntoIterator<Item = (K, W)>,
) -> BTreeMap<K, (Option<V>, Option<W>)> {
    let mut pairs: BTreeMap<K, (Option<V>, Option<W>)> =
        one.into_iter().map(|(key, value)| (key, (Some(value), None))).collect();
    for (key, value) in other {
        pairs.entry(key).or_default().1 = Some(value);
    }
    pairs
}
