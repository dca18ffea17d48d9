//! Methods of rain.

use crate::estimate::method::Account;

pub(crate) const SUM: Account = Account {
    id: "rain/sum",
    title: "Rain of the time, added up by days",
    equation: "Σ daily rain",
    assumptions: "A day without a reading counts as nothing, so the sum is too low by what fell then; the days are counted beside it",
    reference: "",
};

pub(crate) const MEDIAN: Account = Account {
    id: "rain/median-of-years",
    title: "Median of the rain of the same months in other years of the record",
    equation: "median of the sums of the other years' same days, of years with at most 5 % of days missing",
    assumptions: "Ten such years or more; one gauge stands for the site",
    reference: "",
};

pub(crate) const AFTER_PLANTING: Account = Account {
    id: "rain/eight-weeks",
    title: "Rain of the eight weeks after a planting",
    equation: "Σ daily rain, days 1 to 56 after the day of planting",
    assumptions: "A day without a reading counts as nothing; the days are counted beside it",
    reference: "",
};

pub(crate) const DRY_SPELL: Account = Account {
    id: "rain/dry-spell",
    title: "Longest run of days with less than 1 mm",
    equation: "max length of a run of days, each read and below 1 mm",
    assumptions: "A day without a reading ends a run, so a longer one may hide in a gap",
    reference: "World Meteorological Organization (2017), WMO Guidelines on the Calculation of Climate Normals, WMO-No. 1203 \
                (1 mm as the limit of a wet day)",
};
