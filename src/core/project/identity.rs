//! Who, where, when.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// Who the project belongs to and how its papers are headed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Identity {
    /// The project's name.
    pub name: String,
    /// The agreement's or approval's reference.
    pub reference: String,
    /// Who holds the land.
    pub landholder: String,
    /// Where it is, in words.
    pub locality: String,
    /// Who pays, where there is a funder.
    pub funder: Option<String>,
    /// The funder's program.
    pub program: Option<String>,
    /// Who received the grant, where it is not the landholder.
    pub grantee: Option<String>,
    /// Who wrote the report.
    pub author: Option<String>,
    /// Who is to sign the declaration: name and position.
    pub signatory: Option<String>,
    /// Who to ask: a name, a telephone number or an address.
    pub contact: Option<String>,
    /// Title references of the parcels.
    pub parcels: Option<String>,
    /// EPSG code of the grid printed on maps; `None` prints longitude and latitude.
    pub grid: Option<u16>,
    /// ISO 4217 code of the currency.
    pub currency: String,
    /// Page size.
    pub paper: Paper,
    /// Accent colour of the documents as `#rrggbb`.
    pub accent: Option<String>,
}

/// A page size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// ISO A4, 210 × 297 mm.
    #[default]
    A4,
    /// US letter, 215.9 × 279.4 mm.
    Letter,
}

/// The reporting period, both days included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Period {
    /// First day.
    pub from: NaiveDate,
    /// Last day; also the date the documents bear, so that a rebuild gives the same bytes.
    pub to: NaiveDate,
}

impl Period {
    /// Whether `day` lies in the period.
    #[must_use]
    pub fn holds(&self, day: NaiveDate) -> bool {
        (self.from..=self.to).contains(&day)
    }
}
