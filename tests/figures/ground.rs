//! The estimators of slope and ground on surfaces whose figures are known.

use hillfolio_core::{
    estimate::{
        Gap, Method,
        terrain::{AreaGround, Layers, breaks},
    },
    project::SlopeClasses,
    source::Sources,
    terrain::{Coordinates, Lattice, Raster},
    units::{Degrees, Hectares},
};

use crate::support::{oblong, row};

/// A roof: a plane of 10° in the western half, of 20° in the eastern, in cells of 1 m; x and y from 0 to 100.
fn roof() -> Layers {
    let lattice = Lattice {
        west: 0.0,
        north: 100.0,
        cell_x: 1.0,
        cell_y: 1.0,
        rows: 100,
        columns: 100,
        coordinates: Coordinates::Projected { metres_per_unit: 1.0 },
        crs: None,
    };
    let rise = |degrees: f64| libm::tan(degrees.to_radians());
    let values = (0..100 * 100).map(|cell| {
        let x = (cell % 100) as f64 + 0.5 - 50.0;
        (20.0 - if x < 0.0 { -x * rise(10.0) } else { x * rise(20.0) }) as f32
    });
    let values = values.collect();
    Layers::of(&Raster { lattice, values }, Sources::from_iter([&row("terrain.tif", 1)]))
}

/// By trigonometry: an area half on each side, away from the ridge.
#[test]
fn a_roof_has_two_slopes() {
    let layers = roof();
    let mut both = oblong(10.0, 20.0, 20.0, 50.0);
    both.0.extend(oblong(60.0, 20.0, 20.0, 50.0).0);
    let breaks = breaks(&SlopeClasses::Practice);
    let ground = AreaGround::new(&layers, &both, Hectares(0.2), &breaks);
    assert_eq!(ground.classes(), 8);
    let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-3, "{found} {expected}");
    near(ground.mean().unwrap().value.0, 15.0);
    near(ground.p90().unwrap().value.0, 20.0);
    near(ground.max().unwrap().value.0, 20.0);
    // 9 to 12° is the fourth class; 20° stands on a break and so belongs to the seventh, 20 to 25°.
    let classes: Vec<f64> = (1..=8).map(|class| ground.class(class).unwrap().value.0).collect();
    for (class, hectares) in classes.iter().enumerate() {
        near(*hectares, if class == 3 || class == 6 { 0.1 } else { 0.0 });
    }
    near(ground.steeper(Degrees(12.0)).unwrap().value.part(), 0.5);
    near(ground.steeper(Degrees(10.0)).unwrap().value.part(), 1.0);
    let along = 0.1 / libm::cos(10.0_f64.to_radians()) + 0.1 / libm::cos(20.0_f64.to_radians());
    assert!((ground.surface().unwrap().value.0 - along).abs() < 1e-5);
    let mean = ground.mean().unwrap();
    assert_eq!(mean.method, Method::TERRAIN_MEAN);
    assert!(mean.notes.is_empty());
    assert_eq!(mean.sources.printed().next().unwrap().0, "terrain.tif");
    assert_eq!(ground.class(9), Err(Gap::NoTerrain));
    assert_eq!(ground.class(0), Err(Gap::NoTerrain));
}

#[test]
fn ground_beyond_the_terrain_is_said_or_is_a_gap() {
    let layers = roof();
    let part = oblong(-20.0, 20.0, 40.0, 50.0);
    let ground = AreaGround::new(&layers, &part, Hectares(0.2), &[Degrees(12.0)]);
    // Half beyond the terrain, and the outermost metre has no eight neighbours.
    assert!((ground.unknown() - 21.0 / 40.0).abs() < 1e-9);
    let found = ground.class(1).unwrap();
    assert!((found.value.0 - 0.2 * 19.0 / 40.0).abs() < 1e-9);
    assert_eq!(found.notes, ["the slope is not known on 52.5\u{a0}% of the area"]);
    let nowhere = AreaGround::new(&layers, &oblong(500.0, 20.0, 10.0, 10.0), Hectares(1.0), &[Degrees(12.0)]);
    assert_eq!(nowhere.mean(), Err(Gap::NoTerrain));
    assert_eq!(nowhere.class(1), Err(Gap::NoTerrain));
    assert_eq!(nowhere.surface(), Err(Gap::NoTerrain));
    assert_eq!(nowhere.steeper(Degrees(12.0)), Err(Gap::NoTerrain));
}

/// The Australian Soil and Land Survey Field Handbook's breaks in degrees, as printed to a tenth.
#[test]
fn the_field_handbooks_breaks_are_known() {
    let found: Vec<f64> = breaks(&SlopeClasses::FieldHandbook).iter().map(|one| one.0).collect();
    for (found, printed) in found.iter().zip([0.6, 1.7, 5.7, 17.7, 29.2, 45.0, 71.6]) {
        assert!((found - printed).abs() < 0.06, "{found} {printed}");
    }
}
