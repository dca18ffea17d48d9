//! Areas that the tables call by another property of their shapes than the one by which they are read.

use std::collections::BTreeSet;

use crate::{
    geometry::Datum,
    intake::{
        layers::{area_names::NAME, drawn::drawn, file::LayerFile},
        mapping::Mapping,
        nearest::folded,
    },
    project::Area,
};

/// The property of the `areas`, as they are drawn in `layers`, that has every one of `names`, folded, where there is one alone or several say
/// the same.
pub(crate) fn property_of(
    layers: &[LayerFile],
    mapping: &Mapping,
    names: &BTreeSet<String>,
    areas: &[Area],
) -> Option<String> {
    let drawn: Vec<_> = layers
        .iter()
        .flat_map(|layer| drawn(layer, NAME, Datum::Wgs84, mapping, &mut Vec::new()))
        // What was left out is no area under another name.
        .filter(|one| areas.iter().any(|area| area.source == one.source))
        .collect();
    let properties: BTreeSet<&str> =
        drawn.iter().flat_map(|one| one.properties()).filter(|property| *property != NAME).collect();
    // The shapes that bear the names under a property, by name.
    let bearers = |property: &str| -> Option<Vec<(String, usize)>> {
        let there =
            drawn.iter().enumerate().filter_map(|(at, one)| Some((folded(one.property(property)?), at)));
        let mut there: Vec<(String, usize)> = there.filter(|(name, _)| names.contains(name)).collect();
        there.sort();
        names.iter().all(|name| there.iter().any(|(other, _)| other == name)).then_some(there)
    };
    let mut having = properties.into_iter().filter_map(|property| Some((property, bearers(property)?)));
    let (first, bear) = having.next()?;
    // Several that say the same are as good as one.
    having.all(|(_, other)| other == bear).then(|| first.to_owned())
}
