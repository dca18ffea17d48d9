//! How problems, progress, receipts and explanations look on a terminal and as JSON.

mod audit;
mod explanation;
mod listing;
mod progress;
mod receipt;
mod roster;

pub use audit::{changes, changes_json, verdict, verdict_json};
pub use explanation::explanation;
pub use listing::{Listing, as_json, to_paste};
pub use progress::Progress;
pub use receipt::receipt;
pub use roster::{Bar, roster};

/// `text` without control characters: what others wrote must not steer the terminal.
fn plain(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
