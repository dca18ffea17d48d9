//! C against AH-537's table 10.

use hillfolio_core::{
    estimate::{
        Gap,
        erosion::{
            Canopy, GroundCover, PlotCover, cover_factor, cover_plots, ground_curve, logarithmic_slope,
            surveyed,
        },
    },
    project::{CoverMeasure, CoverReading, Layer, PlotId, SCALES},
    units::Metres,
};

use crate::{
    erosion_checks::{number, table},
    support::{day, row},
};

fn grass(percent: f64) -> GroundCover {
    GroundCover { grass: percent / 100.0, weeds: 0.0 }
}

fn under(percent: f64, cover: f64, fall: f64) -> f64 {
    cover_factor(grass(percent), &[Canopy { cover, fall: Metres(fall) }])
}

fn plot(name: &str, percent: f64) -> PlotCover {
    PlotCover {
        plot: PlotId(name.into()),
        date: day("2026-05-12"),
        class_error: 0.0,
        ground: grass(percent),
        layers: Vec::new(),
        fall_guessed: false,
        rows: vec![row("cover.csv", 2)],
    }
}

pub(crate) fn found(id: &str) -> Option<f64> {
    if let Some(percent) = id.strip_prefix('C').and_then(|percent| percent.parse().ok()) {
        return Some(ground_curve(percent));
    }
    Some(match id {
        "CC1" => under(0.0, 0.75, 4.0),
        "CC2" => under(20.0, 0.5, 2.0),
        "CC3" => under(40.0, 0.75, 0.5),
        "CC4" => under(60.0, 0.75, 0.5),
        "CC5" => under(60.0, 0.5, 4.0),
        "CC6" => under(80.0, 0.75, 2.0),
        "CF1" => under(0.0, 1.0, 1.0) / under(0.0, 0.0, 1.0),
        "CJ" => surveyed(&[plot("P1", 40.0), plot("P2", 90.0)]).unwrap().value,
        "CS" => ground_curve(95.0) / 3.0 + 2.0 * ground_curve(50.0) / 3.0,
        "CL" => {
            let layers = [Canopy { cover: 0.4, fall: Metres(1.0) }, Canopy { cover: 0.5, fall: Metres(4.0) }];
            cover_factor(grass(50.0), &layers)
        }
        _ => return None,
    })
}

/// AH-537, table 10, all 120 cells, within 7 % or the rounding of the last printed digit; where the handbook as remembered and
/// its reprint part by a digit, one of the two.
#[test]
fn the_printed_table_comes_out_cell_by_cell() {
    let rows = table("cover-factor.csv");
    assert_eq!(rows.len(), 120);
    for row in rows {
        let percent = number(&row, "ground_percent") / 100.0;
        let ground = match row["ground_type"].as_str() {
            "G" => GroundCover { grass: percent, weeds: 0.0 },
            "W" => GroundCover { grass: 0.0, weeds: percent.max(1e-12) },
            other => panic!("{other}"),
        };
        let cover = number(&row, "canopy_percent") / 100.0;
        let layers = row["fall_height_m"].parse().map(|fall| Canopy { cover, fall: Metres(fall) });
        let found = cover_factor(ground, &layers.into_iter().collect::<Vec<_>>());
        let near = |column: &str| {
            let printed = number(&row, column);
            (found - printed).abs() <= (0.07 * printed).max(0.0006)
        };
        assert!(near("c_ah537") || near("c_reprint"), "{row:?}: {found}");
    }
}

/// The canopy factor on bare ground, by equation and as a published table derived from AH-537 prints it.
#[test]
fn canopy_on_bare_ground_comes_out() {
    for row in table("canopy-factor.csv") {
        let cover = number(&row, "canopy_percent") / 100.0;
        let found = under(0.0, cover, number(&row, "fall_height_m")) / ground_curve(0.0);
        assert!((found - number(&row, "factor_equation")).abs() < 6e-4, "{row:?}: {found}");
        assert!((found - number(&row, "factor_printed")).abs() < 0.025, "{row:?}: {found}");
    }
}

/// The slope of the logarithm is that of the curve, by differences.
#[test]
fn an_error_in_cover_is_an_error_in_c() {
    for percent in [5.0, 20.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0] {
        let by_difference =
            (libm::log(ground_curve(percent + 0.01)) - libm::log(ground_curve(percent - 0.01))) / 0.02;
        assert!((logarithmic_slope(percent) - by_difference).abs() < 1e-6, "{percent}");
    }
    assert!((logarithmic_slope(80.0) + 0.075).abs() < 0.001);
}

/// By hand: bare ground decides where it was read; the latest day counts; layers stand by their own days; a plot whose ground
/// was not read is left out.
#[test]
fn readings_become_the_cover_of_plots() {
    let reading =
        |date: &str, plot: &str, layer, cover: &str, percent: f64, height: Option<f64>| CoverReading {
            date: day(date),
            plot: PlotId(plot.into()),
            layer,
            cover: cover.to_owned(),
            measure: CoverMeasure::Percent(percent),
            height: height.map(Metres),
            note: None,
            source: row("cover.csv", 2),
        };
    let readings = [
        reading("2025-05-01", "P1", Layer::Ground, "bare", 70.0, None),
        reading("2026-05-01", "P1", Layer::Ground, "native grass", 60.0, None),
        reading("2026-05-01", "P1", Layer::Ground, "weed", 30.0, None),
        reading("2026-05-01", "P1", Layer::Ground, "bare", 20.0, None),
        reading("2026-04-01", "P1", Layer::Canopy, "native", 30.0, Some(2.0)),
        reading("2026-05-01", "P2", Layer::Canopy, "native", 30.0, None),
        reading("2026-05-01", "P3", Layer::Ground, "litter", 45.0, None),
        reading("2026-05-01", "P3", Layer::Canopy, "native", 10.0, None),
    ];
    let plots = cover_plots(&readings, day("2026-01-01")..=day("2026-06-30"), None);
    assert_eq!(plots.len(), 2);
    assert!((plots[0].ground.all() - 0.8).abs() < 1e-12 && (plots[0].ground.weeds - 0.8 / 3.0).abs() < 1e-12);
    assert_eq!(plots[0].layers, [Canopy { cover: 0.3, fall: Metres(2.0) }]);
    assert_eq!(plots[1].layers, [Canopy { cover: 0.1, fall: Metres(4.0) }]);
    assert_eq!((plots[0].fall_guessed, plots[1].fall_guessed), (false, true));
    let first = cover_plots(&readings, day("2025-01-01")..=day("2025-12-31"), None);
    assert!((first[0].ground.all() - 0.3).abs() < 1e-12);
    assert_eq!(surveyed(&[]), Err(Gap::NoCover));
}

/// By hand: two quadrats of one cover are one cover, their mean, not their sum; a class is taken at its midpoint, and its width of
/// 25 points goes into the error as that of a place anywhere in it, 25/√12.
#[test]
fn readings_of_one_cover_are_not_added_up() {
    let class = SCALES[0].classes().into_iter().find(|class| &*class.code == "3").unwrap();
    let reading = |measure| CoverReading {
        date: day("2026-05-01"),
        plot: PlotId("P1".into()),
        layer: Layer::Ground,
        cover: "litter".to_owned(),
        measure,
        height: None,
        note: None,
        source: row("cover.csv", 2),
    };
    let days = || day("2026-01-01")..=day("2026-06-30");
    let twice = [reading(CoverMeasure::Percent(60.0)), reading(CoverMeasure::Percent(40.0))];
    assert!((cover_plots(&twice, days(), None)[0].ground.all() - 0.5).abs() < 1e-12);
    let classed = cover_plots(&[reading(CoverMeasure::Class(class.into()))], days(), None);
    assert!((classed[0].ground.all() - 0.375).abs() < 1e-12);
    assert!((classed[0].class_error - 25.0 / 12.0_f64.sqrt()).abs() < 1e-12);
}

/// The error: two plots of 40 and 90 % have a mean known to 25 points; at 65 % that is |−0.0549| × 25 in ln C.
#[test]
fn the_spread_of_plots_is_the_error_of_c() {
    let both = surveyed(&[plot("P1", 40.0), plot("P2", 90.0)]).unwrap();
    assert!((both.sigma - logarithmic_slope(65.0).abs() * 25.0).abs() < 1e-12);
    let alike = surveyed(&[plot("P1", 50.0), plot("P2", 50.0)]).unwrap();
    assert_eq!(alike.sigma, 0.25, "no error is taken to be smaller");
    assert_eq!(surveyed(&[plot("P1", 90.0), plot("P2", 90.0)]).unwrap().sigma, 0.70);
    assert!(
        (surveyed(&[plot("P1", 50.0)]).unwrap().sigma - logarithmic_slope(50.0).abs() * 15.0).abs() < 1e-12
    );
}
