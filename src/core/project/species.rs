//! Species: the built-in list with the folder's own on top.

use crate::project::{Cell, Column, TableRow};

use std::{collections::BTreeMap, fmt, sync::Arc};

/// A species by its scientific name, as the list writes it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpeciesId(pub Arc<str>);

impl fmt::Display for SpeciesId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Growth form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade")]
pub enum Form {
    Tree,
    Shrub,
    Palm,
    Vine,
    Grass,
    Sedge,
    Forb,
    Fern,
    Other,
}

impl Form {
    /// Every growth form.
    pub const ALL: [Form; 9] = [
        Form::Tree,
        Form::Shrub,
        Form::Palm,
        Form::Vine,
        Form::Grass,
        Form::Sedge,
        Form::Forb,
        Form::Fern,
        Form::Other,
    ];

    /// The growth form as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Form::Tree => "tree",
            Form::Shrub => "shrub",
            Form::Palm => "palm",
            Form::Vine => "vine",
            Form::Grass => "grass",
            Form::Sedge => "sedge",
            Form::Forb => "forb",
            Form::Fern => "fern",
            Form::Other => "other",
        }
    }
}

/// Place in the succession from bare ground to forest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Comes first, grows fast, lives short.
    Pioneer,
    /// Follows the pioneers.
    Secondary,
    /// Long-lived tree of the mature forest.
    Late,
    /// Ground layer.
    Ground,
}

impl Role {
    /// Every role, the first of the succession first.
    pub const ALL: [Role; 4] = [Role::Pioneer, Role::Secondary, Role::Late, Role::Ground];

    /// The role as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Role::Pioneer => "pioneer",
            Role::Secondary => "secondary",
            Role::Late => "late",
            Role::Ground => "ground",
        }
    }
}

/// How a species bears frost, drought or wet feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Tolerance {
    /// Dies of it.
    Sensitive,
    /// Suffers.
    Moderate,
    /// Bears it.
    Tolerant,
    /// Not known.
    #[default]
    Unknown,
}

impl Tolerance {
    /// Every degree.
    pub const ALL: [Tolerance; 4] =
        [Tolerance::Sensitive, Tolerance::Moderate, Tolerance::Tolerant, Tolerance::Unknown];

    /// It as it is written in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Tolerance::Sensitive => "sensitive",
            Tolerance::Moderate => "moderate",
            Tolerance::Tolerant => "tolerant",
            Tolerance::Unknown => "unknown",
        }
    }
}

/// Which list a species stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// The list that comes with the program.
    BuiltIn,
    /// The folder's `species` table.
    Folder,
}

/// What is known of one species. What is not known is `None`, never a guess.
#[derive(Debug, Clone, PartialEq)]
pub struct Species {
    /// Scientific name.
    pub id: SpeciesId,
    /// Author of the name.
    pub authority: Option<String>,
    /// Common name.
    pub common_name: Option<String>,
    /// Family.
    pub family: Option<String>,
    /// Growth form.
    pub form: Option<Form>,
    /// Place in the succession.
    pub role: Option<Role>,
    /// Allometric group, by its id in the carbon methods.
    pub allometry: Option<String>,
    /// Basic wood density, g/cm³ (oven-dry mass over green volume).
    pub wood_density: Option<f64>,
    /// How it bears frost.
    pub frost: Tolerance,
    /// How it bears drought.
    pub drought: Tolerance,
    /// How it bears waterlogging.
    pub waterlogging: Tolerance,
    /// Greatest height in floras, m.
    pub mature_height: Option<f64>,
    /// Whether it is native to the site; `None` where the list does not say.
    pub native: Option<bool>,
    /// Whether the name stands for a group of plants, whose stems count and which counts as no species.
    pub group: bool,
    /// Where the facts come from.
    pub fact_source: Option<String>,
    /// How sure they are, in the list's own words.
    pub confidence: Option<String>,
    /// Which list it stands in.
    pub origin: Origin,
}

/// All species known to a project.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpeciesList {
    species: BTreeMap<SpeciesId, Species>,
}

impl SpeciesList {
    /// Adds a species, or replaces the one of the same name.
    pub fn put(&mut self, species: Species) {
        self.species.insert(species.id.clone(), species);
    }

    /// What is known of `id`.
    #[must_use]
    pub fn get(&self, id: &SpeciesId) -> Option<&Species> {
        self.species.get(id)
    }

    /// Leaves out those that are not to be kept.
    pub fn retain(&mut self, keep: impl Fn(&Species) -> bool) {
        self.species.retain(|_, species| keep(species));
    }

    /// Whether `id` stands for a group of plants and not for a species.
    #[must_use]
    pub fn is_group(&self, id: &SpeciesId) -> bool {
        self.get(id).is_some_and(|species| species.group)
    }

    /// Every species, in order of name.
    pub fn iter(&self) -> impl Iterator<Item = &Species> + Clone {
        self.species.values()
    }
}

impl TableRow for Species {
    const TABLE: &'static str = "species";
    const COLUMNS: &'static [Column<Species>] = &[
        Column::needed("species", |row| (&row.id).into()),
        Column::optional("authority", |row| row.authority.as_ref().into()),
        Column::optional("common_name", |row| row.common_name.as_ref().into()),
        Column::optional("family", |row| row.family.as_ref().into()),
        Column::optional("form", |row| row.form.map(Form::word).into()),
        Column::optional("role", |row| row.role.map(Role::word).into()),
        Column::optional("allometry", |row| row.allometry.as_ref().into()),
        Column::optional("wood_density_g_cm3", |row| row.wood_density.into()),
        Column::taken_up("wood_density_source"),
        Column::optional("frost", |row| row.frost.word().into()),
        Column::optional("drought", |row| row.drought.word().into()),
        Column::optional("waterlogging", |row| row.waterlogging.word().into()),
        Column::optional("mature_height_m", |row| row.mature_height.into()),
        Column::optional("native", |row| row.native.map(Cell::yes).into()),
        Column::optional("group", |row| row.group.then(|| Cell::yes(true)).into()),
        Column::optional("source", |row| row.fact_source.as_ref().into()),
        Column::optional("confidence", |row| row.confidence.as_ref().into()),
        Column::taken_up("note"),
    ];
}
