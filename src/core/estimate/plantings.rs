//! Stems planted, from the planting log.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{AreaId, Planting, Project, SpeciesId},
    source::{Row, Sources},
    units::{Count, Stems},
};

/// Stems planted and the rows that say so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Planted<'a> {
    /// Stems to the period's end.
    pub stems: u64,
    /// Those planted within the period.
    pub in_period: u64,
    /// Those that replace stems of an earlier batch.
    pub infill: u64,
    /// Species; groups of plants are none.
    pub species: BTreeSet<&'a SpeciesId>,
    /// Stems of groups of plants.
    pub of_groups: u64,
    rows: Vec<&'a Row>,
    period_rows: Vec<&'a Row>,
    infill_rows: Vec<&'a Row>,
}

impl<'a> Planted<'a> {
    fn add(&mut self, planting: &'a Planting, in_period: bool, of_group: bool) {
        self.stems += planting.stems.0;
        if of_group {
            self.of_groups += planting.stems.0;
        } else if planting.stems.0 > 0 {
            // A book with a column a species says of those that were not planted: none.
            self.species.insert(&planting.species);
        }
        self.rows.push(&planting.source);
        if in_period {
            self.in_period += planting.stems.0;
            self.period_rows.push(&planting.source);
        }
        if planting.replaces.is_some() {
            self.infill += planting.stems.0;
            self.infill_rows.push(&planting.source);
        }
    }

    /// The rows of the log.
    #[must_use]
    pub fn sources(&self) -> Sources {
        self.rows.iter().copied().collect()
    }

    /// Stems planted to the period's end.
    #[must_use]
    pub fn total(&self) -> Estimate<Stems> {
        let estimate = Estimate::counted(Stems(self.stems), Method::SUM, self.sources());
        match self.infill {
            0 => estimate,
            infill => estimate.note(format!("{infill} of them replace stems of earlier batches")),
        }
    }

    /// Stems planted within the period.
    #[must_use]
    pub fn in_period(&self) -> Estimate<Stems> {
        let rows = self.period_rows.iter().copied().collect();
        Estimate::counted(Stems(self.in_period), Method::SUM, rows)
    }

    /// Stems planted in the place of stems of earlier batches.
    #[must_use]
    pub fn infill(&self) -> Estimate<Stems> {
        let rows = self.infill_rows.iter().copied().collect();
        Estimate::counted(Stems(self.infill), Method::SUM, rows)
    }

    /// Species planted.
    #[must_use]
    pub fn species_count(&self) -> Estimate<Count> {
        let estimate = Estimate::counted(Count(self.species.len() as u64), Method::DISTINCT, self.sources());
        match self.of_groups {
            0 => estimate,
            stems => estimate
                .note(format!("{stems} stems more are of groups of plants, which count as no species")),
        }
    }
}

/// The planting log to a day, sorted in one walk.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log<'a> {
    /// Everything.
    pub whole: Planted<'a>,
    /// By area.
    pub areas: BTreeMap<&'a AreaId, Planted<'a>>,
    /// By species.
    pub species: BTreeMap<&'a SpeciesId, Planted<'a>>,
    /// By year of planting.
    pub cohorts: BTreeMap<i32, Planted<'a>>,
    /// Stems by area.
    pub stems: ByArea<'a>,
    /// Stems by species and area.
    pub species_stems: BTreeMap<&'a SpeciesId, ByArea<'a>>,
    /// Stems by year of planting and area.
    pub cohort_stems: BTreeMap<i32, ByArea<'a>>,
}

/// Stems planted, by area.
pub type ByArea<'a> = BTreeMap<&'a AreaId, u64>;

impl<'a> Log<'a> {
    /// The log of `project` to the period's end.
    #[must_use]
    pub fn read(project: &'a Project) -> Log<'a> {
        Log::until(project, project.period.to)
    }

    /// The log of `project` to a day.
    #[must_use]
    pub fn until(project: &'a Project, day: NaiveDate) -> Log<'a> {
        let mut log = Log::default();
        for planting in project.plantings.iter().filter(|planting| planting.date <= day) {
            let in_period = project.period.holds(planting.date);
            let (area, species, year) = (&planting.area, &planting.species, planting.cohort());
            let of_group = project.species.is_group(species);
            log.whole.add(planting, in_period, of_group);
            log.areas.entry(area).or_default().add(planting, in_period, of_group);
            log.species.entry(species).or_default().add(planting, in_period, of_group);
            log.cohorts.entry(year).or_default().add(planting, in_period, of_group);
            *log.stems.entry(area).or_default() += planting.stems.0;
            *log.species_stems.entry(species).or_default().entry(area).or_default() += planting.stems.0;
            *log.cohort_stems.entry(year).or_default().entry(area).or_default() += planting.stems.0;
        }
        log
    }

    /// The year in which `area` was planted, where it was planted in one year only.
    #[must_use]
    pub fn only_cohort(&self, area: &AreaId) -> Option<i32> {
        let mut years = self.cohort_stems.iter().filter(|(_, areas)| areas.contains_key(area));
        match (years.next(), years.next()) {
            (Some((&year, _)), None) => Some(year),
            _ => None,
        }
    }

    /// What was planted in `area`; nothing, where the log does not name it.
    ///
    /// # Errors
    /// The log holds nothing at all.
    pub fn of_area<Q>(&self, area: Option<&AreaId>, figure: fn(&Planted<'a>) -> Estimate<Q>) -> Finding<Q> {
        if self.whole.rows.is_empty() {
            return Err(Gap::TableMissing("plantings"));
        }
        match area {
            None => Ok(figure(&self.whole)),
            Some(area) => Ok(self.areas.get(area).map_or_else(|| figure(&Planted::default()), figure)),
        }
    }
}
