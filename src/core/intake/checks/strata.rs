//! Strata of plots: parts of an area with plots of their own need a size, and one size.

use std::collections::BTreeMap;

use crate::{
    geometry,
    problem::{Place, Plausibility, Problem, Records},
    project::{AreaId, Plot, Project, Stratum, slug},
    units::{Hectares, listed, number},
};

/// How far the strata of an area may come to more than the area (common practice, no source).
const BEYOND: f64 = 1.05;

/// The plots of one stratum, each with what it says of it.
type Members<'a> = Vec<(&'a Plot, &'a Stratum)>;

/// The strata of an area by the slug of their names.
type Named<'a> = BTreeMap<String, Members<'a>>;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut areas: BTreeMap<&AreaId, Named<'_>> = BTreeMap::new();
    for plot in &project.plots {
        if let Some(stratum) = &plot.stratum {
            let of_area = areas.entry(&plot.area).or_default();
            of_area.entry(slug(&stratum.name)).or_default().push((plot, stratum));
        }
    }
    for (area, strata) in areas {
        for plots in strata.values() {
            problems.extend(differing(plots));
        }
        let without = project.plots.iter().filter(|plot| plot.area == *area && plot.stratum.is_none());
        problems.extend(without_size(area, &strata, &without.collect::<Vec<_>>()));
        problems.extend(beyond(project, area, &strata));
    }
}

/// A stratum whose plots state two sizes.
fn differing(plots: &[(&Plot, &Stratum)]) -> Option<Problem> {
    let stems = |stratum: &Stratum| stratum.stems.map(|stems| ("stratum_stems", stems.0.to_string()));
    let hectares = |stratum: &Stratum| stratum.hectares.map(|size| ("stratum_ha", number(size.0, 3)));
    two(plots, stems).or_else(|| two(plots, hectares))
}

fn two(
    plots: &[(&Plot, &Stratum)],
    size: impl Fn(&Stratum) -> Option<(&'static str, String)>,
) -> Option<Problem> {
    let mut sizes = plots.iter().filter_map(|(plot, stratum)| Some((*plot, &stratum.name, size(stratum)?)));
    let (first, name, (column, one)) = sizes.next()?;
    let (other, _, (_, another)) = sizes.find(|(.., (_, size))| *size != one)?;
    let (name, of) = (name.clone(), first.source.row);
    let kind = Records::StratumOfTwoSizes { stratum: name, size: another, first: one, row: of };
    Some(Problem::new(kind, Place::row(&other.source).column(column)))
}

/// An area of several strata of which one has no size, or some plots of which stand in none.
fn without_size(area: &AreaId, strata: &Named<'_>, outside: &[&Plot]) -> Option<Problem> {
    let sized = |plots: &Members<'_>, of: fn(&Stratum) -> bool| plots.iter().any(|(_, stratum)| of(stratum));
    let stems = |plots: &Members<'_>| sized(plots, |stratum| stratum.stems.is_some());
    let hectares = |plots: &Members<'_>| sized(plots, |stratum| stratum.hectares.is_some());
    let every = |has: &dyn Fn(&Members<'_>) -> bool| outside.is_empty() && strata.values().all(has);
    let some = strata.values().any(|plots| stems(plots) || hectares(plots));
    if every(&stems) || every(&hectares) || (strata.len() < 2 && (!some || outside.is_empty())) {
        return None;
    }
    let named = |plots: &Members<'_>| {
        let (_, stratum) = plots.first()?;
        Some(format!("{} of {}", plots.len(), stratum.name.trim()))
    };
    let none = (!outside.is_empty()).then(|| format!("{} of none", outside.len()));
    let plots: Vec<String> = strata.values().filter_map(named).chain(none).collect();
    let bare =
        strata.values().filter(|plots| !stems(plots) && !hectares(plots)).flatten().map(|(plot, _)| *plot);
    let first = outside.iter().copied().chain(bare).min_by_key(|plot| plot.source.row);
    let first = first
        .or_else(|| strata.values().flatten().map(|(plot, _)| *plot).min_by_key(|plot| plot.source.row))?;
    let kind = Plausibility::StrataWithoutSize { area: area.to_string(), plots: listed(&plots) };
    Some(Problem::new(kind, Place::row(&first.source).column("stratum")))
}

/// Strata that come to more than their area.
fn beyond(project: &Project, area: &AreaId, strata: &Named<'_>) -> Option<Problem> {
    let size = |plots: &Members<'_>| plots.iter().find_map(|(_, stratum)| stratum.hectares);
    let sum: f64 = strata.values().filter_map(size).map(|Hectares(hectares)| hectares).sum();
    let whole = project.areas.iter().find(|one| one.id == *area)?;
    let Hectares(whole) = Hectares::from(geometry::area(&whole.boundary));
    let (first, _) = strata.values().flatten().min_by_key(|(plot, _)| plot.source.row)?;
    (sum > whole * BEYOND).then(|| {
        let (sum, whole) = (number(sum, 2), number(whole, 2));
        let kind = Plausibility::StrataBeyondArea { area: area.to_string(), sum, whole };
        Problem::new(kind, Place::row(&first.source).column("stratum_ha"))
    })
}
