//! Methods of the plot survey.

use crate::estimate::{
    density::SMALL_SAMPLE,
    method::{Method, methods},
    survival::DESIGN_EFFECT,
};
use crate::units::number;

methods! {
    SURVIVAL_RATIO {
        id: "survival/stratified-ratio",
        title: "Share of planted stems alive, from plots, weighted by the planting log",
        equation: "p = Σ W p_h, p_h = Σ alive / Σ set over the plots of stratum h, W = stems planted in h / stems planted; \
                   v = Σ W² (1 − f) / (n m̄²) · Σ(a − p_h m)² / (n − 1), f = stems set in the plots / stems planted; \
                   limits 1/(1 + exp(−(L ± t s))), L = ln(p/(1 − p)), s = √v / (p(1 − p)), \
                   t at (Σ g)² / Σ g²/(n − 1) degrees of freedom, g = W² v_h",
        assumptions: "The latest round of survey up to the period's end: days with no more than a month between them, of a species that was counted twice the later count. The plot is the unit, since stems of one plot \
                      share their luck. Missing stems count as dead, self-sown stems not at all. A stratum with one plot \
                      is given the pooled spread of the others",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., ch. 5 and 6; Korn & Graubard (1998), Survey Methodology \
                    24:193-201; Satterthwaite (1946), Biometrics Bulletin 2:110-114",
    }

    SURVIVAL_EFFECTIVE {
        id: "survival/effective-sample",
        title: "Share of planted stems alive, where all plots agree and show no spread",
        equation: format!(
            "p as in the stratified ratio; limits B(α/2; x, n* − x + 1) and B(1 − α/2; x + 1, n* − x), n* = Σ set / {DESIGN_EFFECT}, \
             x = p n*, B the quantile of the beta distribution"
        ),
        assumptions: format!(
            "A design effect of {DESIGN_EFFECT}: clustering in plots costs two thirds of the stems' worth as a sample. The \
             {DESIGN_EFFECT} is a cautious choice of this program, not a measurement"
        ),
        reference: "Clopper & Pearson (1934), Biometrika 26:404-413; Korn & Graubard (1998), Survey Methodology 24:193-201",
    }

    SURVIVAL_ONE_PLOT {
        id: "survival/one-plot",
        title: "Share of planted stems alive in a single plot",
        equation: "p = alive / set; limits (p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n)",
        assumptions: "The interval speaks of chance among the stems of this plot; one plot can't show how plots differ, \
                      so a target judged by it is never more than likely met or likely short",
        reference: "Wilson (1927), Journal of the American Statistical Association 22:209-212; Newcombe (1998), Statistics \
                    in Medicine 17:857-872",
    }

    SURVIVAL_CENSUS {
        id: "survival/census",
        title: "Share of planted stems alive, all of them counted",
        equation: "p = Σ alive / Σ set",
        assumptions: "The plots hold every stem of the planting log, so nothing was sampled and no interval is needed",
        reference: "",
    }

    DENSITY {
        id: "density/ratio",
        title: "Stems on a plan hectare, from plots",
        equation: format!(
            "D = Σ stems / Σ plan area of plots, by area; all areas Σ H D / Σ H, H plan hectares; v as for survival with plan areas in \
             place of stems set, f = plot area / area, 0 under {} %; D ± t √v",
            number(100.0 * SMALL_SAMPLE, 0)
        ),
        assumptions: "The latest round of survey up to the period's end: days with no more than a month between them, of a species that was counted twice the later count. A plot taped along a slope of θ is reduced by \
                      cos θ. Areas without plots are left out",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., section 3.12 and ch. 6",
    }

    DENSITY_CENSUS {
        id: "density/census",
        title: "Stems on a plan hectare, all of them counted",
        equation: "D = Σ stems / Σ plan area of plots",
        assumptions: "The plots cover all the ground, to within a fiftieth, so nothing was sampled and no interval is needed",
        reference: "",
    }

    DENSITY_POISSON {
        id: "density/poisson",
        title: "Stems on a plan hectare, where all plots agree and show no spread",
        equation: "D as in the ratio; limits G(α/2; x) / A and G(1 − α/2; x + 1) / A, x stems on the A plan hectares of the \
                   plots, G the quantile of the gamma distribution",
        assumptions: "Stems stand at random",
        reference: "Garwood (1936), Biometrika 28:437-442",
    }

    COVER {
        id: "cover/mean-of-plots",
        title: "Share of the ground covered, from plots",
        equation: "mean of the plots' readings, by area; Σ hits / Σ points where all were read by points, Σ intercepts / Σ lines where \
                   all were read along lines; all areas Σ H c / Σ H, H plan hectares; c ± t √v, v as for survival",
        assumptions: "The latest round of survey that read the layer. The plot is the unit, not the point. A plot \
                      without a row for a cover has none of it where its layer was read and the sheets write no noughts for that \
                      layer; else it is left out",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., ch. 6; Canfield (1941), Journal of Forestry 39:388-394; Interagency \
                    Technical Reference 1734-4 (1999), Sampling Vegetation Attributes",
    }

    COVER_CLASSES {
        id: "cover/classes",
        title: "Share of the ground covered, from plots read in classes",
        equation: "as the mean of plots, each class at its midpoint; lower limit as of the mean with every class at its lower edge, upper \
                   limit as of the mean with every class at its upper edge",
        assumptions: "As for cover read in per cent. Where in its class a cover lies is not known, and readers may lean the same way, so \
                      the width of the classes is added whole and does not average out over plots",
        reference: "Daubenmire (1959), Northwest Science 33:43-64 (midpoints); Manski (2003), Partial Identification of Probability \
                    Distributions, ch. 1 (limits from what is only known to lie between two ends)",
    }

    TREND {
        id: "survey/line-through-two",
        title: "What is to be expected if things go on as between the last two surveys",
        equation: "v₂ + k (v₂ − v₁), k = (by − t₂)/(t₂ − t₁); lower end √(((1 + k)(v₂ − l₂))² + (k (u₁ − v₁))²) below it, upper end likewise",
        assumptions: "Plants don't grow by straight lines; the surveys' errors are taken as independent. An outlook, not a forecast",
        reference: "Zou and Donner (2008), Construction of confidence limits about effect measures: a general approach, Statistics in \
                    Medicine 27:1693-1702 (limits of a difference)",
    }

    MEDIAN {
        id: "height/median",
        title: "Median of measured heights",
        equation: "middle of the sorted heights; limits the r-th smallest and the r-th largest, r the largest number with \
                   P(X ≤ r − 1) ≤ α/2 for X ~ Binomial(n, ½)",
        assumptions: "Living stems of the latest round that measured heights, a tree of several stems \
                      by its tallest. Stems of one plot resemble each other, so the true interval is somewhat wider",
        reference: "Conover (1999), Practical Nonparametric Statistics, 3rd ed., section 3.2; Hahn & Meeker (1991), \
                    Statistical Intervals, section 5.2",
    }
}
