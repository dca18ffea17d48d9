//! Species that a common name may mean by its last word alone: a gum among the project's own, where there is one gum.

use crate::{
    intake::{built_in::BUILT_IN, nearest::folded},
    project::{Origin, SpeciesId, SpeciesList},
};

/// What a species answers to.
#[derive(Debug, Clone)]
struct Bearer {
    id: SpeciesId,
    own: bool,
    genus: String,
    /// The last words of its common names.
    last: Vec<String>,
}

/// Species by the last words of their names.
#[derive(Debug, Clone)]
pub(super) struct LastWords {
    bearers: Vec<Bearer>,
}

impl LastWords {
    /// Those of `list`.
    pub(super) fn of(list: &SpeciesList) -> LastWords {
        let bearer = |species: &crate::project::Species| {
            let built_in = BUILT_IN.list.get(&species.id).and_then(|known| known.common_name.clone());
            let others =
                BUILT_IN.other_names.iter().filter(|(_, id)| *id == species.id).map(|(name, _)| name.clone());
            let names = species.common_name.clone().into_iter().chain(built_in).chain(others);
            Bearer {
                id: species.id.clone(),
                own: species.origin == Origin::Folder,
                genus: folded(&species.id.0).split(' ').next().unwrap_or_default().to_owned(),
                last: names.map(|name| last_of(&name)).collect(),
            }
        };
        LastWords { bearers: list.iter().map(bearer).collect() }
    }

    /// The one of the folder's own species that the last word of `found` can mean, or where none can the only one known of the genus that
    /// it names; and that word.
    pub(super) fn only(&self, found: &str) -> Option<(SpeciesId, String)> {
        let last = last_of(found);
        let first = folded(found).split([' ', '-']).next().unwrap_or_default().to_owned();
        // A scientific name means no other species.
        if last.is_empty() || first != last && self.bearers.iter().any(|bearer| bearer.genus == first) {
            return None;
        }
        // Whether plants of the genus are called so at all.
        let so_called = |genus: &str| {
            self.bearers.iter().any(|bearer| bearer.genus == genus && bearer.last.contains(&last))
        };
        let own = self.bearers.iter().filter(|bearer| bearer.own);
        let own: Vec<&Bearer> = own
            .filter(|bearer| bearer.last.contains(&last) || bearer.genus == last || so_called(&bearer.genus))
            .collect();
        let of_genus =
            || self.bearers.iter().filter(|bearer| bearer.genus == last && first != last).collect();
        let all: Vec<&Bearer> = if own.is_empty() { of_genus() } else { own };
        match all.as_slice() {
            [one] => Some((one.id.clone(), last)),
            _ => None,
        }
    }
}

/// The last word of a name, without the ending of several.
fn last_of(name: &str) -> String {
    let name = folded(name);
    let last = name.rsplit([' ', '-']).next().unwrap_or_default();
    match last.strip_suffix('s') {
        Some(one) if one.len() > 3 && !one.ends_with('s') => one.to_owned(),
        _ => last.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{intake::records::species::built_in, project::Species};

    #[test]
    fn the_only_one_of_the_projects_own_is_meant() {
        let mut list = built_in();
        let mut own = |id: &str, common: Option<&str>| {
            let like = list.get(&SpeciesId("Acacia melanoxylon".into())).cloned().unwrap();
            let common_name = common.map(str::to_owned);
            list.put(Species { id: SpeciesId(id.into()), common_name, origin: Origin::Folder, ..like });
        };
        own("Eucalyptus viminalis", None);
        own("Acacia melanoxylon", Some("Blackwood"));
        own("Leptospermum lanigerum", Some("Woolly tea-tree"));
        let words = LastWords::of(&list);
        let only = |found: &str| words.only(found).map(|(id, _)| id.0.to_string());
        assert_eq!(only("Manna gum").as_deref(), Some("Eucalyptus viminalis"));
        assert_eq!(only("Black wattle").as_deref(), Some("Acacia melanoxylon"));
        assert_eq!(only("Sweet bursaria").as_deref(), Some("Bursaria spinosa"));
        for stranger in ["Eucalyptus gum", "Quercus robur", "Oak", "Acacia dealbata", "", "English elm"] {
            assert_eq!(only(stranger), None, "{stranger}");
        }
        assert_eq!(LastWords::of(&built_in()).only("Manna gum"), None);
    }
}
