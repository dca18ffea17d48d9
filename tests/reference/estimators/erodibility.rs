//! K against published values.

use hillfolio_core::{
    estimate::{
        Gap, Method,
        erosion::{erodibility, nomograph},
    },
    project::Soil,
    source::Sources,
    units::ERODIBILITY_FROM_US,
};

use crate::erosion_checks::{number, table};

pub(crate) fn found(id: &str) -> Option<f64> {
    Some(match id {
        "K1" => nomograph(65.0, 30.0, 2.8, 2, 4).0 / ERODIBILITY_FROM_US,
        "K2" => nomograph(65.0, 30.0, 2.8, 2, 4).0,
        "K3" => nomograph(30.0, 38.0, 4.0, 2, 4).0,
        "K4" => nomograph(30.0, 38.0, 7.0, 2, 4).0,
        "K5" => by_texture("clay loam", None).unwrap(),
        _ => return None,
    })
}

fn by_texture(texture: &str, organic: Option<f64>) -> Result<f64, Gap> {
    let soil = Soil { texture: Some(texture.to_owned()), organic_matter_percent: organic, ..Soil::default() };
    let factor = erodibility(&soil, &Sources::default())?;
    assert_eq!(factor.method, Method::ERODIBILITY_TEXTURE);
    Ok(factor.value.0)
}

/// Every row of the published table: 18 textures, three columns; SI values as printed beside them, to their rounding.
#[test]
fn every_texture_has_its_published_value() {
    let mut rows = 0;
    for row in table("k-by-texture.csv").iter().filter(|row| row["set"] == "texture-3col") {
        let organic = match row["organic_matter"].as_str() {
            "average" => None,
            "OM below 2 %" => Some(1.0),
            "OM above 2 %" => Some(3.0),
            other => panic!("{other}"),
        };
        let found = by_texture(&row["texture"], organic).unwrap();
        assert!((found - number(row, "k_si")).abs() < 6e-5, "{row:?}: {found}");
        rows += 1;
    }
    assert_eq!(rows, 52);
}

#[test]
fn field_grades_are_known_and_the_rest_is_refused() {
    assert_eq!(by_texture("Light-medium clay", None), by_texture("clay", None));
    assert_eq!(by_texture("CLAY LOAM, SANDY", None), by_texture("sandy clay loam", None));
    assert!(matches!(by_texture("peat", None), Err(Gap::OutOfRange(_))));
    assert_eq!(erodibility(&Soil::default(), &Sources::default()), Err(Gap::NoErodibility));
}

#[test]
fn the_nomograph_needs_all_five_and_doubts_what_lies_outside_it() {
    let mut soil = Soil {
        silt_and_very_fine_sand_percent: Some(95.0),
        clay_percent: Some(5.0),
        organic_matter_percent: Some(1.0),
        structure: Some(2),
        permeability: Some(3),
        ..Soil::default()
    };
    let factor = erodibility(&soil, &Sources::default()).unwrap();
    assert_eq!((factor.method, factor.value.0), (Method::ERODIBILITY_NOMOGRAPH, 0.09));
    assert_eq!(factor.notes.len(), 3, "too silty, held, unlikely: {:?}", factor.notes);
    soil.structure = None;
    soil.texture = Some("loam".to_owned());
    assert_eq!(erodibility(&soil, &Sources::default()).unwrap().method, Method::ERODIBILITY_TEXTURE);
    soil.structure = Some(5);
    assert!(matches!(erodibility(&soil, &Sources::default()), Err(Gap::OutOfRange(_))));
}
