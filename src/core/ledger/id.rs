//! The ids of figures: lower-case words and dots, stable between versions.

use std::{borrow::Borrow, fmt};

use crate::project::slug;

/// The id of a figure, such as `survival.species.acacia-fimbriata`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FigureId(String);

impl FigureId {
    /// The id made of a fixed stem and the slug of a name: `of("survival", "North face")` is `survival.north-face`.
    #[must_use]
    pub fn of(stem: &str, name: &str) -> FigureId {
        FigureId(format!("{stem}.{}", slug(name)))
    }

    /// The id made of a fixed stem and the codes of members, each made a slug but those that are marked as they stand.
    pub(super) fn joined<'a>(stem: &str, codes: impl Iterator<Item = (bool, &'a str)>) -> FigureId {
        let mut id = stem.to_owned();
        for (as_it_stands, code) in codes {
            id.push('.');
            id.push_str(&if as_it_stands { code.to_owned() } else { slug(code) });
        }
        FigureId(id)
    }

    /// A fixed id.
    #[must_use]
    pub fn fixed(id: &str) -> FigureId {
        FigureId(id.to_owned())
    }

    /// Whether it belongs to one round of survey, such as `survival.at.2025-05-20.all`: no other part of an id is the word `at`.
    #[must_use]
    pub fn is_of_one_survey(&self) -> bool {
        self.0.contains(".at.")
    }

    /// Its last part, which in a figure of one area is the area's slug.
    #[must_use]
    pub fn last(&self) -> &str {
        self.0.rsplit('.').next().unwrap_or_default()
    }

    /// The id as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for FigureId {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FigureId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
