//! From figures to what is handed over: maps and charts, typeset documents, layers, tables and the pack.

pub mod draw;
pub mod exports;
pub mod forms;
pub mod pack;
pub mod thumbnails;
pub mod typeset;
