//! Which neighbours a knot must look at so that a square net can weigh two directions differently.

/// A symmetric 2 × 2 matrix: xx, xy, yy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tensor {
    pub(crate) xx: f64,
    pub(crate) xy: f64,
    pub(crate) yy: f64,
}

pub(crate) type Step = (i32, i32);

/// `tensor` = Σ ρ v vᵀ with three whole-numbered steps v and weights ρ that are never negative.
///
/// # Method
/// Selling's algorithm: a superbase (three steps that add up to nothing) is made obtuse in the tensor's own measure.
///
/// # Reference
/// Selling (1874), *Ueber die binären und ternären quadratischen Formen*, J. reine angew. Math. 77:143-229; Fehrenbach and
/// Mirebeau (2014), *Sparse non-negative stencils for anisotropic diffusion*, J. Math. Imaging Vis. 49:123-147.
pub(crate) fn stencil(tensor: Tensor) -> [(Step, f64); 3] {
    let product = |a: Step, b: Step| {
        let [ax, ay, bx, by] = [a.0, a.1, b.0, b.1].map(f64::from);
        ax * bx * tensor.xx + (ax * by + ay * bx) * tensor.xy + ay * by * tensor.yy
    };
    let mut base: [Step; 3] = [(1, 0), (0, 1), (-1, -1)];
    // A tensor 100 times as strong one way as the other is obtuse within a handful of rounds.
    for _ in 0..32 {
        let sharp = [(0, 1), (1, 2), (2, 0)].into_iter().find(|&(i, j)| product(base[i], base[j]) > 0.0);
        let Some((i, j)) = sharp else { break };
        let (a, b) = (base[i], base[j]);
        base = [(-a.0, -a.1), b, (a.0 - b.0, a.1 - b.1)];
    }
    let part = |i: usize| {
        let (j, k) = ((i + 1) % 3, (i + 2) % 3);
        ((-base[i].1, base[i].0), (-product(base[j], base[k])).max(0.0))
    };
    [part(0), part(1), part(2)]
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn the_parts_add_up_to_the_tensor(turn in 0.0f64..3.2, strong in 1.0f64..100.0) {
            let (sin, cos) = libm::sincos(turn);
            let tensor = Tensor {
                xx: cos * cos + strong * sin * sin,
                xy: (1.0 - strong) * sin * cos,
                yy: sin * sin + strong * cos * cos,
            };
            let parts = stencil(tensor);
            let sum = |of: fn(f64, f64) -> f64| -> f64 {
                parts.iter().map(|((x, y), weight)| weight * of(f64::from(*x), f64::from(*y))).sum()
            };
            proptest::prop_assert!((sum(|x, _| x * x) - tensor.xx).abs() < 1e-9 * strong);
            proptest::prop_assert!((sum(|x, y| x * y) - tensor.xy).abs() < 1e-9 * strong);
            proptest::prop_assert!((sum(|_, y| y * y) - tensor.yy).abs() < 1e-9 * strong);
        }
    }
}
