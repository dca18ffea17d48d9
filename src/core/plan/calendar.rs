//! When to plant, and what to do in the three years after.

use chrono::{Datelike, Days, Months as Span, NaiveDate};

use crate::{
    plan::nursery::NurseryDates,
    project::{Climate, Months, RainDay},
};

/// The wettest run of months that a rain record is asked for.
const WET_MONTHS: usize = 4;

/// Years of record that a wet season can be told from.
const YEARS: usize = 3;

/// Months that plants need to root before the first frost (common practice, no source).
const BEFORE_FROST: u32 = 3;

/// Months in which may be planted, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// The months, 1 to 12, in their order through the season.
    pub months: Vec<u32>,
    /// Why these.
    pub because: Because,
}

/// What a planting window rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// The wet season that the project states.
    WetSeason,
    /// The wet season as far as frost leaves time to root.
    WetSeasonClearOfFrost,
    /// Frost leaves no month of the wet season: from the last frost on.
    AfterFrost,
}

/// The months of a season, first to last; it may cross the new year.
#[must_use]
pub fn months((first, last): Months) -> Vec<u32> {
    let length = (last + 12 - first) % 12;
    (0..=length).map(|month| (first + month - 1) % 12 + 1).collect()
}

/// The wettest run of months of a rain record, by the mean rain of a day of each month; `None` where the record is short of three
/// years or leaves a month out.
#[must_use]
pub fn wettest_months(rain: &[RainDay]) -> Option<Months> {
    let mut sums = [(0.0, 0u32); 12];
    for day in rain {
        if let Some(mm) = day.mm {
            let of = &mut sums[day.date.month0() as usize];
            *of = (of.0 + mm.0, of.1 + 1);
        }
    }
    // A month of three years has at least 84 days; a twentieth of them may be missing.
    if sums.iter().any(|(_, days)| (*days as usize) < 80 * YEARS / 3) {
        return None;
    }
    let mean = |month: usize| sums[month % 12].0 / f64::from(sums[month % 12].1);
    let run = |first: usize| (first..first + WET_MONTHS).map(mean).sum::<f64>();
    let first = (0..12).max_by(|&one, &other| run(one).total_cmp(&run(other)))?;
    Some((first as u32 + 1, ((first + WET_MONTHS - 1) % 12) as u32 + 1))
}

/// The months to plant in; `None` where no wet season is known.
///
/// # Method
/// Months of the wet season; where there is frost, those that are free of it and leave three months before the next. Where none is
/// left, the three months after the last frost.
///
/// # Reference
/// Big Scrub Landcare (New South Wales): where there is little or no frost plant about March, in moist and cooling soil; on
/// frosty sites in spring, for a full season before frost. Three months are common practice, without a source.
#[must_use]
pub fn window(wet_season: Option<Months>, frost: Option<Months>) -> Option<Window> {
    let wet = months(wet_season?);
    let Some(frost) = frost else { return Some(Window { months: wet, because: Because::WetSeason }) };
    let frosty = months(frost);
    let free = |month: &u32| (0..=BEFORE_FROST).all(|on| !frosty.contains(&((month + on - 1) % 12 + 1)));
    let clear: Vec<u32> = wet.iter().copied().filter(free).collect();
    if clear.is_empty() {
        let first = frost.1 % 12 + 1;
        return Some(Window { months: months((first, (first + 1) % 12 + 1)), because: Because::AfterFrost });
    }
    let because = if clear == wet { Because::WetSeason } else { Because::WetSeasonClearOfFrost };
    Some(Window { months: clear, because })
}

/// The wet season that the project states, else the wettest months of its rain record.
#[must_use]
pub fn wet_season(climate: &Climate, rain: &[RainDay]) -> Option<Months> {
    climate.wet_season.or_else(|| wettest_months(rain))
}

/// Plantings are looked for over so many months.
const AHEAD: u32 = 120;

/// The first day of the first month of the window after `day` that `can_be_met`: for which whatever has to be ordered still can be.
#[must_use]
pub fn next_planting(
    window: &Window,
    day: NaiveDate,
    can_be_met: impl Fn(NaiveDate) -> bool,
) -> Option<NaiveDate> {
    let month = day.with_day(1)?;
    let months = (1..=AHEAD).filter_map(|on| month.checked_add_months(Span::new(on)));
    months.filter(|start| window.months.contains(&start.month())).find(|start| can_be_met(*start))
}

/// Something to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    /// The order placed with the nursery.
    Order,
    /// Seed sown.
    Sow,
    /// Fence, first weed control, soil check.
    Prepare,
    /// Survey plots and photo points set out, first pictures.
    Baseline,
    /// Rows pegged out and planting spots cleared.
    SetOut,
    /// Weeds at the planting spots controlled once more.
    SecondWeed,
    /// Planting.
    Plant,
    /// Guards and stakes fitted.
    Guard,
    /// Browsing looked for and controlled.
    Browse,
    /// Grass cleared at the stems, guards and deaths looked at, vines cut.
    Maintain,
    /// Strips between the rows slashed.
    Slash,
    /// Survival and cover surveyed.
    Survey,
    /// Pictures taken from every photo point.
    Photograph,
    /// Plants ordered for the places of dead stems.
    OrderInfill,
    /// Dead stems replaced.
    Infill,
    /// Pioneers pruned, the cut laid along the contour.
    Prune,
}

impl Task {
    /// The task in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Task::Order => "order placed with the nursery, with stock, provenance and guards",
            Task::Sow => "seed sown, by the nursery or at home",
            Task::SecondWeed => {
                "weeds at the planting spots controlled a second time, as the product's label says"
            }
            Task::Guard => "guards and stakes fitted the day each stem is set",
            Task::Browse => "browsing looked for; fence and guards mended; animals controlled by whoever may",
            Task::OrderInfill => "plants ordered in the place of those that died, from the last survey",
            Task::Prepare => "fence, first weed control and soil check",
            Task::Baseline => "survey plots and photo points set out, first pictures taken",
            Task::SetOut => "rows pegged out, planting spots cleared",
            Task::Plant => "planting",
            Task::Maintain => "grass cleared at the stem, guards mended, vines cut, deaths counted",
            Task::Slash => "grass strips slashed, outside the fire season and within the day's fire rules",
            Task::Survey => "survival and cover surveyed",
            Task::Photograph => "pictures taken from every photo point",
            Task::Infill => "dead stems replaced",
            Task::Prune => "pioneers pruned, the cut branches laid along the contour",
        }
    }
}

/// A task and its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    /// The day, or the first day of the weeks in which it is due.
    pub day: NaiveDate,
    /// The task.
    pub task: Task,
}

/// Months between maintenance rounds in the first, second and third year (common practice, no source: every six to eight weeks
/// while the grass grows, less as the canopy closes).
const ROUNDS: [u32; 3] = [2, 3, 4];

/// Months before planting at which weeds at the planting spots are controlled once more (common practice, no source).
const SECOND_WEED: u32 = 2;

/// Days after planting at which browsing is looked for: most is lost in the first weeks (common practice, no source).
const BROWSING: [u64; 3] = [3, 14, 56];

/// Months after planting at which survival and cover are surveyed (advice, no source).
const SURVEYS: [u32; 5] = [3, 12, 24, 36, 60];

/// Everything to do about a planting that begins on `planting`: the year before it and three years after, surveys to the fifth.
///
/// Pictures are taken in the month of the first ones each year, so that seasons can be compared. Strips are slashed as the wet
/// season ends and once more in the dry, and in the month before the fire season, as far as `climate` knows them; never within the fire
/// season. Infill is ordered as long before it as the nursery wants, but after the first survey.
#[must_use]
pub fn calendar(
    planting: NaiveDate,
    climate: &Climate,
    nursery: Option<NurseryDates>,
    order_months: u32,
) -> Vec<Entry> {
    let (wet_season, frost) = (climate.wet_season, climate.frost);
    let on = |months: u32| planting.checked_add_months(Span::new(months));
    let back = |months: u32| planting.checked_sub_months(Span::new(months));
    let at = |day: Option<NaiveDate>, task: Task| day.map(|day| Entry { day, task });
    let mut entries: Vec<Entry> = [
        at(back(12), Task::Prepare),
        at(back(12), Task::Baseline),
        at(nursery.map(|dates| dates.order), Task::Order),
        at(nursery.map(|dates| dates.sow), Task::Sow),
        at(back(SECOND_WEED), Task::SecondWeed),
        at(back(1), Task::SetOut),
        at(Some(planting), Task::Plant),
        at(Some(planting), Task::Guard),
        // The first round comes within four to six weeks.
        at(planting.checked_add_days(Days::new(35)), Task::Maintain),
    ]
    .into_iter()
    .flatten()
    .collect();
    entries.extend(
        BROWSING.into_iter().filter_map(|days| at(planting.checked_add_days(Days::new(days)), Task::Browse)),
    );
    for (year, every) in (0..).zip(ROUNDS) {
        let rounds = (1..=12 / every).map(|round| 12 * year + round * every);
        entries.extend(rounds.filter_map(|months| at(on(months), Task::Maintain)));
        entries.extend(at(on(12 * (year + 1)), Task::Photograph));
    }
    entries.extend(SURVEYS.into_iter().filter_map(|months| at(on(months), Task::Survey)));
    entries.extend([12, 24].into_iter().filter_map(|months| at(on(months), Task::Infill)));
    entries.extend([24, 36].into_iter().filter_map(|months| at(on(months), Task::Prune)));
    let fire = climate.fire.map(months).unwrap_or_default();
    let mut slashed: Vec<u32> =
        wet_season.map(|(_, last)| vec![last % 12 + 1, (last + 4) % 12 + 1]).unwrap_or_default();
    slashed.extend(climate.fire.map(|(first, _)| (first + 10) % 12 + 1));
    slashed.retain(|month| !fire.contains(month));
    slashed.dedup();
    if !slashed.is_empty() {
        let end = on(36);
        let years = planting.year()..=planting.year() + 3;
        let days =
            years.flat_map(|year| slashed.iter().map(move |month| NaiveDate::from_ymd_opt(year, *month, 1)));
        let within = |day: &NaiveDate| *day > planting && end.is_none_or(|end| *day <= end);
        entries.extend(days.flatten().filter(within).map(|day| Entry { day, task: Task::Slash }));
    }
    // Young plants uncovered in frost are lost to it: infill waits for the month after.
    for entry in entries.iter_mut().filter(|entry| entry.task == Task::Infill) {
        while frost.is_some_and(|frost| months(frost).contains(&entry.day.month())) {
            let Some(later) = entry.day.checked_add_months(Span::new(1)) else { break };
            entry.day = later;
        }
    }
    let first_survey = on(SURVEYS[0]);
    let infill: Vec<NaiveDate> =
        entries.iter().filter(|entry| entry.task == Task::Infill).map(|entry| entry.day).collect();
    for day in infill {
        let wanted = day.checked_sub_months(Span::new(order_months));
        entries.extend(at(wanted.max(first_survey).filter(|order| *order < day), Task::OrderInfill));
    }
    entries.sort();
    entries.dedup();
    entries
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{source::Row, units::Millimetres};

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn seasons_cross_the_new_year() {
        assert_eq!(months((12, 3)), [12, 1, 2, 3]);
        assert_eq!(months((6, 8)), [6, 7, 8]);
        assert_eq!(months((5, 5)), [5]);
    }

    /// South-east Queensland: wet from December to March, frost from June to August: March would leave only April and May.
    #[test]
    fn the_window_leaves_time_to_root_before_frost() {
        let free = window(Some((12, 3)), None).unwrap();
        assert_eq!((free.months, free.because), (vec![12, 1, 2, 3], Because::WetSeason));
        let frosty = window(Some((12, 3)), Some((6, 8))).unwrap();
        assert_eq!((frosty.months, frosty.because), (vec![12, 1, 2], Because::WetSeasonClearOfFrost));
        // Winter rain and frost: spring, as soon as it is over.
        let winter = window(Some((5, 8)), Some((6, 9))).unwrap();
        assert_eq!((winter.months, winter.because), (vec![10, 11, 12], Because::AfterFrost));
        assert_eq!(window(None, Some((6, 8))), None);
    }

    #[test]
    fn planting_begins_in_the_next_window() {
        let window = window(Some((12, 3)), None).unwrap();
        let at_once = |from: &str| next_planting(&window, day(from), |_| true);
        assert_eq!(at_once("2026-06-30"), Some(day("2026-12-01")));
        assert_eq!(at_once("2026-12-01"), Some(day("2027-01-01")));
        assert_eq!(at_once("2027-03-15"), Some(day("2027-12-01")));
        assert_eq!(next_planting(&window, day("2026-06-30"), |_| false), None);
    }

    /// An order that takes 18 months and is placed as the period ends, on 30 June 2026, is there by January 2028.
    #[test]
    fn planting_waits_for_plants_that_must_be_ordered_first() {
        let window = window(Some((12, 3)), None).unwrap();
        let end = day("2026-06-30");
        let ordered = |months: u32| {
            next_planting(&window, end, |start| start.checked_sub_months(Span::new(months)).unwrap() > end)
        };
        assert_eq!(ordered(18), Some(day("2028-01-01")));
        assert_eq!(ordered(5), Some(day("2026-12-01")));
        assert_eq!(ordered(6), Some(day("2027-01-01")));
    }

    #[test]
    fn a_record_tells_its_wettest_months() {
        let rain = |days: i64| -> Vec<RainDay> {
            let first = day("2020-01-01");
            let one = |on: i64| {
                let date = first + chrono::TimeDelta::days(on);
                let mm = if [11, 12, 1, 2].contains(&date.month()) { 6.0 } else { 1.5 };
                RainDay { date, mm: Some(Millimetres(mm)), source: Row { file: "rain.csv".into(), row: 2 } }
            };
            (0..days).map(one).collect()
        };
        assert_eq!(wettest_months(&rain(3 * 366)), Some((11, 2)));
        assert_eq!(wettest_months(&rain(500)), None);
    }

    #[test]
    fn three_years_of_care_follow_a_planting() {
        let climate = |wet_season, frost, fire| Climate { wet_season, frost, fire };
        let entries = calendar(day("2026-12-01"), &climate(Some((12, 3)), Some((6, 8)), None), None, 18);
        let days = |task: Task| -> Vec<String> {
            entries.iter().filter(|entry| entry.task == task).map(|entry| entry.day.to_string()).collect()
        };
        assert_eq!(days(Task::Plant), ["2026-12-01"]);
        assert_eq!(
            days(Task::Survey),
            ["2027-03-01", "2027-12-01", "2028-12-01", "2029-12-01", "2031-12-01"]
        );
        assert_eq!(days(Task::Photograph), ["2027-12-01", "2028-12-01", "2029-12-01"]);
        assert_eq!(days(Task::Maintain).len(), 1 + 6 + 4 + 3);
        assert_eq!(days(Task::Maintain)[..2], ["2027-01-05", "2027-02-01"]);
        assert_eq!(days(Task::Slash)[..2], ["2027-04-01", "2027-08-01"]);
        assert!(entries.windows(2).all(|pair| pair[0].day <= pair[1].day));
        // A planting in July of a frosty place is filled in after the frost.
        let winter = calendar(day("2026-07-01"), &climate(None, Some((6, 8)), None), None, 6);
        let infill: Vec<_> = winter.iter().filter(|entry| entry.task == Task::Infill).collect();
        assert_eq!(infill[0].day, day("2027-09-01"));
        // Ordered half a year ahead, but not before the first survey has told what died.
        let ordered: Vec<_> = winter.iter().filter(|entry| entry.task == Task::OrderInfill).collect();
        assert_eq!(ordered[0].day, day("2027-03-01"));
    }

    /// Fires from August to November: no strip is slashed in them, and once in the month before.
    #[test]
    fn strips_are_slashed_before_the_fire_season_and_not_in_it() {
        let climate = Climate { wet_season: Some((12, 3)), frost: None, fire: Some((8, 11)) };
        let dates = crate::plan::nursery_dates(day("2026-12-01"), crate::plan::LeadTimes::default()).unwrap();
        let entries = calendar(day("2026-12-01"), &climate, Some(dates), 18);
        let of = |task: Task| -> Vec<NaiveDate> {
            entries.iter().filter(|entry| entry.task == task).map(|entry| entry.day).collect()
        };
        assert_eq!(of(Task::Slash)[..2], [day("2027-04-01"), day("2027-07-01")]);
        assert!(of(Task::Slash).iter().all(|day| !(8..=11).contains(&day.month())));
        assert_eq!((of(Task::Order), of(Task::Sow)), (vec![dates.order], vec![dates.sow]));
        assert_eq!(of(Task::Guard), [day("2026-12-01")]);
        assert_eq!(of(Task::SecondWeed), [day("2026-10-01")]);
    }
}
