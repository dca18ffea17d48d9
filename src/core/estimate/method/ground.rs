//! Methods of the ground: areas, lengths, slopes.

use crate::estimate::method::{Method, methods};

methods! {
    GEODESIC_AREA {
        id: "site/geodesic-area",
        title: "Plan area of the boundary on the WGS 84 ellipsoid, holes taken out",
        equation: "area enclosed by geodesics between the boundary's corners; ha = m² / 10 000",
        assumptions: "The boundary is as good as its survey; a walked track or a traced photograph carries its own error. \
                      Areas are level (plan) areas, not areas along the ground",
        reference: "Karney (2013), Algorithms for geodesics, Journal of Geodesy 87:43-55",
    }

    MADE_IN_PERIOD {
        id: "ground/made-in-period",
        title: "Length of new lines made within the period",
        equation: "Σ geodesic lengths of new lines whose day lies within the period",
        assumptions: "A line without a day counts in the first period that saw it and in no later one",
        reference: "",
    }

    GEODESIC_LENGTH {
        id: "site/geodesic-length",
        title: "Length of lines on the WGS 84 ellipsoid",
        equation: "Σ geodesic distance between neighbouring corners; rings of holes are counted in a perimeter",
        assumptions: "Level (plan) lengths: along a slope of θ the ground is longer by 1/cos θ",
        reference: "Karney (2013), Algorithms for geodesics, Journal of Geodesy 87:43-55",
    }

    SLOPE_READINGS {
        id: "terrain/clinometer-mean",
        title: "Mean of the slopes read with a clinometer",
        equation: "Σ Lᵢθᵢ / Σ Lᵢ, with θ the slope and L the length read along; Σ θᵢ / n where not every length is known. \
                   All areas: weighted by plan hectares",
        assumptions: "Readings stand for their area; no terrain model was used",
        reference: "",
    }

    SLOPE_STEEPEST {
        id: "terrain/clinometer-steepest",
        title: "Steepest slope read with a clinometer",
        equation: "max θᵢ",
        assumptions: "Steeper ground may lie where nobody read",
        reference: "",
    }
}
