//! Methods of carbon.

use crate::{
    estimate::{
        carbon::{
            Equation, Shape,
            biomass::SLIGHT,
            published::{
                CHAVE, DENSE, EUCALYPT, LIGHT, LOOSE, MANY_STEMMED, PAUL, ROOT_MALLEE, ROOT_SHRUB, ROOT_TREE,
                SHRUB,
            },
            roots::{ROOT_ERROR, SHRUB_RATIO, TREE_RATIO},
            uncertainty::DRAWS,
        },
        method::{Method, methods},
    },
    project::CARBON_FRACTION,
    units::{number, whole},
};

/// a, b and c of kg = c exp(a + b ln D), as printed.
fn coefficients(equation: &Equation) -> String {
    let Shape::Power(a, b) = equation.shape else { return String::new() };
    [a, b, equation.correction].map(|value| number(value, 3)).join(", ")
}

methods! {
    CARBON_ABOVE {
        id: "carbon/above-ground",
        title: "Carbon of living wood above the ground, from measured diameters",
        equation: format!(
            "kg = c exp(a + b ln D) by the group of the plant, D at 10 cm or 130 cm, √Σ d² of several stems; plot Σ kg; area Σ kg / \
             Σ plan area of plots; × {CARBON_FRACTION}. a, b, c: shrubs {}; many stems {}; eucalypts {}; other dense woods {}; light \
             woods {}",
            coefficients(&SHRUB),
            coefficients(&MANY_STEMMED),
            coefficients(&EUCALYPT),
            coefficients(&DENSE),
            coefficients(&LIGHT)
        ),
        assumptions: format!(
            "The latest round that measured diameters. Planted stems that were counted and not measured take the \
             mean of their species in the plot, else in all plots. Plants under {SLIGHT} cm at the base, and seedlings with a height \
             alone, carry nothing. Limits join sampling, the lean of the equations ({} % within their sizes, {} % beyond and where a \
             diameter was converted, {} % for equations made elsewhere; judgements) and the scatter of single plants",
            number(100.0 * PAUL, 0),
            number(100.0 * LOOSE, 0),
            number(100.0 * CHAVE, 0)
        ),
        reference: "Paul et al. (2016), Global Change Biology 22:2106-2124; Chave et al. (2014), Global Change Biology \
                    20:3177-3190; IPCC (2006), Guidelines, volume 4, table 4.3; Cochran (1977), Sampling Techniques, 3rd ed.",
    }

    CARBON_BELOW {
        id: "carbon/below-ground",
        title: "Carbon of living roots",
        equation: format!(
            "kg = c exp(a + b ln D) plant by plant: shrubs and wattles {}; mallees {}; other trees {}; else a ratio of roots to what \
             stands above the ground; × {CARBON_FRACTION}",
            coefficients(&ROOT_SHRUB),
            coefficients(&ROOT_MALLEE),
            coefficients(&ROOT_TREE)
        ),
        assumptions: format!(
            "Saplings and wattles measured at breast height alone take the ratio of excavated plants, {TREE_RATIO:.2} and \
             {SHRUB_RATIO:.2}. The roots' own error is taken as {} %, half the spread of ratios within a class of the IPCC's table",
            number(100.0 * ROOT_ERROR, 0)
        ),
        reference: "Paul et al. (2019), Forest Ecology and Management 432:102-114; IPCC (2006), Guidelines, volume 4, table 4.4; \
                    Cairns et al. (1997), Oecologia 111:1-11; Mokany et al. (2006), Global Change Biology 12:84-96",
    }

    CARBON_STOCK {
        id: "carbon/stock",
        title: "Carbon of living wood and roots as carbon dioxide",
        equation: format!(
            "(above + below) × plan hectares of the areas with plots × 44/12; limits by {} draws with a fixed seed of sampling \
             (log-normal with Student's t), equations (log-normal), roots, carbon fraction (0.44 to 0.49) and boundary (2 %)",
            whole(DRAWS.into())
        ),
        assumptions: "An estimate for reporting: not a credit, not an offset, not verified by any scheme. Soil, litter, dead \
                      wood and grass are not in it. It can be lost again",
        reference: "IPCC (2006), Guidelines, volume 1, chapter 3, and volume 4, chapter 4",
    }

    CARBON_CAUTIOUS {
        id: "carbon/cautious",
        title: "Carbon stock less a part of its interval, the more the wider that is",
        equation: "stock − part × half-width of the 90 % interval by sampling; part 0 to ±10 %, 25 % to ±15 %, 50 % to ±20 %, 75 % \
                   to ±30 %, 100 % beyond",
        assumptions: "To stand beside the stock, never instead of it. The table stands as remembered",
        reference: "CDM Executive Board, A/R methodological tool 14, version 4.2, appendix",
    }

    CARBON_CHANGE {
        id: "carbon/change",
        title: "Gain of carbon stock between two surveys, from plots that both measured",
        equation: "Σ (mass of now − mass of then) / Σ plan area over the plots of both, as for the stock; limits as for the stock",
        assumptions: "The same equations lean the same way in both surveys, so their error is that of the gain. A gain of the \
                      stock is not the gain that the project caused",
        reference: "IPCC (2006), Guidelines, volume 4, chapter 2 (stock-difference method)",
    }

    CARBON_PROJECTION {
        id: "carbon/projection",
        title: "Carbon stock carried forward by a curve of growth: a projection, not a measurement",
        equation: "C(then) = C(now) exp(k/a_now − k/a_then), k = 2 G − 1.25, a the age in years, G the age of fastest growth, no \
                   more than the most that the site holds; band over the interval of now and the least and greatest G",
        assumptions: "Ages from the planting log, weighted by stems. Survival, species and climate stay as they are; no fire, \
                      drought or clearing. G and the most are the folder's. The band is not a confidence interval",
        reference: "Richards & Brack (2004), Australian Forestry 67:60-66; Waterworth et al. (2007), Forest Ecology and \
                    Management 238:231-243; Roxburgh et al. (2019), Forest Ecology and Management 432:264-275",
    }
}
