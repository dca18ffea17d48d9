//! Reads the project folder: its files, settings, layers and tables; checks them; gives the typed project.

mod folder;
mod limits;
mod mapping;
mod text;

pub use folder::{Folder, digest};
