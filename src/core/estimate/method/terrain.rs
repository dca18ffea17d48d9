//! Methods of the terrain model.

use crate::estimate::method::{Method, methods};

const HORN: &str = "Horn (1981), Hill shading and the reflectance map, Proceedings of the IEEE 69(1):14-47";

const CELLS: &str = "The model's cells are small against the ground's own forms; cells of 30 m make slopes gentler than they \
                     are. A cell without eight neighbours has no slope";

methods! {
    TERRAIN_MEAN {
        id: "terrain/horn-mean",
        title: "Mean slope of the cells of the terrain model whose centre lies in the area",
        equation: "Σ θᵢ / n, θ = atan √((dz/dx)² + (dz/dy)²) with weights 1, 2, 1 over the eight neighbours",
        assumptions: CELLS,
        reference: HORN,
    }

    TERRAIN_P90 {
        id: "terrain/horn-p90",
        title: "Slope that nine in ten of the cells whose centre lies in the area lie below",
        equation: "quantile 0.9 of θᵢ, between the two nearest by a straight line",
        assumptions: CELLS,
        reference: HORN,
    }

    TERRAIN_MAX {
        id: "terrain/horn-max",
        title: "Steepest of the cells whose centre lies in the area",
        equation: "max θᵢ",
        assumptions: "A single cell; a bank narrower than a cell is steeper than its cell, and an error in one height makes a steep \
                      cell",
        reference: HORN,
    }

    TERRAIN_CLASS {
        id: "terrain/class-area",
        title: "Plan hectares in a slope class",
        equation: "plan hectares × Σ wᵢ [θᵢ in the class] / Σ wᵢ, with w the part of the cell that lies in the area, exactly; a slope \
                   on a break belongs to the steeper class",
        assumptions: CELLS,
        reference: HORN,
    }

    TERRAIN_STEEPER {
        id: "terrain/steeper-share",
        title: "Share of the plan area as steep as a limit or steeper",
        equation: "Σ wᵢ [θᵢ ≥ limit] / Σ wᵢ over the cells with a slope, with w the part of the cell that lies in the area",
        assumptions: "12° and 15° are common practice, without a source; they don't say that a slope is safe to drive or to work on",
        reference: HORN,
    }

    SURFACE_AREA {
        id: "terrain/surface-area",
        title: "Area along the ground",
        equation: "plan hectares × Σ wᵢ sᵢ / Σ wᵢ, with s the area of eight triangles between the cell's centre and its neighbours' over \
                   the cell's plan area",
        assumptions: "Roughness finer than a cell is not seen, so the ground is a little larger still",
        reference: "Jenness (2004), Calculating landscape surface area from digital elevation models, Wildlife Society Bulletin \
                    32(3):829-839",
    }
}
