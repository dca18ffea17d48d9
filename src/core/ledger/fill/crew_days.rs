//! The work orders of the plan: control rows, pegs, the crew's pace, and what each crew-day asks for.

use crate::{
    estimate::{Estimate, Method, Quantity},
    ledger::{Ledger, Member, Series, catalogue},
    plan::{CrewDay, LegFrom, Plan},
    project::Project,
    source::Sources,
    units::{Count, Stems, number, whole},
};

pub(crate) fn enter(ledger: &mut Ledger, project: &Project, plan: &Plan, sources: &Sources) {
    let orders = &plan.work_orders;
    let (Some(set_out), Some(planting)) = (&orders.set_out_pace, &orders.planting_pace) else { return };
    ledger.enter_named(catalogue::SET_OUT_PACE.named([]), Ok(set_out.clone()));
    ledger.enter_named(catalogue::PLANTING_PACE.named([]), Ok(planting.clone()));
    let crew = Estimate::counted(orders.capacity, Method::CREW_DAYS, sources.clone());
    let usual = project.crew.people.is_none() || project.crew.hours.is_none();
    let people = format!(
        "{} people, {} h each on the ground{}",
        orders.people,
        number(orders.capacity.0 / f64::from(orders.people.max(1)), 1),
        if usual { "; what the settings don't say is common practice, no source" } else { "" }
    );
    ledger.enter_named(catalogue::CREW_DAY_HOURS.named([]), Ok(crew.note(people)));
    let mut days = Estimate::counted(Count(orders.days.len() as u64), Method::CREW_DAYS, sources.clone());
    for reached in &orders.access {
        days = days.note(match &reached.access {
            Some(access) => format!("rows of {} are counted from {}", reached.area, access.words),
            None => {
                format!("no gate, track or road is drawn: rows of {} are counted from the top", reached.area)
            }
        });
    }
    ledger.enter_named(catalogue::CREW_DAYS.named([]), Ok(days));
    let controls = Estimate::counted(Count(orders.tables.len() as u64), Method::CREW_DAYS, sources.clone());
    ledger.enter_named(catalogue::CONTROL_ROWS.named([]), Ok(controls));
    let pegs: usize = orders.tables.iter().map(|(_, table)| table.pegs.len()).sum();
    let mut pegs = Estimate::counted(Count(pegs as u64), Method::PEG_TABLE, sources.clone());
    let tied = orders.tables.iter().filter_map(|(_, table)| table.pegs.first());
    if tied.into_iter().any(|peg| peg.leg.from == LegFrom::Nothing) {
        pegs = pegs.note("no mark is drawn to tie them to: only their positions are given");
    }
    if project.ground.is_none() {
        pegs = pegs.note("no model: rise and fall by level in the hand");
    }
    ledger.enter_named(catalogue::PEGS.named([]), Ok(pegs));
    for day in &orders.days {
        of_day(ledger, project, day, sources);
    }
    for (thing, each) in &project.crew.each_stem {
        let all: u64 = orders.days.iter().map(|day| day.stems().0).sum();
        let estimate = material(Stems(all), *each, sources);
        ledger.enter_named(catalogue::MATERIAL.named([Member::from(thing.as_str())]), Ok(estimate));
    }
}

fn of_day(ledger: &mut Ledger, project: &Project, day: &CrewDay, sources: &Sources) {
    let member = || Member::new(day.number.to_string(), format!("crew-day {}", day.number));
    fn put<Q: Quantity>(ledger: &mut Ledger, series: &Series, member: Member, value: Q, sources: &Sources) {
        let estimate = Estimate::counted(value, Method::CREW_DAYS, sources.clone());
        ledger.enter_named(series.named([member]), Ok(estimate));
    }
    put(ledger, &catalogue::DAY_ROWS, member(), Count(day.rows.len() as u64), sources);
    put(ledger, &catalogue::DAY_LENGTH, member(), day.length(), sources);
    put(ledger, &catalogue::DAY_STEMS, member(), day.stems(), sources);
    put(ledger, &catalogue::DAY_TRAYS, member(), Count(day.loads()), sources);
    let bands = day.bands();
    put(ledger, &catalogue::DAY_BY_MACHINE, member(), bands.machine, sources);
    put(ledger, &catalogue::DAY_BY_MANUAL, member(), bands.manual, sources);
    put(ledger, &catalogue::DAY_BY_HAND, member(), bands.by_hand(), sources);
    let hours = Estimate::counted(day.hours(), Method::CREW_DAYS, sources.clone()).note(format!(
        "{} h to set out, {} h to plant",
        number(day.set_out.0, 1),
        number(day.planting.0, 1)
    ));
    ledger.enter_named(catalogue::DAY_HOURS.named([member()]), Ok(hours));
    for (thing, each) in &project.crew.each_stem {
        let estimate = material(day.stems(), *each, sources);
        let members = [member(), Member::from(thing.as_str())];
        ledger.enter_named(catalogue::DAY_MATERIAL.named(members), Ok(estimate));
    }
}

fn material(stems: Stems, each: f64, sources: &Sources) -> Estimate<Number> {
    let all = Number(stems.0 as f64 * each);
    Estimate::counted(all, Method::CREW_DAYS, sources.clone()).note(format!(
        "{} to each of {} stems, by each_stem under [crew]",
        crate::units::as_written(each),
        whole(stems.0)
    ))
}

/// A number of things, or of litres or kilograms, as the settings call them.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Number(f64);

impl Quantity for Number {
    fn number(self) -> f64 {
        self.0
    }
}
