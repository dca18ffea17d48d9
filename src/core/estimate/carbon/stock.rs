//! Carbon of an area or of the whole site, from the dry mass of its plots.

use std::collections::BTreeMap;

use crate::{
    estimate::{
        Estimate, Finding, Gap, Interval, Method,
        carbon::{
            plot_mass::PlotMass,
            propagation::{of_product, taken_off},
            roots::{ROOT_ERROR, cairns, mokany, ratio_of_zone},
            uncertainty::Parts,
            words,
        },
        density::part_sampled,
        ground::Grounds,
        interval::quantile,
        ratio::Pair,
        stratified::{Stratum, separate_ratio},
    },
    project::{AreaId, CARBON_FRACTION, CarbonRules, RootRule},
    source::Sources,
    units::{CarbonDioxide, CarbonPerHectare, DIOXIDE_FROM_CARBON, percent},
};

/// Sentences that must stand beside every figure of carbon.
pub const CAUTIONS: [&str; 4] = [
    "This is an estimate made for reporting. It is not a carbon credit and not an offset, and no scheme has verified it",
    "The stock can be lost to fire, drought, flood, storm, browsing, disease or clearing. Nothing here assures that it will last",
    "A stock is not the gain that the project caused: what would have stood there without it has not been worked out",
    "Living wood and roots only. Carbon of soil, litter, dead wood and grass is not in it, so the whole is larger",
];

/// Relative standard error of the carbon fraction: 0.44 to 0.49 about 0.47 at 95 % (IPCC 2006, volume 4, table 4.3).
const FRACTION_ERROR: f64 = 0.0128 / CARBON_FRACTION;

/// Relative standard error of a plan area walked with a hand-held receiver (judgement: 2 % at 95 %).
const AREA_ERROR: f64 = 0.01;

/// The most that equations are taken to lean: of a gain near nothing, the relative error would be no number.
const MOST_LEAN: f64 = 0.60;

/// Confidence that the rule of caution is written for.
const CAUTIOUS_CONFIDENCE: f64 = 0.90;

/// The figures of one area, or of all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Stocks {
    /// Carbon above the ground on a hectare.
    pub above: Estimate<CarbonPerHectare>,
    /// Carbon of the roots on a hectare.
    pub below: Estimate<CarbonPerHectare>,
    /// Carbon of the whole area, above and below the ground.
    pub stock: Estimate<CarbonDioxide>,
    /// The stock less a part of its interval by how wide that is.
    pub cautious: Finding<CarbonDioxide>,
    /// Relative standard error that the stock has in common with every site measured alike.
    pub shared: Finding<f64>,
}

/// Carbon of the areas in which `plots` stand.
///
/// # Equations and sources
/// [`Method::CARBON_ABOVE`], [`Method::CARBON_BELOW`], [`Method::CARBON_STOCK`] and [`Method::CARBON_CAUTIOUS`].
///
/// # Errors
/// No plot was measured, or none has a size.
pub fn stocks(
    plots: &[&PlotMass<'_>],
    grounds: &Grounds<'_>,
    rules: &CarbonRules,
    confidence: f64,
) -> Result<Stocks, Gap> {
    let whole = Whole::of(plots, grounds, rules)?;
    let notes = words::of_plots(plots, rules);
    let per_hectare = |pool, method| {
        let parts = whole.parts(pool).ok_or(Gap::NoPlotArea)?;
        let mut estimate =
            whole.estimate(method, &parts, confidence, |mass| CarbonPerHectare(mass * rules.fraction));
        estimate.notes.splice(0..0, notes.iter().cloned());
        Ok(estimate)
    };
    Ok(Stocks {
        above: per_hectare(Pool::Above, Method::CARBON_ABOVE)?,
        below: per_hectare(Pool::Below, Method::CARBON_BELOW)?,
        cautious: cautious(&whole, rules),
        shared: shared(&whole),
        stock: whole.stock(notes.clone(), rules, confidence)?,
    })
}

/// The stock alone, of the areas in which `plots` stand.
///
/// # Equations and sources
/// [`Method::CARBON_STOCK`].
///
/// # Errors
/// No plot was measured, or none has a size.
pub fn stock(
    plots: &[&PlotMass<'_>],
    grounds: &Grounds<'_>,
    rules: &CarbonRules,
    confidence: f64,
) -> Finding<CarbonDioxide> {
    Whole::of(plots, grounds, rules)?.stock(words::of_plots(plots, rules), rules, confidence)
}

/// The stock less a part of the half-width of its interval by sampling, the more the wider that is.
fn cautious(whole: &Whole, rules: &CarbonRules) -> Finding<CarbonDioxide> {
    let parts = whole.parts(Pool::Both).ok_or(Gap::NoPlotArea)?;
    if parts.error.is_nan() {
        return Err(Gap::TooFewPlots { have: 1, need: 2 });
    }
    let half = quantile::student(quantile::upper(CAUTIOUS_CONFIDENCE), parts.df) * parts.error;
    let relative = if parts.mean > 0.0 { half / parts.mean } else { 0.0 };
    let off = taken_off(relative);
    let left = whole.dioxide((parts.mean - off * half).max(0.0), rules);
    Ok(Estimate::counted(left, Method::CARBON_CAUTIOUS, whole.sources.clone()).note(format!(
        "sampling alone leaves ±{} at 90 %, of which {} is taken off",
        percent(relative, 0),
        percent(off, 0)
    )))
}

/// The errors of equations, roots and carbon fraction, which pull every site alike; sampling, the scatter of single plants and the
/// boundary are this site's own.
fn shared(whole: &Whole) -> Finding<f64> {
    let parts = whole.parts(Pool::Both).ok_or(Gap::NoPlotArea)?;
    let error = of_product(&[whole.lean, parts.roots, parts.fraction]);
    Ok(Estimate::counted(error, Method::CARBON_STOCK, whole.sources.clone())
        .note("one standard error, relative, of equations, roots and carbon fraction: what does not average out over many sites"))
}

/// What the areas in which `gains` stand gained between two surveys, from what each of their plots gained.
///
/// # Equations and sources
/// [`Method::CARBON_CHANGE`].
///
/// # Errors
/// No plot was measured in both surveys, or none has a size.
pub fn gain(
    gains: &[&PlotMass<'_>],
    grounds: &Grounds<'_>,
    rules: &CarbonRules,
    confidence: f64,
) -> Finding<CarbonDioxide> {
    let whole = Whole::of(gains, grounds, rules)?;
    let both = whole.parts(Pool::Both).ok_or(Gap::NoPlotArea)?;
    let parts = Parts { area: AREA_ERROR, signed: true, ..both };
    let mut gain =
        whole.estimate(Method::CARBON_CHANGE, &parts, confidence, |mass| whole.dioxide(mass, rules));
    gain.notes.splice(0..0, [words::plots(gains.len())].into_iter().chain(words::spread(&parts)));
    Ok(gain)
}

/// Which mass is meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Pool {
    Above,
    Below,
    Both,
}

/// One area: its plan hectares and, for each plot, the mass above the ground, that below it, t, and the plot's hectares.
struct Stratified {
    plan: f64,
    plots: Vec<[f64; 3]>,
}

/// The areas in which plots stand, and what their sums share.
struct Whole {
    areas: Vec<Stratified>,
    hectares: f64,
    /// How far the equations may lean, all plants the same way.
    lean: f64,
    /// The same with the scatter of single plants.
    model: f64,
    sources: Sources,
}

impl Whole {
    fn of(plots: &[&PlotMass<'_>], grounds: &Grounds<'_>, rules: &CarbonRules) -> Result<Whole, Gap> {
        if plots.is_empty() {
            return Err(Gap::NotMeasured);
        }
        let mut areas: BTreeMap<&AreaId, Vec<[f64; 3]>> = BTreeMap::new();
        for plot in plots.iter().filter(|plot| plot.hectares > 0.0) {
            areas.entry(&plot.plot.area).or_default().push([plot.above, plot.below, plot.hectares]);
        }
        let area = |(area, plots)| Some(Stratified { plan: grounds.get(area)?.plan.0, plots });
        let mut areas: Vec<Stratified> = areas.into_iter().filter_map(area).collect();
        areas.iter_mut().for_each(|area| area.root(&rules.roots));
        let sum = |of: fn(&PlotMass<'_>) -> f64| plots.iter().map(|plot| of(plot)).sum::<f64>();
        let above = sum(|plot| plot.above).abs();
        let relative = |part: f64| if above > 0.0 { part / above } else { 0.0 };
        let lean = relative(sum(|plot| plot.leaning).abs()).min(MOST_LEAN);
        let scatter = relative(sum(|plot| plot.scatter).sqrt());
        Ok(Whole {
            hectares: areas.iter().map(|area| area.plan).sum(),
            areas,
            lean,
            model: of_product(&[lean, scatter]),
            sources: plots.iter().flat_map(|plot| plot.rows.iter().copied()).collect(),
        })
    }

    /// The mean of a pool on a hectare, t/ha, and its errors; `None` where no plot has a size.
    fn parts(&self, pool: Pool) -> Option<Parts> {
        let mean =
            |pool| separate_ratio(&self.areas.iter().map(|area| area.stratum(pool)).collect::<Vec<_>>());
        let joint = mean(pool)?;
        let roots = match pool {
            Pool::Above => 0.0,
            Pool::Below => 1.0,
            Pool::Both if joint.value == 0.0 => 0.0,
            Pool::Both => (mean(Pool::Below)?.value / joint.value).abs().min(1.0),
        };
        let (error, df) = match joint.spread {
            Some(spread) => (spread.variance.max(0.0).sqrt(), spread.df),
            None => (f64::NAN, 0.0),
        };
        Some(Parts {
            mean: joint.value,
            error,
            df,
            model: self.model,
            roots: roots * ROOT_ERROR,
            fraction: FRACTION_ERROR,
            area: 0.0,
            signed: false,
        })
    }

    /// All of a mass on a hectare as carbon dioxide.
    fn dioxide(&self, mass: f64, rules: &CarbonRules) -> CarbonDioxide {
        CarbonDioxide(mass * rules.fraction * DIOXIDE_FROM_CARBON * self.hectares)
    }

    fn stock(&self, notes: Vec<String>, rules: &CarbonRules, confidence: f64) -> Finding<CarbonDioxide> {
        let parts = Parts { area: AREA_ERROR, ..self.parts(Pool::Both).ok_or(Gap::NoPlotArea)? };
        let mut stock =
            self.estimate(Method::CARBON_STOCK, &parts, confidence, |mass| self.dioxide(mass, rules));
        stock.notes.splice(0..0, notes.into_iter().chain(words::spread(&parts)));
        Ok(stock)
    }

    /// A figure of `parts`, each end turned into its unit; one plot, or nothing on any of them, gives no interval.
    fn estimate<Q>(
        &self,
        method: Method,
        parts: &Parts,
        confidence: f64,
        unit: impl Fn(f64) -> Q,
    ) -> Estimate<Q> {
        let mut estimate = Estimate::counted(unit(parts.mean), method, self.sources.clone());
        if parts.error.is_nan() {
            return estimate.note("one plot only, so there is no interval");
        }
        if parts.mean == 0.0 && parts.error == 0.0 {
            return estimate.note("nothing was found on any plot, so there is no interval");
        }
        let joint = parts.drawn(confidence);
        let (low, high) = (joint.low.min(parts.mean), joint.high.max(parts.mean));
        estimate.interval = Some(Interval { low: unit(low), high: unit(high), confidence });
        estimate
    }
}

impl Stratified {
    /// Puts roots below the ground by the rule of the folder; plant by plant they are there already.
    fn root(&mut self, rule: &RootRule) {
        let sum = |at: usize| self.plots.iter().map(|plot| plot[at]).sum::<f64>();
        let above = if sum(2) > 0.0 { sum(0) / sum(2) } else { 0.0 };
        let by_stand = |roots: f64| if above > 0.0 { roots / above } else { 0.0 };
        let ratio = match rule {
            RootRule::EachPlant => return,
            RootRule::Ratio(ratio) => *ratio,
            RootRule::Zone(zone) => ratio_of_zone(zone, above).unwrap_or_default(),
            RootRule::Cairns => by_stand(cairns(above)),
            RootRule::Mokany => by_stand(mokany(above)),
        };
        self.plots.iter_mut().for_each(|plot| plot[1] = plot[0] * ratio);
    }

    fn stratum(&self, pool: Pool) -> Stratum {
        let plots = self.plots.iter().map(|&[above, below, hectares]| {
            let part = match pool {
                Pool::Above => above,
                Pool::Below => below,
                Pool::Both => above + below,
            };
            Pair { part, whole: hectares }
        });
        let sampled = part_sampled(self.plots.iter().map(|plot| plot[2]).sum(), self.plan);
        Stratum { weight: self.plan, sampled, plots: plots.collect() }
    }
}
