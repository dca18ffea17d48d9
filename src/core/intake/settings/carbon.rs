//! `[carbon]`: how carbon is worked out and carried forward.

use crate::{
    intake::settings::section::Section,
    project::{CarbonRules, RootRule, ZONES},
};

/// `[carbon]`.
pub(crate) fn carbon(root: &mut Section) -> CarbonRules {
    let usual = CarbonRules::default();
    let Some(mut section) = root.section("carbon") else { return usual };
    let known: Vec<(&str, RootRule)> = [
        ("each plant", RootRule::EachPlant),
        ("Cairns 1997", RootRule::Cairns),
        ("Mokany 2006", RootRule::Mokany),
    ]
    .into_iter()
    .chain(ZONES.map(|zone| (zone, RootRule::Zone(zone))))
    .collect();
    let rule = section.choice("roots", &known);
    let ratio = section.number("root_shoot", 0.0, 3.0, "roots over shoots, from 0 to 3").map(RootRule::Ratio);
    if rule.is_some() && ratio.is_some() {
        section.wrong("roots", "left out where root_shoot is set: one of the two decides", None);
    }
    let years = (1.0, 100.0, "years, from 1 to 100");
    let fastest = section.number("fastest_growth_years", years.0, years.1, years.2);
    let band = section
        .numbers("fastest_growth_band", "two ages in years, the least and the greatest, such as [5, 15]");
    let band = band.and_then(|band| {
        let fits = matches!(band.as_slice(), [least, greatest]
            if *least >= 1.0 && *greatest <= 100.0 && fastest.is_some_and(|likely| (*least..=*greatest).contains(&likely)));
        if !fits {
            let wanted = "two ages from 1 to 100 with fastest_growth_years between them, such as [5, 15]";
            section.wrong("fastest_growth_band", wanted, None);
        }
        fits.then(|| [band[0], band[1]])
    });
    let carbon = CarbonRules {
        roots: ratio.or(rule).unwrap_or_default(),
        fraction: section
            .number("carbon_fraction", 0.3, 0.6, "carbon in dry mass, from 0.3 to 0.6")
            .unwrap_or(usual.fraction),
        climate_stress: section.number(
            "climate_stress",
            -2.0,
            2.0,
            "Chave's stress of the climate, from -2 to 2",
        ),
        // Without a band of its own, the likely age is given half as much on each side.
        fastest_growth: fastest.map(|likely| {
            let [least, greatest] = band.unwrap_or([likely * 0.5, likely * 1.5]);
            [likely, least, greatest]
        }),
        most: section.number(
            "most_t_per_ha",
            1.0,
            2000.0,
            "dry mass above the ground in t/ha, from 1 to 2000",
        ),
        productivity: section.number(
            "productivity_index",
            0.1,
            60.0,
            "a forest productivity index, from 0.1 to 60",
        ),
    };
    if carbon.most.is_some() && carbon.productivity.is_some() {
        section.wrong(
            "productivity_index",
            "left out where most_t_per_ha is set: one of the two decides",
            None,
        );
    }
    section.finish();
    carbon
}
