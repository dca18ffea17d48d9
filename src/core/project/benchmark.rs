//! Benchmarks: what a reference stand holds, against which the planting is held.

use crate::{
    project::{AreaId, Column, Form, Layer, SetAttribute, SpeciesId, TableRow, slug},
    source::Row,
};

/// What is compared.
#[derive(Debug, Clone, PartialEq)]
pub enum Attribute {
    /// Species found alive.
    Richness,
    /// Native species found alive.
    NativeRichness,
    /// Species of one growth form found alive.
    FormRichness(Form),
    /// Cover of a layer.
    Cover {
        /// The layer.
        layer: Layer,
        /// What covers.
        cover: String,
    },
    /// Living stems on a plan hectare.
    Density,
    /// Self-sown stems on a plan hectare.
    Recruits,
    /// Median height of a species.
    Height(SpeciesId),
    /// One of the set that government methods read.
    OfSet(SetAttribute),
}

impl Attribute {
    /// The attribute as it stands in ids.
    #[must_use]
    pub fn id(&self) -> String {
        match self {
            Attribute::Richness => "richness".to_owned(),
            Attribute::NativeRichness => "native-richness".to_owned(),
            Attribute::FormRichness(form) => format!("richness-of.{}", form.word()),
            Attribute::Cover { layer, cover } => format!("cover.{}.{}", layer.word(), slug(cover)),
            Attribute::Density => "density".to_owned(),
            Attribute::Recruits => "recruits".to_owned(),
            Attribute::Height(species) => format!("height.{}", slug(&species.0)),
            Attribute::OfSet(attribute) => attribute.id(),
        }
    }

    /// Whether its benchmark is written in per cent, while its figure is a share.
    #[must_use]
    pub fn in_per_cent(&self) -> bool {
        matches!(
            self,
            Attribute::Cover { .. }
                | Attribute::OfSet(SetAttribute::Cover(_) | SetAttribute::RecruitingTrees)
        )
    }

    /// The attribute in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Attribute::Richness => "species".to_owned(),
            Attribute::NativeRichness => "native species".to_owned(),
            Attribute::FormRichness(form) => format!("species of growth form {}", form.word()),
            Attribute::Cover { layer, cover } => {
                format!("cover of the {} layer, {}", layer.word(), cover.trim())
            }
            Attribute::Density => "living stems per hectare".to_owned(),
            Attribute::Recruits => "self-sown stems per hectare".to_owned(),
            Attribute::Height(species) => format!("height of {species}"),
            Attribute::OfSet(attribute) => attribute.words(),
        }
    }
}

/// The published method by which an attribute is scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scoring {
    /// Queensland's BioCondition: height of the tree canopy.
    CanopyHeight,
    /// The same: cover of the tree canopy.
    CanopyCover,
    /// The same: cover of shrubs.
    ShrubCover,
    /// The same: species of one life form.
    LifeFormRichness,
    /// The same: cover of native perennial grass.
    NativeGrass,
    /// The same: cover of litter.
    Litter,
    /// The same: cover of plants that are not native.
    NonNative,
    /// New South Wales' Biodiversity Assessment Method: a growth form's species or cover.
    GrowthForm,
}

impl Scoring {
    /// Every scoring.
    pub const ALL: [Scoring; 8] = [
        Scoring::CanopyHeight,
        Scoring::CanopyCover,
        Scoring::ShrubCover,
        Scoring::LifeFormRichness,
        Scoring::NativeGrass,
        Scoring::Litter,
        Scoring::NonNative,
        Scoring::GrowthForm,
    ];

    /// The scoring as it is written in the table.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Scoring::CanopyHeight => "BioCondition canopy height",
            Scoring::CanopyCover => "BioCondition canopy cover",
            Scoring::ShrubCover => "BioCondition shrub cover",
            Scoring::LifeFormRichness => "BioCondition richness",
            Scoring::NativeGrass => "BioCondition native grass",
            Scoring::Litter => "BioCondition litter",
            Scoring::NonNative => "BioCondition non-native cover",
            Scoring::GrowthForm => "BAM growth form",
        }
    }
}

/// One benchmark.
#[derive(Debug, Clone, PartialEq)]
pub struct Benchmark {
    /// What is compared.
    pub attribute: Attribute,
    /// The area that it holds for; `None` is all of them.
    pub area: Option<AreaId>,
    /// What a reference stand holds: species, per cent of cover, stems on a hectare, metres.
    pub value: f64,
    /// Where the benchmark comes from.
    pub reference: String,
    /// The method by which it is scored; `None` compares and does not score.
    pub scoring: Option<Scoring>,
    /// A note.
    pub note: Option<String>,
    /// The row of the table.
    pub source: Row,
}

impl TableRow for Benchmark {
    const TABLE: &'static str = "benchmarks";
    const COLUMNS: &'static [Column<Benchmark>] = &[
        Column::needed("attribute", |row| row.attribute.words().into()),
        Column::optional("area", |row| row.area.as_ref().into()),
        Column::taken_up("form"),
        Column::taken_up("layer"),
        Column::taken_up("cover"),
        Column::taken_up("species"),
        Column::needed("benchmark", |row| row.value.into()),
        Column::needed("source", |row| (&row.reference).into()),
        Column::optional("scored_as", |row| row.scoring.map(Scoring::words).into()),
        Column::optional("note", |row| row.note.as_ref().into()),
    ];
}
