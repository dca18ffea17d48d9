//! Words of a design's pattern, and which species answer to them.

use crate::project::{Form, Role, Species};

/// Genera that are called eucalypts.
const EUCALYPTS: [&str; 3] = ["Angophora", "Corymbia", "Eucalyptus"];

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
