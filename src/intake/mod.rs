//! Reads the project folder: its files, settings, layers and tables; checks them; gives the typed project.

mod cell;
mod folder;
mod ids;
mod limits;
mod mapping;
mod nearest;
mod photos;
mod records;
mod species_names;
mod table;
mod text;

pub use folder::{Folder, digest};
