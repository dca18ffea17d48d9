//! Methods of soil erosion.

use crate::{
    estimate::{
        erosion::{
            cover_factor::{CURVE, FALL},
            cover_survey,
            daily_rain::{self, ALPHA, BETA, ETA, THRESHOLD_MM},
            erodibility::{self, MOST_ORGANIC, MOST_SILT, NOMOGRAPH, RANGE},
            erosivity::{
                INTENSITIES, RENARD_FREIMUND, SIGMA_ANNUAL, SIGMA_GIVEN, SIGMA_INTENSITY, STORM, YU_ROSEWELL,
            },
            joint, ls_grid,
            ls_slope::{LENGTH_NOT_MEASURED, LONGEST, UNIT_PLOT_METRES},
            site::SURVEYED_ALIKE,
            steepness::{STEEPEST_PERCENT, UNIT_PLOT_SINE},
        },
        method::{Method, methods},
    },
    units::ERODIBILITY_FROM_US,
};

const HANDBOOK: &str =
    "Renard et al. (1997), Predicting soil erosion by water, USDA Agriculture Handbook 703";

const NOT_COUNTED: &str = "Long-run mean of sheet and rill erosion only: gullies, slips, stream banks, tracks and wind are not in \
                           it, nor what settles at the foot of the slope. The factors' errors are judgements; the developers' page says what \
                           each rests on";

methods! {
    EROSIVITY_GIVEN {
        id: "erosion/r-given",
        title: "Rainfall erosivity as given in the project's settings",
        equation: format!("R; σ of ln R {SIGMA_GIVEN:.2}"),
        assumptions: "A published long-term value for the place, in MJ.mm/(ha.h.yr)",
        reference: HANDBOOK,
    }

    EROSIVITY_INTENSITY {
        id: "erosion/r-two-year-six-hour",
        title: "Rainfall erosivity from the intensity of the two-year six-hour storm",
        equation: {
            let [scale, base, power] = STORM;
            format!("R = {scale} × {base}^I × I^{power}, I in mm/h; σ of ln R {SIGMA_INTENSITY:.2}")
        },
        assumptions: format!(
            "Fitted in New South Wales; the two-year storm has a yearly chance of 39 %, not 50 %; I from {} to {} mm/h",
            INTENSITIES.start(),
            INTENSITIES.end()
        ),
        reference: "Rosewell and Turner (1992), Rainfall erosivity in New South Wales, CaLM Technical Report 20 (equation as \
                    remembered)",
    }

    EROSIVITY_DAILY {
        id: "erosion/r-daily-rain",
        title: "Rainfall erosivity from daily rain",
        equation: {
            let [scale, share, rate] = ALPHA;
            format!(
                "R = Σⱼ mean over years of Σ α (1 + {ETA} cos(2πj/12 − π/6)) r^{BETA}, days over {THRESHOLD_MM} mm; α = {scale} (1 + \
                 {share} exp({rate} ψ)), ψ the part of the rain that falls from November to April; σ of ln R {:.2}",
                daily_rain::SIGMA
            )
        },
        assumptions: "Eastern Australia; whole calendar years, twenty wanted; months with more than two days missing left out",
        reference: "Yu (1998), Australian Journal of Soil Research 36:143-165; Lu and Yu (2002), same 40:887-901 (constants as \
                    remembered)",
    }

    EROSIVITY_ANNUAL {
        id: "erosion/r-yearly-rain",
        title: "Rainfall erosivity from mean yearly rain, the last resort",
        equation: {
            let (to, [scale, power], [a, b, c]) = RENARD_FREIMUND;
            let [yu, yu_power] = YU_ROSEWELL;
            let b = -b;
            format!(
                "R = {scale} P^{power} to {to} mm, {a} − {b} P + {c} P² above; or {yu} P^{yu_power}; σ of ln R {SIGMA_ANNUAL:.2}"
            )
        },
        assumptions: "Made for the United States, or for south-eastern Australia; used only when asked for",
        reference: "Renard and Freimund (1994), Journal of Hydrology 157:287-306; Yu and Rosewell (1996), Transactions of the ASAE \
                    39:559-561",
    }

    ERODIBILITY_GIVEN {
        id: "erosion/k-given",
        title: "Soil erodibility as given in the project's settings",
        equation: format!("K; σ of ln K {:.2}", erodibility::SIGMAS[0]),
        assumptions: "Measured or published for the soil, in t.ha.h/(ha.MJ.mm)",
        reference: HANDBOOK,
    }

    ERODIBILITY_NOMOGRAPH {
        id: "erosion/k-nomograph",
        title: "Soil erodibility by the nomograph's equation",
        equation: {
            let [scale, power, most, structure, permeability] = NOMOGRAPH;
            format!(
                "K = {ERODIBILITY_FROM_US} ({scale:e} M^{power} ({most} − OM) + {structure} (s − 2) + {permeability} (p − 3)) / 100, \
                 M = (silt + very fine sand)(100 − clay); σ of ln K {:.2}",
                erodibility::SIGMAS[1]
            )
        },
        assumptions: format!(
            "Silt and very fine sand up to {MOST_SILT} %; organic matter above {MOST_ORGANIC} % counts as {MOST_ORGANIC} %; K held \
             to {} to {}; stones counted in ground cover, not here; not for dispersive subsoil",
            RANGE.0, RANGE.1
        ),
        reference: "Wischmeier and Smith (1978), Predicting rainfall erosion losses, USDA Agriculture Handbook 537, p. 10",
    }

    ERODIBILITY_TEXTURE {
        id: "erosion/k-texture",
        title: "Soil erodibility by texture class",
        equation: format!(
            "K = {ERODIBILITY_FROM_US} × the table's value, column by organic matter; σ of ln K {:.2}",
            erodibility::SIGMAS[2]
        ),
        assumptions: "The field's texture class is that of the table; two published tables differ by a third",
        reference: "Ontario ministry of agriculture, universal soil loss equation factsheet; Wall et al. (2002), RUSLEFAC, table K-3",
    }

    SLOPE_FACTOR_GRID {
        id: "erosion/ls-grid",
        title: "Slope factor over the terrain model",
        equation: {
            let [gentle, middling, steep, clamped] = ls_grid::SIGMAS;
            format!(
                "mean of L S; L = ((A + D²)^(m+1) − A^(m+1)) / (D^(m+2) x^m {UNIT_PLOT_METRES}^m), x = |sin α| + |cos α|; \
                 m = β/(1 + β), β = 0.5 (sin θ/{UNIT_PLOT_SINE})/(3 sin^0.8 θ + 0.56); S = −1.5 + 17/(1 + exp(2.3 − 6.1 sin θ)); \
                 σ of ln LS {gentle:.2} to 12°, {middling:.2} to 20°, {steep:.2} beyond, {clamped:.2} where over a tenth is steeper \
                 than {STEEPEST_PERCENT} %"
            )
        },
        assumptions: format!(
            "Hollows filled, water by the steepest of eight ways; slopes end at drains, tracks, gullies and watercourses and at \
             {LONGEST} m; cells that take in over a hectare are channels and left out; slopes over {STEEPEST_PERCENT} % count as \
             {STEEPEST_PERCENT} %. Published relations agree to about 14° and differ by a quarter at 25°"
        ),
        reference: "Desmet and Govers (1996), Journal of Soil and Water Conservation 51:427-433; Nearing (1997), Soil Science Society \
                    of America Journal 61:917-919; USDA Agriculture Handbook 703, eqs. 4-1 to 4-3",
    }

    SLOPE_FACTOR_MEASURED {
        id: "erosion/ls-clinometer",
        title: "Slope factor of slopes read with a clinometer",
        equation: format!(
            "mean of (λ/{UNIT_PLOT_METRES})^m S; λ = length × cos θ, at most {LONGEST} m; m and S as on the terrain model; σ of ln LS as \
             there"
        ),
        assumptions: format!(
            "Readings stand for their area; a length that was not read counts as {LENGTH_NOT_MEASURED} m; slopes over \
             {STEEPEST_PERCENT} % count as {STEEPEST_PERCENT} %"
        ),
        reference: "USDA Agriculture Handbook 703, eqs. 4-1 to 4-6; Nearing (1997), Soil Science Society of America Journal 61:917-919",
    }

    COVER_FACTOR {
        id: "erosion/cover-factor",
        title: "Cover factor, by plot and then averaged",
        equation: {
            let [a, b, c, d] = CURVE.map(f64::abs);
            let (least, small) = cover_survey::SIGMAS;
            format!(
                "C = exp(−{a} − {b} G + {c} G² − {d} G³)(1 − (1 − g) F), F = c e^(−{FALL} H), G and g ground cover in % and as a part, \
                 c canopy, H the fall of drops in m; σ of ln C = |d ln C/dG| × error of G, at least {least}, {small:.2} below C = {}",
                cover_survey::SMALL
            )
        },
        assumptions: "Ground untilled for years; litter, moss and stone count as ground cover, canopy does not; seasons are as on the \
                      day of the survey",
        reference: "Fitted to Wischmeier and Smith (1978), USDA Agriculture Handbook 537, table 10; canopy after USDA Agriculture \
                    Handbook 703; closed canopy: Handbook 537, table 11",
    }

    SOIL_LOSS {
        id: "erosion/soil-loss",
        title: "Soil loss by the revised universal soil loss equation",
        equation: "A = R K LS C P, P = 1; limits A exp(±z σ), σ² = Σσᵢ²",
        assumptions: NOT_COUNTED,
        reference: HANDBOOK,
    }

    SOIL_LOSS_RATIO {
        id: "erosion/soil-loss-ratio",
        title: "Soil loss now over soil loss before",
        equation: "C now / C before, R, K and LS cancelling; σ² = σ_b² + σ_n² − 2ρσ_bσ_n",
        assumptions: format!(
            "The two covers' errors go together with ρ = {SURVEYED_ALIKE} where both were surveyed the same way, else not. Of \
             several areas, what a statement, a reader or the curve errs is shared by all of them; only the drawing of plots is each \
             area's own. The slope and the soil have not changed. Sheet and rill erosion only"
        ),
        reference: HANDBOOK,
    }

    SOIL_KEPT {
        id: "erosion/soil-kept",
        title: "Soil kept on the slope in a year",
        equation: format!(
            "(A before − A now) × plan hectares; limits by {} {:03} draws of the factors' errors, the seed fixed",
            joint::DRAWS / 1_000,
            joint::DRAWS % 1_000
        ),
        assumptions: NOT_COUNTED,
        reference: HANDBOOK,
    }
}
