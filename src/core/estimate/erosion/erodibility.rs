//! K, soil erodibility: given, by the nomograph's equation, or by texture.

use crate::{
    estimate::{Gap, Method, erosion::Factor},
    project::Soil,
    source::Sources,
    units::{ERODIBILITY_FROM_US, Erodibility, number},
};

/// Error of ln K as measured, by the nomograph, by texture. The equation left the nomograph by up to half of K on European
/// soils (Auerswald et al. 2014, Catena 118:220-225); two published tables by texture differ about as much as the last.
pub(crate) const SIGMAS: [f64; 3] = [0.20, 0.30, 0.40];

/// What the nomograph's equation is held to, SI (judgement: below and above nothing was measured).
pub(crate) const RANGE: (f64, f64) = (0.002, 0.09);

/// Values of K beyond which something is likely to be wrong (judgement).
const LIKELY: std::ops::RangeInclusive<f64> = 0.005..=0.07;

/// Silt and very fine sand for which the equation was fitted, per cent.
pub(crate) const MOST_SILT: f64 = 70.0;

/// Organic matter beyond which the nomograph has no line, per cent.
pub(crate) const MOST_ORGANIC: f64 = 4.0;

/// K by texture, from a published table.
const TEXTURES: &str = include_str!("texture.csv");

/// Field grades of texture that the table has by another name (judgement).
const GRADES: [(&str, &str); 6] = [
    ("light clay", "clay"),
    ("light medium clay", "clay"),
    ("medium clay", "clay"),
    ("medium heavy clay", "heavy clay"),
    ("clayey sand", "loamy sand"),
    ("clay loam sandy", "sandy clay loam"),
];

/// Scale and power of M, most of organic matter, weights of structure and permeability in the nomograph's equation.
pub(crate) const NOMOGRAPH: [f64; 5] = [2.1e-4, 1.14, 12.0, 3.25, 2.5];

/// K by the equation of the nomograph.
///
/// # Equation
/// K = 0.1317 (a M^b (c − OM) + d (s − 2) + e (p − 3)) / 100 with M = (silt + very fine sand) (100 − clay), all
/// in per cent, s the structure code 1 to 4, p the permeability code 1 to 6; organic matter above 4 % counts as 4 %.
///
/// # Reference
/// Wischmeier and Smith (1978), USDA Agriculture Handbook 537, p. 10; Renard et al. (1997), USDA Agriculture Handbook 703, eq.
/// 3-1.
#[must_use]
pub fn nomograph(
    silt_and_very_fine_sand: f64,
    clay: f64,
    organic: f64,
    structure: u8,
    permeability: u8,
) -> Erodibility {
    let m = silt_and_very_fine_sand * (100.0 - clay);
    let [scale, power, most, by_structure, by_permeability] = NOMOGRAPH;
    let us = scale * libm::pow(m, power) * (most - organic.min(MOST_ORGANIC))
        + by_structure * (f64::from(structure) - 2.0)
        + by_permeability * (f64::from(permeability) - 3.0);
    Erodibility(ERODIBILITY_FROM_US * us / 100.0)
}

/// K by the first way that the settings allow: the value given, then the nomograph if all five of its inputs are there, then
/// texture, its column by organic matter.
///
/// # Errors
/// None of them is there, or what is there lies outside its range.
pub fn erodibility(soil: &Soil, settings: &Sources) -> Result<Factor<Erodibility>, Gap> {
    let factor =
        |k, sigma: usize, method| Factor::new(Erodibility(k), SIGMAS[sigma], method, settings.clone());
    if let Some(given) = soil.k {
        if given <= 0.0 || !given.is_finite() {
            return Err(Gap::OutOfRange(format!("an erodibility of {}", number(given, 3))));
        }
        return Ok(doubted(factor(given, 0, Method::ERODIBILITY_GIVEN)));
    }
    let all = (
        soil.silt_and_very_fine_sand_percent,
        soil.clay_percent,
        soil.organic_matter_percent,
        soil.structure,
        soil.permeability,
    );
    if let (Some(silt), Some(clay), Some(organic), Some(structure), Some(permeability)) = all {
        let sound = silt >= 0.0 && clay >= 0.0 && silt + clay <= 100.0 && (0.0..=100.0).contains(&organic);
        if !sound || !(1..=4).contains(&structure) || !(1..=6).contains(&permeability) {
            return Err(Gap::OutOfRange("soil fractions or codes that can't be".to_owned()));
        }
        let k = nomograph(silt, clay, organic, structure, permeability).0;
        let mut found = factor(k.clamp(RANGE.0, RANGE.1), 1, Method::ERODIBILITY_NOMOGRAPH);
        if silt > MOST_SILT {
            found =
                found.note("silt and very fine sand are over 70 %, beyond what the nomograph was fitted on");
        }
        if !(RANGE.0..=RANGE.1).contains(&k) {
            found = found.note(format!("the equation gives {}; held to 0.002 to 0.09", number(k, 4)));
        }
        return Ok(doubted(found));
    }
    let texture = soil.texture.as_deref().ok_or(Gap::NoErodibility)?;
    let (row, column) = by_texture(texture, soil.organic_matter_percent)?;
    let found = factor(row * ERODIBILITY_FROM_US, 2, Method::ERODIBILITY_TEXTURE);
    Ok(doubted(found.note(format!("by texture: {texture}, {column}"))))
}

/// K in US customary units, and the column that it stands in.
fn by_texture(texture: &str, organic: Option<f64>) -> Result<(f64, &'static str), Gap> {
    let words: Vec<String> = texture
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let plain = words.join(" ");
    let name = GRADES.iter().find(|(grade, _)| *grade == plain).map_or(plain.as_str(), |(_, name)| name);
    let rows = TEXTURES.lines().filter(|line| !line.starts_with('#')).skip(1);
    let cells =
        rows.map(|line| line.split(',').collect::<Vec<_>>()).find(|cells| cells.first() == Some(&name));
    let cells = cells
        .ok_or_else(|| Gap::OutOfRange(format!("the texture `{texture}`, which the table does not have")))?;
    let number = |column: usize| cells.get(column).and_then(|cell| cell.parse::<f64>().ok());
    let (column, words) = match organic {
        None => (1, "average organic matter"),
        Some(organic) if organic < 2.0 => (2, "organic matter below 2 %"),
        Some(_) => (3, "organic matter above 2 %"),
    };
    match (number(column), number(1)) {
        (Some(k), _) => Ok((k, words)),
        (None, Some(average)) => Ok((average, "average organic matter")),
        (None, None) => {
            Err(Gap::OutOfRange(format!("the texture `{texture}`, for which the table has no value")))
        }
    }
}

fn doubted(factor: Factor<Erodibility>) -> Factor<Erodibility> {
    if LIKELY.contains(&factor.value.0) {
        return factor;
    }
    let k = number(factor.value.0, 3);
    factor.note(format!("an erodibility of {k} is outside 0.005 to 0.07, where values are found; check it"))
}
