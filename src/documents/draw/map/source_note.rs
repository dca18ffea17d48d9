//! What a map says of itself: where its positions come from, on which datum and grid, of which day, and which way is up.

use crate::draw::map::{
    furniture::north_words,
    printed::{CLOSEST_MM, Printed},
    scale::spaced,
    window::Window,
};
use hillfolio_core::{project::Project, units::number};

/// The words that stand on a map sheet beside the map.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SourceNote {
    /// What the drawing is not.
    kind: &'static str,
    positions: String,
    grid: String,
    north: Vec<String>,
    origin: String,
}

impl SourceNote {
    /// The note of the map in `window`.
    #[must_use]
    pub(super) fn of(project: &Project, window: &Window, printed: Printed<'_>) -> SourceNote {
        let (positions, grid, name) = match printed {
            Printed::Grid(grid) => {
                let step = spaced(&number(printed.step(window, 0, CLOSEST_MM), 0));
                let positions = if grid.shifts_datum() {
                    format!("taken to be on WGS 84 and shifted to {}", grid.datum())
                } else {
                    format!("taken to be on {}", grid.datum())
                };
                let unit = grid.unit();
                let words = format!(
                    "Grid: {} (EPSG:{}), crosses every {step} {unit}",
                    grid.name(),
                    grid.epsg().unwrap_or_default()
                );
                (positions, words, Some(grid.name().to_owned()))
            }
            Printed::Degrees => {
                let words = match project.identity.grid {
                    Some(code) => format!(
                        "Longitude and latitude are printed: EPSG:{code} is no grid made for this site"
                    ),
                    None => "Longitude and latitude are printed: the project names no grid".to_owned(),
                };
                ("taken to be on WGS 84".to_owned(), words, None)
            }
        };
        let day = hillfolio_core::units::day(project.period.to);
        let identity = &project.identity;
        let headed: Vec<&str> = [&identity.name, &identity.reference]
            .into_iter()
            .map(|text| text.trim())
            .filter(|t| !t.is_empty())
            .collect();
        SourceNote {
            kind: "A works drawing, not a survey",
            positions: format!("Positions as they stand in the project's files, {positions}"),
            grid,
            north: north_words(name.as_deref(), window.plane.up()),
            origin: format!("State of {day}. {}", crate::draw::text::shortened(&headed.join(", "), 80)),
        }
    }

    /// The note of a map of many sites in `window`.
    #[must_use]
    pub(super) fn of_sites(window: &Window, state: &str) -> SourceNote {
        SourceNote {
            kind: "An overview, not a survey",
            positions: "Each sign stands on the middle of a site's planting areas, taken to be on WGS 84"
                .to_owned(),
            grid: "Longitude and latitude are printed".to_owned(),
            north: north_words(None, window.plane.up()),
            origin: state.to_owned(),
        }
    }

    /// The note as one paragraph.
    #[must_use]
    pub(super) fn sentences(&self) -> String {
        format!("{}. {}. {}. {}.", self.kind, self.positions, self.grid, self.origin)
    }

    /// What stands beside the north arrow.
    #[must_use]
    pub(super) fn north(&self) -> Vec<String> {
        self.north.clone()
    }
}
