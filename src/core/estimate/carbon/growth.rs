//! How a stand grows: the curve by which a measured stock is carried forward.

/// A growth curve: A(a) = M exp(−k/a), k = 2 G − 1.25.
///
/// # Reference
/// Richards and Brack (2004), *Australian Forestry* 67:60-66; Waterworth et al. (2007), *Forest Ecology and Management* 238:231-243.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Age of fastest growth G, years.
    pub fastest: f64,
}

impl Growth {
    fn k(self) -> f64 {
        2.0 * self.fastest - 1.25
    }

    /// Dry mass at an `age` in years of a stand that comes to hold `most`.
    #[must_use]
    pub fn mass(self, most: f64, age: f64) -> f64 {
        most * libm::exp(-self.k() / age)
    }

    /// Dry mass at the age `then` of a stand that was measured to hold `mass` at the age `now`: the curve through that point.
    #[must_use]
    pub fn carried(self, mass: f64, now: f64, then: f64) -> f64 {
        mass * libm::exp(self.k() / now - self.k() / then)
    }
}

/// The most that a site comes to hold above the ground, t/ha, by its long-term mean forest productivity index: (6.011 √P − 5.291)².
///
/// # Reference
/// Roxburgh et al. (2019), *Forest Ecology and Management* 432:264-275, equation 1.
#[must_use]
pub fn most_of_site(productivity: f64) -> f64 {
    let root = 6.011 * productivity.sqrt() - 5.291;
    root * root
}
