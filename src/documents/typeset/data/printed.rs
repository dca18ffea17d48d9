//! Figures, days and names as they stand on paper.

use chrono::{Datelike as _, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use hillfolio_core::{
    estimate::Gap,
    ledger::{Entry, FigureId, Ledger, Series, value_text},
};

/// A figure ready to print, or the reason why there is none.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
pub(crate) struct Printed {
    /// Its id in the ledger.
    pub(crate) id: String,
    /// What it is called.
    pub(crate) label: String,
    /// The number with its unit.
    pub(crate) text: Option<String>,
    /// The number alone, for a column whose heading holds the unit.
    pub(crate) number: Option<String>,
    /// The unit that stands before the number: a currency.
    pub(crate) before: Option<String>,
    /// The unit that stands behind the number.
    pub(crate) behind: Option<String>,
    /// The interval.
    pub(crate) interval: Option<String>,
    /// Why there is no number.
    pub(crate) gap: Option<String>,
    /// Whether there is no number because nobody looked.
    pub(crate) unsought: bool,
    /// What is doubtful about it.
    pub(crate) doubts: Vec<String>,
    /// The number of its method in the workings.
    pub(crate) method: Option<usize>,
    /// Whether it is worked out by a model rather than counted.
    pub(crate) modelled: bool,
}

impl Printed {
    /// What the ledger holds under `id`; `None` where it has no such entry at all.
    pub(crate) fn find(ledger: &Ledger, id: &FigureId) -> Option<Printed> {
        ledger.get(id.as_str()).map(|entry| Printed::entry(ledger, id, entry))
    }

    /// What the ledger holds under `id`, else a gap.
    pub(crate) fn of(ledger: &Ledger, id: &FigureId) -> Printed {
        Printed::find(ledger, id).unwrap_or_else(|| Printed {
            id: id.to_string(),
            gap: Some("nothing of the kind stands in the folder".to_owned()),
            ..Printed::default()
        })
    }

    /// The figure of a series that has one dimension: `survival` of `North face`.
    pub(crate) fn about(ledger: &Ledger, series: &Series, name: &str) -> Printed {
        Printed::of(ledger, &series.id(&[name]))
    }

    /// The same, with a reason of its own where the ledger has no such entry.
    pub(crate) fn or_because(mut self, reason: &str) -> Printed {
        if self.text.is_none() && self.label.is_empty() {
            self.gap = Some(reason.to_owned());
        }
        self
    }

    fn entry(ledger: &Ledger, id: &FigureId, entry: &Entry) -> Printed {
        let doubts = ledger.doubts_of(id.as_str()).to_vec();
        let mut printed = Printed { id: id.to_string(), doubts, ..Printed::default() };
        match entry {
            Entry::Figure(figure) => {
                let (text, number) = (figure.text(), figure.number_text());
                let unit = |part: Option<&str>| {
                    part.map(|unit| unit.trim().to_owned()).filter(|unit| !unit.is_empty())
                };
                printed.label.clone_from(&figure.label);
                printed.before = unit(text.strip_suffix(&number));
                printed.behind = unit(text.strip_prefix(&number));
                // An interval whose ends print alike has no width to show.
                let wide = figure
                    .interval
                    .filter(|ends| value_text(ends.low, &figure.unit) != value_text(ends.high, &figure.unit));
                printed.interval = wide.and_then(|_| figure.interval_text());
                printed.method = Some(figure.method.number());
                printed.modelled = figure.method.is_modelled();
                (printed.text, printed.number) = (Some(text), Some(number));
            }
            Entry::Missing(missing) => {
                printed.label.clone_from(&missing.label);
                printed.unsought = missing.reason == Gap::NotLookedFor.to_string();
                printed.gap = Some(missing.reason.clone());
            }
        }
        printed
    }
}

/// Every entry of `series`, in order of id, with its codes.
pub(crate) fn each<'a>(
    ledger: &'a Ledger,
    series: &'static Series,
) -> impl Iterator<Item = (Vec<&'a str>, Printed)> {
    ledger.of(series).map(|(codes, id, entry)| (codes, Printed::entry(ledger, id, entry)))
}

/// Every entry of `series`, in order of id.
pub(crate) fn under(ledger: &Ledger, series: &'static Series) -> Vec<Printed> {
    each(ledger, series).map(|(_, printed)| printed).collect()
}

pub(crate) use hillfolio_core::units::day;

/// A day in a table, such as `30 Jun 2026`.
pub(crate) fn short_day(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// A first and a last day in a table, as short as they can be said: `4 to 15 Aug 2025`.
pub(crate) fn short_span(first: NaiveDate, last: NaiveDate) -> String {
    if first == last {
        return short_day(first);
    }
    let pattern = match (first.year() == last.year(), first.month() == last.month()) {
        (true, true) => "%-d",
        (true, false) => "%-d %b",
        _ => "%-d %b %Y",
    };
    format!("{} to {}", first.format(pattern), short_day(last))
}

/// `text` cut to `longest` letters, with an ellipsis where it was cut: for footers and the file's own title.
pub(crate) fn shortened(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_owned();
    }
    let kept: String = text.chars().take(longest - 1).collect();
    kept.trim_end().to_owned() + "…"
}

/// Distinct values in the order in which they first come, joined by commas.
pub(crate) fn distinct<'a>(values: impl Iterator<Item = &'a str>) -> String {
    let mut seen: Vec<&str> = Vec::new();
    for value in values {
        if !seen.contains(&value) {
            seen.push(value);
        }
    }
    seen.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_of_days_say_nothing_twice() {
        let span = |first: &str, last: &str| {
            short_span(first.parse().unwrap_or_default(), last.parse().unwrap_or_default())
        };
        assert_eq!(span("2025-08-04", "2025-08-04"), "4 Aug 2025");
        assert_eq!(span("2025-08-04", "2025-08-15"), "4 to 15 Aug 2025");
        assert_eq!(span("2025-08-04", "2025-09-15"), "4 Aug to 15 Sep 2025");
        assert_eq!(span("2024-08-04", "2025-08-15"), "4 Aug 2024 to 15 Aug 2025");
    }

    #[test]
    fn names_are_cut_by_letters_not_bytes() {
        assert_eq!(shortened("Ōtāne", 5), "Ōtāne");
        assert_eq!(shortened("Ōtāne ridge", 7), "Ōtāne…");
        assert_eq!(distinct(["b", "a", "b"].into_iter()), "b, a");
    }
}
