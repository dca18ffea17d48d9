//! A, its ratio and its limits: the worked chain, and Monte Carlo against exact limits.

use hillfolio_core::{
    estimate::{
        Gap, Method,
        erosion::{
            AreaFactors, Canopy, Factor, GroundCover, Rating, Rill, Steepness, before, closed_canopy,
            cover_factor, joint_kept, joint_loss, joint_ratio, kept, ls_table, rating, ratio, soil_loss,
            twin_plots,
        },
        interval::quantile,
    },
    project::CoverBefore,
    source::Sources,
    units::{
        Degrees, ERODIBILITY_FROM_US, EROSIVITY_FROM_US, Erodibility, Erosivity, Hectares, Metres, Share,
        SoilLoss,
    },
};
use proptest::prelude::*;

fn factor<Q: hillfolio_core::estimate::Quantity>(value: Q, sigma: f64) -> Factor<Q> {
    Factor::new(value, sigma, Method::COVER_FACTOR, Sources::default())
}

fn cover(percent: f64, canopy: f64) -> f64 {
    let ground = GroundCover { grass: percent / 100.0, weeds: 0.0 };
    cover_factor(ground, &[Canopy { cover: canopy, fall: Metres(2.0) }])
}

fn ls() -> f64 {
    ls_table(Degrees(18.0), Metres(60.0), Rill::Low, Steepness::Nearing)
}

fn loss(c: f64) -> f64 {
    chain(4200.0, 0.040, ls(), c).value.0
}

fn chain(r: f64, k: f64, ls: f64, c: f64) -> hillfolio_core::estimate::Estimate<SoilLoss> {
    let (r, k) = (factor(Erosivity(r), 0.35), factor(Erodibility(k), 0.30));
    soil_loss(&r, &k, &factor(ls, 0.30), &factor(c, 0.40), 0.90)
}

pub(crate) fn found(id: &str) -> Option<f64> {
    let us = |c| chain(200.0 * EROSIVITY_FROM_US, 0.37 * ERODIBILITY_FROM_US, 1.08, c).value.0;
    Some(match id {
        "A1" => us(0.49 * 0.25) / (EROSIVITY_FROM_US * ERODIBILITY_FROM_US),
        "A2" => us(0.49 * 0.25),
        "A3" => ls(),
        "A4" => cover(55.0, 0.0),
        "A5" => cover(80.0, 0.3),
        "A6" => loss(cover(55.0, 0.0)),
        "A7" => loss(cover(80.0, 0.3)),
        "A8" => loss(closed_canopy().value),
        "A9" => {
            ratio(&factor(cover(55.0, 0.0), 0.3), &factor(cover(80.0, 0.3), 0.3), 0.5, 0.9).unwrap().value
        }
        "U1" => {
            let found = chain(4200.0, 0.040, ls(), 0.05);
            libm::log(found.interval.unwrap().high.0 / found.value.0) / quantile::normal(0.95)
        }
        "U2" => chain(4200.0, 0.040, ls(), cover(55.0, 0.0)).interval.unwrap().high.0,
        "U3" => chain(4200.0, 0.040, ls(), cover(55.0, 0.0)).interval.unwrap().low.0,
        "U4" => twin_plots(SoilLoss(200.0)),
        _ => return None,
    })
}

/// The notes: what the spread comes from, largest first; what is beyond belief; what is too small to say.
#[test]
fn a_figure_says_where_its_spread_comes_from() {
    let found = chain(4200.0, 0.040, ls(), cover(55.0, 0.0));
    let drivers = found.notes.iter().find(|note| note.starts_with("the spread comes from")).unwrap();
    // 0.16, 0.1225, 0.09 and 0.09 of 0.4625.
    let said = drivers.replace('\u{a0}', " ");
    assert_eq!(said, "the spread comes from cover 35 %, erosivity 26 %, erodibility 19 %, slope 19 %");
    assert!(chain(9000.0, 0.05, 12.0, 0.2).notes.iter().any(|note| note.contains("far above")));
    assert!(chain(1000.0, 0.02, 1.0, 0.003).notes.iter().any(|note| note.contains("under 1")));
    assert_eq!(rating(SoilLoss(6.0)), Rating::Low);
    assert_eq!(rating(SoilLoss(33.0)), Rating::Severe);
}

/// Exact limits of a product and of a ratio of log-normals; ten thousand draws must come within 3 % of them.
#[test]
fn monte_carlo_agrees_with_exact_limits() {
    let (r, k) = (factor(Erosivity(4200.0), 0.35), factor(Erodibility(0.04), 0.30));
    let (ls, c_before, c_now) = (factor(ls(), 0.30), factor(0.0543, 0.40), factor(0.0121, 0.30));
    let area = AreaFactors { plan: Hectares(3.0), ls: &ls, before: &c_before, now: &c_now };
    let near = |found: f64, exact: f64| assert!((found / exact - 1.0).abs() < 0.03, "{found} {exact}");

    let exact = soil_loss(&r, &k, &ls, &c_now, 0.90);
    let drawn = joint_loss(&r, &k, &[area], 0.90).unwrap();
    assert!((drawn.value.0 / exact.value.0 - 1.0).abs() < 1e-12);
    near(drawn.interval.unwrap().low.0, exact.interval.unwrap().low.0);
    near(drawn.interval.unwrap().high.0, exact.interval.unwrap().high.0);

    let exact = ratio(&c_before, &c_now, 0.5, 0.90).unwrap();
    let drawn = joint_ratio(&[area], 0.5, 0.90).unwrap();
    near(drawn.interval.unwrap().low, exact.interval.unwrap().low);
    near(drawn.interval.unwrap().high, exact.interval.unwrap().high);

    let one = kept(&r, &k, area, 0.5, 0.90).unwrap();
    assert!((one.value.0 - 3.0 * 4200.0 * 0.04 * ls.value * (0.0543 - 0.0121)).abs() < 1e-9);
    assert_eq!(one, joint_kept(&r, &k, &[area], 0.5, 0.90).unwrap(), "the same draws every time");
    let both = joint_kept(&r, &k, &[area, area], 0.5, 0.90).unwrap();
    assert!((both.value.0 - 2.0 * one.value.0).abs() < 1e-9);
    let width = |estimate: &hillfolio_core::estimate::Estimate<hillfolio_core::units::TonnesPerYear>| {
        estimate.interval.map(|ends| (ends.high.0 - ends.low.0) / estimate.value.0).unwrap()
    };
    assert!(width(&both) < width(&one), "the areas' own errors even out, those of rain and soil don't");
}

/// What all areas err alike doesn't even out: two areas with the same factors are one area twice the size, whose limits are exact.
#[test]
fn an_error_that_areas_share_does_not_even_out() {
    let ls = factor(ls(), 0.30);
    let (before, now) = (factor(0.0543, 0.60), factor(0.0061, 0.70));
    let width = |before: &Factor<f64>, now: &Factor<f64>| {
        let area = AreaFactors { plan: Hectares(3.0), ls: &ls, before, now };
        let ends = joint_ratio(&[area, area, area], 0.0, 0.90).unwrap().interval.unwrap();
        libm::log(ends.high / ends.low)
    };
    let exact = ratio(&before, &now, 0.0, 0.90).unwrap().interval.unwrap();
    let exact = libm::log(exact.high / exact.low);
    let shared = width(&before.clone().in_common(0.60), &now.clone().in_common(0.70));
    assert!((shared / exact - 1.0).abs() < 0.03, "{shared} {exact}");
    // Errors of each area's own even out by more than a third over three areas (1/√3, less what skew brings).
    assert!(width(&before, &now) < 0.67 * exact, "{} {exact}", width(&before, &now));
    let partly = width(&before.in_common(0.30), &now.in_common(0.50));
    assert!(partly < exact && partly > 0.67 * exact, "{partly} {exact}");
}

#[test]
fn covers_before_and_at_closed_canopy_have_their_errors() {
    let share = |part| Share::new(part).unwrap();
    let grazed =
        before(&CoverBefore { ground: share(0.55), canopy: share(0.0), source: None }, &Sources::default());
    assert!((grazed.value - 0.0543166).abs() < 1e-6);
    // 15 points at 55 % along the curve.
    assert!((grazed.sigma - 15.0 * 0.0452).abs() < 0.001, "{}", grazed.sigma);
    let closed = closed_canopy();
    // Handbook 537, table 11: 0.0001 to 0.004 at the widest.
    let ends = closed.estimate(0.90, |value| value).interval.unwrap();
    assert!((ends.low - 0.0001).abs() < 1e-6 && ends.high >= 0.004);
    assert_eq!(ratio(&factor(0.0, 0.3), &grazed, 0.0, 0.9), Err(Gap::NothingToDivideBy("soil loss before")));
    let worse = ratio(&factor(0.01, 0.3), &factor(0.02, 0.3), 0.5, 0.9).unwrap();
    assert!(worse.notes.iter().any(|note| note.contains("less than before")));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// The ratio does not depend on rain, soil or slope: the identity that makes it the figure to print first.
    #[test]
    fn the_ratio_is_that_of_the_covers(
        r in 300.0..20_000.0f64, k in 0.005..0.07f64, ls in 0.1..40.0f64, b in 0.001..0.45f64, n in 0.001..0.45f64,
    ) {
        let whole = chain(r, k, ls, n).value.0 / chain(r, k, ls, b).value.0;
        let direct = ratio(&factor(b, 0.3), &factor(n, 0.3), 0.5, 0.9).unwrap();
        prop_assert!((whole / direct.value - 1.0).abs() < 1e-12);
        let ends = direct.interval.unwrap();
        prop_assert!(ends.low <= direct.value && direct.value <= ends.high);
    }

    /// More cover never means more loss.
    #[test]
    fn more_cover_is_less_loss(g in 0.0..99.0f64, more in 0.0..1.0f64, canopy in 0.0..1.0f64) {
        prop_assert!(cover(g + more, canopy) <= cover(g, canopy) * (1.0 + 1e-12));
        prop_assert!(cover(g, canopy) <= cover(g, 0.0) * (1.0 + 1e-12));
    }
}
