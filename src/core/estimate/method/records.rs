//! Methods that only add up or count what was written down.

use crate::estimate::method::{Method, methods};

methods! {
    SUM {
        id: "records/sum",
        title: "Sum of the rows",
        equation: "Σ of the column over the rows named; hours are each person's hours × people",
        assumptions: "The log is complete: what was not written down is not counted",
        reference: "",
    }

    DISTINCT {
        id: "records/different-names",
        title: "Count of different names or things",
        equation: "number of different names in the rows named",
        assumptions: "Species are told apart as they are written, after correction to the species list",
        reference: "",
    }

    PHOTO_PAIRS {
        id: "photos/pairs",
        title: "Photo points with an earlier and a later picture",
        equation: "number of points with pictures of two or more days up to the period's end",
        assumptions: "Whether two pictures show the same view is for the reader to judge",
        reference: "",
    }
}
