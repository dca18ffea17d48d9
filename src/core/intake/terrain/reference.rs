//! The coordinate reference system of a terrain model.

use crate::{
    geometry::{Crs, System},
    intake::crs::Spelled,
    terrain::Coordinates,
};

/// Metres in an international foot.
pub(crate) const FOOT: f64 = 0.3048;

/// Metres in a United States survey foot.
pub(crate) const SURVEY_FOOT: f64 = 1200.0 / 3937.0;

/// What a file says of its coordinates and heights.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// The coordinate reference system, where the file names one that is carried out here.
    pub crs: Option<Crs>,
    /// What the coordinates count.
    pub coordinates: Coordinates,
    /// Metres in one unit of height, where the file says.
    pub height_unit: Option<f64>,
    /// A height that stands for none beside the one that the file itself names.
    pub missing: Option<f64>,
    /// The name that the file gives.
    pub name: String,
    /// Why the system that it names is not carried out.
    pub refused: Option<String>,
}

impl Reference {
    /// An unnamed system, in metres.
    #[must_use]
    pub fn unnamed() -> Reference {
        Reference {
            crs: None,
            coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
            height_unit: None,
            missing: None,
            name: String::new(),
            refused: None,
        }
    }

    /// What a file spells.
    pub(crate) fn spelled(spelled: Spelled) -> Reference {
        let mut reference = Reference::unnamed();
        match spelled.system {
            Some(Ok(crs)) => reference = Reference::of(crs),
            Some(Err(why)) => reference.refused = Some(why),
            None => {}
        }
        Reference { height_unit: spelled.height_unit, name: spelled.name, ..reference }
    }

    /// A system that is known.
    pub(crate) fn of(crs: Crs) -> Reference {
        let name = crs.name().to_owned();
        Reference { coordinates: coordinates(&crs), crs: Some(crs), name, ..Reference::unnamed() }
    }

    /// The EPSG code, where the system is known by one.
    #[must_use]
    pub fn epsg(&self) -> Option<u16> {
        self.crs.as_ref().and_then(Crs::epsg)
    }

    /// Metres in one unit of height: what the file says, else one.
    #[must_use]
    pub fn metres_per_height(&self) -> f64 {
        self.height_unit.unwrap_or(1.0)
    }

    /// Whether heights are in feet.
    #[must_use]
    pub fn in_feet(&self) -> bool {
        self.height_unit.is_some_and(|metres| (metres - FOOT).abs() < 1e-5)
    }
}

/// What the numbers of a system count.
pub(crate) fn coordinates(crs: &Crs) -> Coordinates {
    if crs.in_degrees() {
        return Coordinates::Geographic;
    }
    let metres_per_unit = System::of(crs).and_then(|system| Some(system.grid()?.metres_per_unit()));
    Coordinates::Projected { metres_per_unit: metres_per_unit.unwrap_or(1.0) }
}
