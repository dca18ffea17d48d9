//! Heights and diameters that read as if they stood in another unit than their column says.

use chrono::NaiveDate;

use crate::{
    intake::checks::{areas_of_plots, first_plantings, median, say_of},
    problem::{Change, Measured, Plausibility, Problem, SecondReading, Surveyed},
    project::{Project, Stem, StemStatus},
    source::Row,
    units::{as_written, number},
};

/// Stems from which the middle one tells of a table (common practice, no source).
const ENOUGH: usize = 3;

/// The least height at which height over diameter says anything, m: breast height.
const BREAST: f64 = 1.3;

/// Height over diameter, both in metres, between which young trees and shrubs stand: 20 for the stoutest, 250 for whips in a thicket
/// (common practice, no source; trees of a closed stand have 60 to 100).
const SLENDER: (f64, f64) = (15.0, 300.0);

/// The same of one stem, which may be a stump that sprouted or a whip.
const SLENDER_ONE: (f64, f64) = (4.0, 600.0);

/// How many times the shape of the middle stem one must be for its point to be doubted (judgement).
const SHAPE_APART: f64 = 5.0;

/// Height over diameter below which stems that also grow too fast read as girths (common practice, no source).
const STOUT: f64 = 32.0;

/// Millimetres of diameter in a year that the middle stem of a planting does not pass: the fastest eucalypts and poplars make about
/// 30 to 40 at breast height; of stout stems, and of stems whose height is not known (common practice, no source).
const FAST_STOUT: f64 = 35.0;
const FAST: f64 = 50.0;

/// Millimetres of diameter in a year that the middle stem passes (common practice, no source).
const SLOW: f64 = 1.0;

/// Years from which growth says anything.
const YEARS: f64 = 0.5;

/// Metres that the middle stem has passed half a year after planting: seedlings leave the nursery at 0.15 m or more (common
/// practice, no source).
const LOW: f64 = 0.05;

/// The same of seedlings as they are set: lower ones have lost a digit, or half a year.
const LOWEST_SET: f64 = 0.15;

/// How many times one height differs from the middle one to stand apart, and at most in the unit that is likelier (common practice, no
/// source).
const APART: f64 = 20.0;
const ALIKE: f64 = 5.0;

/// A measured stem with its age.
struct Measure<'a> {
    stem: &'a Stem,
    years: Option<f64>,
}

impl Measure<'_> {
    /// Height over diameter.
    fn slenderness(&self) -> Option<f64> {
        let height = self.stem.height.filter(|height| height.0 >= BREAST)?;
        self.stem.diameter_mm.map(|diameter| height.0 / (diameter / 1_000.0))
    }

    /// Millimetres of diameter for each year since planting.
    fn growth(&self) -> Option<f64> {
        Some(self.stem.diameter_mm? / self.years.filter(|years| *years >= YEARS)?)
    }
}

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let (areas, first) = (areas_of_plots(project), first_plantings(project));
    let measured: Vec<Measure<'_>> = project
        .stems
        .iter()
        .filter(|stem| stem.status == StemStatus::Alive)
        .map(|stem| {
            let planted = areas.get(&stem.plot).and_then(|area| first.get(area));
            Measure { stem, years: planted.map(|planted| years(*planted, stem.date)) }
        })
        .collect();
    heights(&measured, problems);
    diameters(&measured, problems);
}

fn heights(measured: &[Measure<'_>], problems: &mut Vec<Problem>) {
    let grown = measured.iter().filter(|one| one.years.is_none_or(|years| years >= YEARS));
    let (values, rows): (Vec<f64>, Vec<&Row>) =
        grown.filter_map(|one| Some((one.stem.height?.0, &one.stem.source))).unzip();
    let count = values.len();
    if let Some(middle) = median(values.clone()).filter(|_| count > ENOUGH) {
        out_of_line(middle, &values, &rows, problems);
    }
    let Some(middle) = median(values).filter(|middle| count >= ENOUGH && *middle < LOWEST_SET) else {
        return;
    };
    let (factor, likely) = match middle < LOW {
        true => (100.0, "written in metres under centimetres they would be"),
        false => (10.0, "written in decimetres, or with the point moved, they would be"),
    };
    let kind = Plausibility::AnotherUnitLikely {
        what: "heights",
        median: format!("{} m", number(middle, 3)),
        count,
        why: "less than a seedling has when it leaves the nursery".to_owned(),
        likely: format!("{likely} {} m", as_written(middle * factor)),
    };
    let other = SecondReading::of(Change::Times { of: Measured::Height, factor }, rows.iter().copied());
    say_of(kind, rows, "height_m", Some(&other), problems);
}

/// Single heights that are far from the middle one and near it in another unit.
fn out_of_line(middle: f64, values: &[f64], rows: &[&Row], problems: &mut Vec<Problem>) {
    let near = |height: f64| (1.0 / ALIKE..=ALIKE).contains(&(height / middle));
    let found: Vec<(f64, &Row, f64, &str)> = values
        .iter()
        .zip(rows)
        .filter_map(|(height, row)| match height / middle {
            part if part < 1.0 / APART && near(height * 100.0) => {
                Some((*height, *row, 100.0, "metres under centimetres"))
            }
            part if part > APART && near(height / 100.0) => {
                Some((*height, *row, 0.01, "centimetres under metres"))
            }
            _ => None,
        })
        .collect();
    // Where many are, the column has two units, and the middle one says nothing of which.
    if found.len() * 4 > values.len() {
        return;
    }
    for (height, row, factor, unit) in found {
        let kind = Surveyed::HeightOutOfLine {
            height: as_written(height).into(),
            count: values.len(),
            median: number(middle, 2).into(),
            unit,
            then: number(height * factor, 2).into(),
        };
        let other = SecondReading::of(Change::Times { of: Measured::Height, factor }, [row]);
        say_of(kind, [row], "height_m", Some(&other), problems);
    }
}

fn diameters(measured: &[Measure<'_>], problems: &mut Vec<Problem>) {
    let slender: Vec<f64> = measured.iter().filter_map(Measure::slenderness).collect();
    let growth: Vec<f64> = measured.iter().filter_map(Measure::growth).collect();
    let diameters: Vec<f64> = measured.iter().filter_map(|one| one.stem.diameter_mm).collect();
    let of_enough = |values: Vec<f64>| if values.len() >= ENOUGH { median(values) } else { None };
    let (slender, growth) = (of_enough(slender), of_enough(growth));
    let Some(middle) = of_enough(diameters) else { return };
    let Some((factor, why)) = other_unit(slender, growth) else {
        return outliers(measured, slender, problems);
    };
    let rows: Vec<&Row> =
        measured.iter().filter(|one| one.stem.diameter_mm.is_some()).map(|one| &one.stem.source).collect();
    let written =
        |as_what: &str| format!("{as_what} the middle one would be {} mm", number(middle * factor, 0));
    let kind = Plausibility::AnotherUnitLikely {
        what: "diameters",
        median: format!("{} mm", number(middle, 1)),
        count: rows.len(),
        why,
        likely: match factor {
            10.0 => written("written in centimetres"),
            0.1 => written("written in millimetres under centimetres"),
            _ => written("measured as girths"),
        },
    };
    let other = SecondReading::of(Change::Times { of: Measured::Diameter, factor }, rows.iter().copied());
    say_of(kind, rows, "diameter_mm", Some(&other), problems);
}

/// By what the diameters would have to be multiplied, and what they are at odds with.
fn other_unit(slender: Option<f64>, growth: Option<f64>) -> Option<(f64, String)> {
    let tall = |slender: f64| format!("while the stems are {} times as tall as thick", number(slender, 0));
    let fast =
        |growth: f64| format!("a growth of {} mm a year", number(growth, if growth < 2.0 { 1 } else { 0 }));
    match (slender, growth) {
        (Some(slender), _) if slender > SLENDER.1 => Some((10.0, tall(slender))),
        (Some(slender), _) if slender < SLENDER.0 / 3.0 => Some((0.1, tall(slender))),
        (Some(slender), _) if slender < SLENDER.0 => Some((std::f64::consts::FRAC_1_PI, tall(slender))),
        (Some(slender), Some(growth)) if slender < STOUT && growth > FAST_STOUT => {
            Some((std::f64::consts::FRAC_1_PI, format!("{}, {}", fast(growth), tall(slender))))
        }
        (None, Some(growth)) if growth > FAST && growth < 10.0 * FAST => {
            Some((std::f64::consts::FRAC_1_PI, fast(growth)))
        }
        (None, Some(growth)) if growth < SLOW => Some((10.0, fast(growth))),
        _ => None,
    }
}

/// Single stems whose height and diameter can't go together.
/// Single diameters that no stem of such a height has, or that are far from the shape of the `middle` one and near it with the point moved.
fn outliers(measured: &[Measure<'_>], middle: Option<f64>, problems: &mut Vec<Problem>) {
    let near =
        |slender: f64| middle.is_some_and(|middle| (1.0 / ALIKE..=ALIKE).contains(&(slender / middle)));
    let far = |part: f64| part > SHAPE_APART;
    for one in measured {
        let (Some(slender), Some(diameter), Some(height)) =
            (one.slenderness(), one.stem.diameter_mm, one.stem.height)
        else {
            continue;
        };
        let thin = middle.is_some_and(|middle| far(slender / middle)) && near(slender / 10.0);
        let thick = middle.is_some_and(|middle| far(middle / slender)) && near(slender * 10.0);
        let factor = if slender > SLENDER_ONE.1 || thin {
            10.0
        } else if slender < SLENDER_ONE.0 || thick {
            0.1
        } else {
            continue;
        };
        let kind = Plausibility::StemOutOfShape {
            diameter: number(diameter, 1),
            height: number(height.0, 2),
            other: number(diameter * factor, 1),
        };
        let other = SecondReading::of(Change::Times { of: Measured::Diameter, factor }, [&one.stem.source]);
        say_of(kind, [&one.stem.source], "diameter_mm", Some(&other), problems);
    }
}

fn years(from: NaiveDate, to: NaiveDate) -> f64 {
    i32::try_from((to - from).num_days()).map_or(0.0, f64::from) / 365.25
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Middle stems of a planting of four years: 4 m tall and 50 mm thick.
    #[test]
    fn a_unit_is_told_by_form_and_growth() {
        let factor = |diameter: f64, height: Option<f64>| {
            let slender = height.map(|height| height / (diameter / 1_000.0));
            other_unit(slender, Some(diameter / 4.0)).map(|(factor, _)| factor)
        };
        assert_eq!(factor(50.0, Some(4.0)), None);
        assert_eq!(factor(5.0, Some(4.0)), Some(10.0), "centimetres");
        assert_eq!(factor(500.0, Some(4.0)), Some(std::f64::consts::FRAC_1_PI), "stout enough for a girth");
        assert_eq!(factor(1_000.0, Some(4.0)), Some(0.1), "ten times too thick");
        assert_eq!(factor(50.0, None), None);
        assert_eq!(factor(2.0, None), Some(10.0));
        assert_eq!(factor(240.0, None), Some(std::f64::consts::FRAC_1_PI));
    }
}
