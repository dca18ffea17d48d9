//! The summary page: key figures.

use serde::Serialize;

use crate::typeset::{ReportInputs, data::printed::Printed};
use hillfolio_core::ledger::Ledger;

/// Key figures by group and id; those that the ledger does not know are left out.
pub(crate) type Key = [(&'static str, &'static [&'static str])];

/// The key figures of an acquittal, in the order of the page.
pub(crate) const ACQUITTAL: [(&str, &[&str]); 5] = [
    (
        "The ground",
        &["site.area.all", "site.length.fence.new", "terrain.slope.mean.all", "terrain.steeper-than-15.all"],
    ),
    ("Planted", &["plantings.stems-in-period.all", "plantings.stems.all", "plantings.species-count.all"]),
    ("Alive", &["survival.all", "density.all", "recruits.all"]),
    (SOIL, &["erosion.ratio.all", "erosion.kept.all", "rain.period"]),
    ("Money and hours", &["spend.total", "budget.total", "spend.unspent", "spend.per-living-stem"]),
];

/// The key figures of an offset report, in the order of the page.
pub(crate) const OFFSET: [(&str, &[&str]); 5] = [
    (
        "The ground",
        &["site.area.all", "terrain.slope.mean.all", "plantings.stems.all", "plantings.species-count.all"],
    ),
    ("Alive", &["survival.all", "density.all", "recruits.all", "cover.canopy.native.all"]),
    (
        "What lives there",
        &[
            "diversity.richness.all",
            "diversity.native-species.all",
            "diversity.shannon.all",
            "diversity.chao1.all",
        ],
    ),
    (
        "Carbon, an estimate",
        &[
            "carbon.stock.all",
            "carbon.stock-change.all",
            "carbon.above-ground.all",
            "carbon.below-ground.all",
        ],
    ),
    (SOIL, &["erosion.ratio.all", "erosion.kept.all", "rain.period", "rain.median-of-other-years"]),
];

/// The group that few projects have: what is missing in it goes unsaid here.
const SOIL: &str = "Soil and rain";

/// Key figures in groups.
#[derive(Serialize)]
pub(crate) struct Summary {
    groups: Vec<Group>,
    confidence: String,
}

#[derive(Serialize)]
struct Group {
    name: &'static str,
    figures: Vec<Printed>,
}

impl Summary {
    pub(crate) fn of(inputs: &ReportInputs<'_>, key: &Key) -> Summary {
        Summary::in_groups(inputs.ledger, key, inputs.project.statistics.confidence)
    }

    /// The figures of `ledger` that `key` names; a group without any is left out.
    pub(crate) fn in_groups(ledger: &Ledger, key: &Key, confidence: f64) -> Summary {
        let groups = key.iter().map(|(name, ids)| Group {
            name,
            figures: ids
                .iter()
                .filter_map(|id| Printed::find(ledger, id))
                .filter(|figure| figure.text.is_some() || *name != SOIL)
                .collect(),
        });
        Summary {
            groups: groups.filter(|group| !group.figures.is_empty()).collect(),
            confidence: hillfolio_core::units::percent(confidence, 0),
        }
    }
}
