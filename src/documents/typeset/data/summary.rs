//! The summary page: key figures.

use serde::Serialize;

use crate::typeset::{ReportInputs, data::printed::Printed};
use hillfolio_core::ledger::{
    Ledger, Series,
    catalogue::{
        AREA, BUDGET, CARBON_ABOVE_GROUND, CARBON_BELOW_GROUND, CARBON_STOCK, CARBON_STOCK_CHANGE, CHAO1,
        COST_PER_LIVING_STEM, COVER, DENSITY, EROSION_RATIO, LENGTH, NATIVE_SPECIES, RAIN, RAIN_MEDIAN,
        RECRUITS, RICHNESS, SHANNON, SLOPE_MEAN, SOIL_KEPT, SPECIES_COUNT, SPENT, STEEPER_THAN_15, STEMS,
        STEMS_IN_PERIOD, SURVIVAL, UNSPENT,
    },
};

/// Key figures by group: each series of which the figure of the whole site stands there, with the codes of its other dimensions.
/// Those that the ledger does not know are left out.
pub(crate) type Key = [(&'static str, &'static [KeyFigure])];

/// A series, and the codes of its dimensions but the area.
pub(crate) type KeyFigure = (&'static Series, &'static [&'static str]);

/// The key figure of a series that has no dimension but the area.
pub(crate) const fn key(series: &'static Series) -> KeyFigure {
    (series, &[])
}

/// The key figures of an acquittal, in the order of the page.
pub(crate) const ACQUITTAL: [(&str, &[KeyFigure]); 5] = [
    ("The ground", &[key(&AREA), (&LENGTH, &["fence", "new"]), key(&SLOPE_MEAN), key(&STEEPER_THAN_15)]),
    ("Planted", &[key(&STEMS_IN_PERIOD), key(&STEMS), key(&SPECIES_COUNT)]),
    ("Alive", &[key(&SURVIVAL), key(&DENSITY), key(&RECRUITS)]),
    (SOIL, &[key(&EROSION_RATIO), key(&SOIL_KEPT), key(&RAIN)]),
    ("Money and hours", &[key(&SPENT), key(&BUDGET), key(&UNSPENT), key(&COST_PER_LIVING_STEM)]),
];

/// The key figures of an offset report, in the order of the page.
pub(crate) const OFFSET: [(&str, &[KeyFigure]); 5] = [
    ("The ground", &[key(&AREA), key(&SLOPE_MEAN), key(&STEMS), key(&SPECIES_COUNT)]),
    ("Alive", &[key(&SURVIVAL), key(&DENSITY), key(&RECRUITS), (&COVER, &["canopy", "native"])]),
    ("What lives there", &[key(&RICHNESS), key(&NATIVE_SPECIES), key(&SHANNON), key(&CHAO1)]),
    (
        "Carbon, an estimate",
        &[
            key(&CARBON_STOCK),
            key(&CARBON_STOCK_CHANGE),
            key(&CARBON_ABOVE_GROUND),
            key(&CARBON_BELOW_GROUND),
        ],
    ),
    (SOIL, &[key(&EROSION_RATIO), key(&SOIL_KEPT), key(&RAIN), key(&RAIN_MEDIAN)]),
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
