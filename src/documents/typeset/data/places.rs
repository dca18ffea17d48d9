//! Areas as they are named on paper and in ids.

use crate::typeset::ReportInputs;
use hillfolio_core::project::AreaId;

/// All areas together: their name on paper and in ids.
const ALL: (&str, &str) = ("All areas", "all");

/// Each area of the project by its name on paper and in ids.
pub(crate) fn areas<'a>(inputs: &ReportInputs<'a>) -> impl Iterator<Item = (String, &'a str)> + use<'a> {
    inputs.project.areas.iter().map(|area| (area.id.to_string(), &*area.id.0))
}

/// All areas together, where there are several.
pub(crate) fn together(inputs: &ReportInputs<'_>) -> Option<(String, &'static str)> {
    (inputs.project.areas.len() > 1).then(|| (ALL.0.to_owned(), ALL.1))
}

/// Each area, then all of them together.
pub(crate) fn areas_and_all<'a>(
    inputs: &ReportInputs<'a>,
) -> impl Iterator<Item = (String, &'a str)> + use<'a> {
    areas(inputs).chain([(ALL.0.to_owned(), ALL.1)])
}

/// The area that a figure is about.
pub(crate) fn or_all(area: Option<&AreaId>) -> String {
    area.map_or_else(|| "all areas".to_owned(), ToString::to_string)
}

/// The area that work was done in or that something happened to.
pub(crate) fn or_site(area: Option<&AreaId>) -> String {
    area.map_or_else(|| "whole site".to_owned(), ToString::to_string)
}
