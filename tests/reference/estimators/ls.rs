//! L and S against the tables of AH-703, on profiles, on planes and on a terrain.

use hillfolio_core::{
    estimate::{
        Gap,
        erosion::{
            Rill, SlopeLength, Steepness, cell_ls, clamped, exponent, ls_area, ls_layer, ls_measured,
            ls_table,
        },
    },
    project::MeasuredSlope,
    source::Sources,
    terrain::{coverage, fill_depressions, flow_accumulation, slope_and_aspect},
    units::{Degrees, Metres, PercentSlope},
};

use crate::{
    erosion_checks::{number, table},
    support::{area_id, row},
    terrain_cases::{bounds_of, case, cases, grid, numbers, site, surface},
};

fn of_percent(percent: f64) -> Degrees {
    PercentSlope(percent).into()
}

fn printed(percent: f64, feet: f64, rill: Rill) -> f64 {
    // The tables count in unit plots of 72.6 ft, which in metres is rounded to 22.13.
    ls_table(of_percent(percent), Metres(feet / 72.6 * 22.13), rill, Steepness::McCool)
}

/// The slope whose exponent is a half, for cases that give the exponent.
fn half_exponent() -> Degrees {
    let (mut low, mut high) = (0.1, 40.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if exponent(Degrees(middle), Rill::Moderate) < 0.5 { low = middle } else { high = middle }
    }
    Degrees(low)
}

fn cell_length(inflow: f64, aspect: Option<Degrees>) -> f64 {
    let slope = half_exponent();
    cell_ls(slope, aspect, inflow, 10.0, Rill::Moderate, Steepness::McCool) / Steepness::McCool.factor(slope)
}

pub(crate) fn found(id: &str) -> Option<f64> {
    let moderate = |percent, feet| printed(percent, feet, Rill::Moderate);
    if let Some(degrees) = id.strip_prefix("SN") {
        return Some(Steepness::Nearing.factor(Degrees(degrees.parse().unwrap())));
    }
    if let Some(percent) = id.strip_prefix('M') {
        return Some(exponent(of_percent(percent.parse().unwrap()), Rill::Moderate));
    }
    Some(match id {
        "LS1" => moderate(5.0, 100.0),
        "LS2" => moderate(10.0, 200.0),
        "LS3" => moderate(12.0, 1000.0),
        "LS4" => moderate(14.0, 150.0),
        "LS5" => moderate(14.0, 25.0),
        "LS6" => moderate(20.0, 100.0),
        "LS7" => moderate(30.0, 200.0),
        "LS8" => moderate(50.0, 400.0),
        "LS9" => moderate(60.0, 1000.0),
        "LS10" => printed(33.0, 150.0, Rill::High),
        "LS11" => printed(33.0, 150.0, Rill::Low),
        "LS12" => printed(5.0, 600.0, Rill::Low),
        "SH1" => moderate(5.0, 3.0),
        "SH2" => moderate(10.0, 3.0),
        "SH3" => moderate(14.0, 6.0),
        "SH4" => moderate(14.0, 12.0),
        "SL20" => Steepness::Liu.factor(Degrees(20.0)),
        "SM20" => Steepness::McCool.factor(Degrees(20.0)),
        "DG1" => cell_length(0.0, None),
        "DG2" => {
            (0..10).map(|cell| cell_length(f64::from(cell) * 100.0, Some(Degrees(180.0)))).sum::<f64>() / 10.0
        }
        "DG3" => cell_length(900.0, Some(Degrees(45.0))),
        _ => return None,
    })
}

/// AH-703, table 4-2, cell by cell within its rounding: 197 cells read, 126 as remembered. Cells without a printed value
/// (tables 4-1 and 4-3) guard the code against change.
#[test]
fn the_printed_table_comes_out_cell_by_cell() {
    let (mut read, mut remembered) = (0, 0);
    for row in table("ls-ah703.csv") {
        let rill = match row["rill_interrill"].as_str() {
            "low" => Rill::Low,
            "moderate" => Rill::Moderate,
            "high" => Rill::High,
            other => panic!("{other}"),
        };
        let found = printed(number(&row, "slope_percent"), number(&row, "length_ft"), rill);
        match row["printed_status"].as_str() {
            "read" => read += 1,
            "from memory" => remembered += 1,
            "none" => {
                let computed = number(&row, "ls_equation");
                assert!((found - computed).abs() < 1e-4 + 1e-4 * computed, "{row:?}: {found}");
                continue;
            }
            other => panic!("{other}"),
        }
        assert!((found - number(&row, "ls_printed")).abs() <= 0.005 + 1e-9, "{row:?}: {found}");
    }
    assert_eq!((read, remembered), (197, 126));
}

/// The exponents and steepness factors of AH-703, table 4-5, and of three papers at 2 to 60 %.
#[test]
fn exponents_and_steepness_factors_come_out() {
    for row in table("ls-exponent-steepness.csv") {
        let slope = of_percent(number(&row, "slope_percent"));
        for (found, column) in [
            (exponent(slope, Rill::Low), "m_low"),
            (exponent(slope, Rill::Moderate), "m_moderate"),
            (exponent(slope, Rill::High), "m_high"),
            (Steepness::McCool.factor(slope), "s_mccool_1987"),
            (Steepness::Nearing.factor(slope), "s_nearing_1997"),
            (Steepness::Liu.factor(slope), "s_liu_1994"),
        ] {
            assert!((found - number(&row, column)).abs() < 1e-4, "{column} of {row:?}: {found}");
        }
        if let Ok(printed) = row["m_moderate_printed"].parse::<f64>() {
            assert!((exponent(slope, Rill::Moderate) - printed).abs() < 0.005, "{row:?}");
        }
    }
}

/// An independent computation of eqs. 4-1 to 4-5 on profiles of 5 to 122 m, and of Desmet and Govers down a line of cells,
/// whose mean is the profile's.
#[test]
fn profiles_and_lines_of_cells_match() {
    for row in case("ls/profile")["expected"]["rows"].as_array().unwrap() {
        let (slope, length) =
            (Degrees(row["slope_deg"].as_f64().unwrap()), row["length_m"].as_f64().unwrap());
        let found = ls_table(slope, Metres(length), Rill::Moderate, Steepness::McCool);
        assert!((found / row["LS"].as_f64().unwrap() - 1.0).abs() < 1e-9, "{row}: {found}");
    }
    for row in case("ls/desmet_govers_column")["expected"]["rows"].as_array().unwrap() {
        let slope = Degrees(row["slope_deg"].as_f64().unwrap());
        let cell = |inflow, aspect| {
            cell_ls(slope, Some(Degrees(aspect)), inflow, 10.0, Rill::Moderate, Steepness::McCool)
        };
        for (at, expected) in numbers(&row["ls_by_row_from_top"]).into_iter().enumerate() {
            assert!((cell(at as f64 * 100.0, 180.0) / expected - 1.0).abs() < 1e-9);
        }
        let diagonal = row["diagonal_aspect_135_no_inflow"].as_f64().unwrap();
        assert!((cell(0.0, 135.0) / diagonal - 1.0).abs() < 1e-9);
    }
}

/// The smoothed volcano with a given inflow: cells drawn at random, and means over sites by the share of each cell.
#[test]
fn a_terrain_with_given_inflow_matches() {
    let (heights, inflow) =
        (grid("dem_volcano_smooth_10m.asc"), grid("volcano_smooth_d8_upslope_area_m2.asc"));
    let (slope, aspect) = slope_and_aspect(&heights);
    let ls = |row, column, most: f64| {
        let degrees = |value: f32| Degrees(f64::from(value));
        let aspect = aspect.at(row, column).filter(|value| !value.is_nan()).map(degrees);
        let inflow = f64::from(inflow.at(row, column).unwrap()).min(most);
        let slope = degrees(slope.at(row, column)?);
        (!slope.0.is_nan()).then(|| cell_ls(slope, aspect, inflow, 10.0, Rill::Moderate, Steepness::McCool))
    };
    for cell in case("ls/volcano_smooth/cells")["expected"]["cells"].as_array().unwrap() {
        let at = |name: &str| cell[name].as_u64().unwrap() as usize;
        let found = ls(at("row"), at("col"), f64::INFINITY).unwrap();
        assert!((found / cell["ls"].as_f64().unwrap() - 1.0).abs() < 1e-4, "{cell}: {found}");
    }
    for (id, case) in cases("ls_grid_dem") {
        let covered = coverage(&heights.lattice, &site(&case, &heights));
        for (most, name) in
            [(f64::INFINITY, "mean_ls_desmet_govers_given_inflow"), (300.0, "mean_ls_inflow_capped_300_m2")]
        {
            let (mut sum, mut weight) = (0.0, 0.0);
            for (row, column, share) in covered.cells() {
                if let Some(ls) = ls(row, column, most) {
                    sum += share * ls;
                    weight += share;
                }
            }
            let expected = case["expected"][name].as_f64().unwrap();
            assert!((sum / weight / expected - 1.0).abs() < 1e-5, "{id} {name}: {}", sum / weight);
        }
    }
}

/// Exact: on a plane of 8° that falls south, each column is a slope of its own; with the longest slope at 60 m and a track across
/// it the mean over whole slopes is that of a plot (Desmet and Govers's identity).
#[test]
fn a_plane_is_a_plot_and_a_track_ends_a_slope() {
    let degrees = 8.0_f64;
    let rise = libm::tan(degrees.to_radians());
    let plane = surface((0.0, 0.0), 5.0, 26, |_, y| 100.0 + rise * y);
    let directions = fill_depressions(&plane);
    let inflow = flow_accumulation(&directions, None);
    for row in 1..25 {
        assert_eq!(inflow.at(row, 13), Some(row as f32 * 25.0), "water runs straight down the plane");
    }
    let (slope, aspect) = slope_and_aspect(&plane);
    // Row 12 is a track: water that enters it is led away, so row 13 begins a slope.
    let stops: Vec<bool> = (0..26 * 26).map(|cell| cell / 26 == 12).collect();
    let inflow = flow_accumulation(&directions, Some(&stops));
    assert_eq!(
        (inflow.at(12, 13), inflow.at(13, 13), inflow.at(14, 13)),
        (Some(300.0), Some(0.0), Some(25.0))
    );
    let rules = SlopeLength::default();
    let layer = ls_layer(&slope, &aspect, &inflow, rules, |_, _| true);
    // Rows 13 to 24, twelve cells of 5 m: one slope of 60 m.
    let site = bounds_of(&[-40.0, -60.0, 40.0, 0.0]);
    let found = ls_area(&layer, &slope, &coverage(&plane.lattice, &site), rules, Sources::default()).unwrap();
    let plot = ls_table(Degrees(degrees), Metres(60.0), Rill::Low, Steepness::Nearing);
    assert!((found.value / plot - 1.0).abs() < 1e-4, "{} {plot}", found.value);
    assert_eq!(found.sigma, 0.20);
    assert!(found.notes.is_empty(), "{:?}", found.notes);
}

/// Rules for steep ground, by hand: 55 % is 28.8°, beyond a tenth of it is a doubt, beyond half is refused.
#[test]
fn ground_beyond_the_equation_is_marked_or_refused() {
    assert!((clamped(Degrees(40.0)).0 - 28.81).abs() < 0.01);
    assert_eq!(clamped(Degrees(20.0)), Degrees(20.0));
    let slopes = |degrees: &[f64]| -> Vec<MeasuredSlope> {
        let reading = |(at, &degrees): (usize, &f64)| MeasuredSlope {
            area: area_id("A"),
            slope: Degrees(degrees),
            length: Some(Metres(60.0)),
            note: None,
            source: row("slopes.csv", at as u32 + 2),
        };
        degrees.iter().enumerate().map(reading).collect()
    };
    let ls = |degrees: &[f64]| ls_measured(&slopes(degrees), &area_id("A"), Rill::Low, Steepness::Nearing);
    assert_eq!(ls(&[10.0]).unwrap().sigma, 0.20);
    assert!(ls(&[10.0]).unwrap().notes.is_empty());
    assert_eq!(ls(&[18.0]).unwrap().notes.len(), 1);
    let steep = ls(&[20.0, 20.0, 35.0, 22.0]).unwrap();
    assert_eq!((steep.sigma, steep.notes.len()), (0.60, 3));
    assert_eq!(ls(&[35.0, 40.0, 10.0]), Err(Gap::TooSteep));
    assert_eq!(ls_measured(&[], &area_id("A"), Rill::Low, Steepness::Nearing), Err(Gap::NoSlope));
}

/// A tape on the ground is longer than the plan: 60 m along 18° are 57.06 m. Without a length 60 m are taken, and said; no
/// slope counts as longer than 122 m.
#[test]
fn lengths_of_measured_slopes_are_plan_lengths() {
    let reading = |length: Option<f64>| MeasuredSlope {
        area: area_id("A"),
        slope: Degrees(18.0),
        length: length.map(Metres),
        note: None,
        source: row("slopes.csv", 2),
    };
    let of = |length| ls_measured(&[reading(length)], &area_id("a"), Rill::Low, Steepness::Nearing);
    assert_eq!(of(Some(60.0)), Err(Gap::NoSlope), "ids are compared as they were read");
    let ls = |length| ls_measured(&[reading(length)], &area_id("A"), Rill::Low, Steepness::Nearing).unwrap();
    let plan = |metres| ls_table(Degrees(18.0), Metres(metres), Rill::Low, Steepness::Nearing);
    assert!((ls(Some(60.0)).value - plan(57.063_391)).abs() < 1e-6);
    assert_eq!(ls(None).value, plan(60.0));
    assert_eq!(ls(Some(400.0)).value, plan(122.0));
    assert_eq!((ls(None).notes.len(), ls(Some(400.0)).notes.len()), (2, 2));
}
