//! A ledger read back from `figures.json`, by whichever version wrote it.

use std::collections::BTreeMap;

use serde::Deserialize;

use hillfolio_core::source::Input;

/// The form in which ledgers are written.
const FORMAT: &str = "hillfolio-figures/1";

/// A ledger as it was written. Keys that are not known are passed over, so that a later version's can be compared.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Book {
    format: String,
    /// Whose figures they are.
    pub project: Named,
    /// The period.
    pub period: Period,
    /// What worked them out.
    pub program: Program,
    /// What was read.
    #[serde(default)]
    pub inputs: Vec<Listed>,
    /// Receipts that were there and were not sent.
    #[serde(default)]
    pub receipts: Vec<Listed>,
    /// The figures.
    pub figures: Vec<Line>,
    /// What could not be given.
    #[serde(default)]
    pub gaps: Vec<GapLine>,
    /// The targets.
    #[serde(default)]
    pub targets: Vec<TargetLine>,
    /// The doubts.
    #[serde(default)]
    pub doubts: Vec<Said>,
}

/// A project's name and reference.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Named {
    /// Its name.
    pub name: String,
    /// Its reference.
    pub reference: String,
}

/// First and last day, as 2025-07-01.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Period {
    /// The first day.
    pub from: String,
    /// The last day.
    pub to: String,
}

/// The program that wrote the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Program {
    /// Its version.
    pub version: String,
}

/// A file of the folder.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Listed {
    /// Its path.
    pub path: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// Its size.
    pub bytes: u64,
    /// Its data rows or shapes.
    #[serde(default)]
    pub rows: Option<u32>,
}

/// A figure.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Line {
    /// Its id.
    pub id: String,
    /// What it is called on paper.
    pub label: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// The unit's sign.
    pub unit: String,
    /// The interval's lower end.
    #[serde(default)]
    pub low: Option<f64>,
    /// The interval's upper end.
    #[serde(default)]
    pub high: Option<f64>,
    /// The interval's confidence.
    #[serde(default)]
    pub confidence: Option<f64>,
    /// How it was worked out.
    pub method: String,
}

/// Both ends of an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// The lower.
    pub low: f64,
    /// The upper.
    pub high: f64,
}

impl Line {
    /// Its interval, where it has one.
    #[must_use]
    pub fn ends(&self) -> Option<Ends> {
        Some(Ends { low: self.low?, high: self.high? })
    }
}

/// A figure that could not be given.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct GapLine {
    /// Its id.
    pub id: String,
    /// What it would be called.
    pub label: String,
    /// Why there is none.
    pub reason: String,
}

/// How a target stands.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct TargetLine {
    /// Its id.
    pub id: String,
    /// Its standing, in words.
    pub standing: String,
    /// Why.
    #[serde(default)]
    pub because: String,
}

/// A doubt as it was said.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Said {
    /// Its stable name.
    pub code: String,
    /// The file.
    pub path: String,
    /// The row.
    #[serde(default)]
    pub row: Option<u32>,
    /// The column.
    #[serde(default)]
    pub column: Option<String>,
    /// The sentence.
    pub says: String,
    /// What to do about it.
    #[serde(default)]
    pub help: Option<String>,
}

/// Why bytes are no ledger.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoBook {
    /// They are no JSON, or not of a ledger's shape.
    #[error("it is no ledger of figures: {0}")]
    Shape(String),
    /// They are a ledger of another form.
    #[error("it is a ledger in the form `{0}`; this version reads `{FORMAT}`")]
    Form(String),
}

impl Book {
    /// The ledger in `bytes`.
    ///
    /// # Errors
    /// [`NoBook`]: the bytes are no ledger, or one in another form.
    pub fn of(bytes: &[u8]) -> Result<Book, NoBook> {
        let book: Book = serde_json::from_slice(bytes).map_err(|why| NoBook::Shape(why.to_string()))?;
        match book.format == FORMAT {
            true => Ok(book),
            false => Err(NoBook::Form(book.format.chars().take(60).collect())),
        }
    }

    /// The receipts that were there and were not sent.
    #[must_use]
    pub fn receipts(&self) -> Vec<Input> {
        let input = |listed: &Listed| Input {
            path: listed.path.as_str().into(),
            sha256: listed.sha256.clone(),
            bytes: listed.bytes,
            rows: listed.rows,
        };
        self.receipts.iter().map(input).collect()
    }

    /// The figures and gaps by id.
    pub(crate) fn entries(&self) -> BTreeMap<&str, Entry<'_>> {
        let figures = self.figures.iter().map(|line| (line.id.as_str(), Entry::Figure(line)));
        let gaps = self.gaps.iter().map(|gap| (gap.id.as_str(), Entry::Gap(gap)));
        gaps.chain(figures).collect()
    }
}

/// What stands under an id.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Entry<'a> {
    Figure(&'a Line),
    Gap(&'a GapLine),
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(crate) const LEAST: &str = r#"{"format":"hillfolio-figures/1","project":{"name":"A","reference":"B"},
        "period":{"from":"2025-07-01","to":"2026-06-30"},"program":{"name":"hillfolio","version":"9"},"figures":[
        {"id":"survival.all","label":"Alive","value":0.9,"unit":"fraction","low":0.8,"high":0.95,"method":"m","new":1}]}"#;

    #[test]
    fn a_ledger_is_read_back_whatever_a_later_version_added() {
        let book = Book::of(LEAST.as_bytes()).unwrap();
        assert_eq!(book.figures[0].ends(), Some(Ends { low: 0.8, high: 0.95 }));
        let other = LEAST.replace("figures/1", "figures/2");
        assert_eq!(Book::of(other.as_bytes()), Err(NoBook::Form("hillfolio-figures/2".to_owned())));
        assert!(matches!(Book::of(b"{}"), Err(NoBook::Shape(_))));
        assert!(matches!(Book::of(LEAST.replace("0.9,", "1e999,").as_bytes()), Err(NoBook::Shape(_))));
        assert!(matches!(Book::of("[".repeat(100_000).as_bytes()), Err(NoBook::Shape(_))));
    }

    proptest::proptest! {
        #[test]
        fn a_spoilt_ledger_is_read_or_refused(at in 0usize..400, byte: u8) {
            let mut bytes = LEAST.as_bytes().to_vec();
            let at = at % bytes.len();
            bytes[at] = byte;
            let _ = Book::of(&bytes);
        }
    }
}
