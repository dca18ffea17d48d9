//! Reads the project folder: its files, settings, layers and tables; checks them; gives the typed project.

mod cell;
mod checks;
mod folder;
mod ids;
mod layers;
mod limits;
mod mapping;
mod narrative;
mod nearest;
mod photos;
mod records;
mod settings;
mod species_names;
mod table;
mod text;

pub use folder::{Folder, digest};
