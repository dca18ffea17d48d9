//! Placeholder.
use crate::source::Row;
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PhotoRow {
    pub(crate) file: String,
    pub(crate) point: Option<String>,
    pub(crate) date: Option<chrono::NaiveDate>,
    pub(crate) caption: Option<String>,
    pub(crate) source: Row,
}
