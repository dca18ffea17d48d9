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
