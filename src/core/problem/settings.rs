//! `project.toml` settings that can't stand.

use crate::problem::{did_you_mean, kinds};

kinds! {
    /// What is wrong with a setting.
    Settings {
        /// A key nobody knows: a misspelt setting must not pass for a default.
        #[error("no setting is called `{key}`")]
        Error "key-unknown" KeyUnknown { key: String, nearest: Option<String> }
            => did_you_mean(nearest, "take it out; `hillfolio new DIR` writes every setting with an explanation");
        /// A key that must be there.
        #[error("`{key}` must be set")]
        Error "key-missing" KeyMissing { key: String, example: &'static str } => format!("for example: {example}");
        /// A value that the key can't hold.
        #[error("`{key}` is {found}; it must be {wanted}")]
        Error "value-unreadable" ValueUnreadable { key: String, found: String, wanted: String, nearest: Option<String> }
            => did_you_mean(nearest, "correct the value");
        /// The period ends before it begins.
        #[error("the period ends on {to}, before it begins on {from}")]
        Error "period-backwards" PeriodBackwards { from: String, to: String } => "swap the two dates";
        /// Two budget lines or two targets with one name.
        #[error("two {what} are called `{name}`")]
        Error "name-twice" NameTwice { what: &'static str, name: String } => "give each its own name";
        /// A section or a setting that stands in two places.
        #[error("`{name}` stands twice: {} and again {}", lines(.first), lines(.again))]
        Error "stands-twice" StandsTwice {
            name: String, first: (u32, u32), again: (u32, u32), joined: String, unlike: Vec<String>
        } => {
            let differs = match unlike.as_slice() {
                [] => String::new(),
                unlike => format!("they say two things of {}: keep the right one, here the second; ", unlike.join(", ")),
            };
            format!("{differs}take out {}, and in the place of {} write:\n{joined}", lines(again), lines(first))
        };
        /// A name of the user's own that stands for nothing.
        #[error("no {what} is called `{of}`, for which the name should stand")]
        Error "name-of-nothing" NameOfNothing { what: &'static str, of: String, nearest: Option<String> }
            => did_you_mean(nearest, "on the left the name as it is written, on the right one that is there");
        /// A target that says neither `at_least` nor `at_most`, or both.
        #[error("target `{id}` needs one of at_least and at_most")]
        Error "target-without-bound" TargetWithoutBound { id: String } => "for example: at_least = 0.80";
        /// A target on an area, species or line that does not exist.
        #[error("target `{id}` names the {what} `{name}`, which is not there")]
        Error "target-on-nothing" TargetOnNothing { id: String, what: &'static str, name: String, nearest: Option<String> }
            => did_you_mean(nearest, "name one that is there, or \"all\"");
        /// A target lacks a key that its measure needs, such as `layer` for cover.
        #[error("target `{id}` on {measure} needs `{key}`")]
        Error "target-lacks" TargetLacks { id: String, measure: &'static str, key: &'static str }
            => format!("add it to the target, such as:\n{key} = \"…\"");
        /// A target has a key that its measure has no use for.
        #[error("target `{id}` on {measure} has no use for `{key}`")]
        Error "target-key-unused" TargetKeyUnused { id: String, measure: &'static str, key: &'static str }
            => "take the key out, or choose the measure that it belongs to";
        /// Rows and stems so far apart that a target on density can't be met beside one on survival.
        #[error("rows {spacing} m and stems {stem_spacing} m apart are {stems} stems to the hectare of level ground; if {lives} % live, as \
                 target `{survival}` asks, {living} do, fewer than the {least} of target `{density}`")]
        Doubt "design-too-thin" DesignTooThin {
            spacing: f64, stem_spacing: f64, stems: u64, lives: f64, survival: String, living: u64, density: String, least: f64, reach: f64
        } => format!("stem_spacing_m = {reach} would do on level ground; or set rows closer, or plan for infill");
        /// A rate for volunteers without saying who set it.
        #[error("volunteer_rate is set without volunteer_rate_source")]
        Doubt "rate-without-source" RateWithoutSource => "say who set the rate and when: funders ask";
        /// What covered the ground before, with nothing that bears it out.
        #[error("the cover before is one number, and nothing says where it is from; every figure of the soil hangs on it")]
        Doubt "cover-before-without-source" CoverBeforeWithoutSource
            => "under [cover.before] add source = \"…\": who looked at how much ground when, or which photos show it";
    }
}

/// Lines of the file, from the first to the last.
fn lines(&(from, to): &(u32, u32)) -> String {
    if from == to { format!("line {from}") } else { format!("lines {from} to {to}") }
}
