//! What charts say in words: figures printed, names found again from ids, lists cut short.

use std::collections::{BTreeMap, BTreeSet};

use hillfolio_core::{
    ledger::{Entry, Figure, FigureId, Ledger, Missing, Series},
    project::{Project, SpeciesId, slug},
    units::percent,
};

/// What is printed where there is no number.
pub(super) const NOTHING: &str = "–";

/// The figure's number as it is printed everywhere, a share as per cent, without its unit's name.
pub(super) fn value(figure: &Figure) -> String {
    figure.number_text()
}

/// The number under `id`, or a dash.
pub(super) fn value_or_dash(figure: Option<&Figure>) -> String {
    figure.map_or_else(|| NOTHING.to_owned(), value)
}

/// The interval as `83.2–91.0 %`, or a dash.
pub(super) fn interval(figure: &Figure) -> String {
    figure.bounds_text().unwrap_or_else(|| NOTHING.to_owned())
}

/// The confidence of the first interval among `figures`, such as `90 %`.
pub(super) fn confidence<'a>(mut figures: impl Iterator<Item = &'a Figure>) -> Option<String> {
    figures.find_map(|figure| figure.interval.as_ref()).map(|bounds| {
        let tenths = (bounds.confidence * 1000.0).round();
        percent(bounds.confidence, usize::from(tenths % 10.0 != 0.0))
    })
}

/// The figures of `series` whose codes but the first are `rest`, each with its first code. A number that can't be drawn is left out.
pub(super) fn figures_under<'a: 'r, 'r>(
    ledger: &'a Ledger,
    series: &'static Series,
    rest: &'r [&'r str],
) -> impl Iterator<Item = (&'a str, &'a Figure)> + 'r {
    under(ledger, series, rest).filter_map(|(code, entry)| match entry {
        Entry::Figure(figure) if figure.value.is_finite() => Some((code, figure)),
        _ => None,
    })
}

/// The reasons why there is no figure of a series with one dimension, each with its code.
pub(super) fn missing_under<'a>(
    ledger: &'a Ledger,
    series: &'static Series,
) -> impl Iterator<Item = (&'a str, &'a Missing)> + 'a {
    under(ledger, series, &[]).filter_map(|(code, entry)| match entry {
        Entry::Missing(missing) => Some((code, missing)),
        Entry::Figure(_) => None,
    })
}

fn under<'a: 'r, 'r>(
    ledger: &'a Ledger,
    series: &'static Series,
    rest: &'r [&'r str],
) -> impl Iterator<Item = (&'a str, &'a Entry)> + 'r {
    ledger.of(series).filter_map(move |(codes, _, entry)| {
        let (first, others) = codes.split_first()?;
        (others == rest).then_some((*first, entry))
    })
}

/// A figure that can be drawn.
pub(super) fn drawable<'a>(ledger: &'a Ledger, id: &FigureId) -> Option<&'a Figure> {
    ledger.figure(id.as_str()).filter(|figure| figure.value.is_finite())
}

/// The species that the project's tables name, by the slug that stands in ids.
pub(super) fn species_by_slug(project: &Project) -> BTreeMap<String, &SpeciesId> {
    let planted = project.plantings.iter().map(|planting| &planting.species);
    let tallied = project.tallies.iter().map(|tally| &tally.species);
    let measured = project.stems.iter().map(|stem| &stem.species);
    let named: BTreeSet<&SpeciesId> = planted.chain(tallied).chain(measured).collect();
    named.into_iter().map(|species| (slug(&species.0), species)).collect()
}

/// `names` as a list in a sentence, cut after `most` of them.
pub(super) fn listed(names: &[String], most: usize) -> String {
    let shown = &names[..names.len().min(most)];
    match (names.len() - shown.len(), shown.split_last()) {
        (_, None) => String::new(),
        (0, Some((last, []))) => last.clone(),
        (0, Some((last, rest))) => format!("{} and {last}", rest.join(", ")),
        (more, Some(_)) => format!("{} and {more} more", shown.join(", ")),
    }
}

/// Why figures are not drawn, as sentences: `reasons` holds pairs of reason and name.
pub(super) fn why_missing(reasons: impl Iterator<Item = (String, String)>) -> String {
    let mut by_reason: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (reason, name) in reasons {
        by_reason.entry(reason).or_default().push(name);
    }
    by_reason
        .iter()
        .map(|(reason, names)| format!(" No figure for {}: {reason}.", listed(names, 6)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_in_a_sentence() {
        let names: Vec<String> = ["a", "b", "c", "d"].map(str::to_owned).to_vec();
        assert_eq!(listed(&names[..1], 3), "a");
        assert_eq!(listed(&names[..3], 3), "a, b and c");
        assert_eq!(listed(&names, 2), "a, b and 2 more");
        assert_eq!(listed(&[], 2), "");
    }
}
