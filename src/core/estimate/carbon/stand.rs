//! The plots of one survey as dry mass, from the stems that were measured and those that were counted.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    estimate::{
        carbon::{
            group::{Choice, group},
            plot_mass::{Kind, PlotMass},
            tree::trees,
        },
        ground::{Grounds, plan_area},
        measured,
        visit::{self, Visit},
    },
    project::{Period, Plot, PlotId, Project, SpeciesId},
    units::Hectares,
};

/// The plots of one survey.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stand<'a> {
    /// The plots.
    pub plots: Vec<PlotMass<'a>>,
    /// Plots with living stems of which none was measured.
    pub unmeasured: Vec<&'a Plot>,
    /// The last day on which a stem was measured.
    pub date: Option<NaiveDate>,
    /// Whether a diameter gave any plant a mass.
    pub weighed: bool,
}

/// The measured plants of each species.
type Kinds<'a> = BTreeMap<&'a SpeciesId, Kind<'a>>;

impl<'a> Stand<'a> {
    /// The plots as the round `window` measured them.
    #[must_use]
    pub fn of(project: &'a Project, grounds: &Grounds<'_>, window: Period) -> Stand<'a> {
        let days = measured::days(project, window);
        let mut choices: BTreeMap<&SpeciesId, Choice> = BTreeMap::new();
        let mut kinds_of: BTreeMap<&PlotId, Kinds<'a>> = BTreeMap::new();
        let mut trees = trees(measured::within(project, window)).into_iter().peekable();
        while let Some(plot) = trees.peek().map(|first| first.plot) {
            let kinds = kinds_of.entry(plot).or_default();
            while let Some(tree) = trees.next_if(|next| next.plot == plot) {
                let species = tree.species;
                let choice = *choices.entry(species).or_insert_with(|| group(&project.species, species));
                kinds.entry(species).or_default().add(tree, choice, project.carbon.climate_stress);
            }
        }
        let mut everywhere: Kinds<'a> = BTreeMap::new();
        for (species, kind) in kinds_of.values().flatten() {
            everywhere.entry(species).or_default().join(kind);
        }
        let visits = visit::within(project, window);
        let visited: BTreeMap<&PlotId, &Visit<'a>> =
            visits.iter().map(|visit| (&visit.plot.id, visit)).collect();
        let weighed = everywhere.values().any(Kind::weighed);
        let mut stand = Stand { date: days.values().max().copied(), weighed, ..Stand::default() };
        let none = Kinds::new();
        for plot in &project.plots {
            let visit = visited.get(&plot.id).copied();
            let alive = visit.map(alive).unwrap_or_default();
            match (days.contains_key(&plot.id), visit) {
                (false, None) => continue,
                (false, Some(_)) if !alive.is_empty() => {
                    stand.unmeasured.push(plot);
                    continue;
                }
                _ => {}
            }
            let slope = grounds.get(&plot.area).and_then(|ground| ground.slope);
            let mut mass = PlotMass::empty(plot, Hectares::from(plan_area(plot, slope)).0);
            mass.rows.extend(visit.iter().flat_map(|visit| &visit.tallies).map(|tally| &tally.source));
            let own = kinds_of.get(&plot.id).unwrap_or(&none);
            let species: BTreeSet<&SpeciesId> = own.keys().chain(alive.keys()).copied().collect();
            for id in species {
                let living = alive.get(id).copied().unwrap_or_default();
                mass.add(own.get(id), living, everywhere.get(id));
                let wood = choices.get(id).and_then(|choice| choice.wood);
                mass.taken.wood.extend(wood.map(|wood| (wood.level, id)));
                mass.taken.misnamed.extend(choices.get(id).filter(|choice| choice.misnamed).map(|_| id));
            }
            stand.plots.push(mass);
        }
        stand
    }

    /// What the plots that stand in both surveys gained since `earlier`.
    #[must_use]
    pub fn since(&self, earlier: &Stand<'a>) -> Stand<'a> {
        let before: BTreeMap<&PlotId, &PlotMass<'a>> =
            earlier.plots.iter().map(|plot| (&plot.plot.id, plot)).collect();
        let gain = |plot: &PlotMass<'a>| before.get(&plot.plot.id).map(|before| plot.since(before));
        Stand { plots: self.plots.iter().filter_map(gain).collect(), ..self.clone() }
    }
}

/// Planted stems found alive, by species. Self-sown stems are not among them: they count where they were measured.
fn alive<'a>(visit: &Visit<'a>) -> BTreeMap<&'a SpeciesId, u64> {
    let mut alive = BTreeMap::new();
    for tally in visit.tallies.iter().filter(|tally| tally.alive.0 > 0) {
        *alive.entry(&tally.species).or_default() += tally.alive.0;
    }
    alive
}
