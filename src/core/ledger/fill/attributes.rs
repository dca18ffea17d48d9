//! The attributes that government methods read, as the latest survey tells of them: for approvals, and for benchmarks.

use std::collections::BTreeSet;

use crate::{
    estimate::{Finding, Gap, attributes, cover, diversity::Community},
    ledger::{
        FigureId, Ledger, Member, Named, catalogue,
        fill::{FillContext, Scope},
    },
    project::{CoverKind, Project, SetAttribute, slug},
    units::Unit,
};

/// Enters those of which no figure tells already. A folder without an approval and without benchmarks is not asked about condition.
pub(crate) fn enter(ledger: &mut Ledger, context: &FillContext<'_>) {
    let project = context.project;
    if project.approval.is_none() && project.benchmarks.is_empty() {
        return;
    }
    let visits = context.visits(Scope { area: None });
    let community = Community::of(&visits, &project.species);
    for attribute in SetAttribute::all() {
        let id = attribute_figure(project, attribute);
        if ledger.get(id.as_str()).is_some() {
            continue;
        }
        let named = |unit| {
            let attribute = Member::new(attribute.id(), attribute.words());
            Named { id, ..catalogue::ATTRIBUTE.named([attribute, None.into()]).measured_in(unit) }
        };
        match attribute {
            SetAttribute::NativeSpecies(group) => {
                let found = community.as_ref().map_err(Clone::clone);
                let found = found.and_then(|found| attributes::native_species(project, found, group));
                ledger.enter_named(named(Unit::Species), found);
            }
            SetAttribute::Cover(kind) => {
                let holds = |name: &str| kind.holds(name);
                let found =
                    cover::together(project, kind.layer(), holds, &context.grounds, context.confidence);
                ledger.enter_named(named(Unit::Fraction), found);
            }
            SetAttribute::CanopyHeight => {
                let found = attributes::canopy_height(project, context.confidence);
                ledger.enter_named(named(Unit::Height), found);
            }
            SetAttribute::StemClasses => {
                ledger.enter_named(named(Unit::Count), attributes::stem_classes(project));
            }
            SetAttribute::RecruitingTrees => {
                ledger.enter_named(named(Unit::Fraction), attributes::recruiting(project, &visits));
            }
            SetAttribute::Recruits => {
                ledger.enter_named::<f64>(named(Unit::StemsPerHectare), Err(Gap::NotSurveyed));
            }
            SetAttribute::LargeTrees => {
                let found: Finding<f64> =
                    Err(Gap::NotAsked("the size from which a tree is large is the benchmark’s"));
                ledger.enter_named(named(Unit::StemsPerHectare), found);
            }
            SetAttribute::FallenLogs => {
                let found: Finding<f64> = Err(Gap::NotAsked("no table of the folder holds fallen logs"));
                ledger.enter_named(named(Unit::Metres), found);
            }
        }
    }
}

/// The id of the figure that tells of `attribute` in all areas: one that stands in the ledger in any case, where it says the same.
#[must_use]
pub fn attribute_figure(project: &Project, attribute: SetAttribute) -> FigureId {
    let own = || catalogue::ATTRIBUTE.id(&[&attribute.id(), "all"]);
    match attribute {
        SetAttribute::Recruits => catalogue::RECRUITS.whole(),
        SetAttribute::Cover(kind) => match &*names(project, kind).into_iter().collect::<Vec<_>>() {
            [one] => catalogue::COVER.id(&[kind.layer().word(), one, "all"]),
            _ => own(),
        },
        _ => own(),
    }
}

/// The covers of a folder that are of a kind, as they stand in ids.
fn names(project: &Project, kind: CoverKind) -> BTreeSet<String> {
    let to_date = project.cover.iter().filter(|reading| reading.date <= project.period.to);
    let of_kind = to_date.filter(|reading| reading.layer == kind.layer() && kind.holds(&reading.cover));
    of_kind.map(|reading| slug(&reading.cover)).collect()
}
