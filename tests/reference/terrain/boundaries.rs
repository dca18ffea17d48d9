//! Boundaries cleaned up: what comes out is valid whatever is drawn, and a large one takes no time.

use geo::{LineString, MultiPolygon, Polygon, Validation as _};
use hillfolio_core::geometry::{Unclean, area, clean};
use proptest::{collection::vec, prop_assert, prop_assert_eq, proptest};

fn polygon(corners: &[(f64, f64)]) -> Polygon<f64> {
    Polygon::new(LineString::from(corners.to_vec()), vec![])
}

#[test]
fn a_boundary_of_a_hundred_thousand_corners_is_judged_at_once() {
    let corner = |at: u32| {
        let angle = f64::from(at) / 100_000.0 * std::f64::consts::TAU;
        let radius = 0.01 + 0.0001 * f64::from(at % 2);
        (148.0 + radius * libm::cos(angle), -36.0 + radius * libm::sin(angle))
    };
    let corners: Vec<(f64, f64)> = (0..100_000).map(corner).collect();
    let cleaned = clean(&MultiPolygon(vec![polygon(&corners)])).unwrap();
    assert_eq!(cleaned.repaired, None);
    assert_eq!(cleaned.shape.0[0].exterior().0.len(), 100_001);
}

/// Two thousand corners in no order cross some 600,000 times: they are refused before anything is repaired, and what a phone that lay still
/// makes of one spot is mended.
#[test]
fn corners_in_no_order_are_refused_and_a_knot_is_mended() {
    // A sequence that jumps about, without a generator: multiples of the golden section, by two.
    let jump = |at: u32, by: f64| (f64::from(at) * by).fract();
    let spot = |at: u32, wide: f64| {
        (148.0 + wide * jump(at, 0.618_033_988_7), -36.0 + wide * jump(at, 0.754_877_666_2))
    };
    let scrambled: Vec<(f64, f64)> = (0..2_000).map(|at| spot(at, 0.01)).collect();
    assert_eq!(clean(&MultiPolygon(vec![polygon(&scrambled)])), Err(Unclean::Scrambled));
    let mut walked: Vec<(f64, f64)> = (1..60).map(|at| spot(at, 0.000_02)).collect();
    walked.extend([(148.01, -36.0), (148.01, -35.99), (148.0, -35.99)]);
    let cleaned = clean(&MultiPolygon(vec![polygon(&walked)])).unwrap();
    assert!(cleaned.shape.is_valid() && cleaned.unclear.is_none());
}

/// Where half the ground is turned inside out nobody can tell what was meant.
#[test]
fn a_boundary_crossed_in_its_middle_is_unclear() {
    let bow = [(148.0, -36.0), (148.002, -35.999), (148.002, -36.0), (148.0, -35.999)];
    let [walked, loops] = clean(&MultiPolygon(vec![polygon(&bow)])).unwrap().unclear.unwrap();
    assert!(walked.0 < 0.001 && (loops.0 - 1.0).abs() < 0.01, "{walked:?} {loops:?}");
}

proptest! {
    /// Whatever is drawn, what comes out is valid, and cleaning it again changes nothing.
    #[test]
    fn scribbles_become_valid(
        corners in vec((148.0f64..148.01, -36.0f64..-35.99), 3..24),
        more in vec((148.0f64..148.01, -36.0f64..-35.99), 3..6),
    ) {
        let one = MultiPolygon(vec![polygon(&corners)]);
        let both = MultiPolygon(vec![polygon(&corners), polygon(&more)]);
        for drawn in [one, both] {
            if let Ok(once) = clean(&drawn) {
                prop_assert!(once.shape.is_valid());
                prop_assert_eq!(&clean(&drawn).unwrap(), &once, "to the last bit");
                let twice = clean(&once.shape).unwrap();
                prop_assert_eq!(twice.repaired, None);
                prop_assert!((area(&twice.shape).0 - area(&once.shape).0).abs() < 1e-6);
            }
        }
    }
}
