//! Methods of repeated surveys.

use crate::estimate::{
    interval::clustered::CORRELATION_OF_LOSSES,
    method::{Method, methods},
};

methods! {
    MEDIAN_DIAMETER {
        id: "diameter/median",
        title: "Median of measured diameters",
        equation: "as for the median of heights",
        assumptions: "Living trees of the latest round that measured diameters, 10 cm or 130 cm above the ground; a \
                      tree of several stems by √Σ d². Trees of one plot resemble each other",
        reference: "Woodruff (1952), Journal of the American Statistical Association 47:635-646",
    }

    SURVIVAL_CHANGE {
        id: "survival/paired-change",
        title: "Change of the share alive from one survey to the next, from plots that both visited",
        equation: format!(
            "d = Σ W d_h, d_h = Σ (alive now − alive then) / Σ set; limits of the share lost between the surveys as for survival with \
             ρ = {CORRELATION_OF_LOSSES}, turned about; where plots gained too, d − √((g − g₁)² + (l₂ − l)²) and d + √((g₂ − g)² + (l − l₁)²), \
             g and l the shares gained and lost with their limits"
        ),
        assumptions: "Plots of both surveys in which as many stems had been set. Two separate intervals that overlap say nothing of a \
                      change; the pairs do, because the same plots are compared. Missing stems count as dead",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., ch. 6 and 12; Korn & Graubard (1998), Survey Methodology 24:193-201; \
                    Zou & Donner (2008), Statistics in Medicine 27:1693-1702",
    }

    LIFETIME {
        id: "survival/product-limit",
        title: "Share of tagged stems that live past a number of days",
        equation: "S = Π (1 − d/n) over the surveys at which d of n stems were found to have died; limits as for survival \
                   in plots, of as many stems drawn singly as would have Greenwood's variance, v_J 2/ν of that at least, S² Σ d/(n (n − d)), v_J = S² k/(k − 1) Σ u² \
                   over k plots, u the sum over a plot's stems and surveys of (δ − y d/n)/(n − d)",
        assumptions: "Days from the survey in which a stem was first seen to the one at which it was found dead; it died somewhere \
                      before. Stems not found count as dead. Stems of one plot share their luck",
        reference: "Kaplan & Meier (1958), Journal of the American Statistical Association 53:457-481; Greenwood (1926); \
                    Williams (1995), Biometrics 51:1548; Korn & Graubard (1998), Survey Methodology 24:193-201",
    }

    AT_RISK {
        id: "survival/at-risk",
        title: "Tagged stems behind a share that live past a number of days",
        equation: "n: stems followed for so many days or more, alive before the survey on that day",
        assumptions: "A stem that was last seen alive on that day is among them, one that died or was lost sight of earlier is not",
        reference: "Kaplan & Meier (1958), Journal of the American Statistical Association 53:457-481",
    }

    PLOTS_NEEDED {
        id: "survey/plots-needed",
        title: "Plots that the next survey needs",
        equation: "the least n with (high − low)/2 ≤ 0.10 (of the share alive: ten points; of the density: a tenth of it), the limits those of the \
                   figure itself for n plots, with n₀/n times the variances and (n − H)/(n₀ − H) times the degrees of freedom of this survey's n₀ in H \
                   strata; no fewer than three in a stratum",
        assumptions: "The next plots differ as much as these did and are shared among the strata as these were",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., sections 4.4 and 4.6",
    }

    PRECISION {
        id: "survey/half-width",
        title: "Half the width of the interval of this survey",
        equation: "(high − low)/2 of the figure's own limits; for a density over the density itself",
        assumptions: "As for the figure that it speaks of",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., section 4.4",
    }
}
