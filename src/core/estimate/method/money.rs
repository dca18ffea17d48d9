//! Methods of the money table: exact decimal arithmetic.

use crate::estimate::method::{Method, methods};

methods! {
    MONEY_SUM {
        id: "money/sum",
        title: "Sum of amounts",
        equation: "Σ amounts dated within the period; tax is taken off each receipt where the agreement is acquitted without it",
        assumptions: "Cash and in kind are added apart and never set against each other",
        reference: "",
    }

    VARIANCE {
        id: "money/variance",
        title: "Spent less approved",
        equation: "variance = spent − approved; more than nothing is over",
        assumptions: "Cash only, spent within the period",
        reference: "",
    }

    VARIANCE_SHARE {
        id: "money/variance-share",
        title: "Spent less approved, as a share of approved",
        equation: "variance share = (spent − approved) / approved",
        assumptions: "Cash only, spent within the period; not given where nothing was approved",
        reference: "",
    }

    UNSPENT {
        id: "money/unspent",
        title: "Money received and not spent",
        equation: "unspent = received − spent to the period's end; received is the approved cash where it is not set",
        assumptions: "Commitments not yet paid are not taken off",
        reference: "",
    }

    PER_LIVING_STEM {
        id: "money/per-living-stem",
        title: "Cash spent in the period for each planted stem that lives",
        equation: "spent / (stems planted × share alive); the interval puts the share's two ends in its place",
        assumptions: "All planted areas live like those that were surveyed; all cash is laid upon the stems, fences and \
                      weed control too",
        reference: "",
    }

    PER_HECTARE {
        id: "money/per-hectare",
        title: "Cash spent in the period for each plan hectare",
        equation: "spent / plan area",
        assumptions: "All cash is laid upon the planting areas",
        reference: "",
    }

    VOLUNTEER_VALUE {
        id: "works/volunteer-value",
        title: "Volunteers' hours at an hourly rate",
        equation: "Σ hours × people × rate, volunteers only, within the period",
        assumptions: "The rate is the project's own, with its source; it stands beside the cash and is never set against it",
        reference: "",
    }
}
