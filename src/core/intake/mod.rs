//! Reads the project folder: its files, settings, layers and tables; checks them; gives the typed project.

mod agreements;
mod ahead;
mod answers;
mod archive;
mod asset_shares;
mod beside;
mod built_in;
mod called_otherwise;
mod cell;
mod checks;
mod choice;
mod corrected;
mod could_be;
mod crs;
mod folder;
mod forms;
mod glyphs;
mod ids;
mod kept;
mod key_file;
mod known_names;
mod last_word;
mod layers;
mod limits;
mod mapped;
mod mapping;
mod narrative;
mod nearest;
mod opened;
mod packed;
mod photos;
mod projects;
mod reader;
mod receipts;
mod record;
mod records;
mod settings;
mod sheets_left;
mod species_names;
pub mod stamp;
mod suppliers;
mod table;
pub mod terrain;
mod text;
mod whole;
mod withheld;
mod xml;

use std::{collections::BTreeMap, sync::Arc};

use crate::{problem::Problem, project::Project};

pub use ahead::{ahead, proposed};
pub use answers::{Answered, answers, called, is_unanswered_book};
pub use asset_shares::asset_shares;
pub use corrected::{CORRECTIONS, with_corrections};
pub use folder::{Folder, digest};
pub use kept::kept;
pub use key_file::{key_text, pack_file};
pub use known_names::{KnownNames, known_names};
pub use limits::{THUMBNAIL, THUMBNAILS};
pub use packed::{CopyError, Packed};
pub use projects::{Projects, projects};
pub use reader::templates;
pub use record::{Record, record};
pub use settings::{
    in_their_place, not_held_excerpt, originals_excerpt, others_excerpt, set_by, settings_excerpt,
    settings_naming, with_answers,
};
pub use whole::{SETTINGS, read};

/// A project folder that was read and may be built.
#[derive(Debug, Clone, PartialEq)]
pub struct Intake {
    /// What the folder says.
    pub project: Project,
    /// Doubts and remarks, in the order in which they are listed.
    pub problems: Vec<Problem>,
    /// Copies of inputs that must not leave the folder as they are, by path: what goes into the pack in their place.
    pub withheld: BTreeMap<Arc<str>, Vec<u8>>,
}
