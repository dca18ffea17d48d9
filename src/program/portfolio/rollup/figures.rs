//! The ledger of all sites together: the sites' figures gathered, what they give as one entered.

use std::collections::{BTreeMap, BTreeSet};

use crate::portfolio::rollup::{
    site::{Line, Site},
    table::Table,
};
use hillfolio_core::{
    estimate::{
        Finding, Gap, Quantity,
        joined::Shared,
        sites::{SiteFigure, Sites, SurveyedSite, by_tenth, common_confidence, counted, factor_error},
    },
    ledger::{FigureId, Ledger, Standing},
    source::Row,
    units::{Money, Unit},
};

/// Everything that can be said of all `sites` together. Its sources are rows of the table of all figures.
pub(crate) fn fill(sites: &[Site], table: &Table) -> Ledger {
    let names = sites.iter().map(|site| site.name.clone()).collect();
    let together = Sites { names, confidence: confidence(sites) };
    let mut roll_up = RollUp { sites, table, together, ledger: Ledger::default() };
    roll_up.counts();
    roll_up.sums();
    let surveyed = roll_up.surveyed();
    roll_up.survival(&surveyed);
    roll_up.estimates();
    roll_up.money(&surveyed);
    roll_up.targets();
    roll_up.ledger
}

/// The confidence of the sites' intervals.
pub(crate) fn confidence(sites: &[Site]) -> f64 {
    common_confidence(sites.iter().flat_map(|site| &site.lines).filter_map(Line::confidence))
}

/// The currencies in which the sites spent money, in order.
pub(crate) fn currencies(sites: &[Site]) -> Vec<String> {
    let of = sites.iter().filter_map(|site| site.figure("spend.total"));
    let currencies: BTreeSet<String> = of.map(|(_, line)| line.unit().to_owned()).collect();
    currencies.into_iter().collect()
}

struct RollUp<'a> {
    sites: &'a [Site],
    table: &'a Table,
    together: Sites,
    ledger: Ledger,
}

impl RollUp<'_> {
    fn enter<Q: Quantity>(&mut self, id: &str, label: impl Into<String>, unit: Unit, finding: Finding<Q>) {
        self.ledger.enter(FigureId::fixed(id), label, unit, finding);
    }

    /// Every site's figure called `id`, of those that `read` makes something of.
    fn gathered<Q>(&self, id: &str, read: impl Fn(&Line) -> Option<Q>) -> Vec<SiteFigure<Q>> {
        let figure = |(site, of): (usize, &Site)| {
            let (at, line) = of.figure(id)?;
            let (row, interval) = (self.table.row(site, at), line.interval());
            Some(SiteFigure { site, row, value: read(line)?, interval })
        };
        self.sites.iter().enumerate().filter_map(figure).collect()
    }

    fn counts(&mut self) {
        self.enter("sites.count", "Sites", Unit::Count, Ok(counted(self.sites.len(), [])));
        let doubts = self.sites.iter().map(|site| site.doubt_count).sum();
        self.enter("doubts.count", "Doubts about the sites' files", Unit::Count, Ok(counted(doubts, [])));
        let (mut species, mut rows): (BTreeSet<&str>, Vec<Row>) = Default::default();
        for (site, of) in self.sites.iter().enumerate() {
            for (at, line) in of.under("plantings.species-stems") {
                species.insert(line.id());
                rows.push(self.table.row(site, at));
            }
        }
        if !species.is_empty() {
            let found = counted(species.len(), &rows);
            self.enter("plantings.species-count.all", "Species planted, all sites", Unit::Species, Ok(found));
        }
    }

    fn sums(&mut self) {
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
            if let Some(sum) = self.together.sum(&self.gathered(id, Line::number)) {
                self.enter(id, label, unit, Ok(sum));
            }
        }
    }

    /// Sites that have both a survey and planted stems.
    fn surveyed(&self) -> Vec<SurveyedSite> {
        let planted = self.gathered("plantings.stems.all", Line::number);
        let mut planted: BTreeMap<usize, SiteFigure> =
            planted.into_iter().filter(|stems| stems.value > 0.0).map(|stems| (stems.site, stems)).collect();
        let survival = self.gathered("survival.all", Line::number).into_iter();
        survival
            .filter_map(|survival| Some(SurveyedSite { stems: planted.remove(&survival.site)?, survival }))
            .collect()
    }

    fn survival(&mut self, surveyed: &[SurveyedSite]) {
        let share = self.together.survival(surveyed);
        self.enter("survival.all", "Planted stems alive, all sites", Unit::Fraction, share);
        let living = self.together.living_stems(surveyed);
        let label = "Stems alive of those planted, all sites";
        self.enter("plantings.stems-alive.all", label, Unit::Stems, living);
        let Some([lowest, highest]) = self.together.extremes(surveyed) else { return };
        for (low, count) in (0..).step_by(10).zip(by_tenth(surveyed)) {
            let high = low + 10;
            let under = if high == 100 { "" } else { "under " };
            let label = format!("Sites with {low} to {under}{high} % of planted stems alive");
            self.enter(&format!("survival.sites.{low}-{high}"), label, Unit::Count, Ok(count));
        }
        self.enter("survival.sites.lowest", "Lowest survival of a site", Unit::Fraction, Ok(lowest));
        self.enter("survival.sites.highest", "Highest survival of a site", Unit::Fraction, Ok(highest));
    }

    fn estimates(&mut self) {
        let (id, sites) = ("carbon.stock.all", self.sites);
        let shared = |site: usize| {
            let error = sites[site].figure("carbon.shared-error.all").and_then(|(_, line)| line.number());
            error.map_or(Shared::All, Shared::Relative)
        };
        let stocks = self.gathered(id, Line::number);
        let carbon = self.together.shared_sum(&stocks, "carbon stock", Gap::NotMeasured, shared);
        let label = "Carbon stock of living wood and roots, all sites";
        self.enter(id, label, Unit::CarbonDioxide, carbon);

        let id = "erosion.kept.all";
        let shared = |site: usize| factors(&sites[site]).map_or(Shared::All, Shared::Factor);
        let kept = self.gathered(id, Line::number);
        let soil = self.together.shared_sum(&kept, "soil loss", Gap::NoErosivity, shared);
        let label = "Soil kept on the slopes in a year, all sites";
        self.enter(id, label, Unit::TonnesPerYear, soil);
    }

    fn money(&mut self, surveyed: &[SurveyedSite]) {
        for currency in currencies(self.sites) {
            let unit = || Unit::Currency(currency.as_str().into());
            let in_currency = |line: &Line| {
                (line.unit() == currency).then(|| line.value().parse().map(Money).ok()).flatten()
            };
            for (stem, label) in [
                ("spend.total", "Spent in the period, all sites"),
                ("spend.in-kind", "Given in kind in the period, all sites"),
                ("spend.unspent", "Received less spent to date, all sites"),
                ("budget.total", "Approved, all sites"),
            ] {
                if let Some(sum) = self.together.sum(&self.gathered(stem, in_currency)) {
                    self.ledger.enter(FigureId::of(stem, &currency), label, unit(), Ok(sum));
                }
            }
            let cost = self.together.per_living_stem(&self.gathered("spend.total", in_currency), surveyed);
            let id = FigureId::of("spend.per-living-stem", &currency);
            self.ledger.enter(id, "Spent for each living stem, all sites", unit(), cost);
        }
    }

    fn targets(&mut self) {
        for standing in Standing::ALL {
            let targets = self.sites.iter().flat_map(|site| &site.targets);
            let count = targets.filter(|target| target.standing == standing).count();
            let words = standing.words();
            let id = format!("targets.{}", words.replace(' ', "-"));
            self.enter(&id, format!("Targets {words}"), Unit::Count, Ok(counted(count, [])));
        }
    }
}

/// The error that a site's soil loss takes from R, K and LS, where the site says it of all of them.
fn factors(site: &Site) -> Option<f64> {
    let interval = |id: &str| site.figure(id)?.1.interval();
    let of_area = |(_, line): (usize, &Line)| {
        let area = line.id().trim_start_matches("erosion.ls.");
        let (_, hectares) = site.figure(&format!("site.area.{area}"))?;
        Some((hectares.number()?, line.interval()?))
    };
    let slopes: Option<Vec<_>> = site.under("erosion.ls").map(of_area).collect();
    factor_error(interval("erosion.r")?, interval("erosion.k")?, &slopes?)
}
