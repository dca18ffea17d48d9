//! Which measured stems are one tree.

use std::collections::BTreeMap;

use crate::project::{PlotId, SpeciesId, Stem};

/// The mark by which a tree is known again: its plot, its species and its tag.
pub type Mark<'a> = (&'a PlotId, &'a SpeciesId, &'a str);

impl Stem {
    /// The mark of the tree that the stem belongs to; `None` for a stem without a tag.
    #[must_use]
    pub fn mark(&self) -> Option<Mark<'_>> {
        Some((&self.plot, &self.species, self.tag.as_deref()?))
    }
}

/// The trees of a plot that further stems may belong to, by their place among all trees.
#[derive(Default)]
struct Known<'a> {
    /// Those with a tag.
    marked: BTreeMap<(&'a str, &'a SpeciesId), usize>,
    /// The last of each species without one.
    last: BTreeMap<&'a SpeciesId, usize>,
}

/// `stems`, put together as trees in the order of their first stems. Stems of one mark are one tree; a second or further stem without a
/// tag belongs to the tree without a tag that stands last before it in its plot, if it is of its species.
#[must_use]
pub fn trees<'a>(stems: impl IntoIterator<Item = &'a Stem>) -> Vec<Vec<&'a Stem>> {
    let mut trees: Vec<Vec<&Stem>> = Vec::new();
    let mut plots: Vec<Known<'_>> = Vec::new();
    let mut places: BTreeMap<&PlotId, usize> = BTreeMap::new();
    let mut here: Option<(&PlotId, usize)> = None;
    for stem in stems {
        let new = trees.len();
        // Stems stand plot by plot in most books: the plot is looked for only where it changes.
        let at = match here {
            Some((plot, at)) if *plot == stem.plot => at,
            _ => *places.entry(&stem.plot).or_insert(plots.len()),
        };
        here = Some((&stem.plot, at));
        if at == plots.len() {
            plots.push(Known::default());
        }
        let Known { marked, last } = &mut plots[at];
        let species = &stem.species;
        let own = match stem.tag.as_deref() {
            Some(tag) => *marked.entry((tag, species)).or_insert(new),
            None if stem.stem.is_some_and(|number| number > 1) => last.get(species).copied().unwrap_or(new),
            None => new,
        };
        if stem.tag.is_none() {
            last.insert(species, own);
        } else if own == new {
            // What follows a tagged tree can't belong to one before it.
            last.remove(species);
        }
        match trees.get_mut(own) {
            Some(tree) => tree.push(stem),
            None => trees.push(vec![stem]),
        }
    }
    trees
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{project::StemStatus, source::Row};

    fn stem(plot: &str, species: &str, tag: &str, number: u32) -> Stem {
        Stem {
            date: chrono::NaiveDate::MIN,
            plot: PlotId(plot.into()),
            species: SpeciesId(species.into()),
            tag: Some(tag.to_owned()).filter(|tag| !tag.is_empty()),
            height: None,
            diameter_mm: None,
            diameter_at: None,
            stem: Some(number).filter(|&number| number > 0),
            status: StemStatus::Alive,
            note: None,
            source: Row { file: "stems.csv".into(), row: 2 },
        }
    }

    fn sizes(stems: &[Stem]) -> Vec<usize> {
        trees(stems).iter().map(Vec::len).collect()
    }

    #[test]
    fn a_tag_holds_a_tree_together_within_its_plot_and_species() {
        let stems = [
            stem("P1", "Acacia", "7", 1),
            stem("P1", "Acacia", "", 0),
            stem("P1", "Acacia", "7", 2),
            stem("P2", "Acacia", "7", 1),
            stem("P1", "Banksia", "7", 1),
        ];
        assert_eq!(sizes(&stems), [2, 1, 1, 1]);
    }

    #[test]
    fn further_stems_without_a_tag_join_the_tree_above_them() {
        let stems = [
            stem("P1", "Acacia", "", 1),
            stem("P1", "Banksia", "", 1),
            stem("P1", "Acacia", "", 2),
            stem("P1", "Acacia", "", 3),
            stem("P1", "Acacia", "", 1),
            stem("P1", "Acacia", "", 0),
        ];
        assert_eq!(sizes(&stems), [3, 1, 1, 1]);
        // Of a tagged tree no stem is without a tag.
        let stems = [stem("P1", "Acacia", "", 1), stem("P1", "Acacia", "7", 1), stem("P1", "Acacia", "", 2)];
        assert_eq!(sizes(&stems), [1, 1, 1]);
    }
}
