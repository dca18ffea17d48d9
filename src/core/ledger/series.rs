//! Series of figures: the same quantity for each area, species, day and so on.

use chrono::NaiveDate;

use crate::{
    ledger::{Entry, Figure, FigureId, Ledger, catalogue},
    project::{AreaId, SpeciesId},
    units::{Unit, day},
};

/// A dimension of a series: what one of its figures is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// An area, or all of them.
    Area,
    /// A benchmark's attribute; its code may hold dots.
    Attribute,
    /// Who gave the hours.
    Basis,
    /// A class of slope.
    Class,
    /// A year of planting.
    Cohort,
    /// What covers the ground, within its layer.
    Cover,
    /// A crew-day of the plan, by its number.
    CrewDay,
    /// A currency.
    Currency,
    /// A day: of a survey, or of a planting.
    Day,
    /// Days gone by.
    Days,
    /// A growth form.
    Form,
    /// A kind of feature.
    Kind,
    /// A layer of the vegetation.
    Layer,
    /// A line of the budget.
    Line,
    /// Who pays: an agreement, the landholder, nobody, or all.
    Payer,
    /// A number of plots.
    Plots,
    /// A species.
    Species,
    /// How a feature or a target stands.
    Standing,
    /// A target.
    Target,
    /// A task of the works log.
    Task,
    /// A tenth of the range.
    Tenth,
    /// A calendar year.
    Year,
    /// A matter of an offset.
    Matter,
    /// What goes to each stem.
    Material,
}

/// A series of figures: `survival` by area is `survival.north-face` and so on, and `survival.all`.
#[derive(Debug)]
pub struct Series {
    /// What the ids of its figures begin with.
    pub stem: &'static str,
    /// What its figures are of, in the order in which the codes follow the stem.
    pub dimensions: &'static [Dimension],
    /// What its figures are called on paper: `{0}` stands for the first dimension's words. The area's words follow by themselves.
    pub label: &'static str,
    /// The unit of its figures; `None` where the folder says it, such as its currency.
    pub unit: Option<Unit>,
    /// The series that has the same quantity of every survey.
    pub dated: Option<&'static Series>,
}

/// A member of a dimension: the code that stands in ids, before it is made a slug, and its words on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    code: String,
    words: String,
}

impl Member {
    /// A member whose words are not its code.
    #[must_use]
    pub fn new(code: impl Into<String>, words: impl Into<String>) -> Member {
        Member { code: code.into(), words: words.into() }
    }

    /// A tenth of the range from 0 to 100 %, the lowest first.
    #[must_use]
    pub fn tenth(at: usize) -> Member {
        let (low, high) = (at * 10, at * 10 + 10);
        let under = if high == 100 { "" } else { "under " };
        Member::new(format!("{low}-{high}"), format!("{low} to {under}{high} %"))
    }

    /// The code that stands in ids, before it is made a slug.
    #[must_use]
    pub fn code(&self) -> &str {
        &self.code
    }

    /// Its words on paper.
    #[must_use]
    pub fn words(&self) -> &str {
        &self.words
    }

    /// The same, said as `words` puts it.
    #[must_use]
    pub fn said(self, words: impl FnOnce(&str) -> String) -> Member {
        Member { words: words(&self.words), ..self }
    }
}

impl From<&str> for Member {
    fn from(code: &str) -> Member {
        Member::new(code, code)
    }
}

impl From<&SpeciesId> for Member {
    fn from(species: &SpeciesId) -> Member {
        Member::from(&*species.0)
    }
}

impl From<Option<&AreaId>> for Member {
    fn from(area: Option<&AreaId>) -> Member {
        area.map_or_else(|| Member::new("all", "all areas"), |area| Member::from(&*area.0))
    }
}

impl From<NaiveDate> for Member {
    fn from(date: NaiveDate) -> Member {
        Member::new(date.to_string(), day(date))
    }
}

impl From<i32> for Member {
    fn from(year: i32) -> Member {
        Member::from(year.to_string().as_str())
    }
}

/// A figure of a series before it is known: id, label and unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    pub(crate) id: FigureId,
    pub(crate) label: String,
    pub(crate) unit: Unit,
}

impl Named {
    /// Its id.
    #[must_use]
    pub fn id(&self) -> &FigureId {
        &self.id
    }

    /// The same of what `words` say, such as all sites.
    #[must_use]
    pub fn of(self, words: &str) -> Named {
        Named { label: format!("{}, {words}", self.label), ..self }
    }

    /// The same, where the sum below nothing means that more was spent than there was.
    #[must_use]
    pub fn overspent(self, is: bool) -> Named {
        let label = self.label.replacen("Received and not spent", "Received less spent, overspent", 1);
        if is { Named { label, ..self } } else { self }
    }

    /// In a unit that the folder says.
    #[must_use]
    pub fn measured_in(self, unit: Unit) -> Named {
        Named { unit, ..self }
    }
}

impl Series {
    /// The id of its figure of the members whose codes are `codes`, one for each dimension.
    #[must_use]
    pub fn id(&self, codes: &[&str]) -> FigureId {
        debug_assert_eq!(codes.len(), self.dimensions.len(), "{}", self.stem);
        let dimensions = self.dimensions.iter().zip(codes);
        FigureId::joined(
            self.stem,
            dimensions.map(|(dimension, code)| (*dimension == Dimension::Attribute, *code)),
        )
    }

    /// The id of its figure of `area`, or of all areas together, of a series that has no other dimension.
    #[must_use]
    pub fn of(&self, area: Option<&AreaId>) -> FigureId {
        self.id(&[area.map_or("all", |area| &area.0)])
    }

    /// The id of its figure of the whole site, of a series that is kept by area alone or has one figure.
    #[must_use]
    pub fn whole(&self) -> FigureId {
        self.whole_of(&[])
    }

    /// The same of a series with other dimensions, whose codes are `codes`; the area is the last.
    #[must_use]
    pub fn whole_of(&self, codes: &[&str]) -> FigureId {
        let all = self.dimensions.last() == Some(&Dimension::Area);
        let codes: Vec<&str> = codes.iter().copied().chain(all.then_some("all")).collect();
        self.id(&codes)
    }

    /// What it tells of: the first word of its stem, such as `carbon`.
    #[must_use]
    pub fn topic(&self) -> &'static str {
        self.stem.split('.').next().unwrap_or_default()
    }

    /// Id, label and unit of its figure of `members`, one for each dimension.
    #[must_use]
    pub fn named<const N: usize>(&self, members: [Member; N]) -> Named {
        let codes: [&str; N] = std::array::from_fn(|at| members[at].code.as_str());
        Named {
            id: self.id(&codes),
            label: self.words(&members),
            unit: self.unit.clone().unwrap_or(Unit::Number),
        }
    }

    /// The label with the members' words in it, in one pass: a name may hold braces itself.
    fn words(&self, members: &[Member]) -> String {
        let mut words = String::new();
        let mut rest = self.label;
        while let Some((before, after)) = rest.split_once('{') {
            let (hole, after) = after.split_once('}').unwrap_or((after, ""));
            words.push_str(before);
            let member = hole.parse::<usize>().ok().and_then(|at| members.get(at));
            words.push_str(member.map_or("", |member| &member.words));
            rest = after;
        }
        words.push_str(rest);
        for (_, area) in members.iter().enumerate().filter(|(at, _)| self.names_area_last(*at)) {
            words.push_str(", ");
            words.push_str(&area.words);
        }
        words
    }

    /// Whether dimension `at` is an area that the label has no place for: it follows behind.
    fn names_area_last(&self, at: usize) -> bool {
        self.dimensions[at] == Dimension::Area && !self.label.contains(&format!("{{{at}}}"))
    }

    /// The codes of the figure `id`, one for each dimension; `None` where it is of another series.
    #[must_use]
    pub fn codes<'a>(&self, id: &'a str) -> Option<Vec<&'a str>> {
        let rest = id.strip_prefix(self.stem)?;
        let (count, mut codes) = (self.dimensions.len(), Vec::new());
        if count == 0 {
            return rest.is_empty().then(Vec::new);
        }
        let mut rest = rest.strip_prefix('.')?;
        for (at, dimension) in self.dimensions.iter().enumerate() {
            let more = count - at - 1;
            let end = match dimension {
                // The one that may hold dots takes what the others leave.
                Dimension::Attribute => rest.rmatch_indices('.').nth(more.checked_sub(1)?)?.0,
                _ if more == 0 => rest.len(),
                _ => rest.find('.')?,
            };
            codes.push(&rest[..end]);
            rest = rest.get(end + 1..).unwrap_or_default();
        }
        let whole = rest.is_empty()
            && codes
                .iter()
                .zip(self.dimensions)
                .all(|(code, of)| !code.is_empty() && (*of == Dimension::Attribute || !code.contains('.')));
        whole.then_some(codes)
    }

    /// The series that the figure `id` is of, and its codes: that with the longest stem.
    #[must_use]
    pub fn find(id: &str) -> Option<(&'static Series, Vec<&str>)> {
        let found = catalogue::ALL.iter().filter_map(|series| Some((*series, series.codes(id)?)));
        found.max_by_key(|(series, _)| series.stem.len())
    }
}

impl Ledger {
    /// Every entry of `series`, in order of id, with its codes.
    pub fn of<'a>(
        &'a self,
        series: &'static Series,
    ) -> impl Iterator<Item = (Vec<&'a str>, &'a FigureId, &'a Entry)> {
        self.beginning_with(series.stem)
            .filter_map(move |(id, entry)| Some((series.codes(id.as_str())?, id, entry)))
    }

    /// The figure of `series` whose codes are `codes`, where there is one.
    #[must_use]
    pub fn figure_of(&self, series: &Series, codes: &[&str]) -> Option<&Figure> {
        self.figure(series.id(codes).as_str())
    }

    /// Every figure of `series` that there is, in order of id, with its codes.
    pub fn figures_of<'a>(
        &'a self,
        series: &'static Series,
    ) -> impl Iterator<Item = (Vec<&'a str>, &'a Figure)> {
        self.of(series).filter_map(|(codes, _, entry)| match entry {
            Entry::Figure(figure) => Some((codes, figure)),
            Entry::Missing(_) => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::project::slug;

    #[test]
    fn a_series_stands_in_the_catalogue_once() {
        let of = |series: &&&Series| (series.stem, series.dimensions.len());
        let kinds: BTreeSet<(&str, usize)> = catalogue::ALL.iter().map(|series| of(&series)).collect();
        assert_eq!(kinds.len(), catalogue::ALL.len());
        for series in catalogue::ALL {
            assert!(series.stem.split('.').all(|part| part == slug(part)), "{}", series.stem);
            let holes = series.label.matches('{').count();
            let areas = (0..series.dimensions.len()).filter(|&at| series.names_area_last(at)).count();
            // The unit says which currency it is.
            let said = series.dimensions.iter().filter(|of| **of != Dimension::Currency).count();
            assert_eq!(holes + areas, said, "{}: {}", series.stem, series.label);
        }
    }

    #[test]
    fn an_id_is_of_one_series_whatever_other_stems_begin_like_it() {
        let of = |id: &str| Series::find(id).map(|(series, codes)| (series.stem, codes.join("|")));
        for (id, stem, codes) in [
            ("survival.all", "survival", "all"),
            ("survival.species.acacia", "survival.species", "acacia"),
            ("survival.at.2025-05-20.all", "survival.at", "2025-05-20|all"),
            ("survival.sites.10-20", "survival.sites", "10-20"),
            ("survival.sites.lowest", "survival.sites.lowest", ""),
            ("cover.canopy.native.all", "cover", "canopy|native|all"),
            ("cover.at.2025-05-20.canopy.native.all", "cover.at", "2025-05-20|canopy|native|all"),
            ("condition.cover.canopy.native.all", "condition", "cover.canopy.native|all"),
            ("condition.points.richness-of.shrub.all", "condition.points", "richness-of.shrub|all"),
            ("plan.level", "plan.level", ""),
            ("plan.stems.all", "plan.stems.all", ""),
            ("spend.total", "spend.total", ""),
            ("spend.total.aud", "spend.total", "aud"),
        ] {
            assert_eq!(of(id), Some((stem, codes.to_owned())), "{id}");
        }
        assert_eq!(of("survival"), None);
        assert_eq!(of("no.such.thing"), None);
    }

    #[test]
    fn a_label_takes_names_as_they_are() {
        let named = catalogue::COVER.named([Member::from("canopy"), Member::from("{2} native"), None.into()]);
        assert_eq!(named.label, "Cover of the canopy layer, {2} native, all areas");
        assert_eq!(named.id.as_str(), "cover.canopy.2-native.all");
    }
}
