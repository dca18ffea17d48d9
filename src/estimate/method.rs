//! The methods by which figures are made: their names, equations and published sources, said once.

/// How a figure was worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Area of a polygon on the ellipsoid.
    GeodesicArea,
    /// Length of a line on the ellipsoid.
    GeodesicLength,
    /// Counting or adding up rows.
    Sum,
}

impl Method {
    /// Its stable name in the ledger.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Method::GeodesicArea => "site/geodesic-area",
            Method::GeodesicLength => "site/geodesic-length",
            Method::Sum => "sum/rows",
        }
    }
}
