//! The methods by which figures are made: their names, equations and published sources, said once.

mod carbon;
mod condition;
mod diversity;
mod erosion;
mod ground;
mod money;
mod plan;
mod rain;
mod records;
mod series;
mod sites;
mod survey;
mod terrain;

use std::{borrow::Cow, fmt};

/// How a figure was worked out.
#[derive(Clone, Copy)]
pub struct Method(&'static Account);

/// A method in words. Its equation and its assumptions print the constants that its estimator works with.
struct Account {
    id: &'static str,
    title: &'static str,
    equation: fn() -> Cow<'static, str>,
    assumptions: fn() -> Cow<'static, str>,
    reference: &'static str,
}

/// Declares the methods of a family: a constant of [`Method`] for each, and all of them in order as `ALL`.
macro_rules! methods {
    ($($name:ident {
        id: $id:literal,
        title: $title:literal,
        equation: $equation:expr,
        assumptions: $assumptions:expr,
        reference: $reference:expr,
    })*) => {
        impl Method {
            $(
                #[doc = $title]
                pub const $name: Method = Method(&crate::estimate::method::Account {
                    id: $id,
                    title: $title,
                    equation: || ($equation).into(),
                    assumptions: || ($assumptions).into(),
                    reference: $reference,
                });
            )*
        }

        pub(super) const ALL: &[Method] = &[$(Method::$name),*];
    };
}
use methods;

/// Every family, in the order of the methods appendix.
const FAMILIES: [&[Method]; 13] = [
    ground::ALL,
    terrain::ALL,
    rain::ALL,
    erosion::ALL,
    records::ALL,
    survey::ALL,
    series::ALL,
    diversity::ALL,
    condition::ALL,
    carbon::ALL,
    plan::ALL,
    money::ALL,
    sites::ALL,
];

impl Method {
    /// Every method, in the order of the methods appendix.
    pub fn all() -> impl Iterator<Item = Method> {
        FAMILIES.into_iter().flatten().copied()
    }

    /// Its number in the workings: its place among all methods, from 1 on.
    #[must_use]
    pub fn number(self) -> usize {
        Method::all().take_while(|method| *method != self).count() + 1
    }

    /// Its stable name in the ledger.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.0.id
    }

    /// What it does, in plain words.
    #[must_use]
    pub fn title(self) -> &'static str {
        self.0.title
    }

    /// Its equation, in plain text.
    #[must_use]
    pub fn equation(self) -> Cow<'static, str> {
        (self.0.equation)()
    }

    /// What must hold for it to be right.
    #[must_use]
    pub fn assumptions(self) -> Cow<'static, str> {
        (self.0.assumptions)()
    }

    /// Where it is published; empty where it is plain arithmetic.
    #[must_use]
    pub fn reference(self) -> &'static str {
        self.0.reference
    }

    /// Whether the figure rests on one plot, which can't show how plots differ.
    #[must_use]
    pub fn rests_on_one_plot(self) -> bool {
        self == Method::SURVIVAL_ONE_PLOT
    }

    /// Whether it is worked out by a model rather than counted, so that without an interval nothing tells how far off it is.
    #[must_use]
    pub fn is_modelled(self) -> bool {
        erosion::ALL.contains(&self) || carbon::ALL.contains(&self)
    }
}

impl PartialEq for Method {
    fn eq(&self, other: &Method) -> bool {
        self.id() == other.id()
    }
}

impl Eq for Method {}

impl fmt::Debug for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_method_is_listed_once_and_said_in_full() {
        let mut ids: Vec<&str> = Method::all().map(Method::id).collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "two methods share an id");
        for method in Method::all() {
            assert!(!method.title().is_empty() && !method.equation().is_empty(), "{}", method.id());
            assert!(!method.assumptions().is_empty(), "{}", method.id());
        }
    }
}
