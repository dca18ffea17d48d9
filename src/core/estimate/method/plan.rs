//! Methods of the plan: ground to plant, rows, stems.

use crate::estimate::method::{Method, methods};

methods! {
    PLANTABLE_AREA {
        id: "plan/plantable-area",
        title: "Plan area that can be planted",
        equation: "area of the boundary less, one after another, what features cover, the setbacks round them and the ground steeper than \
                   the limit; each takes what those before it left, so that the hectares add up",
        assumptions: "Setbacks are level (plan) distances. Ground whose slope is not known is not taken out as steep",
        reference: "Karney (2013), Algorithms for geodesics, Journal of Geodesy 87:43-55",
    }

    WORKING_CELL {
        id: "plan/working-cell",
        title: "Cell at which the plan reads the terrain model",
        equation: "the model's own cell, or the largest whole multiple of it that is no more than half the row spacing; each height is the \
                   mean of the cells it holds. The change is the root of the mean square difference between the model's heights and those \
                   averaged, straight between their centres",
        assumptions: "Forms smaller than half a spacing can be followed by no row. Slopes are those of the cell worked with, by Horn's method; \
                      patches of steep ground under 25 m² count as the ground about them",
        reference: "Horn (1981), Hill shading and the reflectance map, Proceedings of the IEEE 69(1):14-47",
    }

    CONTOUR_ROWS {
        id: "plan/contour-rows",
        title: "Rows on the contour, as far apart down the slope as asked",
        equation: "rows are where a phase φ is a whole number of turns; φ minimises Σ w |∇φ − 2π/(s cos θ) d|² with d the way down, s the \
                   spacing along the ground and θ the slope, grade and spacing weighed by what either may stray; a row ends where φ gains a \
                   turn. Lengths are along the ground",
        assumptions: "Heights between the model's own by cubic convolution, smoothed by a Gaussian of half a spacing, or of as much more as \
                      changes rounded heights by the standard error of their rounding. Ground forms smaller than that, and errors of the \
                      model, are not in the rows: check them with a level as they are pegged. Rows under two and a half spacings are left out",
        reference: "Knöppel, Crane, Pinkall and Schröder (2015), Stripe patterns on surfaces, ACM Transactions on Graphics 34(4):39; Keys \
                    (1981), IEEE Transactions on Acoustics, Speech and Signal Processing 29(6):1153-1160; Morozov (1966), Soviet Mathematics \
                    Doklady 7:414-417 (from memory)",
    }

    ROW_SPACING {
        id: "plan/row-spacing",
        title: "Spacing and grade of the rows over their whole length",
        equation: "from the middle of every piece of row, of half a spacing at most, along the ground down the fall line to the next row \
                   within two and a half spacings; grade is the rise or fall along the piece; every metre of row counts the same",
        assumptions: "Measured on the ground on which the rows were laid. Pieces with no row below, at the edge of the ground, \
                      have no spacing",
        reference: "",
    }

    ROWS_AS_MEASURED {
        id: "plan/rows-as-measured",
        title: "Grade and spacing of the rows on the terrain model's own heights, unsmoothed",
        equation: "|h₂ − h₁| / l between pegs at equal steps of about a spacing along each row, heights h between the model's by cubic \
                   convolution; once more with h straight between the four heights about each peg; spacing, and grade over every half \
                   spacing, down the fall line and along the row of the unsmoothed ground; every metre of row counts the same",
        assumptions: "Both surfaces pass through every height of the model, and neither knows the ground between. Where cells are wider \
                      than the spacing they differ by more than a row may rise, which is the model's doing. Rounding to a step q on cells c \
                      wide shows a level row with grades of standard error q / 3c",
        reference: "Keys (1981), IEEE Transactions on Acoustics, Speech and Signal Processing 29(6):1153-1160",
    }

    SLOPE_BANDS {
        id: "plan/slope-bands",
        title: "Length of rows by the slope of their ground",
        equation: "Σ l over pieces of row of 2 m at most by the slope at their middle: under 12°, 12° to under 15°, 15° and steeper",
        assumptions: "12° and 15° are common practice without a source, not a measure of what is safe: the machine's manual, local codes and \
                      licensed advice come first. Ground whose slope is not known counts as hand work. Along a drawn line the slope is the \
                      mean that was measured in the area",
        reference: "",
    }

    SLASHING_HOURS {
        id: "plan/slashing-hours",
        title: "Hours to slash the strips once",
        equation: "L₁ / v₁ + L₂ / v₂, with L₁ the metres of row under 12°, v₁ machine_m_per_h, L₂ the rest and v₂ hand_m_per_h; the lower end \
                   has 12° to under 15° done by machine too",
        assumptions: "A strip beside every row. The rates are the project's own",
        reference: "",
    }

    PLANTING_HOURS {
        id: "plan/planting-hours",
        title: "Person hours to plant",
        equation: "N Σh / Σn, with h the person hours and n the stems of the works log's planting days, N the stems to plant; interval by the \
                   ratio estimator over days, t with days less one",
        assumptions: "The crew plants as fast as before, on ground like that of before",
        reference: "Cochran (1977), Sampling Techniques, 3rd ed., Wiley, section 6.3",
    }

    CREW_PACE {
        id: "plan/crew-pace",
        title: "Person hours for a hundred stems, or for a hundred metres of row",
        equation: "100 / r with r the rate of the settings; else 100 Σh / Σn over the works log's days of planting, or of setting out rows, \
                   with h person hours and n stems or metres; else 100 / 25 stems or 100 / 150 m",
        assumptions: "The crew works as fast as before, on ground like that of before. The rates that stand where nothing is said are common \
                      practice, no source",
        reference: "",
    }

    CREW_DAYS {
        id: "plan/crew-days",
        title: "Rows that a crew sets out and plants in a day",
        equation: "rows in the order of their control rows from the access side, until the metres by the pace of setting out and the stems by \
                   the pace of planting come to people × hours; a control row and those taped from it are parted only where one day can't \
                   hold them. Control rows: of the positions on the slope the third, then every fifth. A position follows the spanning tree \
                   of most metres over which one row lies next below another",
        assumptions: "A day holds rows of one area. Four people, six hours on the ground, forty plants in a tray where nothing is said: common \
                      practice, no source. Carrying, fencing, guards and watering take hours of their own",
        reference: "Kruskal (1956), On the shortest spanning subtree of a graph and the traveling salesman problem, Proceedings of the \
                    American Mathematical Society 7:48-50",
    }

    PEG_TABLE {
        id: "plan/peg-table",
        title: "Pegs of the control rows",
        equation: "a peg every 20 m along the row, 10 or 5 m where the row bends from the tape by more than half a metre; bearing and distance \
                   from where the rounded figures before led to, so that rounding does not add up; rise by the model's own heights, by cubic \
                   convolution; rows between by tape along the ground, straight up and down the slope",
        assumptions: "Heights between the model's own are not known. The level in your hand goes before the model",
        reference: "Keys (1981), IEEE Transactions on Acoustics, Speech and Signal Processing 29(6):1153-1160",
    }

    GRASS_EDGE {
        id: "plan/grass-edge",
        title: "Edge between planted bands and the grass between them",
        equation: "Σ 2 L + 2 (s − g) over the rows, with L the row's length, s the spacing and g the strip of grass; a closed row has no ends",
        assumptions: "Every row stands in a band of its own",
        reference: "",
    }

    ROW_SLOPE {
        id: "plan/row-slope",
        title: "Mean slope of the ground under the rows of an area",
        equation: "Σ θ l / Σ l over the pieces of row, with θ the slope at the middle of a piece and l its length along the ground",
        assumptions: "Slopes of the ground on which the rows were laid; where rows follow a drawn line, the mean of the slopes \
                      measured in the area",
        reference: "",
    }

    MAP_SPACING {
        id: "plan/map-spacing",
        title: "Distance between rows on the map",
        equation: "s cos θ, with s the spacing along the ground down the slope and θ the mean slope under the rows",
        assumptions: "One slope stands for the whole area: where the ground is steeper, rows lie closer on the map",
        reference: "",
    }

    PLANTED_BAND {
        id: "plan/planted-band",
        title: "Band of ground that each row is planted in",
        equation: "s − g, with s the spacing along the ground and g the strip of grass",
        assumptions: "Grass begins equally far from the row on either side",
        reference: "",
    }

    INFILL {
        id: "plan/infill",
        title: "Stems of earlier plantings that died, and stems to set again",
        equation: "dead = N (1 − s), with N stems planted and s the share of them alive; to set = max(0, wanted − N s) / s, wanted the most of \
                   what targets on density and on survival ask of the area; what targets on all areas ask beyond that is parted by what died \
                   in each. Its ends are those of s. Species by the largest remainder of what died of each",
        assumptions: "Stems set again live as those before them did. A species that no plot of the area holds died as the area's others did. \
                      Why they died is not asked here: look before the same is set in the same place",
        reference: "",
    }

    PLANNED_DENSITY {
        id: "plan/density",
        title: "Stems to plant per hectare",
        equation: "stems in new rows over the whole plan area of the areas that have them",
        assumptions: "Ground kept free within an area counts, as it does in the density that is surveyed",
        reference: "",
    }

    PLANNED_STEMS {
        id: "plan/stems",
        title: "Stems along the rows, dealt to species",
        equation: "⌊L / a⌋ + 1 stems in a row of length L with stems a apart on the ground (⌊L / a⌋ in a closed one), with equal slack at both \
                   ends; species by the largest remainder of the stock table's shares of all stems; where it has none, of the planting log's \
                   shares in each role. Sensitive species are kept off ground that is marked so",
        assumptions: "Where both can't be kept to the stem, the pattern gives way to the shares. The order along the row is drawn by chance from a fixed seed, none beside its own kind where that can be",
        reference: "Balinski and Young (2001), Fair Representation, 2nd ed., Brookings, for the largest remainder",
    }
}
