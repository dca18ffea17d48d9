//! Strata: parts of an area that were surveyed more or less densely than others, and how large each is.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    project::{AreaId, Plot, slug},
    units::listed,
};

/// What a stratum weighs by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Stems planted in it; where none are stated, its hectares stand for them.
    Stems,
    /// Its hectares.
    Ground,
}

/// A stratum: an area, or a named part of one whose size is known.
pub type Key<'a> = (&'a AreaId, Option<String>);

/// The stems and the hectares of a stratum, so far as they are stated.
type Sizes = [Option<f64>; 2];

/// The strata that plots stand in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Strata<'a> {
    /// The share of its area that each named part makes up.
    parts: BTreeMap<&'a AreaId, BTreeMap<String, f64>>,
    /// Areas whose plots bear names of several parts of which no size is known.
    pub pooled: BTreeSet<&'a AreaId>,
}

impl<'a> Strata<'a> {
    /// The strata of `plots`. An area is one stratum unless each of its plots bears the name of a part of stated size.
    #[must_use]
    pub fn of(plots: impl IntoIterator<Item = &'a Plot>, by: By) -> Strata<'a> {
        let mut areas: BTreeMap<&AreaId, BTreeMap<Option<String>, Option<Sizes>>> = BTreeMap::new();
        for plot in plots {
            let stratum = plot.stratum.as_ref();
            let name = stratum.map(|stratum| slug(&stratum.name));
            let size = areas.entry(&plot.area).or_default().entry(name).or_default();
            *size = size.or(stratum.map(|stratum| [stratum.planted(), stratum.hectares.map(|size| size.0)]));
        }
        let mut strata = Strata::default();
        for (area, names) in areas {
            let sized = |which: usize| -> Option<BTreeMap<String, f64>> {
                let size = |(name, size): (&Option<String>, &Option<Sizes>)| {
                    Some((name.clone()?, *size.as_ref()?.get(which)?.as_ref()?))
                };
                names.iter().map(size).collect()
            };
            let sizes = match by {
                By::Stems => sized(0).or_else(|| sized(1)),
                By::Ground => sized(1),
            };
            let all: f64 = sizes.iter().flat_map(BTreeMap::values).sum();
            match sizes.filter(|_| all > 0.0) {
                Some(sizes) => {
                    let shares = sizes.into_iter().map(|(name, size)| (name, size / all));
                    strata.parts.insert(area, shares.collect());
                }
                None if names.len() > 1 => {
                    strata.pooled.insert(area);
                }
                None => {}
            }
        }
        strata
    }

    /// The stratum of a plot.
    #[must_use]
    pub fn key(&self, plot: &'a Plot) -> Key<'a> {
        let named = self.parts.contains_key(&plot.area);
        (&plot.area, plot.stratum.as_ref().filter(|_| named).map(|stratum| slug(&stratum.name)))
    }

    /// The share of its area that a stratum makes up.
    #[must_use]
    pub fn share(&self, (area, name): &Key<'_>) -> f64 {
        let part = name.as_ref().and_then(|name| self.parts.get(area)?.get(name));
        part.copied().unwrap_or(1.0)
    }

    /// What must be said of parts without a size; `None` where there are none.
    #[must_use]
    pub fn note(&self) -> Option<String> {
        let areas: Vec<String> = self.pooled.iter().map(|area| area.to_string()).collect();
        (!areas.is_empty()).then(|| {
            format!(
                "strata of {} taken together, because their sizes are not stated: a part with many plots counts for more than its share",
                listed(&areas)
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        project::{MeasuredOn, PlotId, PlotShape, Stratum},
        source::Row,
        units::{Hectares, SquareMetres, Stems},
    };

    fn plot(number: u32, stratum: Option<Stratum>) -> Plot {
        Plot {
            id: PlotId(format!("P{number}").into()),
            area: AreaId("Hill".into()),
            shape: PlotShape::Area(SquareMetres(100.0)),
            position: None,
            measured_on: MeasuredOn::Plan,
            stratum,
            planted_stems: None,
            note: None,
            source: Row { file: "plots.csv".into(), row: number },
        }
    }

    fn stratum(name: &str, stems: Option<u64>, hectares: Option<f64>) -> Option<Stratum> {
        Some(Stratum { name: name.to_owned(), stems: stems.map(Stems), hectares: hectares.map(Hectares) })
    }

    #[test]
    fn sizes_are_shares_and_what_lacks_them_is_pooled() {
        let plots = [
            plot(1, stratum("Ridge", Some(900), None)),
            plot(2, stratum("gully", Some(100), None)),
            plot(3, stratum("ridge ", None, None)),
        ];
        let strata = Strata::of(&plots, By::Stems);
        let shares: Vec<f64> = plots.iter().map(|plot| strata.share(&strata.key(plot))).collect();
        assert_eq!(shares, [0.9, 0.1, 0.9]);
        let ground = Strata::of(&plots, By::Ground);
        assert_eq!(ground.key(&plots[0]), ground.key(&plots[1]));
        assert!(ground.note().unwrap().contains("strata of Hill taken together"));
        let bare = [plot(1, stratum("Ridge", Some(900), Some(1.0))), plot(2, None)];
        assert_eq!(Strata::of(&bare, By::Stems).pooled.len(), 1);
        assert_eq!(Strata::of(&[plot(1, None)], By::Stems).note(), None);
    }
}
