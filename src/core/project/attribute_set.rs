//! The attributes by which government plot methods describe a stand, so far as a survey of plots can tell them.
//!
//! Which attributes a method reads was taken from pages of its agency where these could be opened (BioCondition, the Victorian manual's
//! title and contents, the national protocols) and stands as remembered otherwise.

use crate::project::{Form, Layer};

/// The three sides of a stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the methods")]
pub enum Aspect {
    Composition,
    Structure,
    Function,
}

impl Aspect {
    /// The aspect as a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Aspect::Composition => "composition",
            Aspect::Structure => "structure",
            Aspect::Function => "function",
        }
    }
}

/// Growth forms as the methods put them together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the methods")]
pub enum FormGroup {
    Tree,
    Shrub,
    GrassLike,
    Forb,
    Fern,
    Other,
}

impl FormGroup {
    /// Every group.
    pub const ALL: [FormGroup; 6] = [
        FormGroup::Tree,
        FormGroup::Shrub,
        FormGroup::GrassLike,
        FormGroup::Forb,
        FormGroup::Fern,
        FormGroup::Other,
    ];

    /// The group of a growth form.
    #[must_use]
    pub fn of(form: Form) -> FormGroup {
        match form {
            Form::Tree => FormGroup::Tree,
            Form::Shrub => FormGroup::Shrub,
            Form::Grass | Form::Sedge => FormGroup::GrassLike,
            Form::Forb => FormGroup::Forb,
            Form::Fern => FormGroup::Fern,
            Form::Palm | Form::Vine | Form::Other => FormGroup::Other,
        }
    }

    /// The group as it stands in ids.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            FormGroup::Tree => "tree",
            FormGroup::Shrub => "shrub",
            FormGroup::GrassLike => "grass-like",
            FormGroup::Forb => "forb",
            FormGroup::Fern => "fern",
            FormGroup::Other => "other",
        }
    }

    fn plural(self) -> &'static str {
        match self {
            FormGroup::Tree => "trees",
            FormGroup::Shrub => "shrubs",
            FormGroup::GrassLike => "grasses and grass-like plants",
            FormGroup::Forb => "forbs",
            FormGroup::Fern => "ferns",
            FormGroup::Other => "palms, vines and others",
        }
    }
}

/// A cover that the methods read, put together from the covers of a folder by their names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the methods")]
pub enum CoverKind {
    NativeCanopy,
    NativeShrubs,
    NativeGrass,
    Litter,
    Bare,
    Exotic,
}

impl CoverKind {
    /// The layer in which it is read.
    #[must_use]
    pub fn layer(self) -> Layer {
        match self {
            CoverKind::NativeCanopy => Layer::Canopy,
            CoverKind::NativeShrubs => Layer::Shrub,
            CoverKind::NativeGrass | CoverKind::Litter | CoverKind::Bare | CoverKind::Exotic => Layer::Ground,
        }
    }

    /// Whether a cover of that layer, as it is written, is of this kind.
    #[must_use]
    pub fn holds(self, cover: &str) -> bool {
        let name = cover.to_lowercase();
        let exotic =
            ["exotic", "weed", "introduced", "non-native", "alien"].iter().any(|word| name.contains(word));
        match self {
            CoverKind::NativeCanopy | CoverKind::NativeShrubs => !exotic,
            CoverKind::NativeGrass => !exotic && name.contains("grass"),
            CoverKind::Litter => name.contains("litter"),
            CoverKind::Bare => name.contains("bare"),
            CoverKind::Exotic => exotic,
        }
    }
}

/// One attribute of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SetAttribute {
    /// Native species of a group of growth forms.
    NativeSpecies(FormGroup),
    /// Cover.
    Cover(CoverKind),
    /// Median height of native trees.
    CanopyHeight,
    /// Classes of stem size that hold a native tree.
    StemClasses,
    /// Share of native tree species with self-sown young.
    RecruitingTrees,
    /// Self-sown stems.
    Recruits,
    /// Trees as large as the benchmark's.
    LargeTrees,
    /// Length of fallen logs.
    FallenLogs,
}

const BAM: &str = "BAM";
const BIOCONDITION: &str = "BioCondition";
const BOTH: &str = "BAM, BioCondition";
const ALL_THREE: &str = "BAM, BioCondition, VQA";
const CANOPY: &str = "BioCondition, VQA";
const PROTOCOLS: &str = "national protocols";

/// The methods that [`SetAttribute::methods`] names, in full.
pub const SET_METHODS: &str = "BAM: Biodiversity Assessment Method (New South Wales, 2020). BioCondition: Eyre et al. (2015, \
                               Queensland Herbarium). VQA: Vegetation Quality Assessment Manual (Victoria, 2004). National \
                               protocols: Australia’s ecological field protocols, module on cover";

impl SetAttribute {
    /// The whole set, in the order in which it is listed.
    #[must_use]
    pub fn all() -> Vec<SetAttribute> {
        let species = FormGroup::ALL.map(SetAttribute::NativeSpecies);
        let rest = [
            SetAttribute::Cover(CoverKind::NativeCanopy),
            SetAttribute::Cover(CoverKind::NativeShrubs),
            SetAttribute::Cover(CoverKind::NativeGrass),
            SetAttribute::CanopyHeight,
            SetAttribute::StemClasses,
            SetAttribute::RecruitingTrees,
            SetAttribute::Recruits,
            SetAttribute::Cover(CoverKind::Litter),
            SetAttribute::Cover(CoverKind::Bare),
            SetAttribute::Cover(CoverKind::Exotic),
            SetAttribute::LargeTrees,
            SetAttribute::FallenLogs,
        ];
        species.into_iter().chain(rest).collect()
    }

    /// Which side of the stand it speaks of.
    #[must_use]
    pub fn aspect(self) -> Aspect {
        match self {
            SetAttribute::NativeSpecies(_) => Aspect::Composition,
            SetAttribute::Cover(
                CoverKind::NativeCanopy | CoverKind::NativeShrubs | CoverKind::NativeGrass,
            )
            | SetAttribute::CanopyHeight => Aspect::Structure,
            SetAttribute::Cover(_)
            | SetAttribute::StemClasses
            | SetAttribute::RecruitingTrees
            | SetAttribute::Recruits
            | SetAttribute::LargeTrees
            | SetAttribute::FallenLogs => Aspect::Function,
        }
    }

    /// The published methods that read it.
    #[must_use]
    pub fn methods(self) -> &'static str {
        match self {
            SetAttribute::NativeSpecies(FormGroup::Fern | FormGroup::Other) | SetAttribute::StemClasses => {
                BAM
            }
            SetAttribute::NativeSpecies(_) => BOTH,
            SetAttribute::Cover(CoverKind::NativeCanopy) => CANOPY,
            SetAttribute::Cover(CoverKind::NativeShrubs | CoverKind::NativeGrass)
            | SetAttribute::CanopyHeight => BIOCONDITION,
            SetAttribute::Cover(CoverKind::Bare) => PROTOCOLS,
            SetAttribute::Cover(CoverKind::Litter | CoverKind::Exotic)
            | SetAttribute::RecruitingTrees
            | SetAttribute::Recruits
            | SetAttribute::LargeTrees
            | SetAttribute::FallenLogs => ALL_THREE,
        }
    }

    /// The attribute as it stands in ids.
    #[must_use]
    pub fn id(self) -> String {
        match self {
            SetAttribute::NativeSpecies(group) => format!("native-species.{}", group.word()),
            SetAttribute::Cover(CoverKind::NativeCanopy) => "native-canopy".to_owned(),
            SetAttribute::Cover(CoverKind::NativeShrubs) => "native-shrubs".to_owned(),
            SetAttribute::Cover(CoverKind::NativeGrass) => "native-grass".to_owned(),
            SetAttribute::Cover(CoverKind::Litter) => "litter".to_owned(),
            SetAttribute::Cover(CoverKind::Bare) => "bare-ground".to_owned(),
            SetAttribute::Cover(CoverKind::Exotic) => "exotic-cover".to_owned(),
            SetAttribute::CanopyHeight => "canopy-height".to_owned(),
            SetAttribute::StemClasses => "stem-classes".to_owned(),
            SetAttribute::RecruitingTrees => "recruiting-trees".to_owned(),
            SetAttribute::Recruits => "recruits".to_owned(),
            SetAttribute::LargeTrees => "large-trees".to_owned(),
            SetAttribute::FallenLogs => "fallen-logs".to_owned(),
        }
    }

    /// The attribute in words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            SetAttribute::NativeSpecies(group) => format!("Native species, {}", group.plural()),
            SetAttribute::Cover(CoverKind::NativeCanopy) => "Cover of the native canopy".to_owned(),
            SetAttribute::Cover(CoverKind::NativeShrubs) => "Cover of native shrubs".to_owned(),
            SetAttribute::Cover(CoverKind::NativeGrass) => "Cover of native grass".to_owned(),
            SetAttribute::Cover(CoverKind::Litter) => "Cover of litter".to_owned(),
            SetAttribute::Cover(CoverKind::Bare) => "Bare ground".to_owned(),
            SetAttribute::Cover(CoverKind::Exotic) => "Cover of plants that are not native".to_owned(),
            SetAttribute::CanopyHeight => "Median height of native trees".to_owned(),
            SetAttribute::StemClasses => "Size classes that hold a living native tree, of seven".to_owned(),
            SetAttribute::RecruitingTrees => "Native tree species with self-sown young".to_owned(),
            SetAttribute::Recruits => "Self-sown stems".to_owned(),
            SetAttribute::LargeTrees => "Large trees".to_owned(),
            SetAttribute::FallenLogs => "Length of fallen logs".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn covers_are_known_by_the_words_in_their_names() {
        assert!(CoverKind::Exotic.holds("Exotic grass") && !CoverKind::NativeGrass.holds("Exotic grass"));
        assert!(CoverKind::NativeGrass.holds("native grass") && CoverKind::NativeCanopy.holds("native"));
        assert!(CoverKind::Exotic.holds("weed: lantana") && CoverKind::Bare.holds("Bare soil"));
        assert!(!CoverKind::Litter.holds("bare") && !CoverKind::Exotic.holds("forb"));
    }

    #[test]
    fn every_attribute_has_its_own_id() {
        let ids: std::collections::BTreeSet<String> =
            SetAttribute::all().into_iter().map(SetAttribute::id).collect();
        assert_eq!(ids.len(), SetAttribute::all().len());
        assert!(SetAttribute::all().windows(2).all(|pair| pair[0].aspect() <= pair[1].aspect()));
    }
}
