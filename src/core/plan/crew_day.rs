//! Crew-days: which rows a crew sets out and plants in a day, with their plants by row and by tray.

use std::collections::BTreeMap;

use geo::{BoundingRect, LineString, Rect};

use crate::{
    plan::{
        AreaPlan, Plan, SlopeBands,
        across::Across,
        control_rows::control_groups,
        heights::Heights,
        leg::North,
        pace::{PER, Pace, planting_pace, set_out_pace},
        peg_table::{PegTable, SetOutGround, peg_tables},
        tie::{Access, access, marks},
    },
    project::{AreaId, Project, SpeciesId},
    units::{Hours, Metres, Stems},
};

/// People of a crew where the settings don't say (common practice, no source).
const USUAL_PEOPLE: u8 = 4;

/// Hours of a person on the ground in a day where the settings don't say (common practice, no source).
const USUAL_HOURS: Hours = Hours(6.0);

/// Plants carried in a tray where the settings don't say (common practice, no source).
pub const USUAL_TRAY: u8 = 40;

/// Heights are known this far beyond the ground, m: marks that rows are tied to lie off it.
const BEYOND: f64 = 1000.0;

/// Plants that are carried in one tray: those of a stretch of row.
#[derive(Debug, Clone, PartialEq)]
pub struct TrayLoad {
    /// Where its first plant stands, along the ground from the row's start: there the tray is put down.
    pub from: Metres,
    /// Plants in it.
    pub stems: Stems,
    /// Of each species, the commonest of the plan first by its name; stems without a species are in none.
    pub species: Vec<(SpeciesId, Stems)>,
}

/// A row of a crew-day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayRow {
    /// Its number within the area.
    pub row: u32,
    /// Its length along the ground.
    pub length: Metres,
    /// How much of it lies on ground of which slope.
    pub bands: SlopeBands,
    /// Stems in it.
    pub stems: Stems,
    /// Along the ground from its start to the first stem.
    pub first: Metres,
    /// Of each species, by name.
    pub species: Vec<(SpeciesId, Stems)>,
    /// Its plants as they are carried.
    pub loads: Vec<TrayLoad>,
}

/// The work of one crew on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewDay {
    /// Its number in the order of the work, from 1.
    pub number: u32,
    /// The area.
    pub area: AreaId,
    /// Its rows, in the order of the work.
    pub rows: Vec<DayRow>,
    /// The peg tables that are set out on this day, by their place among those of the work orders.
    pub tables: Vec<usize>,
    /// Person hours of setting out.
    pub set_out: Hours,
    /// Person hours of planting.
    pub planting: Hours,
}

/// How an area's rows are reached.
#[derive(Debug, Clone, PartialEq)]
pub struct AreaAccess {
    /// The area.
    pub area: AreaId,
    /// The gate, track or road; `None` where none is drawn.
    pub access: Option<Access>,
}

/// The work orders of a plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WorkOrders {
    /// Peg tables in the order of the work, with their areas.
    pub tables: Vec<(AreaId, PegTable)>,
    /// The days.
    pub days: Vec<CrewDay>,
    /// How each area with rows is reached.
    pub access: Vec<AreaAccess>,
    /// The north of the bearings.
    pub north: North,
    /// Person hours that a crew has in a day.
    pub capacity: Hours,
    /// People of the crew.
    pub people: u8,
    /// Plants in a tray.
    pub tray: u8,
    /// Person hours for a hundred stems; `None` without rows.
    pub planting_pace: Option<Pace>,
    /// Person hours for a hundred metres of row; `None` without rows.
    pub set_out_pace: Option<Pace>,
}

impl CrewDay {
    /// Stems to plant.
    #[must_use]
    pub fn stems(&self) -> Stems {
        Stems(self.rows.iter().map(|row| row.stems.0).sum())
    }

    /// Metres of row.
    #[must_use]
    pub fn length(&self) -> Metres {
        Metres(self.rows.iter().map(|row| row.length.0).sum())
    }

    /// Person hours of all its work.
    #[must_use]
    pub fn hours(&self) -> Hours {
        Hours(self.set_out.0 + self.planting.0)
    }

    /// How much of its rows lies on ground of which slope.
    #[must_use]
    pub fn bands(&self) -> SlopeBands {
        self.rows.iter().fold(SlopeBands::default(), |sum, row| sum.and(row.bands))
    }

    /// Trays that are carried.
    #[must_use]
    pub fn loads(&self) -> u64 {
        self.rows.iter().map(|row| row.loads.len() as u64).sum()
    }
}

/// The work orders of `plan`.
///
/// # Equations and sources
/// [`crate::estimate::Method::CREW_DAYS`].
#[must_use]
pub fn work_orders(project: &Project, plan: &Plan) -> WorkOrders {
    let crew = &project.crew;
    let people = crew.people.unwrap_or(USUAL_PEOPLE);
    let mut orders = WorkOrders {
        north: North { declination: crew.declination },
        capacity: Hours(f64::from(people) * crew.hours.unwrap_or(USUAL_HOURS).0),
        people,
        tray: project.nursery.tray.unwrap_or(USUAL_TRAY),
        ..WorkOrders::default()
    };
    if plan.areas.is_empty() {
        return orders;
    }
    let paces = (set_out_pace(project), planting_pace(project));
    for area in &plan.areas {
        of_area(project, plan, area, (paces.0.value.0 / PER, paces.1.value.0 / PER), &mut orders);
    }
    (orders.set_out_pace, orders.planting_pace) = (Some(paces.0), Some(paces.1));
    orders
}

fn of_area(project: &Project, plan: &Plan, area: &AreaPlan, paces: (f64, f64), orders: &mut WorkOrders) {
    let (rows, plane) = (&area.rows, &area.rows.plantable.plane);
    let lines: Vec<LineString<f64>> = rows.rows.iter().map(|row| row.line.clone()).collect();
    let across = Across::of(rows, &lines, plan.design.spacing);
    let access = access(project, rows);
    let at = access.as_ref().map(|access| access.place);
    let groups = control_groups(rows, &lines, &across, at, plan.design.spacing);
    let bounds = rows.plantable.ground.bounding_rect().map(|bounds| {
        let beyond = geo::Coord { x: BEYOND, y: BEYOND };
        Rect::new(bounds.min() - beyond, bounds.max() + beyond)
    });
    let heights = project
        .ground
        .as_ref()
        .zip(bounds)
        .and_then(|(ground, bounds)| Heights::within(&ground.heights, plane, bounds));
    let height = |place| heights.as_ref()?.at(place);
    let ground = SetOutGround {
        rows,
        lines: &lines,
        across: &across,
        height: &height,
        north: orders.north,
        spacing: plan.design.spacing,
    };
    let id = &rows.plantable.area;
    let tables = peg_tables(&ground, &groups, &marks(project, plane));
    let mut of_rows = day_rows(area, usize::from(orders.tray).max(1));
    let mut day: Option<CrewDay> = None;
    for table in tables {
        let group: Vec<DayRow> = table.rows.iter().filter_map(|row| of_rows.remove(row)).collect();
        let hours = |rows: &[DayRow]| -> (f64, f64) {
            let metres: f64 = rows.iter().map(|row| row.length.0).sum();
            let stems: u64 = rows.iter().map(|row| row.stems.0).sum();
            (metres * paces.0, stems as f64 * paces.1)
        };
        let all = hours(&group);
        let fits = |day: &CrewDay, more: f64| day.hours().0 + more <= orders.capacity.0;
        // A group is not parted that one day can hold.
        let whole = all.0 + all.1;
        if let Some(full) = day.take_if(|day| !fits(day, whole) && whole <= orders.capacity.0) {
            orders.days.push(full);
        }
        let number = orders.tables.len();
        orders.tables.push((id.clone(), table));
        for (nth, row) in group.into_iter().enumerate() {
            let own = hours(std::slice::from_ref(&row));
            if let Some(full) = day.take_if(|day| !fits(day, own.0 + own.1) && !day.rows.is_empty()) {
                orders.days.push(full);
            }
            let next = orders.days.len() as u32 + 1;
            let day = day.get_or_insert_with(|| CrewDay {
                number: next,
                area: id.clone(),
                rows: Vec::new(),
                tables: Vec::new(),
                set_out: Hours(0.0),
                planting: Hours(0.0),
            });
            if nth == 0 {
                day.tables.push(number);
            }
            day.set_out.0 += own.0;
            day.planting.0 += own.1;
            day.rows.push(row);
        }
    }
    orders.days.extend(day);
    orders.access.push(AreaAccess { area: id.clone(), access });
}

/// The rows of an area with their plants, by number.
fn day_rows(area: &AreaPlan, tray: usize) -> BTreeMap<u32, DayRow> {
    let mut stems: BTreeMap<u32, Vec<(Metres, Option<&SpeciesId>)>> = BTreeMap::new();
    for (at, stem) in area.stems.iter().enumerate() {
        let species = area.species.get(at).and_then(Option::as_ref);
        stems.entry(stem.row).or_default().push((stem.along, species));
    }
    let counted = |stems: &[(Metres, Option<&SpeciesId>)]| {
        let mut counts: BTreeMap<&SpeciesId, u64> = BTreeMap::new();
        stems.iter().filter_map(|(_, species)| *species).for_each(|id| *counts.entry(id).or_default() += 1);
        counts.into_iter().map(|(id, count)| (id.clone(), Stems(count))).collect()
    };
    let row = |(row, bands): (&crate::plan::Row, &SlopeBands)| {
        let own = stems.get(&row.number).map(Vec::as_slice).unwrap_or_default();
        let load = |part: &[(Metres, Option<&SpeciesId>)]| TrayLoad {
            from: part.first().map(|(along, _)| *along).unwrap_or_default(),
            stems: Stems(part.len() as u64),
            species: counted(part),
        };
        let day = DayRow {
            row: row.number,
            length: row.length,
            bands: *bands,
            stems: Stems(own.len() as u64),
            first: own.first().map(|(along, _)| *along).unwrap_or_default(),
            species: counted(own),
            loads: own.chunks(tray).map(load).collect(),
        };
        (row.number, day)
    };
    area.rows.rows.iter().zip(&area.bands).map(row).collect()
}
