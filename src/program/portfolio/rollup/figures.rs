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
    ledger::{FigureId, Ledger, Member, Series, Standing, catalogue},
    project::Basis,
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
    let of = sites.iter().filter_map(|site| site.figure(&catalogue::SPENT.whole()));
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
    /// Enters the figure of all sites of a series that a site keeps by area.
    fn of_all<Q: Quantity>(&mut self, series: &Series, finding: Finding<Q>) {
        self.ledger.enter_named(series.named([Member::new("all", "all sites")]), finding);
    }

    /// Enters the only figure of a series.
    fn only<Q: Quantity>(&mut self, series: &Series, finding: Finding<Q>) {
        self.ledger.enter_named(series.named([]), finding);
    }

    /// Every site's figure called `id`, of those that `read` makes something of.
    fn gathered<Q>(&self, id: &FigureId, read: impl Fn(&Line) -> Option<Q>) -> Vec<SiteFigure<Q>> {
        let figure = |(site, of): (usize, &Site)| {
            let (at, line) = of.figure(id)?;
            let (row, interval) = (self.table.row(site, at), line.interval());
            Some(SiteFigure { site, row, value: read(line)?, interval })
        };
        self.sites.iter().enumerate().filter_map(figure).collect()
    }

    fn counts(&mut self) {
        self.only(&catalogue::SITES, Ok(counted(self.sites.len(), [])));
        let doubts = self.sites.iter().map(|site| site.doubt_count).sum();
        self.only(&catalogue::DOUBTS, Ok(counted(doubts, [])));
        let (mut species, mut rows): (BTreeSet<&str>, Vec<Row>) = Default::default();
        for (site, of) in self.sites.iter().enumerate() {
            for (at, line) in of.of(&catalogue::SPECIES_STEMS) {
                species.insert(line.id());
                rows.push(self.table.row(site, at));
            }
        }
        if !species.is_empty() {
            let found = counted(species.len(), &rows);
            self.of_all(&catalogue::SPECIES_COUNT, Ok(found));
        }
    }

    fn sums(&mut self) {
        for series in [&catalogue::AREA, &catalogue::STEMS, &catalogue::STEMS_IN_PERIOD] {
            if let Some(sum) = self.together.sum(&self.gathered(&series.whole(), Line::number)) {
                self.of_all(series, Ok(sum));
            }
        }
        let hours = Basis::ALL.map(|basis| catalogue::HOURS.named([basis.words().into()]));
        let photos = [&catalogue::PHOTO_POINTS, &catalogue::PHOTO_PAIRS].map(|series| series.named([]));
        for named in photos.into_iter().chain(hours) {
            if let Some(sum) = self.together.sum(&self.gathered(named.id(), Line::number)) {
                self.ledger.enter_named(named.of("all sites"), Ok(sum));
            }
        }
    }

    /// Sites that have both a survey and planted stems.
    fn surveyed(&self) -> Vec<SurveyedSite> {
        let planted = self.gathered(&catalogue::STEMS.whole(), Line::number);
        let mut planted: BTreeMap<usize, SiteFigure> =
            planted.into_iter().filter(|stems| stems.value > 0.0).map(|stems| (stems.site, stems)).collect();
        let survival = self.gathered(&catalogue::SURVIVAL.whole(), Line::number).into_iter();
        survival
            .filter_map(|survival| Some(SurveyedSite { stems: planted.remove(&survival.site)?, survival }))
            .collect()
    }

    fn survival(&mut self, surveyed: &[SurveyedSite]) {
        let share = self.together.survival(surveyed);
        self.of_all(&catalogue::SURVIVAL, share);
        let living = self.together.living_stems(surveyed);
        self.of_all(&catalogue::STEMS_ALIVE, living);
        let Some([lowest, highest]) = self.together.extremes(surveyed) else { return };
        for (at, count) in by_tenth(surveyed).into_iter().enumerate() {
            let named = catalogue::SITES_BY_SURVIVAL.named([Member::tenth(at)]);
            self.ledger.enter_named(named, Ok(count));
        }
        self.only(&catalogue::LOWEST_SURVIVAL, Ok(lowest));
        self.only(&catalogue::HIGHEST_SURVIVAL, Ok(highest));
    }

    fn estimates(&mut self) {
        let sites = self.sites;
        let shared = |site: usize| {
            let error = sites[site]
                .figure(&catalogue::CARBON_SHARED_ERROR.whole())
                .and_then(|(_, line)| line.number());
            error.map_or(Shared::All, Shared::Relative)
        };
        let stocks = self.gathered(&catalogue::CARBON_STOCK.whole(), Line::number);
        let carbon = self.together.shared_sum(&stocks, "carbon stock", Gap::NotMeasured, shared);
        self.of_all(&catalogue::CARBON_STOCK, carbon);

        let shared = |site: usize| factors(&sites[site]).map_or(Shared::All, Shared::Factor);
        let kept = self.gathered(&catalogue::SOIL_KEPT.whole(), Line::number);
        let soil = self.together.shared_sum(&kept, "soil loss", Gap::NoErosivity, shared);
        self.of_all(&catalogue::SOIL_KEPT, soil);
    }

    fn money(&mut self, surveyed: &[SurveyedSite]) {
        for currency in currencies(self.sites) {
            let in_all = |series: &Series| {
                series.named([currency.as_str().into()]).measured_in(Unit::Currency(currency.clone()))
            };
            let in_currency = |line: &Line| {
                (line.unit() == currency).then(|| line.value().parse().map(Money).ok()).flatten()
            };
            for (series, joined) in [
                (&catalogue::SPENT, &catalogue::SITES_SPENT),
                (&catalogue::SPENT_IN_KIND, &catalogue::SITES_SPENT_IN_KIND),
                (&catalogue::UNSPENT, &catalogue::SITES_UNSPENT),
                (&catalogue::BUDGET, &catalogue::SITES_BUDGET),
            ] {
                if let Some(sum) = self.together.sum(&self.gathered(&series.whole(), in_currency)) {
                    self.ledger.enter_named(in_all(joined), Ok(sum));
                }
            }
            let spent = self.gathered(&catalogue::SPENT.whole(), in_currency);
            let cost = self.together.per_living_stem(&spent, surveyed);
            self.ledger.enter_named(in_all(&catalogue::SITES_COST_PER_LIVING_STEM), cost);
        }
    }

    fn targets(&mut self) {
        for standing in Standing::ALL {
            let targets = self.sites.iter().flat_map(|site| &site.targets);
            let count = targets.filter(|target| target.standing == standing).count();
            let named = catalogue::TARGETS.named([standing.words().into()]);
            self.ledger.enter_named(named, Ok(counted(count, [])));
        }
    }
}

/// The error that a site's soil loss takes from R, K and LS, where the site says it of all of them.
fn factors(site: &Site) -> Option<f64> {
    let interval = |series: &Series| site.figure(&series.whole())?.1.interval();
    let of_area = |(_, line): (usize, &Line)| {
        let area = catalogue::SLOPE_FACTOR.codes(line.id())?.concat();
        let (_, hectares) = site.figure(&catalogue::AREA.id(&[&area]))?;
        Some((hectares.number()?, line.interval()?))
    };
    let slopes: Option<Vec<_>> = site.of(&catalogue::SLOPE_FACTOR).map(of_area).collect();
    factor_error(interval(&catalogue::EROSIVITY)?, interval(&catalogue::ERODIBILITY)?, &slopes?)
}
