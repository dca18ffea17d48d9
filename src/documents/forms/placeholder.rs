//! Placeholders: `{{survival.all}}`, `{{survival.all | interval}}`, `{{rows.spending.payee}}`, `{{spend.line.*}}`.

use std::ops::Range;

/// What of a value is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// The value as it is printed, with its unit.
    Value,
    /// The digits alone.
    Number,
    /// The interval.
    Interval,
    /// What the figure is called.
    Label,
}

/// A placeholder in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placeholder {
    /// Where it stands, braces among it.
    pub(super) place: Range<usize>,
    /// What stands between the braces.
    pub(super) inside: String,
    /// What is asked for.
    pub(super) name: String,
    /// What of it; `None` for a word that nothing is meant by.
    pub(super) wanted: Option<Wanted>,
}

impl Placeholder {
    /// Whether a row that holds it is repeated, once for each member of a list.
    pub(super) fn is_of_list(&self) -> bool {
        self.name.starts_with("rows.") || self.name.ends_with(".*")
    }
}

/// The placeholders of `text`, in order.
pub(super) fn placeholders(text: &str) -> Vec<Placeholder> {
    let (mut found, mut from) = (Vec::new(), 0);
    while let Some(open) = text[from..].find("{{").map(|at| from + at) {
        let Some(close) = text[open..].find("}}").map(|at| open + at) else { break };
        // Of several pairs of braces that open, the last is meant.
        let open = text[..close].rfind("{{").unwrap_or(open);
        let inside = &text[open + 2..close];
        let (name, wanted) = match inside.split_once('|') {
            None => (inside, Some(Wanted::Value)),
            Some((name, word)) => {
                let wanted = match word.trim() {
                    "interval" => Some(Wanted::Interval),
                    "number" => Some(Wanted::Number),
                    "label" => Some(Wanted::Label),
                    _ => None,
                };
                (name, wanted)
            }
        };
        found.push(Placeholder {
            place: open..close + 2,
            inside: inside.trim().to_owned(),
            name: name.trim().to_owned(),
            wanted,
        });
        from = close + 2;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn placeholders_are_found_with_what_is_wanted_of_them() {
        let found = placeholders("a {{ survival.all }} b {{x|interval}}{{{{y | odd}} {{open");
        let names: Vec<(&str, Option<Wanted>)> =
            found.iter().map(|one| (one.name.as_str(), one.wanted)).collect();
        assert_eq!(
            names,
            [("survival.all", Some(Wanted::Value)), ("x", Some(Wanted::Interval)), ("y", None)]
        );
        assert_eq!(found[0].place, 2..20);
        assert!(
            placeholders("{{rows.spending.date}}")[0].is_of_list() && placeholders("{{a.*}}")[0].is_of_list()
        );
    }
}
