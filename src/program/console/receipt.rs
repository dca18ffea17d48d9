//! What was written, in a few lines.

use std::fmt::Write as _;

use crate::console::plain;
use hillfolio_documents::pack::{CarriedOver, Receipt};

/// The files of a build with their sizes, where they are, and what stayed of an earlier one.
#[must_use]
pub fn receipt(receipt: &Receipt) -> String {
    let mut text = String::new();
    let widest = receipt.files.iter().map(|(path, _)| path.chars().count()).max().unwrap_or(0);
    for (path, bytes) in &receipt.files {
        let _ = writeln!(text, "  {path:<widest$}  {:>9}", size(*bytes));
    }
    let _ = writeln!(text, "{} files in {}", receipt.files.len(), receipt.out.display());
    if !receipt.kept.is_empty() {
        let _ = writeln!(text, "kept there, since no build wrote it or somebody changed it since:");
    }
    for CarriedOver { before, now } in &receipt.kept {
        let was = if before == now { String::new() } else { format!(", which was {}", plain(before)) };
        let _ = writeln!(text, "  {}{was}", plain(now));
    }
    text
}

/// A size that a person can weigh.
fn size(bytes: u64) -> String {
    match bytes {
        0..10_000 => format!("{bytes} B"),
        10_000..10_000_000 => format!("{} kB", bytes / 1_000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}
