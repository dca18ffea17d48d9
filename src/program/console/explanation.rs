//! One figure laid open: its value, method, equation, source and rows.

use std::fmt::Write as _;

use crate::console::plain;
use hillfolio_core::ledger::Explanation;

/// What stands for the reference of a method that needs none.
const COUNTED: &str = "none: counted or added up as the equation says";

/// What stands for the rows of a figure that came from none.
const NO_ROWS: &str = "none: nothing of the kind was recorded";

/// The explanation in lines, each with its heading.
#[must_use]
pub fn explanation(of: &Explanation) -> String {
    let mut text = format!("{}\n{}\n\n", of.id, plain(&of.label));
    let mut line = |heading: &str, words: &str| {
        let _ = writeln!(text, "{heading:<12} {}", plain(words));
    };
    line("value", &of.value);
    if let Some(interval) = &of.interval {
        line("interval", interval);
    }
    if let Some(method) = of.method {
        line("method", &format!("{} [{}]", method.title(), method.id()));
        line("equation", &method.equation());
        line("assumes", &method.assumptions());
        line("reference", if method.reference().is_empty() { COUNTED } else { method.reference() });
        if of.sources.is_empty() {
            line("rows", NO_ROWS);
        }
    }
    for rows in &of.sources {
        line("rows", &format!("{}: {}", rows.path, rows.rows));
        if let Some(sha256) = &rows.sha256 {
            line("", &format!("SHA-256 {sha256}"));
        }
    }
    for note in &of.notes {
        line("note", note);
    }
    text
}
