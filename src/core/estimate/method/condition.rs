//! Methods of condition.

use crate::estimate::method::{Method, methods};

methods! {
    CONDITION {
        id: "condition/benchmark",
        title: "What was observed over what a reference stand holds",
        equation: "observed / benchmark, and so its limits",
        assumptions: "Benchmarks are the folder's, each with its source; they are taken as known without error. Plots of the survey are \
                      as large as those behind the benchmark, which matters most for numbers of species",
        reference: "",
    }

    RECRUITING {
        id: "condition/recruiting",
        title: "Share of native tree species with self-sown young",
        equation: "native tree species with a self-sown stem in the plots / native tree species alive there",
        assumptions: "Counted over the plots of the latest survey, without weights; species that stand outside them are not seen. \
                      BioCondition asks it of the dominant species of the canopy, which a young planting does not have yet",
        reference: "Eyre et al. (2015), BioCondition: a condition assessment framework for terrestrial biodiversity in Queensland, \
                    version 2.2, Queensland Herbarium (as remembered)",
    }

    BIO_CONDITION {
        id: "condition/biocondition",
        title: "Points of BioCondition",
        equation: "points by steps of observed / benchmark: canopy height 3 from 25 %, 5 from 70 %; canopy cover 2 from 10 %, 5 from 50 %, 2 \
                   above 200 %; shrub cover and litter 3, 5, 3 at the same steps; richness of a life form 2.5 from 25 %, 5 from 90 %; \
                   native perennial grass 1 from 10 %, 3 from 50 %, 5 from 90 %; cover not native, of the ground itself, 10 under 5 %, \
                   5 to 25 %, 3 to 50 %, 0 beyond; score: points over those possible",
        assumptions: "The steps stand as remembered, and the plots may not be those of the manual, so this is a working figure for a \
                      trained assessor to confirm. Attributes without a benchmark are left out of both sums",
        reference: "Eyre et al. (2015), BioCondition: a condition assessment framework for terrestrial biodiversity in Queensland, \
                    version 2.2, Queensland Herbarium",
    }

    GROWTH_FORM {
        id: "condition/growth-form",
        title: "Unweighted growth-form score of the Biodiversity Assessment Method",
        equation: "100 × 1.01 (1 − exp(−4.4 (observed / benchmark)^1.85)), 100 from the benchmark on",
        assumptions: "The equation stands as remembered, and the plots may not be those of the manual (400 m²), so this is a working \
                      figure for an accredited assessor to confirm. No composite score is made of it",
        reference: "New South Wales (2020), Biodiversity Assessment Method",
    }
}
