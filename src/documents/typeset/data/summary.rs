//! The summary page: key figures.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::data::printed::Printed;
use hillfolio_core::ledger::{Ledger, Series};

/// Key figures by group: each series of which the figure of the whole site stands there, with the codes of its other dimensions.
/// Those that the ledger does not know are left out.
pub(crate) type Key = [(&'static str, &'static [KeyFigure])];

/// A series, and the codes of its dimensions but the area.
pub(crate) type KeyFigure = (&'static Series, &'static [&'static str]);

/// The key figure of a series that has no dimension but the area.
pub(crate) const fn key(series: &'static Series) -> KeyFigure {
    (series, &[])
}

/// The group that few projects have: what is missing in it goes unsaid here.
const SOIL: &str = "Soil and rain";

/// Key figures in groups.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Summary {
    groups: Vec<Group>,
    confidence: String,
}

#[derive(Serialize, JsonSchema)]
struct Group {
    name: &'static str,
    figures: Vec<Printed>,
}

impl Summary {
    /// The figures of `ledger` that `key` names; a group without any is left out.
    pub(crate) fn in_groups(ledger: &Ledger, key: &Key, confidence: f64) -> Summary {
        let groups = key.iter().map(|(name, figures)| Group {
            name,
            figures: figures
                .iter()
                .filter_map(|(series, codes)| Printed::find(ledger, &series.whole_of(codes)))
                .filter(|figure| figure.text.is_some() || *name != SOIL)
                .collect(),
        });
        Summary {
            groups: groups.filter(|group| !group.figures.is_empty()).collect(),
            confidence: hillfolio_core::units::percent(confidence, 0),
        }
    }
}
