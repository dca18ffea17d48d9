//! Packs held to account: whether one still says what its inputs give, and what changed from one to the next.
//!
//! Nothing is read or worked out here: sums, ledgers and lists come in, differences go out.

mod changes;
mod seal;
mod side_by_side;
mod sums;
mod verdict;

pub use changes::{Change, Changes, Ranges, RowCount, State, Turn, changes};
pub use seal::{Seal, SealError, held, new_keys, sealed};
pub use sums::{Fault, Member, Sums, faults};
pub use verdict::{FileFault, Forged, Recomputed, Redone, Verdict, carried, differences, files, forged};

/// Folder of the inputs inside a pack.
pub const INPUTS: &str = "inputs/";

/// Folder of the sender's own templates inside a pack.
pub const TEMPLATES: &str = "templates/";

/// Folder of the whole folder inside a pack of a part of it: held against its sums alone.
pub const ORIGINALS: &str = "originals/";

/// The ledger inside a pack.
pub const LEDGER: &str = "data/figures.json";
