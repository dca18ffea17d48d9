//! Figures of several sites as one: sums, joined estimates, the spread of sites.

use std::{collections::BTreeSet, iter::Sum};

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method, Quantity,
        interval::quantile,
        joined::{Part, Shared, joined},
        listed, ratio,
    },
    source::{Row, Sources},
    units::Money,
};

/// The confidence of joined intervals where the sites' own differ.
const USUAL_CONFIDENCE: f64 = 0.90;

/// A figure of one site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteFigure<Q = f64> {
    /// The site's number among all of them.
    pub site: usize,
    /// The row of the table of all figures.
    pub row: Row,
    /// The figure.
    pub value: Q,
    /// Its interval, where it has one.
    pub interval: Option<Interval<f64>>,
}

/// A site that has both a survey and planted stems.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedSite {
    /// Its share of planted stems alive.
    pub survival: SiteFigure,
    /// Its stems planted.
    pub stems: SiteFigure,
}

/// The sites that are taken together.
#[derive(Debug, Clone, PartialEq)]
pub struct Sites {
    /// Their names.
    pub names: Vec<String>,
    /// The confidence of joined intervals.
    pub confidence: f64,
}

/// The confidence of the sites' intervals: their own where all have the same.
#[must_use]
pub fn common_confidence(mut levels: impl Iterator<Item = f64>) -> f64 {
    let first = levels.next();
    first.filter(|first| levels.all(|level| level == *first)).unwrap_or(USUAL_CONFIDENCE)
}

/// So many things, counted over the sites.
pub fn counted<'r>(things: usize, rows: impl IntoIterator<Item = &'r Row>) -> Estimate<f64> {
    Estimate::counted(ratio::count(things), Method::SITES_COUNT, rows.into_iter().collect())
}

/// The sites of each tenth of survival, the lowest first.
#[must_use]
pub fn by_tenth(surveyed: &[SurveyedSite]) -> [Estimate<f64>; 10] {
    [0_u8, 1, 2, 3, 4, 5, 6, 7, 8, 9].map(|tenth| {
        let (low, high) = (f64::from(tenth * 10) / 100.0, f64::from(tenth * 10 + 10) / 100.0);
        let within = |share: f64| share >= low && (share < high || tenth == 9);
        let here: Vec<&Row> = surveyed
            .iter()
            .map(|site| &site.survival)
            .filter(|of| within(of.value))
            .map(|of| &of.row)
            .collect();
        counted(here.len(), here)
    })
}

/// Standard error of the logarithm that a site's soil loss takes from R, K and LS, from the intervals that they have; LS is that of
/// the site's areas, each with its plan hectares, by which it is weighted.
#[must_use]
pub fn factor_error(r: Interval<f64>, k: Interval<f64>, ls: &[(f64, Interval<f64>)]) -> Option<f64> {
    let sigma = |ends: Interval<f64>| {
        let z = quantile::normal(quantile::upper(ends.confidence));
        (ends.low > 0.0).then(|| libm::log(ends.high / ends.low) / (2.0 * z))
    };
    let (mut hectares, mut slope) = (0.0, 0.0);
    for (weight, ends) in ls {
        hectares += weight;
        slope += weight * sigma(*ends)?;
    }
    if hectares <= 0.0 {
        return None;
    }
    let slope = slope / hectares;
    Some(libm::sqrt(sigma(r)?.powi(2) + sigma(k)?.powi(2) + slope * slope))
}

impl Sites {
    /// The sum of `figures`; `None` where no site has one.
    #[must_use]
    pub fn sum<Q: Quantity + Sum>(&self, figures: &[SiteFigure<Q>]) -> Option<Estimate<Q>> {
        let value = figures.iter().map(|figure| figure.value).sum();
        let sources = figures.iter().map(|figure| &figure.row).collect();
        let sum = || Estimate::counted(value, Method::SITES_SUM, sources).note(self.how_many(figures.len()));
        (!figures.is_empty()).then(sum)
    }

    /// Share of the planted stems of all surveyed sites that live: the sites' own, weighted by their stems.
    ///
    /// # Errors
    /// No site was surveyed.
    pub fn survival(&self, surveyed: &[SurveyedSite]) -> Finding<f64> {
        let planted: f64 = surveyed.iter().map(|site| site.stems.value).sum();
        self.living_weighted(surveyed, 1.0 / planted, 1.0)
    }

    /// Stems that live of those planted, over the surveyed sites.
    ///
    /// # Errors
    /// No site was surveyed.
    pub fn living_stems(&self, surveyed: &[SurveyedSite]) -> Finding<f64> {
        let planted = surveyed.iter().map(|site| site.stems.value).sum();
        self.living_weighted(surveyed, 1.0, planted)
    }

    fn living_weighted(&self, surveyed: &[SurveyedSite], scale: f64, most: f64) -> Finding<f64> {
        if surveyed.is_empty() {
            return Err(Gap::NotSurveyed);
        }
        let rows = surveyed.iter().flat_map(|site| [&site.survival.row, &site.stems.row]);
        let there = surveyed.iter().map(|site| site.survival.site);
        let parts: Vec<Part> = surveyed.iter().map(|site| site.part(scale)).collect();
        let mut estimate = self.joined(&parts, Method::SITES_JOINED, rows.collect(), there, "survey");
        if let Some(ends) = &mut estimate.interval {
            (ends.low, ends.high) = (ends.low.max(0.0), ends.high.min(most));
        }
        Ok(estimate)
    }

    /// The lowest survival of a site and the highest, of those that are alike the last and the first; `None` where none was surveyed.
    #[must_use]
    pub fn extremes(&self, surveyed: &[SurveyedSite]) -> Option<[Estimate<f64>; 2]> {
        let figures = || surveyed.iter().map(|site| &site.survival);
        let order = |one: &&SiteFigure, other: &&SiteFigure| {
            one.value.total_cmp(&other.value).then(other.site.cmp(&one.site))
        };
        let of = |figure: &SiteFigure| Estimate {
            interval: figure.interval,
            notes: vec![format!("that of {}", self.names[figure.site])],
            ..Estimate::counted(figure.value, Method::SITES_COUNT, [&figure.row].into_iter().collect())
        };
        Some([of(figures().min_by(order)?), of(figures().max_by(order)?)])
    }

    /// The sum of the sites' estimates of `what`, with the errors that they share.
    ///
    /// # Errors
    /// `gap`, where no site has one.
    pub fn shared_sum(
        &self,
        figures: &[SiteFigure],
        what: &str,
        gap: Gap,
        shared: impl Fn(usize) -> Shared,
    ) -> Finding<f64> {
        if figures.is_empty() {
            return Err(gap);
        }
        let part = |figure: &SiteFigure| Part {
            value: figure.value,
            interval: figure.interval,
            weight: 1.0,
            shared: shared(figure.site),
        };
        let parts: Vec<Part> = figures.iter().map(part).collect();
        let rows = figures.iter().map(|figure| &figure.row).collect();
        let there = figures.iter().map(|figure| figure.site);
        let mut estimate = self.joined(&parts, Method::SITES_JOINED_SHARED, rows, there, what);
        let unsaid = parts.iter().filter(|part| part.shared == Shared::All).count();
        if unsaid > 0 {
            estimate.notes.push(format!(
                "{unsaid} of them do not say what they share, so all their error is taken as shared"
            ));
        }
        Ok(estimate)
    }

    /// Money for each living stem, over the sites that have both `spent` and a survey.
    ///
    /// # Errors
    /// No stem lives on them.
    pub fn per_living_stem(&self, spent: &[SiteFigure<Money>], surveyed: &[SurveyedSite]) -> Finding<f64> {
        let both: Vec<(&SiteFigure<Money>, &SurveyedSite)> = spent
            .iter()
            .filter_map(|of| Some((of, surveyed.iter().find(|site| site.survival.site == of.site)?)))
            .collect();
        let parts: Vec<Part> = both.iter().map(|(_, site)| site.part(1.0)).collect();
        let living = joined(&parts, self.confidence);
        if living.value <= 0.0 {
            return Err(Gap::NothingToDivideBy("living stem"));
        }
        let spent = both.iter().map(|(money, _)| money.value).sum::<Money>().number();
        let rows = both.iter().flat_map(|(money, site)| [&money.row, &site.survival.row, &site.stems.row]);
        let interval = living.interval.filter(|ends| ends.low > 0.0).map(|ends| Interval {
            low: spent / ends.high,
            high: spent / ends.low,
            confidence: ends.confidence,
        });
        let cost = Estimate::counted(spent / living.value, Method::SITES_PER_LIVING_STEM, rows.collect());
        Ok(Estimate { interval, ..cost }.note(self.how_many(both.len())))
    }

    /// `parts` joined, with notes on the sites that are not `there` for want of `what` and on parts without an interval.
    fn joined(
        &self,
        parts: &[Part],
        method: Method,
        sources: Sources,
        there: impl Iterator<Item = usize>,
        what: &str,
    ) -> Estimate<f64> {
        let sum = joined(parts, self.confidence);
        let mut notes = vec![self.how_many(parts.len())];
        let there: BTreeSet<usize> = there.collect();
        let lacking = self.names.iter().enumerate().filter(|(site, _)| !there.contains(site));
        let lacking: Vec<String> = lacking.map(|(_, name)| name.clone()).collect();
        if !lacking.is_empty() {
            notes.push(format!("left out, because they have no {what}: {}", listed(&lacking)));
        }
        let bare = parts.iter().filter(|part| part.interval.is_none()).count();
        if bare > 0 {
            notes.push(format!(
                "{bare} of them have no interval, so their error, if they have one, is not in this one"
            ));
        }
        Estimate {
            value: sum.value,
            interval: sum.interval,
            sample: None,
            cautious: None,
            method,
            sources,
            notes,
        }
    }

    fn how_many(&self, sites: usize) -> String {
        format!("from {sites} of {} sites", self.names.len())
    }
}

impl SurveyedSite {
    /// The share alive as a part of a sum, weighted by the stems planted times `scale`.
    fn part(&self, scale: f64) -> Part {
        let SiteFigure { value, interval, .. } = self.survival;
        Part { value, interval, weight: self.stems.value * scale, shared: Shared::Nothing }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(site: usize, value: f64, ends: Option<(f64, f64)>) -> SiteFigure {
        let row = Row { file: "sites.csv".into(), row: u32::try_from(site).unwrap() + 2 };
        let interval = ends.map(|(low, high)| Interval { low, high, confidence: 0.90 });
        SiteFigure { site, row, value, interval }
    }

    fn surveyed(site: usize, alive: f64, ends: (f64, f64), stems: f64) -> SurveyedSite {
        SurveyedSite { survival: figure(site, alive, Some(ends)), stems: figure(site, stems, None) }
    }

    fn three() -> Sites {
        Sites { names: ["North", "South", "West"].map(str::to_owned).into(), confidence: 0.90 }
    }

    /// By hand: 0.8 of 100 and 0.5 of 300 stems are 230 of 400; √(100² × 0.1² + 300² × 0.1²) is 31.6 stems.
    #[test]
    fn living_stems_add_up_and_their_share_is_weighted_by_stems() {
        let sites = [surveyed(0, 0.8, (0.7, 0.9), 100.0), surveyed(2, 0.5, (0.4, 0.6), 300.0)];
        let living = three().living_stems(&sites).unwrap();
        let reach = f64::sqrt(1_000.0);
        let ends = living.interval.unwrap();
        assert!((living.value - 230.0).abs() < 1e-9);
        assert!((ends.low - 230.0 + reach).abs() < 1e-9 && (ends.high - 230.0 - reach).abs() < 1e-9);
        let share = three().survival(&sites).unwrap();
        assert!((share.value - 0.575).abs() < 1e-12);
        assert_eq!(share.notes, ["from 2 of 3 sites", "left out, because they have no survey: South"]);
        assert_eq!(three().survival(&[]), Err(Gap::NotSurveyed));
        let all = three().survival(&[surveyed(0, 0.98, (0.9, 1.1), 10.0)]).unwrap();
        assert_eq!(all.interval.unwrap().high, 1.0, "no more than all live");
    }

    #[test]
    fn every_site_stands_in_one_tenth() {
        let shares = [0.0, 0.099, 0.1, 0.85, 0.9, 1.0];
        let sites = shares.map(|share| surveyed(0, share, (share, share), 1.0));
        let counts = by_tenth(&sites).map(|count| count.value);
        assert_eq!(counts, [2.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 2.0]);
        let notes = three().extremes(&[surveyed(1, 0.3, (0.2, 0.4), 1.0), surveyed(2, 0.9, (0.8, 1.0), 1.0)]);
        assert_eq!(notes.unwrap().map(|end| end.notes), [["that of South"], ["that of West"]]);
    }

    /// By hand: 0.2 and 0.4 on 1 and 3 ha are 0.35; √(0.2² + 0.3² + 0.35²).
    #[test]
    fn errors_of_factors_add_up_by_their_squares() {
        let z = quantile::normal(quantile::upper(0.90));
        let of = |sigma: f64| Interval {
            low: libm::exp(-z * sigma),
            high: libm::exp(z * sigma),
            confidence: 0.90,
        };
        let error = factor_error(of(0.2), of(0.3), &[(1.0, of(0.2)), (3.0, of(0.4))]).unwrap();
        assert!((error - f64::sqrt(0.04 + 0.09 + 0.1225)).abs() < 1e-12);
        assert_eq!(factor_error(of(0.2), of(0.3), &[]), None);
        assert_eq!(common_confidence([0.95, 0.95].into_iter()), 0.95);
        assert_eq!(common_confidence([0.95, 0.90].into_iter()), USUAL_CONFIDENCE);
    }

    #[test]
    fn money_is_laid_upon_the_stems_of_the_sites_that_have_both() {
        let spent = |site, amount: i64| SiteFigure {
            site,
            row: figure(site, 0.0, None).row,
            value: Money(amount.into()),
            interval: None,
        };
        let sites = [surveyed(0, 0.8, (0.7, 0.9), 100.0), surveyed(2, 0.5, (0.4, 0.6), 300.0)];
        let cost = three().per_living_stem(&[spent(0, 400), spent(1, 9_000)], &sites).unwrap();
        assert_eq!((cost.value, cost.notes), (5.0, vec!["from 1 of 3 sites".to_owned()]));
        assert_eq!(three().sum(&[spent(0, 400), spent(1, 9_000)]).unwrap().value, Money(9_400.into()));
        let none = three().per_living_stem(&[spent(1, 9_000)], &sites);
        assert_eq!(none, Err(Gap::NothingToDivideBy("living stem")));
    }
}
