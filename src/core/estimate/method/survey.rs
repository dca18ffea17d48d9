//! Methods of the plot survey.

use crate::estimate::{
    density::SMALL_SAMPLE,
    interval::{
        Clumping,
        clustered::{
            CORRELATION_OF_COVER, CORRELATION_OF_ONE, CORRELATION_OF_PATCHES, CORRELATION_OF_STEMS,
            MOST_FOR_A_VERDICT, MOST_OF_A_PLOT, MOST_UNSEEN, UNSEEN, WORTH,
        },
    },
    method::{Method, methods},
};
use crate::units::number;

methods! {
    SURVIVAL_RATIO {
        id: "survival/stratified-ratio",
        title: "Share of planted stems alive, from plots, weighted by the planting log",
        equation: format!(
            "p = Σ W p_h, p_h = Σ alive / Σ set over the plots of stratum h, W = stems planted in h / stems planted, to the day of the survey; v_J = Σ W² (1 − f) (n − 1)/n \
             Σ((a − p_h m)/(Σ m − m))², f = stems set in the plots / stems planted, ν = (Σ g)² / Σ g²/(n − 1), g = W² v_h, no more than M/m* − 1 nor fewer than 1; \
             v = (ν₀ v₁ (1 + (m* − 1) ρ) + ν max(v_J, v₁)) / (ν₀ + ν), v₁ = p̃(1 − p̃)/M, p̃ = (p M + 1)/(M + 2), M = 1/Σ W²(1 − f)/Σ m, m* = Σ m²/Σ m, \
             ρ = {CORRELATION_OF_STEMS}, ν₀ = {WORTH}; n* = p̃(1 − p̃)/v · (t(M − 1)/t(ν + ν₀))², M at most; limits B(α/2; x, n* − x + 1) and \
             B(1 − α/2; x + 1, n* − x), x = p n*, B the quantile of the beta distribution, the lower one no higher than p(1 − q), \
             q = min({MOST_UNSEEN}, 1 − {UNSEEN}^(1/n′))(1 − f), n′ = M/m*, n at most"
        ),
        assumptions: format!(
            "The latest round of survey up to the period's end: days with no more than a month between them, of a species that was \
             counted twice the later count. The plot is the unit, since stems of one plot share their luck. Missing stems count as dead, \
             self-sown stems not at all. A stratum with one plot is given the pooled spread of the others. Few plots show badly how plots differ: \
             what is usual counts as one plot more (constants by simulation). Losses in patches that fell into no plot can't be seen: the \
             lower limit leaves room for some, and a verdict takes stems of a plot to be correlated by {CORRELATION_OF_PATCHES}"
        ),
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., ch. 5 and 6; Korn & Graubard (1998), Survey Methodology \
                    24:193-201; Smyth (2004), Statistical Applications in Genetics and Molecular Biology 3:3; Clopper & Pearson (1934), \
                    Biometrika 26:404-413; Satterthwaite (1946), Biometrics Bulletin 2:110-114",
    }

    SURVIVAL_ONE_PLOT {
        id: "survival/one-plot",
        title: "Share of planted stems alive in a single plot",
        equation: format!(
            "p = alive / set; limits as for survival in plots with n* = m / (1 + (m − 1) {CORRELATION_OF_ONE}), m stems set"
        ),
        assumptions: "One plot can't show how plots differ: the interval takes what is usual, and a target judged by it is never more than \
                      probably met or not shown",
        reference: "Clopper & Pearson (1934), Biometrika 26:404-413; Kish (1965), Survey Sampling, section 5.4",
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
            "D = Σ stems / Σ plan area of plots, by area; all areas Σ H D / Σ H, H plan hectares; v_J and ν as for survival with plan areas in \
             place of stems set, f = plot area / area, 0 under {} %; x* = D²/v (z/t(ν + 1))², v = (v₀ + ν v_J)/(1 + ν), D²/x at least, \
             v₀ = D²(1/x + φ/n), x stems on n plots; limits D/x* G(α/2; x*) and D/x* G(1 − α/2; x* + u), G the quantile of the gamma \
             distribution; φ = {} and u = {}, of self-sown stems {} and {}",
            number(100.0 * SMALL_SAMPLE, 0),
            Clumping::STEMS.variance,
            Clumping::STEMS.unseen,
            Clumping::RECRUITS.variance,
            Clumping::RECRUITS.unseen,
        ),
        assumptions: "The latest round of survey up to the period's end: days with no more than a month between them, of a species that was counted twice the later count. A plot taped along a slope of θ is reduced by \
                      cos θ. Areas without plots are left out. Stems stand in clumps: how much is usual counts as one plot more (constants by simulation)",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., section 3.12 and ch. 6; Fay & Feuer (1997), Statistics in Medicine \
                    16:791-801; Smyth (2004), Statistical Applications in Genetics and Molecular Biology 3:3",
    }

    DENSITY_CENSUS {
        id: "density/census",
        title: "Stems on a plan hectare, all of them counted",
        equation: "D = Σ stems / Σ plan area of plots",
        assumptions: "The plots cover all the ground, to within a fiftieth, so nothing was sampled and no interval is needed",
        reference: "",
    }

    COVER {
        id: "cover/mean-of-plots",
        title: "Share of the ground covered, from plots",
        equation: format!(
            "mean of the plots' readings, by area; Σ hits / Σ points where all were read by points, Σ intercepts / Σ lines where all were \
             read along lines; all areas c = Σ H c / Σ H, H plan hectares; v = (v₀ + ν v_J)/(1 + ν), v₀ = c(1 − c) {CORRELATION_OF_COVER}/n, v_J and ν as \
             for survival; n* = c(1 − c)/v (z/t(ν + 1))², {MOST_OF_A_PLOT} n at most, {MOST_FOR_A_VERDICT} n for a verdict, n where nothing or \
             everything is covered; limits as for survival"
        ),
        assumptions: "The latest round of survey that read the layer. The plot is the unit, not the point. A plot \
                      without a row for a cover has none of it where its layer was read and the sheets write no noughts for that \
                      layer; else it is left out",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., ch. 6; Korn & Graubard (1998), Survey Methodology 24:193-201; Canfield (1941), Journal of Forestry 39:388-394; Interagency \
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
        equation: "middle of the n sorted heights; limits the r-th smallest and the r-th largest, r = c n rounded up, c the lower limit of the share of \
                   heights below the median, a share of one half of trees in plots, as for survival but with a correlation of 0.12 and plots \
                   that differ by 2/ν of chance at least",
        assumptions: "Living stems of the latest round that measured heights, a tree of several stems \
                      by its tallest. Trees of one plot resemble each other",
        reference: "Woodruff (1952), Journal of the American Statistical Association 47:635-646",
    }
}
