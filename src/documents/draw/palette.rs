//! Colours of maps and charts: told apart by lightness as well as hue, so that they hold in grey print and for the
//! colour-blind.

/// Text and strong lines.
pub const INK: &str = "#1f2623";
/// Secondary text, ticks.
pub const SOFT_INK: &str = "#59625d";
/// Thin rules and grid lines.
pub const RULE: &str = "#c8cdc8";
/// The accent where `project.toml` gives none: the brown of turned soil.
pub const ACCENT: &str = "#8a4a2b";

/// Series in charts, from dark to light; neighbours differ by at least 12 steps of CIE L*.
pub const SERIES: [&str; 6] = ["#22384f", "#8a4a2b", "#3f7f78", "#b9852b", "#8fb0c4", "#e2cf9f"];

/// Red, green and blue of a colour written `#rrggbb`; black where it is written in another way.
#[must_use]
pub fn rgb(hex: &str) -> [u8; 3] {
    [1, 3, 5]
        .map(|from| hex.get(from..from + 2).and_then(|two| u8::from_str_radix(two, 16).ok()).unwrap_or(0))
}

/// Lightness of a colour, 0 (black) to 100 (white).
///
/// # Equation
/// L* = 116 f(Y) − 16, f(t) = t^(1/3), or 7.787 t + 16/116 where t ≤ 0.008856; Y = 0.2126 R + 0.7152 G + 0.0722 B of linear light.
///
/// # Reference
/// CIE 15:2004, *Colorimetry* (L*); IEC 61966-2-1:1999 (sRGB).
#[must_use]
pub fn lightness(hex: &str) -> f64 {
    let linear = |part: u8| match f64::from(part) / 255.0 {
        part if part <= 0.040_45 => part / 12.92,
        part => libm::pow((part + 0.055) / 1.055, 2.4),
    };
    let [red, green, blue] = rgb(hex).map(linear);
    match 0.2126 * red + 0.7152 * green + 0.0722 * blue {
        dim if dim <= 0.008_856 => 903.3 * dim,
        light => 116.0 * libm::cbrt(light) - 16.0,
    }
}
