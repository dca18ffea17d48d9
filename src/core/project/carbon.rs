//! What the folder says of how carbon is to be worked out.

/// How the roots of a stand are found.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum RootRule {
    /// By an equation of each plant's diameter.
    #[default]
    EachPlant,
    /// By the ratio of roots to shoots that the folder gives.
    Ratio(f64),
    /// By the ratio of an ecological zone, one of [`ZONES`].
    Zone(&'static str),
    /// By the stand equation of Cairns et al. (1997).
    Cairns,
    /// By the stand equation of Mokany et al. (2006).
    Mokany,
}

/// Ecological zones, with the kind of forest where the IPCC's table of ratios tells them apart.
pub const ZONES: [&str; 12] = [
    "tropical rainforest",
    "tropical moist deciduous",
    "tropical dry",
    "tropical shrubland",
    "tropical mountain",
    "subtropical humid",
    "subtropical dry",
    "subtropical steppe",
    "temperate conifer",
    "temperate eucalypt",
    "temperate broadleaf",
    "boreal",
];

/// How carbon is worked out and carried forward.
#[derive(Debug, Clone, PartialEq)]
pub struct CarbonRules {
    /// How the roots are found.
    pub roots: RootRule,
    /// Carbon in dry mass.
    pub fraction: f64,
    /// Stress of the climate, E of Chave et al. (2014).
    pub climate_stress: Option<f64>,
    /// Age of fastest growth, years: the likely one, the least and the greatest.
    pub fastest_growth: Option<[f64; 3]>,
    /// The most that the site comes to hold above the ground, dry t/ha.
    pub most: Option<f64>,
    /// Long-term mean forest productivity index, from which that most can be worked out.
    pub productivity: Option<f64>,
}

/// Carbon in dry wood, the default of IPCC (2006), volume 4, table 4.3.
pub const CARBON_FRACTION: f64 = 0.47;

impl Default for CarbonRules {
    fn default() -> Self {
        CarbonRules {
            roots: RootRule::default(),
            fraction: CARBON_FRACTION,
            climate_stress: None,
            fastest_growth: None,
            most: None,
            productivity: None,
        }
    }
}
