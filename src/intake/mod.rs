//! wip
mod layers;
mod limits;
mod mapping;
mod narrative;
mod nearest;
mod settings;
