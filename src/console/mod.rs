//! How problems, progress, receipts and explanations look on a terminal and as JSON.

mod explanation;
mod listing;
mod progress;
mod receipt;

pub use explanation::explanation;
pub use listing::{Listing, as_json};
pub use progress::Progress;
pub use receipt::receipt;
