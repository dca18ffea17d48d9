//! The equations themselves, each with its source.
//!
//! # What was read and what is remembered
//! The coefficients of Paul et al. (2016, 2019) and Chave et al. (2014) were read in public code that cites the papers; those of
//! Brown (1997) and Jenkins et al. (2003) stand partly as remembered. Equations named `refit` were fitted, for want of a
//! published one, to the harvested plants of the Australian Tree Biomass Library, version 4 (TERN, doi 10.25901/5b95acd389f07).

use crate::{
    estimate::carbon::equation::{Equation, Shape},
    project::DiameterAt::{Base, Breast},
};

/// Shared error of the groups of Paul et al. (2016) within their range: their error on whole harvested plots.
pub(crate) const PAUL: f64 = 0.13;

/// Shared error of refitted equations, converted diameters and diameters beyond an equation's range (judgement).
pub(crate) const LOOSE: f64 = 0.25;

/// Shared error of Chave et al. (2014): 0.15 where its trees stood, 0.40 in Australia, where it overshot harvested trees by 45 %
/// (judgement from that test).
pub(crate) const CHAVE: f64 = 0.40;

/// Shrubs and shrub-like wattles: Paul et al. (2016), *Global Change Biology* 22:2106-2124.
pub(crate) const SHRUB: Equation =
    equation("shrub_d10", Shape::Power(-3.007, 2.428), 1.128, (0.25, 33.2), 0.491);
/// Trees of many stems, wattles and mallees: Paul et al. (2016).
pub(crate) const MANY_STEMMED: Equation =
    equation("multi_d10", Shape::Power(-2.757, 2.474), 1.079, (0.46, 55.1), 0.390);
/// Eucalypts: Paul et al. (2016).
pub(crate) const EUCALYPT: Equation =
    breast(equation("euc_d130", Shape::Power(-2.016, 2.375), 1.067, (0.5, 169.0), 0.360));
/// Other trees with dense wood: Paul et al. (2016).
pub(crate) const DENSE: Equation =
    breast(equation("other_high_d130", Shape::Power(-1.693, 2.220), 1.044, (0.9, 102.0), 0.293));
/// Other trees with light wood: Paul et al. (2016).
pub(crate) const LIGHT: Equation =
    breast(equation("other_low_d130", Shape::Power(-2.573, 2.460), 1.018, (10.0, 49.3), 0.189));
/// Any plant measured at breast height, the last resort: fitted to the library.
pub(crate) const ANY_BREAST: Equation = loose(breast(equation(
    "universal_d130_refit",
    Shape::Power(-1.8113, 2.2874),
    1.0785,
    (0.2, 169.0),
    0.389,
)));
/// Any plant measured at the base, the last resort: fitted to the library.
pub(crate) const ANY_BASE: Equation =
    loose(equation("universal_d10_refit", Shape::Power(-2.9476, 2.4920), 1.1129, (0.25, 150.8), 0.463));
/// Eucalypt saplings too low for a breast-high diameter: fitted to the library.
pub(crate) const EUCALYPT_SAPLING: Equation =
    loose(equation("euc_d10_refit", Shape::Power(-3.3534, 2.5661), 1.1131, (0.94, 150.8), 0.463));
/// Saplings of other trees too low for a breast-high diameter: fitted to the library.
pub(crate) const OTHER_SAPLING: Equation =
    loose(equation("other_high_d10_refit", Shape::Power(-3.1411, 2.5511), 1.0418, (1.6, 44.2), 0.286));

/// Equations that a species table may ask for by name, beside those above.
pub const NAMED: [Equation; 17] = [
    // Eucalypt seedlings of 0.2 to 3 m of which only the height is known: fitted to the library.
    Equation {
        bias: 0.60,
        ..equation("euc_height_refit", Shape::Height(-1.624, 2.568), 1.168, (0.0, 1e9), 0.558)
    },
    // Chave et al. (2014), Global Change Biology 20:3177-3190, equations 4 and 7; both hold their correction.
    far(equation("chave2014_eq4", Shape::Density(0.0673, 0.976), 1.0, (5.0, 212.0), 0.357)),
    far(equation("chave2014_eq7", Shape::Stress, 1.0, (5.0, 212.0), 0.413)),
    // Williams et al. (2005), Australian Journal of Botany 53:607-619.
    breast(equation("williams2005", Shape::PowerHeight(-2.0596, 2.1561, 0.1362), 1.0, (2.8, 86.0), 0.234)),
    // Brown (1997), FAO Forestry Paper 134.
    far(equation("brown1997_moist_exp", Shape::Power(-2.134, 2.530), 1.0, (5.0, 148.0), 0.4)),
    far(equation("brown1997_moist_quad", Shape::Quadratic(42.69, -12.800, 1.242), 1.0, (5.0, 148.0), 0.4)),
    far(equation("brown1997_dry", Shape::Power(-1.996, 2.32), 1.0, (5.0, 40.0), 0.4)),
    far(equation("brown1997_wet", Shape::Quadratic(21.297, -6.953, 0.740), 1.0, (4.0, 112.0), 0.4)),
    // Jenkins et al. (2003), Forest Science 49:12-35, table 4; diameters at 137 cm.
    far(equation(
        "jenkins2003_aspen_alder_cottonwood_willow",
        Shape::Power(-2.2094, 2.3867),
        1.0,
        (2.5, 70.0),
        0.507,
    )),
    far(equation("jenkins2003_soft_maple_birch", Shape::Power(-1.9123, 2.3651), 1.0, (2.5, 66.0), 0.492)),
    far(equation("jenkins2003_mixed_hardwood", Shape::Power(-2.4800, 2.4835), 1.0, (2.5, 56.0), 0.360)),
    far(equation(
        "jenkins2003_hard_maple_oak_hickory_beech",
        Shape::Power(-2.0127, 2.4342),
        1.0,
        (2.5, 73.0),
        0.236,
    )),
    far(equation("jenkins2003_cedar_larch", Shape::Power(-2.0336, 2.2592), 1.0, (2.5, 250.0), 0.295)),
    far(equation("jenkins2003_douglas_fir", Shape::Power(-2.2304, 2.4435), 1.0, (2.5, 210.0), 0.219)),
    far(equation("jenkins2003_true_fir_hemlock", Shape::Power(-2.5384, 2.4814), 1.0, (2.5, 230.0), 0.182)),
    far(equation("jenkins2003_pine", Shape::Power(-2.5356, 2.4349), 1.0, (2.5, 180.0), 0.254)),
    far(equation("jenkins2003_spruce", Shape::Power(-2.0773, 2.3323), 1.0, (2.5, 250.0), 0.250)),
];

/// Roots of shrubs and wattles: Paul et al. (2019), *Forest Ecology and Management* 432:102-114.
pub(crate) const ROOT_SHRUB: Equation =
    equation("root_shrub_acacia", Shape::Power(-3.553, 2.185), 1.160, (0.6, 98.4), 0.545);
/// Roots of mallees: Paul et al. (2019).
pub(crate) const ROOT_MALLEE: Equation =
    equation("root_mallee", Shape::Power(-2.946, 2.302), 1.116, (1.0, 81.1), 0.468);
/// Roots of trees with one stem: Paul et al. (2019).
pub(crate) const ROOT_TREE: Equation =
    breast(equation("root_tree", Shape::Power(-2.682, 2.212), 1.096, (1.2, 138.8), 0.428));
/// Roots of *Pinus radiata*: Paul et al. (2019).
pub(crate) const ROOT_RADIATA: Equation =
    breast(equation("root_radiata", Shape::Power(-3.740, 2.299), 1.053, (1.4, 41.4), 0.321));

/// The equation of this name.
#[must_use]
pub fn named(id: &str) -> Option<&'static Equation> {
    const GROUPS: [Equation; 9] =
        [SHRUB, MANY_STEMMED, EUCALYPT, DENSE, LIGHT, ANY_BREAST, ANY_BASE, EUCALYPT_SAPLING, OTHER_SAPLING];
    static ALL: [Equation; 9] = GROUPS;
    static OTHERS: [Equation; 17] = NAMED;
    ALL.iter().chain(&OTHERS).find(|equation| equation.id == id)
}

const fn equation(
    id: &'static str,
    shape: Shape,
    correction: f64,
    range: (f64, f64),
    sigma: f64,
) -> Equation {
    Equation { id, shape, correction, at: Base, range, sigma, bias: PAUL }
}

const fn breast(equation: Equation) -> Equation {
    Equation { at: Breast, ..equation }
}

const fn loose(equation: Equation) -> Equation {
    Equation { bias: LOOSE, ..equation }
}

/// An equation made elsewhere: breast-high diameters, and no harvest at home to hold it to.
const fn far(equation: Equation) -> Equation {
    Equation { at: Breast, bias: CHAVE, ..equation }
}
