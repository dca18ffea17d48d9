//! Methods of rain.

use crate::{
    estimate::{
        method::{Method, methods},
        rain::{AFTER_PLANTING, MISSING, WET_DAY_MM},
    },
    units::number,
};

methods! {
    RAIN_SUM {
        id: "rain/sum",
        title: "Rain of the time, added up by days",
        equation: "Σ daily rain",
        assumptions: "A day without a reading counts as nothing, so the sum is too low by what fell then; the days are counted beside it",
        reference: "",
    }

    RAIN_MEDIAN {
        id: "rain/median-of-years",
        title: "Median of the rain of the same months in other years of the record",
        equation: format!(
            "median of the sums of the other years' same days, of years with at most {} % of days missing",
            number(100.0 * MISSING, 0)
        ),
        assumptions: "Ten such years or more; one gauge stands for the site",
        reference: "",
    }

    RAIN_AFTER_PLANTING {
        id: "rain/eight-weeks",
        title: "Rain of the eight weeks after a planting",
        equation: format!("Σ daily rain, days 1 to {AFTER_PLANTING} after the day of planting"),
        assumptions: "A day without a reading counts as nothing; the days are counted beside it",
        reference: "",
    }

    DRY_SPELL {
        id: "rain/dry-spell",
        title: "Longest run of days with less than 1 mm",
        equation: format!("max length of a run of days, each read and below {WET_DAY_MM} mm"),
        assumptions: "A day without a reading ends a run, so a longer one may hide in a gap",
        reference: "World Meteorological Organization (2017), WMO Guidelines on the Calculation of Climate Normals, WMO-No. 1203 \
                    (1 mm as the limit of a wet day)",
    }
}
