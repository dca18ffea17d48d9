//! What was written, in a few lines.

use std::fmt::Write as _;

use hillfolio_documents::pack::Receipt;

/// The files of a build with their sizes, and where they are.
#[must_use]
pub fn receipt(receipt: &Receipt) -> String {
    let mut text = String::new();
    let widest = receipt.files.iter().map(|(path, _)| path.chars().count()).max().unwrap_or(0);
    for (path, bytes) in &receipt.files {
        let _ = writeln!(text, "  {path:<widest$}  {:>9}", size(*bytes));
    }
    let _ = writeln!(text, "{} files in {}", receipt.files.len(), receipt.out.display());
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
