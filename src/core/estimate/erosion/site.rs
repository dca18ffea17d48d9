//! The factors of a project's areas, gathered from whatever the folder holds, and the figures that they make.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use geo::CoordsIter;

use crate::{
    estimate::{
        Estimate, Finding, Gap,
        erosion::{
            AreaFactors, Factor, Rill, SlopeFactorGrid, SlopeLength, Steepness, before, closed_canopy,
            cover_plots, daily_erosivity, erodibility, erosivity, joint_kept, joint_loss, joint_ratio, kept,
            ls_measured, ratio, soil_loss, surveyed,
        },
        listed,
    },
    geometry,
    project::{Area, AreaId, CoverReading, Layer, Measure, Period, PlotId, Project, Soil},
    source::Sources,
    units::{Erodibility, Erosivity, Hectares, SoilLoss, TonnesPerYear},
};

/// How the errors of the cover before and now go together where both were surveyed the same way (judgement).
pub(crate) const SURVEYED_ALIKE: f64 = 0.5;

/// A state of the cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Before the work began.
    Before,
    /// At the latest survey of the period.
    Now,
    /// Once the canopy has closed over litter.
    ClosedCanopy,
}

/// The factors of one area.
#[derive(Debug, Clone)]
pub struct OfArea<'a> {
    /// The area.
    pub area: &'a Area,
    plan: Hectares,
    /// L × S.
    pub ls: Result<Factor<f64>, Gap>,
    before: Result<Factor<f64>, Gap>,
    now: Result<Factor<f64>, Gap>,
    closed: Factor<f64>,
    correlation: f64,
    /// The plots that tell of the cover now, and the round in which they were read.
    read: (Period, Vec<PlotId>),
}

impl OfArea<'_> {
    /// The plots that tell of the cover now, and the round in which they were read; none where no plot does.
    #[must_use]
    pub fn read(&self) -> Option<(Period, &[PlotId])> {
        (!self.read.1.is_empty()).then_some((self.read.0, self.read.1.as_slice()))
    }

    /// C in a state.
    ///
    /// # Errors
    /// It was neither stated nor surveyed.
    pub fn cover(&self, state: State) -> Result<&Factor<f64>, Gap> {
        match state {
            State::Before => self.before.as_ref().map_err(Gap::clone),
            State::Now => self.now.as_ref().map_err(Gap::clone),
            State::ClosedCanopy => Ok(&self.closed),
        }
    }

    /// The factors of the area with `before` as the state to compare with; for one state alone, both are that state.
    fn factors(&self, from: State, to: State) -> Result<AreaFactors<'_>, Gap> {
        let (before, now) = (self.cover(from)?, self.cover(to)?);
        Ok(AreaFactors { plan: self.plan, ls: self.ls.as_ref().map_err(Gap::clone)?, before, now })
    }
}

/// The factors of every area.
#[derive(Debug, Clone)]
pub struct SiteErosion<'a> {
    /// R.
    pub r: Result<Factor<Erosivity>, Gap>,
    /// K.
    pub k: Result<Factor<Erodibility>, Gap>,
    /// The areas, in the order of the project.
    pub areas: Vec<OfArea<'a>>,
    /// The slope factor of every cell, where there is a terrain model.
    pub hillside: Option<SlopeFactorGrid>,
    confidence: f64,
}

impl<'a> SiteErosion<'a> {
    /// The factors of `project`; `None` where nothing in the folder speaks of erosion.
    #[must_use]
    pub fn of(project: &'a Project) -> Option<SiteErosion<'a>> {
        let asked = project.targets.iter().any(|target| target.measure == Measure::ErosionRatio);
        if project.soil == Soil::default() && project.cover_before.is_none() && !asked {
            return None;
        }
        let settings = settings();
        let daily = match project.rain.is_empty() {
            true => Err(Gap::TableMissing("rain")),
            false => daily_erosivity(&project.rain, latitude(project)),
        };
        let ground = project.ground.as_ref();
        let areas = project.areas.iter().map(|area| &area.boundary);
        let hillside = ground.and_then(|ground| {
            SlopeFactorGrid::of(ground, areas, &project.features, SlopeLength::default()).ok()
        });
        Some(SiteErosion {
            r: erosivity(&project.soil, daily.as_ref(), &settings),
            k: erodibility(&project.soil, &settings),
            areas: project.areas.iter().map(|area| of_area(project, area, hillside.as_ref())).collect(),
            hillside,
            confidence: project.statistics.confidence,
        })
    }

    /// R and K, where both are known.
    ///
    /// # Errors
    /// One of them is not.
    pub fn rain_and_soil(&self) -> Result<(&Factor<Erosivity>, &Factor<Erodibility>), Gap> {
        Ok((self.r.as_ref().map_err(Gap::clone)?, self.k.as_ref().map_err(Gap::clone)?))
    }

    /// Soil loss of one area.
    ///
    /// # Errors
    /// A factor is not known.
    pub fn loss(&self, area: &OfArea<'_>, state: State) -> Finding<SoilLoss> {
        let ((r, k), ls) = (self.rain_and_soil()?, area.ls.as_ref().map_err(Gap::clone)?);
        Ok(soil_loss(r, k, ls, area.cover(state)?, self.confidence))
    }

    /// Soil loss now over before, of one area; rain, soil and slope cancel and need not be known.
    ///
    /// # Errors
    /// The cover of one of the two is not known.
    pub fn ratio(&self, area: &OfArea<'_>) -> Finding<f64> {
        ratio(area.cover(State::Before)?, area.cover(State::Now)?, area.correlation, self.confidence)
    }

    /// Soil kept on one area in a year.
    ///
    /// # Errors
    /// A factor is not known.
    pub fn kept(&self, area: &OfArea<'_>) -> Finding<TonnesPerYear> {
        let (r, k) = self.rain_and_soil()?;
        kept(r, k, area.factors(State::Before, State::Now)?, area.correlation, self.confidence)
    }

    /// The areas of which the cover is known before and now, and the slope: those that "all areas" speak of.
    pub fn compared(&self) -> impl Iterator<Item = &OfArea<'a>> {
        self.areas.iter().filter(|area| area.factors(State::Before, State::Now).is_ok())
    }

    /// Mean soil loss of the areas together; those that lack a factor of this state, or of those before and now, are left out, which is said.
    ///
    /// # Errors
    /// No area has all factors.
    pub fn joint_loss(&self, state: State) -> Finding<SoilLoss> {
        let (r, k) = self.rain_and_soil()?;
        self.joint(state, state, |areas| joint_loss(r, k, areas, self.confidence))
    }

    /// Soil loss of the areas together, now over before.
    ///
    /// # Errors
    /// No area has all factors but those of rain and soil.
    pub fn joint_ratio(&self) -> Finding<f64> {
        self.joint(State::Before, State::Now, |areas| joint_ratio(areas, self.correlation(), self.confidence))
    }

    /// Soil kept on the areas together in a year.
    ///
    /// # Errors
    /// No area has all factors.
    pub fn joint_kept(&self) -> Finding<TonnesPerYear> {
        let (r, k) = self.rain_and_soil()?;
        self.joint(State::Before, State::Now, |areas| {
            joint_kept(r, k, areas, self.correlation(), self.confidence)
        })
    }

    /// The least of the areas' correlations: the widest limits.
    fn correlation(&self) -> f64 {
        self.areas.iter().map(|area| area.correlation).reduce(f64::min).unwrap_or(0.0)
    }

    fn joint<Q>(&self, from: State, to: State, of: impl Fn(&[AreaFactors<'_>]) -> Finding<Q>) -> Finding<Q> {
        let (mut known, mut without, mut why) = (Vec::new(), Vec::new(), None);
        // States are held against one another, so that all of them speak of the same ground, where any ground tells both.
        let compared = |area: &OfArea<'_>| area.factors(State::Before, State::Now).map(|_| ());
        let any_compared = self.compared().next().is_some();
        for area in &self.areas {
            let same_ground = if any_compared { compared(area) } else { Ok(()) };
            match same_ground.and_then(|()| area.factors(from, to)) {
                Ok(factors) => known.push(factors),
                Err(gap) => {
                    without.push(area.area.id.to_string());
                    why.get_or_insert(gap);
                }
            }
        }
        if known.is_empty() {
            return Err(why.unwrap_or(Gap::NoSlope));
        }
        let found: Estimate<Q> = of(&known)?;
        Ok(match without.as_slice() {
            [] => found,
            some => found.note(format!("left out, because a factor is not known there: {}", listed(some))),
        })
    }
}

fn settings() -> Sources {
    Sources::whole("project.toml".into())
}

fn latitude(project: &Project) -> f64 {
    let corner = project.areas.iter().find_map(|area| area.boundary.exterior_coords_iter().next());
    corner.map_or(f64::NAN, |corner| corner.y)
}

fn of_area<'a>(project: &'a Project, area: &'a Area, hillside: Option<&SlopeFactorGrid>) -> OfArea<'a> {
    // Where the terrain does not reach, readings may.
    let ls = match hillside.map(|hillside| hillside.factor(&area.boundary)) {
        Some(Ok(factor)) => Ok(factor),
        Some(Err(Gap::TooSteep)) => Err(Gap::TooSteep),
        _ => ls_measured(&project.slopes, &area.id, Rill::default(), Steepness::default()),
    };
    let plots: BTreeSet<&PlotId> =
        project.plots.iter().filter(|plot| plot.area == area.id).map(|plot| &plot.id).collect();
    let here = || project.cover.iter().filter(|reading| plots.contains(&reading.plot));
    let ground = |reading: &CoverReading| reading.layer == Layer::Ground && plots.contains(&reading.plot);
    let round = project.latest_read(ground).unwrap_or(Period { from: NaiveDate::MIN, to: NaiveDate::MIN });
    let covers = cover_plots(here(), round.from..=round.to, None);
    let now = surveyed(&covers);
    let read = (round, covers.into_iter().map(|plot| plot.plot).collect());
    let (before, correlation) = cover_before(project, &area.id, here());
    let plan = geometry::area(&area.boundary).into();
    OfArea { area, plan, ls, before, now, closed: closed_canopy(), correlation, read }
}

/// C before the work began, as the settings state it, else as the plots were read before the first planting; and how its error
/// goes with that of C now.
fn cover_before<'a>(
    project: &Project,
    area: &AreaId,
    here: impl Iterator<Item = &'a CoverReading>,
) -> (Result<Factor<f64>, Gap>, f64) {
    if let Some(stated) = &project.cover_before {
        return (Ok(before(stated, &settings())), 0.0);
    }
    let planted = project.plantings.iter().filter(|planting| &planting.area == area);
    let first = planted.map(|planting| planting.date).min();
    let early = first.map(|first| surveyed(&cover_plots(here, NaiveDate::MIN..=first, None)));
    (early.and_then(Result::ok).ok_or(Gap::NotSet("cover.before")), SURVEYED_ALIKE)
}
