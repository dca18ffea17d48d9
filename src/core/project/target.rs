//! What the grant or the approval asks for.

use chrono::NaiveDate;

use crate::{
    project::{AreaId, Basis, FeatureKind, Layer, SpeciesId, Standing},
    source::Row,
    units::as_written,
};

/// Which figure a target is about.
#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    /// Share of planted stems alive.
    Survival,
    /// Living stems on a plan hectare, planted and self-sown.
    Density,
    /// Living planted stems on a plan hectare.
    PlantedDensity,
    /// Self-sown stems on a plan hectare.
    Recruits,
    /// Species planted.
    SpeciesCount,
    /// Stems planted to date.
    Stems,
    /// Stems planted in the period.
    StemsInPeriod,
    /// Cover of a layer.
    Cover {
        /// The layer.
        layer: Layer,
        /// What covers.
        cover: String,
    },
    /// Species found alive.
    Richness,
    /// Plan hectares.
    Area,
    /// Metres of a kind of feature.
    Length {
        /// The kind.
        kind: FeatureKind,
        /// Existing or new.
        standing: Standing,
    },
    /// Hours of work.
    Hours {
        /// Paid, volunteer or in kind.
        basis: Basis,
    },
    /// A quantity of a task.
    Quantity {
        /// The task, as written in the works log.
        task: String,
    },
    /// Money spent on a budget line, or in all.
    Spend {
        /// The line; `None` is the total.
        line: Option<String>,
    },
    /// Carbon stock.
    CarbonStock,
    /// Soil loss now over soil loss before.
    ErosionRatio,
    /// Median height of a species.
    Height {
        /// The species.
        species: SpeciesId,
    },
    /// Photo points with an earlier and a later picture.
    PhotoPairs,
}

/// What is asked of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// No less than this.
    AtLeast(f64),
    /// No more than this.
    AtMost(f64),
}

/// A figure so far on the wrong side of a target that something must be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Trigger {
    /// Action is called for below it where the target asks for no less, above it where it asks for no more.
    pub at: f64,
    /// What is then to be done, as the plan sets it.
    pub response: Option<String>,
}

/// What else an agreement says of how its target is judged.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Terms {
    /// The year of planting whose stems are meant; `None` is all.
    pub cohort: Option<i32>,
    /// The age of the planting, in years, at which it must hold.
    pub age_years: Option<f64>,
    /// Who decides.
    pub decides: Option<String>,
}

/// One target.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Its id.
    pub id: String,
    /// The agreement it stands in: "grant", "offset" or another word of the user's.
    pub under: String,
    /// Which figure it is about.
    pub measure: Measure,
    /// Which area; `None` is all of them.
    pub area: Option<AreaId>,
    /// What is asked.
    pub bound: Bound,
    /// The day by which it must hold; `None` is the period's end.
    pub by: Option<NaiveDate>,
    /// The agreement's own words.
    pub words: Option<String>,
    /// What calls for action, and which.
    pub trigger: Option<Trigger>,
    /// Of which planting, at which age, and by whom it is judged.
    pub terms: Terms,
    /// The line of `project.toml` where it stands.
    pub source: Row,
}

impl Measure {
    /// Whether it counts stems on a hectare that planting can bring there.
    #[must_use]
    pub fn is_density(&self) -> bool {
        matches!(self, Measure::Density | Measure::PlantedDensity)
    }
}

impl Target {
    /// What a target on living plants is of, in words, for "survival" means six things; nothing for other targets that say no more.
    #[must_use]
    pub fn definition(&self) -> Option<String> {
        let all = || "all stems planted".to_owned();
        let planted = self.terms.cohort.map_or_else(all, |year| format!("the stems planted in {year}"));
        let of = match &self.measure {
            Measure::Survival => format!("share alive of {planted}"),
            Measure::Density => {
                "living stems on a hectare of plan area, planted, infill and self-sown".to_owned()
            }
            Measure::PlantedDensity => {
                "living planted stems on a hectare of plan area, infill among them".to_owned()
            }
            Measure::Cover { .. } => "cover of the ground looked at".to_owned(),
            Measure::Height { .. } => "median height of the stems measured".to_owned(),
            _ => String::new(),
        };
        let age = self.terms.age_years.map(|years| {
            let years = as_written(years);
            format!("at the age of {years} {}", if years == "1" { "year" } else { "years" })
        });
        let decides = self.terms.decides.as_ref().map(|who| format!("{who} decides"));
        let parts: Vec<String> =
            [Some(of).filter(|of| !of.is_empty()), age, decides].into_iter().flatten().collect();
        (!parts.is_empty()).then(|| parts.join(", "))
    }
}
