//! Methods of soil erosion.

use crate::estimate::method::Account;

const HANDBOOK: &str =
    "Renard et al. (1997), Predicting soil erosion by water, USDA Agriculture Handbook 703";

const NOT_COUNTED: &str = "Long-run mean of sheet and rill erosion only: gullies, slips, stream banks, tracks and wind are not in \
                           it, nor what settles at the foot of the slope. The factors' errors are judgements; the developers' page says what \
                           each rests on";

pub(crate) const R_GIVEN: Account = Account {
    id: "erosion/r-given",
    title: "Rainfall erosivity as given in the project's settings",
    equation: "R; σ of ln R 0.20",
    assumptions: "A published long-term value for the place, in MJ.mm/(ha.h.yr)",
    reference: HANDBOOK,
};

pub(crate) const R_INTENSITY: Account = Account {
    id: "erosion/r-two-year-six-hour",
    title: "Rainfall erosivity from the intensity of the two-year six-hour storm",
    equation: "R = 164.74 × 1.1177^I × I^0.6444, I in mm/h; σ of ln R 0.40",
    assumptions: "Fitted in New South Wales; the two-year storm has a yearly chance of 39 %, not 50 %; I from 2 to 30 mm/h",
    reference: "Rosewell and Turner (1992), Rainfall erosivity in New South Wales, CaLM Technical Report 20 (equation as \
                remembered)",
};

pub(crate) const R_DAILY: Account = Account {
    id: "erosion/r-daily-rain",
    title: "Rainfall erosivity from daily rain",
    equation: "R = Σⱼ mean over years of Σ α (1 + 0.29 cos(2πj/12 − π/6)) r^1.49, days over 12.7 mm; α = 0.395 (1 + 0.098 \
               exp(3.26 ψ)), ψ the part of the rain that falls from November to April; σ of ln R 0.35",
    assumptions: "Eastern Australia; whole calendar years, twenty wanted; months with more than two days missing left out",
    reference: "Yu (1998), Australian Journal of Soil Research 36:143-165; Lu and Yu (2002), same 40:887-901 (constants as \
                remembered)",
};

pub(crate) const R_ANNUAL: Account = Account {
    id: "erosion/r-yearly-rain",
    title: "Rainfall erosivity from mean yearly rain, the last resort",
    equation: "R = 0.0483 P^1.61 to 850 mm, 587.8 − 1.219 P + 0.004105 P² above; or 0.0438 P^1.61; σ of ln R 0.60",
    assumptions: "Made for the United States, or for south-eastern Australia; used only when asked for",
    reference: "Renard and Freimund (1994), Journal of Hydrology 157:287-306; Yu and Rosewell (1996), Transactions of the ASAE \
                39:559-561",
};

pub(crate) const K_GIVEN: Account = Account {
    id: "erosion/k-given",
    title: "Soil erodibility as given in the project's settings",
    equation: "K; σ of ln K 0.20",
    assumptions: "Measured or published for the soil, in t.ha.h/(ha.MJ.mm)",
    reference: HANDBOOK,
};

pub(crate) const K_NOMOGRAPH: Account = Account {
    id: "erosion/k-nomograph",
    title: "Soil erodibility by the nomograph's equation",
    equation: "K = 0.1317 (2.1e-4 M^1.14 (12 − OM) + 3.25 (s − 2) + 2.5 (p − 3)) / 100, M = (silt + very fine sand)(100 − clay); σ \
               of ln K 0.30",
    assumptions: "Silt and very fine sand up to 70 %; organic matter above 4 % counts as 4 %; K held to 0.002 to 0.09; stones \
                  counted in ground cover, not here; not for dispersive subsoil",
    reference: "Wischmeier and Smith (1978), Predicting rainfall erosion losses, USDA Agriculture Handbook 537, p. 10",
};

pub(crate) const K_TEXTURE: Account = Account {
    id: "erosion/k-texture",
    title: "Soil erodibility by texture class",
    equation: "K = 0.1317 × the table's value, column by organic matter; σ of ln K 0.40",
    assumptions: "The field's texture class is that of the table; two published tables differ by a third",
    reference: "Ontario ministry of agriculture, universal soil loss equation factsheet; Wall et al. (2002), RUSLEFAC, table K-3",
};

pub(crate) const LS_GRID: Account = Account {
    id: "erosion/ls-grid",
    title: "Slope factor over the terrain model",
    equation: "mean of L S; L = ((A + D²)^(m+1) − A^(m+1)) / (D^(m+2) x^m 22.13^m), x = |sin α| + |cos α|; m = β/(1 + β), β = 0.5 \
               (sin θ/0.0896)/(3 sin^0.8 θ + 0.56); S = −1.5 + 17/(1 + exp(2.3 − 6.1 sin θ)); σ of ln LS 0.20 to 12°, 0.30 to 20°, \
               0.40 beyond, 0.60 where over a tenth is steeper than 55 %",
    assumptions: "Hollows filled, water by the steepest of eight ways; slopes end at drains, tracks, gullies and watercourses and \
                  at 122 m; cells that take in over a hectare are channels and left out; slopes over 55 % count as 55 %. \
                  Published relations agree to about 14° and differ by a quarter at 25°",
    reference: "Desmet and Govers (1996), Journal of Soil and Water Conservation 51:427-433; Nearing (1997), Soil Science Society \
                of America Journal 61:917-919; USDA Agriculture Handbook 703, eqs. 4-1 to 4-3",
};

pub(crate) const LS_MEASURED: Account = Account {
    id: "erosion/ls-clinometer",
    title: "Slope factor of slopes read with a clinometer",
    equation: "mean of (λ/22.13)^m S; λ = length × cos θ, at most 122 m; m and S as on the terrain model; σ of ln LS as there",
    assumptions: "Readings stand for their area; a length that was not read counts as 60 m; slopes over 55 % count as 55 %",
    reference: "USDA Agriculture Handbook 703, eqs. 4-1 to 4-6; Nearing (1997), Soil Science Society of America Journal 61:917-919",
};

pub(crate) const C_FACTOR: Account = Account {
    id: "erosion/cover-factor",
    title: "Cover factor, by plot and then averaged",
    equation: "C = exp(−0.799 − 0.0474 G + 0.000449 G² − 0.0000052 G³)(1 − (1 − g) F), F = c e^(−0.328 H), G and g ground cover in % and \
               as a part, c canopy, H the fall of drops in m; σ of ln C = |d ln C/dG| × error of G, at least 0.25, 0.70 below C = 0.01",
    assumptions: "Ground untilled for years; litter, moss and stone count as ground cover, canopy does not; seasons are as on the \
                  day of the survey",
    reference: "Fitted to Wischmeier and Smith (1978), USDA Agriculture Handbook 537, table 10; canopy after USDA Agriculture \
                Handbook 703; closed canopy: Handbook 537, table 11",
};

pub(crate) const LOSS: Account = Account {
    id: "erosion/soil-loss",
    title: "Soil loss by the revised universal soil loss equation",
    equation: "A = R K LS C P, P = 1; limits A exp(±z σ), σ² = Σσᵢ²",
    assumptions: NOT_COUNTED,
    reference: HANDBOOK,
};

pub(crate) const RATIO: Account = Account {
    id: "erosion/soil-loss-ratio",
    title: "Soil loss now over soil loss before",
    equation: "C now / C before, R, K and LS cancelling; σ² = σ_b² + σ_n² − 2ρσ_bσ_n",
    assumptions: "The two covers' errors go together with ρ = 0.5 where both were surveyed the same way, else not; the slope and \
                  the soil have not changed. Sheet and rill erosion only",
    reference: HANDBOOK,
};

pub(crate) const KEPT: Account = Account {
    id: "erosion/soil-kept",
    title: "Soil kept on the slope in a year",
    equation: "(A before − A now) × plan hectares; limits by 10 000 draws of the factors' errors, the seed fixed",
    assumptions: NOT_COUNTED,
    reference: HANDBOOK,
};
