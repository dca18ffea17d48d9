//! The fields of the layer of activities that funders ask for, and the profile of one funder: which of them, called how, in which order.

/// Every field, in the order of a layer without a profile. Names fit the table of a shapefile.
pub const LAYER_FIELDS: [&str; 25] = [
    "area_id",
    "site",
    "parcel",
    "agreement",
    "source",
    "activity",
    "start",
    "finish",
    "status",
    "method",
    "plan_ha",
    "claim_ha",
    "len_m",
    "stems",
    "stems_ha",
    "species_n",
    "cohort",
    "capture",
    "acc_m",
    "cap_date",
    "crs",
    "operator",
    "evid_no",
    "offset_ref",
    "public",
];

/// A column of a funder's layer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayerColumn {
    /// Which field it holds.
    pub field: &'static str,
    /// What the funder calls it.
    pub name: String,
}

impl LayerColumn {
    /// Letters of a column's name that the table of a shapefile holds.
    pub const NAME: usize = 10;
}
