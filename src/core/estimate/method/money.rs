//! Methods of the money table: exact decimal arithmetic.

use crate::estimate::method::{Method, methods};

methods! {
    MONEY_SUM {
        id: "money/sum",
        title: "Sum of amounts",
        equation: "Σ amounts dated within the period, or up to its end where the figure says to date; tax is taken off each receipt where the agreement is acquitted without it",
        assumptions: "Cash and in kind are added apart and never set against each other",
        reference: "",
    }

    VARIANCE {
        id: "money/variance",
        title: "Spent less approved",
        equation: "variance = spent − approved; more than nothing is over",
        assumptions: "Cash only; what was spent within the period where the whole budget is by financial year, else all that was spent to its end",
        reference: "",
    }

    VARIANCE_SHARE {
        id: "money/variance-share",
        title: "Spent less approved, as a share of approved",
        equation: "variance share = (spent − approved) / approved",
        assumptions: "As for spent less approved; not given where nothing was approved",
        reference: "",
    }

    UNSPENT {
        id: "money/unspent",
        title: "Money received and not spent",
        equation: "unspent = received − spent to the period's end; received is the approved cash where it is not set",
        assumptions: "Commitments not yet paid are not taken off",
        reference: "",
    }

    APPROVED_BUDGET {
        id: "money/approved-budget",
        title: "Approved cash of the budget",
        equation: "Σ cash of the lines, with each variation that was approved by the period's end in the place of what it changes",
        assumptions: "A financial year is called by the calendar year in which it begins; it begins on the day on which the reporting period does",
        reference: "",
    }

    STATED_SUM {
        id: "money/stated-sum",
        title: "Sums as the agreement's papers have them",
        equation: "Σ sums dated up to the period's end",
        assumptions: "Instalments count once they are marked as received",
        reference: "",
    }

    TO_COME {
        id: "money/to-come",
        title: "Approved and not yet paid by the funder",
        equation: "approved cash of the whole life, as it stands at the period's end, less instalments that had come by then; never less than nothing",
        assumptions: "The budget is what the funder pays",
        reference: "",
    }

    CARRIED_OVER {
        id: "money/carried-over",
        title: "Money carried from one financial year into the next",
        equation: "carried out = carried in + instalments + interest − spent − given back; carried in is what the year before carried out",
        assumptions: "Cash alone; the first year carries nothing in",
        reference: "",
    }

    UNSPENT_LIMIT {
        id: "money/unspent-limit",
        title: "What may stay unspent without asking",
        equation: "the lesser of a share of all money paid and a sum, both as the agreement sets them",
        assumptions: "Interest is no money paid",
        reference: "",
    }

    TEST_WHOLE_GRANT {
        id: "money/test-whole-grant",
        title: "Largest rise of a line over the money paid of the grant",
        equation: "max(spent to date − approved, 0) over the lines / money received",
        assumptions: "Approved is the budget to date where it is by year, else that of the whole life, as it stands approved",
        reference: "",
    }

    TEST_CUMULATIVE_TRANSFERS {
        id: "money/test-cumulative-transfers",
        title: "Rises of all lines over the approved budget",
        equation: "Σ max(spent to date − approved, 0) / Σ approved",
        assumptions: "As for the test of the whole grant",
        reference: "",
    }

    TEST_LINE {
        id: "money/test-line",
        title: "Change of a line over its budget",
        equation: "(spent to date − approved) / approved; of all lines the largest, whichever way it goes",
        assumptions: "As for the test of the whole grant; not given where nothing was approved",
        reference: "",
    }

    TEST_NEW_LINE {
        id: "money/test-new-line",
        title: "Money on lines for which nothing was approved",
        equation: "Σ spent to date on lines with no approved cash / Σ approved",
        assumptions: "As for the test of the whole grant",
        reference: "",
    }

    BY_SOURCE {
        id: "money/by-source",
        title: "Cash and kind by source",
        equation: "Σ over payments of the payer's share; a payment is shared out to the cent by the largest remainder, tax and what is without it apart",
        assumptions: "Each row is of the payers that it names, else shared by the first rule of the folder that fits, else of the only agreement in whose ground and term it lies, else the landholder's own; with or without tax as the payer's agreement has it; costs outside a term are left out and said",
        reference: "",
    }

    UNSPENT_BY_SOURCE {
        id: "money/unspent-by-source",
        title: "Received and not spent, by source",
        equation: "received + interest − spent − given back",
        assumptions: "Commitments not yet paid are not taken off",
        reference: "",
    }

    HOURS_BY_SOURCE {
        id: "money/hours-by-source",
        title: "Person hours by source",
        equation: "Σ over works of person hours × the payer's share",
        assumptions: "Shares as for payments",
        reference: "",
    }

    OWNED_ONCE {
        id: "money/owned-once",
        title: "What is counted, by the source that owns it",
        equation: "Σ over rows or areas that the payer owns",
        assumptions: "A stem, a metre and a hectare have one owner: the largest share, of ground the first agreement that names it; who supports it too does not count it",
        reference: "",
    }

    PART_OF_ALL_SOURCES {
        id: "money/part-of-all-sources",
        title: "A source's cash as a part of the whole",
        equation: "cash spent by the source / cash spent by all sources, or that with everything given in kind",
        assumptions: "The note names which of the two it is of",
        reference: "",
    }

    ALL_SOURCES {
        id: "money/all-sources",
        title: "All sources together",
        equation: "Σ over the sources",
        assumptions: "Sums of payments by one rule of tax, with or without; where the sources count by both, all stand once by each",
        reference: "",
    }

    STATED_BY_MATTER {
        id: "offset/stated-by-matter",
        title: "What an offset owes and has delivered, as its papers have it",
        equation: "the number stated for the matter, in its own unit",
        assumptions: "Matters are never added up or set off against one another",
        reference: "",
    }

    SHORTFALL {
        id: "offset/shortfall",
        title: "What an offset has still to deliver for a matter",
        equation: "owed − delivered; nothing where more was delivered than is owed",
        assumptions: "What was delivered beyond one matter counts for no other",
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

    PER_LIVING_STEM_TO_DATE {
        id: "money/per-living-stem-to-date",
        title: "Cash spent to date for each planted stem that lives",
        equation: "spent to date / (stems planted × share alive); the interval puts the share's two ends in its place",
        assumptions: "All planted areas live like those that were surveyed; all cash since the beginning is laid upon the stems, fences and \
                      weed control too",
        reference: "",
    }

    PER_HECTARE {
        id: "money/per-hectare",
        title: "Cash spent for each plan hectare",
        equation: "spent / plan area; all cash to date where spending began before the period",
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
