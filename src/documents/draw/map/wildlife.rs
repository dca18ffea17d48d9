//! The map of wildlife seen in the period: a number for each kind, its name in the legend.
//!
//! Of a sensitive sighting the project holds no place, so none can be drawn.

use geo::MultiPoint;

use crate::draw::{
    map::{
        item::{Item, Label, Named, features, name},
        layout::Paper,
        locator::Locator,
        sheet::MapSpec,
        sign::Sign,
        site::{area_item, core, relief},
    },
    text::{Line, Weight},
};
use hillfolio_core::{
    ledger::{Ledger, catalogue},
    project::{Project, Shape, Sighting, slug},
    units::whole,
};

/// More kinds than a legend can tell apart; the rest share one number.
const KINDS: usize = 20;

/// The map; `None` where no sighting of the period has a place that may be known.
#[must_use]
pub(super) fn plan(project: &Project, ledger: &Ledger) -> Option<MapSpec> {
    let seen: Vec<&Sighting> =
        project.sightings.iter().filter(|sighting| project.period.holds(sighting.date)).collect();
    let mut kinds: Vec<(String, &str)> = seen
        .iter()
        .filter(|sighting| sighting.position.is_some())
        .map(|sighting| (slug(&sighting.species), sighting.species.trim()))
        .collect();
    kinds.sort();
    kinds.dedup_by(|one, other| one.0 == other.0);
    if kinds.is_empty() {
        return None;
    }
    let placed = seen.iter().filter_map(|sighting| item(sighting, &kinds));
    let areas = project.areas.iter().map(|area| area_item(area, ledger));
    let items = areas.chain(features(project)).chain(placed).collect();
    Some(MapSpec {
        paper: Paper::Page,
        name: "wildlife-map".to_owned(),
        title: "Wildlife seen in the period".to_owned(),
        caption: caption(ledger, kinds.len()),
        items,
        core: core(project),
        widens: true,
        grounds: Vec::new(),
        relief: relief(project),
        locator: Locator::Graticule,
    })
}

fn item(sighting: &Sighting, kinds: &[(String, &str)]) -> Option<Item> {
    let place = sighting.position?;
    let own = slug(&sighting.species);
    let at = kinds.iter().position(|(kind, _)| *kind == own)?;
    let shared = kinds.len() > KINDS && at + 1 >= KINDS;
    let at = if shared { KINDS - 1 } else { at };
    let words = match shared {
        true => format!("{KINDS}  Other wildlife: see the table"),
        false => format!("{}  {}", at + 1, name(kinds.get(at)?.1)),
    };
    let number = Line::new((at + 1).to_string(), 7.0).weight(Weight::SemiBold);
    Some(Item {
        sign: Sign::Sighting(u8::try_from(at).ok()?),
        words,
        shape: Shape::Points(MultiPoint(vec![place])),
        bearing: None,
        label: Some(Label { named: Named::Sighting, forms: vec![vec![number]] }),
    })
}

fn caption(ledger: &Ledger, kinds: usize) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of sightings")]
    let count = |series| ledger.figure_of(series, &[]).map_or(0, |figure| figure.value as u64);
    let mut caption = "Where wildlife was seen by chance in the period; the number tells the kind. Absence of a mark says nothing."
        .to_owned();
    if kinds > KINDS {
        caption += &format!(" Kinds from the {KINDS}th on, by name, share one number.");
    }
    match count(&catalogue::SIGHTINGS_WITHHELD) {
        0 => {}
        1 => caption += " One sensitive sighting is not drawn: its place is withheld.",
        withheld => {
            caption += &format!(
                " {} sensitive sightings are not drawn: their places are withheld.",
                whole(withheld)
            );
        }
    }
    match count(&catalogue::SIGHTINGS_UNPLACED) {
        0 => {}
        1 => caption += " One sighting was recorded without a place.",
        unplaced => caption += &format!(" {} sightings were recorded without a place.", whole(unplaced)),
    }
    caption
}
