//! What the folder says, typed and valid: plain data, nothing read and nothing computed here.

mod action;
mod agreement;
mod approval;
mod area;
mod attribute_set;
mod benchmark;
mod carbon;
mod claim;
mod cover;
mod crew;
mod feature;
mod field_sheet;
mod file_names;
mod ground;
mod identity;
mod layer_field;
mod money;
mod money_tests;
mod narrative;
mod nursery;
mod other_source;
mod part;
mod pattern;
mod photo;
mod planting;
mod practice;
mod rain;
mod reason;
mod register;
mod round;
mod settings;
mod sharing_rule;
mod sighting;
mod slug;
mod species;
mod survey;
mod table;
mod target;
mod tree;
mod turned;
mod works;

use crate::source::Input;

pub use action::{Action, Occasion};
pub use agreement::{
    Agreement, AgreementKind, AnswerLimit, BudgetSpan, CarriedOver, Contribution, DateBasis, DatedSum,
    Instalment, Milestone, Question, Reported, Signer, Variation, YearBudget,
};
pub use approval::{Approval, Commitment, Compliance, PlannedWork};
pub use area::{Area, AreaId};
pub use attribute_set::{Aspect, CoverKind, FormGroup, SET_METHODS, SetAttribute};
pub use benchmark::{Attribute, Benchmark, Scoring};
pub use carbon::{CARBON_FRACTION, CarbonRules, RootRule, ZONES};
pub use claim::{AgreementId, Claims, Payer};
pub use cover::{CoverClass, CoverMeasure, CoverReading, Layer, SCALES, Scale};
pub use crew::Crew;
pub use feature::{Feature, FeatureKind, Shape, Standing};
pub use field_sheet::{Check, FieldColumn, FieldSheet, LAST_TIME, given_in_field};
pub use file_names::refused_by_windows;
pub use ground::Ground;
pub use identity::{Identity, Paper, Period};
pub use layer_field::{LAYER_FIELDS, LayerColumn};
pub use money::{BudgetLine, MoneyRules, Spending, TaxBasis, TaxRecorded};
pub use money_tests::{Explain, UnspentFate, UnspentRule, VarianceTest};
pub use narrative::{Block, Chapter, Span, WordPicture, WordTable};
pub use nursery::{NurseryRules, StockLine};
pub use other_source::{OtherSource, StatementScope};
pub use part::{AssetShare, NotCharged};
pub use pattern::answers;
pub use photo::{Photo, PhotoPoint};
pub use planting::{Planting, Stock};
pub use rain::RainDay;
pub use reason::Reason;
pub use register::{Asset, Matter, Risk};
pub use settings::{
    Climate, CoverBefore, Months, PlantingDesign, SlopeClasses, Soil, Statistics, TargetRule, VolunteerRate,
};
pub use sharing_rule::{ShareBasis, ShareOver, Sharing};
pub use sighting::Sighting;
pub use slug::slug;
pub use species::{Form, Origin, Role, Species, SpeciesId, SpeciesList, Tolerance};
pub use survey::{
    DiameterAt, MeasuredOn, MeasuredSlope, Plot, PlotId, PlotShape, Stem, StemStatus, Stratum, Tally,
};
pub use table::{Cell, Column, Head, Table, TableRow};
pub use target::{Bound, Measure, Target, Terms, Trigger};
pub use tree::{Mark, trees};
pub use works::{Basis, Work};

/// One planting project: everything that its folder says, in the order in which the files say it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Project {
    /// Who, where and under which reference.
    pub identity: Identity,
    /// The reporting period.
    pub period: Period,
    /// How figures are judged.
    pub statistics: Statistics,
    /// The approval that an offset is done under.
    pub approval: Option<Approval>,
    /// The agreements over the place, in the order of `project.toml`; none where the folder is one agreement's.
    pub agreements: Vec<Agreement>,
    /// Rules by which rows that name no agreement are shared out, the first that fits deciding.
    pub sharing: Vec<Sharing>,
    /// Cash that the landholder put in.
    pub own_cash: Vec<DatedSum>,
    /// Whether the pack of each agreement holds the whole folder beside the part that its documents rest on.
    pub whole_inputs: bool,
    /// The files of the whole folder from which this part of it was taken, with their sums.
    pub originals: Vec<Input>,
    /// Others who pay for the place, where the documents of this part of it tell of them.
    pub other_sources: Vec<OtherSource>,
    /// Costs of its only agreement that are not charged to it for their day.
    pub not_charged: Vec<NotCharged>,
    /// What its only agreement bore of things that several paid for.
    pub asset_shares: Vec<AssetShare>,
    /// How money is acquitted.
    pub money: MoneyRules,
    /// Wet season and frost months.
    pub climate: Climate,
    /// Soil facts for the erosion estimate.
    pub soil: Soil,
    /// The cover as it was before the work began.
    pub cover_before: Option<CoverBefore>,
    /// How carbon is worked out.
    pub carbon: CarbonRules,
    /// Slope class breaks.
    pub slope_classes: SlopeClasses,
    /// The planting design for the landholder's plan.
    pub design: Option<PlantingDesign>,
    /// How its plants are ordered and raised.
    pub nursery: NurseryRules,
    /// The crew that sets out and plants.
    pub crew: Crew,
    /// The plants of the plan: shares, stock to hand, seed.
    pub stock: Vec<StockLine>,
    /// The agreed budget.
    pub budget: Vec<BudgetLine>,
    /// What the grant or the approval asks for.
    pub targets: Vec<Target>,
    /// Planting areas, in the order of their file.
    pub areas: Vec<Area>,
    /// Fences, tracks, watercourses and the like.
    pub features: Vec<Feature>,
    /// The species known to the project: the built-in list with the folder's own on top.
    pub species: SpeciesList,
    /// What was planted.
    pub plantings: Vec<Planting>,
    /// Survey plots.
    pub plots: Vec<Plot>,
    /// Counts by plot and species.
    pub tallies: Vec<Tally>,
    /// Measured stems.
    pub stems: Vec<Stem>,
    /// Cover readings.
    pub cover: Vec<CoverReading>,
    /// What reference stands hold.
    pub benchmarks: Vec<Benchmark>,
    /// Slopes measured where there is no terrain model.
    pub slopes: Vec<MeasuredSlope>,
    /// Daily rain, in the order of its table.
    pub rain: Vec<RainDay>,
    /// Heights of the ground, where the folder has a terrain model.
    pub ground: Option<Ground>,
    /// Work done.
    pub works: Vec<Work>,
    /// Money out.
    pub spending: Vec<Spending>,
    /// Why lines and targets came out as they did.
    pub reasons: Vec<Reason>,
    /// Conditions and commitments, in the order of their table.
    pub commitments: Vec<Commitment>,
    /// What went wrong or was changed, and what was done about it, by day.
    pub actions: Vec<Action>,
    /// Work planned for the year to come, by day.
    pub programme: Vec<PlannedWork>,
    /// Wildlife seen.
    pub sightings: Vec<Sighting>,
    /// Fixed photo points.
    pub photo_points: Vec<PhotoPoint>,
    /// Pictures taken from them, by point and day.
    pub photos: Vec<Photo>,
    /// The words only a person can write.
    pub narrative: Vec<Chapter>,
    /// Every file that was read, in order of path.
    pub inputs: Vec<Input>,
    /// Receipts that the spending names and the folder holds, in order of path: they stay there.
    pub receipts: Vec<Input>,
}

impl Project {
    /// The area with this id, matched as ids are: without regard to case and surrounding space.
    #[must_use]
    pub fn area(&self, id: &AreaId) -> Option<&Area> {
        self.areas.iter().find(|area| &area.id == id)
    }

    /// The plot with this id.
    #[must_use]
    pub fn plot(&self, id: &PlotId) -> Option<&Plot> {
        self.plots.iter().find(|plot| &plot.id == id)
    }

    /// The agreement with this id.
    #[must_use]
    pub fn agreement(&self, id: &AgreementId) -> Option<&Agreement> {
        self.agreements.iter().find(|agreement| &agreement.id == id)
    }

    /// The agreement that everything here is of, where there is one alone.
    #[must_use]
    pub fn only_agreement(&self) -> Option<&Agreement> {
        self.agreements.first().filter(|_| self.agreements.len() == 1)
    }

    /// Which spending the budget is held against; a folder without an agreement has one budget for its whole life.
    #[must_use]
    pub fn budget_span(&self) -> BudgetSpan {
        self.only_agreement().map_or(BudgetSpan::ToDate, Agreement::budget_span)
    }

    /// Plantings done by the end of the reporting period.
    pub fn plantings_to_date(&self) -> impl Iterator<Item = &Planting> {
        self.plantings.iter().filter(|planting| planting.date <= self.period.to)
    }

    /// Every table of the folder, as it was understood: of the species, the folder's own.
    #[must_use]
    pub fn tables(&self) -> Vec<Table<'_>> {
        vec![
            Table::of(&self.plantings),
            Table::of(&self.plots),
            Table::of(&self.tallies),
            Table::of(&self.stems),
            Table::of(&self.cover),
            Table::of(&self.benchmarks),
            Table::of(&self.slopes),
            Table::of(&self.rain),
            Table::of(&self.works),
            Table::of(&self.spending),
            Table::of(&self.reasons),
            Table::of(&self.commitments),
            Table::of(&self.actions),
            Table::of(&self.programme),
            Table::of(&self.sightings),
            Table::of(&self.photo_points),
            Table::of(&self.photos),
            Table::of(&self.stock),
            Table::of(self.species.iter().filter(|species| species.origin == Origin::Folder)),
        ]
    }
}
