//! What plots tell of the attributes that government methods read.

use std::collections::BTreeSet;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Method, carbon, diameter,
        diversity::Community,
        height::{self, Heights},
        measured,
        visit::Visit,
    },
    project::{Form, FormGroup, Project, SpeciesId, Stem},
    source::Sources,
    units::{Count, Metres, Share, whole},
};

/// Diameters at breast height from which the size classes of stems begin, after the first, cm.
///
/// # Reference
/// New South Wales (2020), *Biodiversity Assessment Method*, as remembered: under 5, 5 to 9, 10 to 19, 20 to 29, 30 to 49, 50 to 79, and
/// 80 cm and more.
pub const CLASSES_FROM: [f64; 6] = [5.0, 10.0, 20.0, 30.0, 50.0, 80.0];

fn native(project: &Project, id: &SpeciesId) -> Option<bool> {
    project.species.get(id).and_then(|species| species.native)
}

fn form(project: &Project, id: &SpeciesId) -> Option<Form> {
    project.species.get(id).and_then(|species| species.form)
}

fn native_tree(project: &Project, id: &SpeciesId) -> bool {
    native(project, id) == Some(true) && form(project, id) == Some(Form::Tree)
}

/// Native species of one group of growth forms with a living stem in the plots.
///
/// # Errors
/// No list says of any species found whether it is native; nobody looked for the group.
pub fn native_species(project: &Project, community: &Community<'_>, group: FormGroup) -> Finding<Count> {
    if community.pooled.keys().all(|id| native(project, id).is_none()) {
        return Err(Gap::OriginNotStated);
    }
    let of_group = |id: &SpeciesId| form(project, id).map(FormGroup::of) == Some(group);
    let planted = project.plantings_to_date().any(|planting| of_group(&planting.species));
    if !planted && !community.pooled.keys().any(|id| of_group(id)) {
        return Err(Gap::NotLookedFor);
    }
    let found = community.species_with(|id| native(project, id) == Some(true) && of_group(id));
    let unknown = community.pooled.keys().filter(|id| form(project, id).is_none()).count();
    Ok(match unknown {
        0 => found,
        _ => found
            .note(format!("of {} species no list says which growth form they have", whole(unknown as u64))),
    })
}

/// Median height of native trees, at the latest round that measured one.
///
/// # Errors
/// No native tree was measured.
pub fn canopy_height(project: &Project, confidence: f64) -> Finding<Metres> {
    let native = |stem: &Stem| native_tree(project, &stem.species);
    let round = height::latest_round(project, native).ok_or_else(|| {
        // Without a height of any kind nothing is to be said of trees.
        let measured = || project.stems.iter().filter(|stem| stem.height.is_some());
        match measured().next() {
            None => Gap::NoHeights,
            Some(_) => without_native_trees(project, measured().map(|stem| &stem.species)),
        }
    })?;
    let trees = height::within(project, round, |stem| native(stem).then_some(()));
    height::median(trees.get(&()).unwrap_or(&Heights::default()), confidence)
}

/// How many of the seven classes of stem size hold a living native tree.
///
/// # Errors
/// No diameter of a native tree was measured at breast height.
pub fn stem_classes(project: &Project) -> Finding<Count> {
    let mut classes = BTreeSet::new();
    let mut sources = Sources::default();
    let mut trees = 0_u64;
    let round = diameter::latest_round(project).ok_or(Gap::NotMeasured)?;
    for tree in carbon::trees(measured::within(project, round)) {
        let Some(breast) = tree.breast.filter(|_| native_tree(project, tree.species)) else { continue };
        classes.insert(CLASSES_FROM.iter().filter(|&&from| breast >= from).count());
        tree.rows.iter().for_each(|row| sources.add(row));
        trees += 1;
    }
    if trees == 0 {
        return Err(Gap::NotMeasured);
    }
    Ok(Estimate::counted(Count(classes.len() as u64), Method::DISTINCT, sources)
        .note(format!("from {} trees measured at breast height; smaller ones were not", whole(trees)))
        .note("classes under 5, 5, 10, 20, 30, 50 and 80 cm and more"))
}

/// Why no native tree is found among these living stems: there is none of any kind, no list says of any whether it is native, or none is.
fn without_native_trees<'s>(project: &Project, living: impl Iterator<Item = &'s SpeciesId>) -> Gap {
    let living: Vec<&SpeciesId> = living.collect();
    if living.is_empty() {
        Gap::NoLivingStem
    } else if living.iter().all(|id| native(project, id).is_none()) {
        Gap::OriginNotStated
    } else {
        Gap::NoNativeTree
    }
}

/// Share of the native tree species alive in the plots that have self-sown young there.
///
/// # Errors
/// No native tree lives in the plots, or self-sown stems were not recorded.
pub fn recruiting(project: &Project, visits: &[&Visit<'_>]) -> Finding<Share> {
    let tallies = || visits.iter().flat_map(|visit| visit.tallies.iter().copied());
    if tallies().all(|tally| tally.recruits.is_none()) {
        return Err(Gap::RecruitsNotRecorded);
    }
    let (mut alive, mut young) = (BTreeSet::new(), BTreeSet::new());
    for tally in tallies().filter(|tally| native_tree(project, &tally.species)) {
        let recruits = tally.recruits.map_or(0, |stems| stems.0);
        if tally.alive.0 + recruits > 0 {
            alive.insert(&tally.species);
        }
        if recruits > 0 {
            young.insert(&tally.species);
        }
    }
    if alive.is_empty() {
        let living =
            || tallies().filter(|tally| tally.alive.0 + tally.recruits.map_or(0, |stems| stems.0) > 0);
        return Err(without_native_trees(project, living().map(|tally| &tally.species)));
    }
    #[allow(clippy::cast_precision_loss, reason = "no list holds 2^53 species")]
    let share = young.len() as f64 / alive.len() as f64;
    let rows = tallies().map(|tally| &tally.source).collect();
    let found = Estimate::counted(Share::nearest(share), Method::RECRUITING, rows);
    Ok(found.note(format!("{} of {} species", young.len(), alive.len())))
}
