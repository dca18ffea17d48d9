//! The whole plan of a project.

use chrono::NaiveDate;
use rayon::prelude::*;

use crate::{
    estimate::slope::mean,
    plan::{
        calendar::{Entry, Window, calendar, next_planting, wet_season, window},
        nursery::{LeadTimes, Nursery, NurseryDates, OrderLine, Raising, SeedLot, nursery_dates, order},
        plantable::{Modelled, Plantable, plantable},
        planting_site::Site,
        row_quality::{RowQuality, row_quality},
        rows::{AreaRows, NoRows, area_rows},
        species_assignment::{Assignment, Mix, Slot, assign_species},
        spread::{Reading, Spread, spread},
        stems::{Stem, stems},
        working_ground::WorkingGround,
    },
    project::{AreaId, PlantingDesign, Project, SpeciesId, StockLine},
    units::{Hectares, Metres, Share, Stems},
};

/// The seed of the assignment of species: printed with it, so that the same order can be had again.
pub const SEED: u64 = 1;

/// The rows of one area and what stands along them.
#[derive(Debug, Clone)]
pub struct AreaPlan {
    /// Its rows.
    pub rows: AreaRows,
    /// Its stems, row by row.
    pub stems: Vec<Stem>,
    /// Species of the stems, in their order; `None` where none could be assignment.
    pub species: Vec<Option<SpeciesId>>,
}

/// The plan that goes up the hill.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The design that it follows.
    pub design: PlantingDesign,
    /// The terrain as the plan reads it; `None` where there is no model.
    pub ground: Option<WorkingGround>,
    /// What can be planted of every area, in the areas' order, whether it has rows or not.
    pub plantable: Vec<Plantable>,
    /// Areas with rows, in the areas' order.
    pub areas: Vec<AreaPlan>,
    /// Areas without, and why.
    pub without_rows: Vec<(AreaId, NoRows)>,
    /// The species assigned to all stems, area by area; `None` where nothing says which species.
    pub assignment: Option<Assignment>,
    /// What to order from the nursery.
    pub order: Vec<OrderLine>,
    /// The months to plant in; `None` where no wet season is known.
    pub window: Option<Window>,
    /// The first month of a window after the reporting period for which the plants can still be ordered.
    pub planting: Option<NaiveDate>,
    /// The next month of a window, where it comes too soon for the order.
    pub missed: Option<NaiveDate>,
    /// How long the raising takes.
    pub lead: LeadTimes,
    /// What to do when, about that planting.
    pub calendar: Vec<Entry>,
}

/// The plan of `project`; `None` where it has no planting design.
///
/// The mix of species is that of the stock table, else that of the planting log to date.
#[must_use]
pub fn make(project: &Project) -> Option<Plan> {
    let design = project.design.clone()?;
    let terrain = project.ground.as_ref().map(|ground| &*ground.heights);
    let ground = project.ground.as_ref().map(|ground| WorkingGround::of(&ground.heights, design.spacing));
    let model = ground.as_ref().map(|ground| Modelled { heights: &ground.heights, slope: &ground.slope });
    let laid_on = model.map(|model| model.heights).zip(terrain);
    let laid: Vec<(Plantable, Result<AreaRows, NoRows>)> = project
        .areas
        .par_iter()
        .map(|area| {
            let ground = plantable(area, &project.features, &design, model);
            let measured = mean(&project.slopes, &area.id).ok().map(|slope| slope.value);
            let rows = area_rows(ground.clone(), &design, &project.features, laid_on, measured);
            (ground, rows)
        })
        .collect();

    let mut plantable = Vec::new();
    let (mut areas, mut without_rows, mut slots) = (Vec::new(), Vec::new(), Vec::new());
    for (area, (ground, rows)) in project.areas.iter().zip(laid) {
        plantable.push(ground);
        match rows {
            Err(why) => without_rows.push((area.id.clone(), why)),
            Ok(rows) => {
                let stems = stems(&rows, &design, design.exposed);
                let before = slots.last().map_or(0, |slot: &Slot| slot.row);
                let site = Site::of(area);
                let own =
                    stems.iter().map(|stem| Slot { row: before + stem.row as usize, role: stem.role, site });
                slots.extend(own);
                areas.push(AreaPlan { rows, stems, species: Vec::new() });
            }
        }
    }
    let mix = mix(project).filter(|_| !slots.is_empty());
    let assignment = mix.map(|mix| assign_species(&slots, &mix, &design.pattern, &project.species, SEED));
    let mut species = assignment.iter().flat_map(|assignment| assignment.species.iter().cloned());
    for area in &mut areas {
        area.species = area.stems.iter().map(|_| species.next().flatten()).collect();
    }
    let nursery = nursery(project);
    let order = assignment.as_ref().map(|assignment| order(&assignment.totals, &nursery)).unwrap_or_default();
    let wet = wet_season(&project.climate, &project.rain);
    let window = window(wet, project.climate.frost);
    let lead = LeadTimes {
        order_months: project.nursery.order_months.map_or(LeadTimes::default().order_months, u32::from),
        ..LeadTimes::default()
    };
    let end = project.period.to;
    let to_order = order.iter().any(|line| line.order.0 > 0);
    let in_time = |day: NaiveDate| nursery_dates(day, lead).is_some_and(|dates| dates.order > end);
    let next = window.as_ref().and_then(|window| next_planting(window, end, |_| true));
    let planting =
        window.as_ref().and_then(|window| next_planting(window, end, |day| !to_order || in_time(day)));
    let missed = next.filter(|next| planting != Some(*next));
    let calendar = planting.map(|day| calendar(day, wet, project.climate.frost)).unwrap_or_default();
    Some(Plan {
        design,
        ground,
        plantable,
        areas,
        without_rows,
        assignment,
        order,
        window,
        planting,
        missed,
        lead,
        calendar,
    })
}

/// What the settings and the stock table say of the raising.
fn nursery(project: &Project) -> Nursery {
    let rules = &project.nursery;
    let lot = |line: &StockLine| {
        let lot = SeedLot {
            germination: line.germination?,
            purity: line.purity.unwrap_or(Share::nearest(1.0)),
            per_gram: line.seeds_per_gram,
            overage: line.overage.unwrap_or_default(),
        };
        Some((line.species.clone(), lot))
    };
    let raising = rules.pricking.zip(rules.hardening);
    Nursery {
        spares: rules.spares,
        in_hand: project
            .stock
            .iter()
            .filter_map(|line| Some((line.species.clone(), line.in_hand?)))
            .collect(),
        raising: raising.map(|(pricking, hardening)| Raising { pricking, hardening }),
        lots: project.stock.iter().filter_map(lot).collect(),
        tray: rules.tray.map(u64::from),
    }
}

/// Species by the shares of the stock table, else by the stems logged to the end of the period; `None` where neither says any.
fn mix(project: &Project) -> Option<Mix> {
    let shares: Vec<(SpeciesId, f64)> =
        StockLine::shares(&project.stock).map(|(line, share)| (line.species.clone(), share)).collect();
    if !shares.is_empty() {
        return Some(Mix::Shares(shares));
    }
    let mut stems = std::collections::BTreeMap::new();
    for planting in project.plantings_to_date() {
        *stems.entry(&planting.species).or_insert(0.0) += planting.stems.0 as f64;
    }
    let planted = stems.into_iter().filter(|(_, stems)| *stems > 0.0);
    let planted: Vec<(SpeciesId, f64)> = planted.map(|(species, stems)| (species.clone(), stems)).collect();
    (!planted.is_empty()).then_some(Mix::AsPlanted(planted))
}

impl Plan {
    /// Rows of all areas.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.areas.iter().map(|area| area.rows.rows.len()).sum()
    }

    /// Their length along the ground.
    #[must_use]
    pub fn length(&self) -> Metres {
        Metres(self.areas.iter().map(|area| area.rows.length().0).sum())
    }

    /// Edge between planted bands and grass; `None` where the design leaves no strip.
    #[must_use]
    pub fn edge(&self) -> Option<Metres> {
        let strip = self.design.strip?;
        Some(Metres(self.areas.iter().map(|area| area.rows.edge(self.design.spacing, strip).0).sum()))
    }

    /// What the strip of grass leaves of the spacing for planting; `None` where the design leaves no strip.
    #[must_use]
    pub fn band(&self) -> Option<Metres> {
        let strip = self.design.strip?;
        Some(Metres((self.design.spacing.0 - strip.0).max(0.0)))
    }

    /// Stems of all areas.
    #[must_use]
    pub fn stems(&self) -> Stems {
        Stems(self.areas.iter().map(|area| area.stems.len() as u64).sum())
    }

    /// The days of the nursery for the next planting; `None` where nothing has to be ordered for it.
    #[must_use]
    pub fn nursery_dates(&self) -> Option<NurseryDates> {
        let to_order = self.order.iter().any(|line| line.order.0 > 0);
        nursery_dates(self.planting.filter(|_| to_order)?, self.lead)
    }

    /// Plan hectares that can be planted.
    #[must_use]
    pub fn hectares(&self) -> Hectares {
        Hectares(self.plantable.iter().map(|ground| ground.hectares.0).sum())
    }

    /// How the rows of all areas on the contour came out together.
    #[must_use]
    pub fn spread(&self) -> Option<Spread> {
        let readings: Vec<Reading> =
            self.areas.iter().flat_map(|area| area.rows.readings.iter().copied()).collect();
        spread(&readings, self.design.spacing)
    }

    /// How the rows of all areas on the contour came out on the model's own heights, unsmoothed.
    #[must_use]
    pub fn as_measured(&self) -> Option<RowQuality> {
        row_quality(self.areas.iter().map(|area| &area.rows.measured), self.design.spacing)
    }
}
