//! How problems, progress, receipts and explanations look on a terminal and as JSON.

mod explanation;
mod listing;
mod progress;
mod receipt;
mod roster;

pub use explanation::explanation;
pub use listing::{Listing, as_json};
pub use progress::Progress;
pub use receipt::receipt;
pub use roster::{Bar, roster};
