//! The ledger of all sites together.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::portfolio::rollup::{site::Site, table::Table};
use hillfolio_core::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        interval::quantile,
        joined::{Joined, Part, Shared, joined},
    },
    ledger::{FigureId, Ledger, Standing},
    source::{Row, Sources},
    units::Unit,
};

/// The confidence of joined intervals where the sites' own differ.
const USUAL_CONFIDENCE: f64 = 0.90;

/// Everything that can be said of all `sites` together. Its sources are rows of the table of all figures.
pub(crate) fn fill(sites: &[Site], table: &Table) -> Ledger {
    let all = All { sites, table, confidence: confidence(sites) };
    let mut ledger = Ledger::default();
    all.counts(&mut ledger);
    all.sums(&mut ledger);
    all.survival(&mut ledger);
    all.estimates(&mut ledger);
    all.money(&mut ledger);
    all.targets(&mut ledger);
    ledger
}

/// The confidence of the sites' intervals: their own where all have the same.
pub(crate) fn confidence(sites: &[Site]) -> f64 {
    let levels: BTreeSet<&str> = sites
        .iter()
        .flat_map(|site| &site.lines)
        .map(|line| line.confidence.as_str())
        .filter(|level| !level.is_empty())
        .collect();
    match levels.first() {
        Some(level) if levels.len() == 1 => level.parse().unwrap_or(USUAL_CONFIDENCE),
        _ => USUAL_CONFIDENCE,
    }
}

/// The currencies in which the sites spent money, in order.
pub(crate) fn currencies(sites: &[Site]) -> Vec<String> {
    let of = sites.iter().filter_map(|site| site.figure("spend.total"));
    let currencies: BTreeSet<String> = of.map(|(_, line)| line.unit.clone()).collect();
    currencies.into_iter().collect()
}

struct All<'a> {
    sites: &'a [Site],
    table: &'a Table,
    confidence: f64,
}

/// A site's figure: its number in the list, the line of its ledger, its value.
type Held<'a> = (usize, usize, f64);

impl All<'_> {
    /// Every site that has a figure called `id`.
    fn with(&self, id: &str) -> Vec<Held<'_>> {
        let held = |(number, site): (usize, &Site)| {
            let (at, line) = site.figure(id)?;
            Some((number, at, line.number()?))
        };
        self.sites.iter().enumerate().filter_map(held).collect()
    }

    fn rows<'h>(&self, held: impl IntoIterator<Item = &'h (usize, usize)>) -> Sources {
        let rows: Vec<Row> = held.into_iter().map(|&(site, line)| self.table.row(site, line)).collect();
        rows.iter().collect()
    }

    fn interval(&self, site: usize, id: &str) -> Option<Interval<f64>> {
        self.sites.get(site)?.figure(id)?.1.interval()
    }

    /// Names of the sites without a figure, for a note.
    fn without(&self, held: &[Held<'_>], what: &str) -> Option<String> {
        let there: BTreeSet<usize> = held.iter().map(|(site, ..)| *site).collect();
        let names: Vec<String> = (0..self.sites.len())
            .filter(|site| !there.contains(site))
            .map(|site| self.sites[site].name.clone())
            .collect();
        (!names.is_empty()).then(|| {
            format!("left out, because they have no {what}: {}", hillfolio_core::estimate::listed(&names))
        })
    }

    fn sum(&self, id: &str, method: Method) -> Option<Estimate<f64>> {
        let held = self.with(id);
        if held.is_empty() {
            return None;
        }
        let rows: Vec<(usize, usize)> = held.iter().map(|(site, line, _)| (*site, *line)).collect();
        let value = held.iter().map(|(.., value)| value).sum();
        let mut estimate = Estimate::counted(value, method, self.rows(&rows));
        estimate.notes.push(format!("from {} of {} sites", held.len(), self.sites.len()));
        Some(estimate)
    }

    fn counts(&self, ledger: &mut Ledger) {
        let count =
            |value: usize| Ok(Estimate::counted(as_number(value), Method::SITES_COUNT, Sources::default()));
        ledger.enter(FigureId::fixed("sites.count"), "Sites", Unit::Count, count(self.sites.len()));
        let doubts = self.sites.iter().map(|site| site.doubt_count).sum();
        ledger.enter(
            FigureId::fixed("doubts.count"),
            "Doubts about the sites' files",
            Unit::Count,
            count(doubts),
        );
        let stem = "plantings.species-stems";
        let held = self.sites.iter().enumerate();
        let held = held.flat_map(|(site, of)| of.under(stem).map(move |(at, line)| (site, at, &line.id)));
        let held: Vec<(usize, usize, &String)> = held.collect();
        let species: BTreeSet<&String> = held.iter().map(|(.., id)| *id).collect();
        if !species.is_empty() {
            let rows: Vec<(usize, usize)> = held.iter().map(|(site, at, _)| (*site, *at)).collect();
            let found = Estimate::counted(as_number(species.len()), Method::SITES_COUNT, self.rows(&rows));
            let id = FigureId::fixed("plantings.species-count.all");
            ledger.enter(id, "Species planted, all sites", Unit::Species, Ok(found));
        }
    }

    fn sums(&self, ledger: &mut Ledger) {
        for (id, label, unit) in [
            ("site.area.all", "Plan area, all sites", Unit::Hectares),
            ("plantings.stems.all", "Stems planted to the end of the period, all sites", Unit::Stems),
            ("plantings.stems-in-period.all", "Stems planted in the period, all sites", Unit::Stems),
            ("photos.points", "Photo points, all sites", Unit::Count),
            ("photos.pairs", "Photo points with an earlier and a later picture, all sites", Unit::Count),
            ("works.hours.volunteer", "Hours of volunteers, all sites", Unit::Hours),
            ("works.hours.paid", "Paid hours, all sites", Unit::Hours),
            ("works.hours.in-kind", "Hours in kind, all sites", Unit::Hours),
        ] {
            if let Some(sum) = self.sum(id, Method::SITES_SUM) {
                ledger.enter(FigureId::fixed(id), label, unit, Ok(sum));
            }
        }
    }

    /// Sites that have both a survey and planted stems: site, rows of both, survival, stems.
    fn surveyed(&self) -> Vec<(usize, [usize; 2], f64, f64)> {
        let stems: BTreeMap<usize, (usize, f64)> = self
            .with("plantings.stems.all")
            .into_iter()
            .map(|(site, at, stems)| (site, (at, stems)))
            .collect();
        let both = |(site, at, survival): Held<'_>| {
            let (stems_at, stems) = stems.get(&site).copied()?;
            (stems > 0.0).then_some((site, [at, stems_at], survival, stems))
        };
        self.with("survival.all").into_iter().filter_map(both).collect()
    }

    fn survival(&self, ledger: &mut Ledger) {
        let surveyed = self.surveyed();
        let planted: f64 = surveyed.iter().map(|(.., stems)| stems).sum();
        let part = |weight: f64, site: usize, value: f64| Part {
            value,
            interval: self.interval(site, "survival.all"),
            weight,
            shared: Shared::Nothing,
        };
        let finding = |scale: f64| -> Finding<f64> {
            if surveyed.is_empty() {
                return Err(Gap::NotSurveyed);
            }
            let parts: Vec<Part> =
                surveyed.iter().map(|&(site, _, value, stems)| part(stems * scale, site, value)).collect();
            let rows: Vec<(usize, usize)> =
                surveyed.iter().flat_map(|(site, rows, ..)| rows.map(|row| (*site, row))).collect();
            let mut estimate =
                estimate(joined(&parts, self.confidence), Method::SITES_JOINED, self.rows(&rows));
            let held: Vec<Held<'_>> =
                surveyed.iter().map(|&(site, [at, _], value, _)| (site, at, value)).collect();
            estimate.notes.push(format!("from {} of {} sites", held.len(), self.sites.len()));
            estimate.notes.extend(self.without(&held, "survey"));
            estimate.notes.extend(without_interval(&parts));
            Ok(estimate)
        };
        let share = finding(1.0 / planted).map(|mut share| {
            if let Some(ends) = &mut share.interval {
                (ends.low, ends.high) = (ends.low.max(0.0), ends.high.min(1.0));
            }
            share
        });
        ledger.enter(
            FigureId::fixed("survival.all"),
            "Planted stems alive, all sites",
            Unit::Fraction,
            share,
        );
        let living = finding(1.0).map(|mut living| {
            if let Some(ends) = &mut living.interval {
                (ends.low, ends.high) = (ends.low.max(0.0), ends.high.min(planted));
            }
            living
        });
        let id = FigureId::fixed("plantings.stems-alive.all");
        ledger.enter(id, "Stems alive of those planted, all sites", Unit::Stems, living);
        self.distribution(ledger, &surveyed);
    }

    /// How many sites lie in each tenth, and the lowest and the highest of them.
    fn distribution(&self, ledger: &mut Ledger, surveyed: &[(usize, [usize; 2], f64, f64)]) {
        if surveyed.is_empty() {
            return;
        }
        for class in 0..10_u8 {
            let (low, high) = (class * 10, class * 10 + 10);
            let within = |share: f64| {
                let (low, high) = (f64::from(low) / 100.0, f64::from(high) / 100.0);
                share >= low && (share < high || class == 9)
            };
            let here: Vec<(usize, usize)> = surveyed
                .iter()
                .filter(|(_, _, share, _)| within(*share))
                .map(|(site, [at, _], ..)| (*site, *at))
                .collect();
            let label = match class {
                9 => format!("Sites with {low} to 100 % of planted stems alive"),
                _ => format!("Sites with {low} to under {high} % of planted stems alive"),
            };
            let count = Estimate::counted(as_number(here.len()), Method::SITES_COUNT, self.rows(&here));
            ledger.enter(
                FigureId::fixed(&format!("survival.sites.{low}-{high}")),
                label,
                Unit::Count,
                Ok(count),
            );
        }
        let by_share = |one: &&(usize, [usize; 2], f64, f64), other: &&(usize, [usize; 2], f64, f64)| {
            one.2.total_cmp(&other.2).then(other.0.cmp(&one.0))
        };
        let ends = [
            ("survival.sites.lowest", "Lowest survival of a site", surveyed.iter().min_by(by_share)),
            ("survival.sites.highest", "Highest survival of a site", surveyed.iter().max_by(by_share)),
        ];
        for (id, label, found) in ends {
            let Some(&(site, [at, _], value, _)) = found else { continue };
            let mut estimate = Estimate::counted(value, Method::SITES_COUNT, self.rows(&[(site, at)]));
            estimate.interval = self.interval(site, "survival.all");
            estimate.notes.push(format!("that of {}", self.sites[site].name));
            ledger.enter(FigureId::fixed(id), label, Unit::Fraction, Ok(estimate));
        }
    }

    fn estimates(&self, ledger: &mut Ledger) {
        let carbon =
            self.shared_sum("carbon.stock.all", "carbon stock", Gap::NotMeasured, |site| {
                match self.sites[site].figure("carbon.shared-error.all").and_then(|(_, line)| line.number()) {
                    Some(error) => Shared::Relative(error),
                    None => Shared::All,
                }
            });
        let label = "Carbon stock of living wood and roots, all sites";
        ledger.enter(FigureId::fixed("carbon.stock.all"), label, Unit::CarbonDioxide, carbon);
        let soil = self.shared_sum("erosion.kept.all", "soil loss", Gap::NoErosivity, |site| {
            factors(&self.sites[site]).map_or(Shared::All, Shared::Factor)
        });
        let label = "Soil kept on the slopes in a year, all sites";
        ledger.enter(FigureId::fixed("erosion.kept.all"), label, Unit::TonnesPerYear, soil);
    }

    fn shared_sum(&self, id: &str, what: &str, gap: Gap, shared: impl Fn(usize) -> Shared) -> Finding<f64> {
        let held = self.with(id);
        if held.is_empty() {
            return Err(gap);
        }
        let parts: Vec<Part> = held
            .iter()
            .map(|&(site, _, value)| Part {
                value,
                interval: self.interval(site, id),
                weight: 1.0,
                shared: shared(site),
            })
            .collect();
        let rows: Vec<(usize, usize)> = held.iter().map(|(site, at, _)| (*site, *at)).collect();
        let mut estimate =
            estimate(joined(&parts, self.confidence), Method::SITES_JOINED_SHARED, self.rows(&rows));
        estimate.notes.push(format!("from {} of {} sites", held.len(), self.sites.len()));
        estimate.notes.extend(self.without(&held, what));
        estimate.notes.extend(without_interval(&parts));
        let unsaid = parts.iter().filter(|part| part.shared == Shared::All).count();
        if unsaid > 0 {
            estimate.notes.push(format!(
                "{unsaid} of them do not say what they share, so all their error is taken as shared"
            ));
        }
        Ok(estimate)
    }

    fn money(&self, ledger: &mut Ledger) {
        for currency in currencies(self.sites) {
            for (stem, label) in [
                ("spend.total", "Spent in the period, all sites"),
                ("spend.in-kind", "Given in kind in the period, all sites"),
                ("spend.unspent", "Received less spent to date, all sites"),
                ("budget.total", "Approved, all sites"),
            ] {
                let held = self.in_currency(stem, &currency);
                if held.is_empty() {
                    continue;
                }
                let exact: Decimal = held.iter().map(|(.., amount)| amount).sum();
                let rows: Vec<(usize, usize)> = held.iter().map(|(site, at, _)| (*site, *at)).collect();
                let sum = Estimate::counted(
                    exact.to_f64().unwrap_or(f64::NAN),
                    Method::SITES_SUM,
                    self.rows(&rows),
                )
                .note(format!("from {} of {} sites", held.len(), self.sites.len()));
                ledger.enter(
                    FigureId::of(stem, &currency),
                    label,
                    Unit::Currency(currency.as_str().into()),
                    Ok(sum),
                );
            }
            let cost = self.per_living_stem(&currency);
            let id = FigureId::of("spend.per-living-stem", &currency);
            ledger.enter(
                id,
                "Spent for each living stem, all sites",
                Unit::Currency(currency.as_str().into()),
                cost,
            );
        }
    }

    fn in_currency(&self, id: &str, currency: &str) -> Vec<(usize, usize, Decimal)> {
        let held = |(number, site): (usize, &Site)| {
            let (at, line) = site.figure(id).filter(|(_, line)| line.unit == currency)?;
            Some((number, at, line.value.parse().ok()?))
        };
        self.sites.iter().enumerate().filter_map(held).collect()
    }

    fn per_living_stem(&self, currency: &str) -> Finding<f64> {
        let surveyed: BTreeMap<usize, ([usize; 2], f64, f64)> = self
            .surveyed()
            .into_iter()
            .map(|(site, rows, survival, stems)| (site, (rows, survival, stems)))
            .collect();
        let (mut spent, mut parts, mut rows) = (Decimal::ZERO, Vec::new(), Vec::new());
        for (site, at, amount) in self.in_currency("spend.total", currency) {
            let Some(&(places, value, stems)) = surveyed.get(&site) else { continue };
            spent += amount;
            parts.push(Part {
                value,
                interval: self.interval(site, "survival.all"),
                weight: stems,
                shared: Shared::Nothing,
            });
            rows.extend([(site, at), (site, places[0]), (site, places[1])]);
        }
        let living = joined(&parts, self.confidence);
        let spent = spent.to_f64().unwrap_or(f64::NAN);
        if living.value <= 0.0 {
            return Err(Gap::NothingToDivideBy("living stem"));
        }
        let mut estimate =
            Estimate::counted(spent / living.value, Method::SITES_PER_LIVING_STEM, self.rows(&rows));
        estimate.interval = living.interval.filter(|ends| ends.low > 0.0).map(|ends| Interval {
            low: spent / ends.high,
            high: spent / ends.low,
            confidence: ends.confidence,
        });
        Ok(estimate.note(format!("from {} of {} sites", parts.len(), self.sites.len())))
    }

    fn targets(&self, ledger: &mut Ledger) {
        let targets = || self.sites.iter().flat_map(|site| &site.targets);
        for (standing, label) in [
            (Standing::Met, "Targets met"),
            (Standing::LikelyMet, "Targets likely met"),
            (Standing::LikelyShort, "Targets likely short"),
            (Standing::Short, "Targets short"),
            (Standing::NotDue, "Targets not due"),
            (Standing::NotMeasured, "Targets not measured"),
        ] {
            let count = targets().filter(|target| target.standing == standing).count();
            let id = format!("targets.{}", standing.words().replace(' ', "-"));
            let count = Estimate::counted(as_number(count), Method::SITES_COUNT, Sources::default());
            ledger.enter(FigureId::fixed(&id), label, Unit::Count, Ok(count));
        }
    }
}

#[allow(clippy::cast_precision_loss, reason = "no portfolio holds 2^53 of anything")]
fn as_number(count: usize) -> f64 {
    count as f64
}

fn estimate(joined: Joined, method: Method, sources: Sources) -> Estimate<f64> {
    Estimate { value: joined.value, interval: joined.interval, method, sources, notes: Vec::new() }
}

/// How many parts have no interval, for a note: their error is not in the sum's.
fn without_interval(parts: &[Part]) -> Option<String> {
    let bare = parts.iter().filter(|part| part.interval.is_none()).count();
    (bare > 0).then(|| {
        format!("{bare} of them have no interval, so their error, if they have one, is not in this one")
    })
}

/// Standard error of the logarithm that a site's soil loss takes from R, K and LS: from the intervals that their figures have.
///
/// LS is that of the site's areas, weighted by plan hectares.
fn factors(site: &Site) -> Option<f64> {
    let sigma = |line: &crate::portfolio::rollup::site::Line| {
        let ends = line.interval()?;
        let z = quantile::normal(quantile::upper(ends.confidence));
        (ends.low > 0.0).then(|| libm::log(ends.high / ends.low) / (2.0 * z))
    };
    let of = |id: &str| site.figure(id).and_then(|(_, line)| sigma(line));
    let (mut hectares, mut slope) = (0.0, 0.0);
    for (_, line) in site.under("erosion.ls") {
        let area = line.id.trim_start_matches("erosion.ls.");
        let weight = site.figure(&format!("site.area.{area}")).and_then(|(_, line)| line.number())?;
        hectares += weight;
        slope += weight * sigma(line)?;
    }
    if hectares <= 0.0 {
        return None;
    }
    let slope = slope / hectares;
    Some(libm::sqrt(of("erosion.r")?.powi(2) + of("erosion.k")?.powi(2) + slope * slope))
}
