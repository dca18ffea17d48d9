//! Maps and charts as the templates place them.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    draw::{Drawing, svg::Markup},
    typeset::ReportInputs,
};

/// A drawing to be placed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct Picture {
    /// The key of its bytes.
    image: String,
    title: String,
    alt: String,
    caption: String,
    width_mm: f64,
    height_mm: f64,
    landscape: bool,
    /// Whether it needs an A3 page.
    a3: bool,
}

/// The drawings of a document, by where they belong.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Drawings {
    maps: Vec<Picture>,
    /// Maps of the section about the ground.
    slope_maps: Vec<Picture>,
    pub(crate) soil_loss_maps: Vec<Picture>,
    /// Maps of the section about what lives there.
    wildlife_maps: Vec<Picture>,
    charts: Charts,
}

/// Charts by the section that they open.
#[derive(Serialize, JsonSchema, Default)]
struct Charts {
    species: Vec<Picture>,
    by_area: Vec<Picture>,
    by_species: Vec<Picture>,
    by_cohort: Vec<Picture>,
    heights: Vec<Picture>,
    money: Vec<Picture>,
    soil_loss: Vec<Picture>,
    rain: Vec<Picture>,
    /// Figures of every survey.
    stems_series: Vec<Picture>,
    cover_series: Vec<Picture>,
    tagged: Vec<Picture>,
    rarefaction: Vec<Picture>,
    carbon: Vec<Picture>,
    carbon_series: Vec<Picture>,
    carbon_projection: Vec<Picture>,
    others: Vec<Picture>,
}

impl Picture {
    /// The `index`th drawing of a list whose keys begin with `list`.
    pub(crate) fn of(list: &str, index: usize, drawing: &Drawing) -> Picture {
        Picture {
            image: format!("{list}-{index}"),
            title: drawing.title.clone(),
            alt: drawing.alt.clone(),
            caption: drawing.caption.clone(),
            width_mm: drawing.size_mm.0,
            height_mm: drawing.size_mm.1,
            landscape: drawing.landscape,
            a3: drawing.for_a3(),
        }
    }
}

impl Drawings {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> Drawings {
        let mut charts = Charts::default();
        for (index, chart) in inputs.sheets.charts.iter().enumerate() {
            let section = match chart.name.as_str() {
                "species-planted" => &mut charts.species,
                "survival-by-area" => &mut charts.by_area,
                "survival-by-species" => &mut charts.by_species,
                "survival-by-cohort" => &mut charts.by_cohort,
                "heights" => &mut charts.heights,
                "money-by-line" => &mut charts.money,
                "soil-loss" => &mut charts.soil_loss,
                "rain" => &mut charts.rain,
                "survey-series" => &mut charts.stems_series,
                "survey-series-cover" => &mut charts.cover_series,
                "tagged-stems" => &mut charts.tagged,
                "rarefaction" => &mut charts.rarefaction,
                "carbon" => &mut charts.carbon,
                "carbon-series" => &mut charts.carbon_series,
                "carbon-projection" => &mut charts.carbon_projection,
                _ => &mut charts.others,
            };
            section.push(Picture::of("chart", index, chart));
        }
        let mut drawings = Drawings {
            maps: vec![],
            slope_maps: vec![],
            soil_loss_maps: vec![],
            wildlife_maps: vec![],
            charts,
        };
        for (index, map) in inputs.sheets.maps.iter().enumerate() {
            let section = match map.name.as_str() {
                name if name.starts_with("slope-map") => &mut drawings.slope_maps,
                "soil-loss-map" => &mut drawings.soil_loss_maps,
                "wildlife-map" => &mut drawings.wildlife_maps,
                _ => &mut drawings.maps,
            };
            section.push(Picture::of("map", index, map));
        }
        drawings
    }
}

impl Drawings {
    /// The charts whose figures the reports give as tables, in the order in which the reports would show them.
    pub(crate) fn further_charts(&self) -> Vec<Picture> {
        let Charts {
            species, by_area, by_species, by_cohort, heights, money, soil_loss, carbon, others, ..
        } = &self.charts;
        [species, by_area, by_species, by_cohort, heights, money, soil_loss, carbon, others]
            .into_iter()
            .flatten()
            .cloned()
            .collect()
    }
}

/// The drawings of each of `lists`, under the keys by which [`Picture::of`] calls them.
pub(crate) fn keyed(lists: &[(&str, &[Drawing])]) -> Vec<(String, Markup)> {
    let numbered = |(list, drawings): &(&str, &[Drawing])| {
        let keyed = drawings.iter().enumerate();
        keyed.map(|(index, drawing)| (format!("{list}-{index}"), drawing.svg.clone())).collect::<Vec<_>>()
    };
    lists.iter().flat_map(numbered).collect()
}
