//! Hillfolio turns a planting project's folder into checked figures, maps and typeset reports.
//!
//! The whole run, of which [`build`] is the story:
//!
//! ```text
//! intake      the folder is read and checked: a typed project, or everything that is wrong with it
//! estimate    survival, cover, carbon, erosion …, each with its interval and its method
//! plan        rows, positions and orders of what is still to be planted
//! ledger      every figure under a stable id, with the rows that it came from
//! draw        maps, photos and charts
//! typeset     documents, while everything else is packed already
//! pack        names and bytes, all at once or not at all
//! ```
//!
//! The other [`commands`] take parts of the same way: `check` stops after the first step, `explain` and `compare` after the
//! ledger; `verify` goes all of it again from the inputs of a pack; `portfolio` goes it for many projects at a time.

pub mod audit;
pub mod cli;
pub mod commands;
pub mod console;
pub mod portfolio;

pub use commands::{AnswerError, Built, CommandError, Comparison, How, Order, Written};
pub use commands::{answer, build, build_member, check, compare, explain, sheets, verify, write_corrections};

/// The program's version, as documents and ledgers state it.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
