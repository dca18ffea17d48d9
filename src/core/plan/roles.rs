//! Which species answer to a word of the pattern, and which may stand where.

use crate::project::{Area, Form, Role, Species, Tolerance};

/// Genera that are called eucalypts.
const EUCALYPTS: [&str; 3] = ["Angophora", "Corymbia", "Eucalyptus"];

/// What ground does to plants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Site {
    /// Frost settles there.
    pub frosty: bool,
    /// It dries out.
    pub dry: bool,
    /// Water stands there.
    pub waterlogged: bool,
}

impl Site {
    /// What the boundary file says of `area`.
    #[must_use]
    pub fn of(area: &Area) -> Site {
        Site { frosty: area.frosty, dry: area.dry, waterlogged: area.waterlogged }
    }

    /// Whether `species` can be expected to live there: it is not known to die of what the ground does.
    #[must_use]
    pub fn bears(self, species: &Species) -> bool {
        let trials = [
            (self.frosty, species.frost),
            (self.dry, species.drought),
            (self.waterlogged, species.waterlogging),
        ];
        !trials.contains(&(true, Tolerance::Sensitive))
    }
}

/// Whether `species` answers to `word` of a pattern: its name, its common name or its genus, its role (pioneer, secondary, late,
/// ground), its form (tree, shrub, palm, vine, grass, sedge, forb, fern), or `eucalypt` for that group of genera.
#[must_use]
pub fn answers(species: &Species, word: &str) -> bool {
    let word = word.trim();
    let is = |name: &str| name.eq_ignore_ascii_case(word);
    let genus = species.id.0.split_whitespace().next().unwrap_or_default();
    is(&species.id.0)
        || is(genus)
        || species.common_name.as_deref().is_some_and(is)
        || species.role.map(Role::word).is_some_and(is)
        || species.form.filter(|form| *form != Form::Other).map(Form::word).is_some_and(is)
        || (is("eucalypt") && EUCALYPTS.contains(&genus))
}
