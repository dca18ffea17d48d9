//! The whole plan of a project.

use chrono::NaiveDate;
use rayon::prelude::*;

use crate::{
    estimate::{plantings::Log, slope::mean},
    plan::{
        calendar::{Entry, Window, calendar, next_planting, wet_season, window},
        crew_day::{WorkOrders, work_orders},
        infill::{AreaInfill, infill},
        nursery::{
            LeadTimes, Nursery, NurseryDates, OrderLine, Raising, SeedLot, ToPlant, nursery_dates, order,
        },
        plantable::{Modelled, Plantable, plantable},
        planting_site::Site,
        row_quality::{RowQuality, row_quality},
        rows::{AreaRows, NoRows, area_rows},
        slope_bands::{SlopeBands, slope_bands},
        species_assignment::{Assignment, Mix, Slot, assign_species},
        spread::{Reading, Spread, spread},
        stems::{Stem, stems},
        working_ground::WorkingGround,
    },
    project::{Area, AreaId, Climate, PlantingDesign, Project, SpeciesId, StockLine},
    units::{Hectares, Metres, Share, Stems, StemsPerHectare},
};

/// The seed of the assignment of species: printed with it, so that the same order can be had again.
pub const SEED: u64 = 1;

/// Rows and how much of each lies on ground of which slope.
type LaidOut = (AreaRows, Vec<SlopeBands>);

/// The rows of one area and what stands along them.
#[derive(Debug, Clone)]
pub struct AreaPlan {
    /// Its rows.
    pub rows: AreaRows,
    /// How much of each row lies on ground of which slope.
    pub bands: Vec<SlopeBands>,
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
    /// What can be planted of every area that new rows are asked for in and that is not planted yet, in the areas' order.
    pub plantable: Vec<Plantable>,
    /// Areas with rows, in the areas' order.
    pub areas: Vec<AreaPlan>,
    /// Areas without, and why.
    pub without_rows: Vec<(AreaId, NoRows)>,
    /// The species assigned to all stems, area by area; `None` where nothing says which species.
    pub assignment: Option<Assignment>,
    /// What died of earlier plantings and what of it is set again, in the areas' order.
    pub infill: Vec<AreaInfill>,
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
    /// How the rows are set out and planted, a crew-day at a time.
    pub work_orders: WorkOrders,
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
    let stand = Log::read(project).stems;
    let spared = |area: &Area| match stand.get(&area.id) {
        Some(stems) if *stems > 0 => Some(NoRows::Planted(Stems(*stems))),
        _ => (!design.asks_for(&area.id)).then_some(NoRows::NotAsked),
    };
    let spared_areas = project.areas.iter().filter_map(|area| Some((area.id.clone(), spared(area)?)));
    let mut without_rows: Vec<(AreaId, NoRows)> = spared_areas.collect();
    let new: Vec<&Area> = project.areas.iter().filter(|area| spared(area).is_none()).collect();
    let laid: Vec<(Plantable, Result<LaidOut, NoRows>)> = new
        .par_iter()
        .map(|area| {
            let ground = plantable(area, &project.features, &design, model);
            let measured = mean(&project.slopes, &area.id).ok().map(|slope| slope.value);
            let rows = area_rows(ground.clone(), &design, &project.features, laid_on, measured);
            let slope = model.map(|model| model.slope);
            let rows = rows.map(|rows| {
                let bands = slope_bands(&rows, slope, measured);
                (rows, bands)
            });
            (ground, rows)
        })
        .collect();

    let mut plantable = Vec::new();
    let (mut areas, mut slots) = (Vec::new(), Vec::new());
    for (area, (ground, rows)) in new.into_iter().zip(laid) {
        plantable.push(ground);
        match rows {
            Err(why) => without_rows.push((area.id.clone(), why)),
            Ok((rows, bands)) => {
                let stems = stems(&rows, &design, design.exposed);
                let before = slots.last().map_or(0, |slot: &Slot| slot.row);
                let site = Site::of(area);
                let own =
                    stems.iter().map(|stem| Slot { row: before + stem.row as usize, role: stem.role, site });
                slots.extend(own);
                areas.push(AreaPlan { rows, bands, stems, species: Vec::new() });
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
    let infill = infill(project);
    let order = order(&to_plant(assignment.as_ref(), &infill), &nursery);
    let wet = wet_season(&project.climate, &project.rain);
    let window = window(wet, project.climate.frost);
    let usual = project.nursery.order_months.map_or(LeadTimes::default().order_months, u32::from);
    let months_of = |species: &SpeciesId| {
        let own =
            project.stock.iter().find(|line| &line.species == species).and_then(|line| line.order_months);
        own.unwrap_or(usual)
    };
    // The order as a whole waits for the species that takes longest.
    let longest = order.iter().filter(|line| line.order.0 > 0).map(|line| months_of(&line.species)).max();
    let lead = LeadTimes { order_months: longest.unwrap_or(usual), ..LeadTimes::default() };
    let end = project.period.to;
    let to_order = order.iter().any(|line| line.order.0 > 0);
    let in_time = |day: NaiveDate| nursery_dates(day, lead).is_some_and(|dates| dates.order > end);
    let next = window.as_ref().and_then(|window| next_planting(window, end, |_| true));
    let planting =
        window.as_ref().and_then(|window| next_planting(window, end, |day| !to_order || in_time(day)));
    let missed = next.filter(|next| planting != Some(*next));
    let climate = Climate { wet_season: wet, ..project.climate };
    let dates = planting.filter(|_| to_order).and_then(|day| nursery_dates(day, lead));
    let calendar = planting.map(|day| calendar(day, &climate, dates, usual)).unwrap_or_default();
    let mut order = order;
    for line in order.iter_mut().filter(|line| line.order.0 > 0) {
        let own = LeadTimes { order_months: months_of(&line.species), ..lead };
        line.order_by = planting.and_then(|day| nursery_dates(day, own)).map(|dates| dates.order);
    }
    let mut plan = Plan {
        design,
        ground,
        plantable,
        areas,
        without_rows,
        assignment,
        infill,
        order,
        window,
        planting,
        missed,
        lead,
        calendar,
        work_orders: WorkOrders::default(),
    };
    plan.work_orders = work_orders(project, &plan);
    Some(plan)
}

/// Of each species the stems of new rows and of infill.
fn to_plant(assignment: Option<&Assignment>, infill: &[AreaInfill]) -> Vec<ToPlant> {
    let new = assignment.iter().flat_map(|assignment| &assignment.totals);
    let mut lines: Vec<ToPlant> = new
        .map(|(species, stems)| ToPlant { species: species.clone(), new: *stems, infill: Stems(0) })
        .collect();
    for (species, _, stems) in infill.iter().flat_map(|area| &area.species) {
        match lines.iter_mut().find(|line| &line.species == species) {
            Some(line) => line.infill.0 += stems.0,
            None => lines.push(ToPlant { species: species.clone(), new: Stems(0), infill: *stems }),
        }
    }
    lines
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

    /// How much of the rows of all areas lies on ground of which slope.
    #[must_use]
    pub fn bands(&self) -> SlopeBands {
        self.areas.iter().flat_map(|area| &area.bands).fold(SlopeBands::default(), |sum, row| sum.and(*row))
    }

    /// Stems of all areas.
    #[must_use]
    pub fn stems(&self) -> Stems {
        Stems(self.areas.iter().map(|area| area.stems.len() as u64).sum())
    }

    /// Stems of new rows on a hectare of their areas; `None` where there are none.
    #[must_use]
    pub fn density(&self) -> Option<StemsPerHectare> {
        let hectares: f64 = self.areas.iter().map(|area| area.rows.plantable.whole.0).sum();
        (hectares > 0.0).then(|| StemsPerHectare(self.stems().0 as f64 / hectares))
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
