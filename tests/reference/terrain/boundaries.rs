//! Boundaries cleaned up: what comes out is valid whatever is drawn, and a large one takes no time.

use geo::{LineString, MultiPolygon, Polygon, Validation as _};
use hillfolio_core::geometry::{area, clean};
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
            if let Some(once) = clean(&drawn) {
                prop_assert!(once.shape.is_valid());
                prop_assert_eq!(&clean(&drawn).unwrap(), &once, "to the last bit");
                let twice = clean(&once.shape).unwrap();
                prop_assert_eq!(twice.repaired, None);
                prop_assert!((area(&twice.shape).0 - area(&once.shape).0).abs() < 1e-6);
            }
        }
    }
}
