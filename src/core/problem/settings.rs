//! `project.toml` settings that can't stand.

use crate::problem::{Said, doubt, error};

/// What is wrong with a setting.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Settings {
    /// A key nobody knows: a misspelt setting must not pass for a default.
    KeyUnknown { key: String, nearest: Option<String> },
    /// A key that must be there.
    KeyMissing { key: String, example: &'static str },
    /// A value that the key can't hold.
    ValueUnreadable { key: String, found: String, wanted: String, nearest: Option<String> },
    /// The period ends before it begins.
    PeriodBackwards { from: String, to: String },
    /// Two budget lines or two targets with one name.
    NameTwice { what: &'static str, name: String },
    /// A target that says neither `at_least` nor `at_most`, or both.
    TargetWithoutBound { id: String },
    /// A target on an area, species or line that does not exist.
    TargetOnNothing { id: String, what: &'static str, name: String, nearest: Option<String> },
    /// A target lacks a key that its measure needs, such as `layer` for cover.
    TargetLacks { id: String, measure: &'static str, key: &'static str },
    /// A target has a key that its measure has no use for.
    TargetKeyUnused { id: String, measure: &'static str, key: &'static str },
    /// A rate for volunteers without saying who set it.
    RateWithoutSource,
}

impl Settings {
    pub(super) fn said(&self) -> Said {
        match self {
            Settings::KeyUnknown { key, nearest } => {
                error("key-unknown", format!("no setting is called `{key}`")).nearest(
                    nearest.as_ref(),
                    "take it out; `hillfolio new DIR` writes every setting with an explanation",
                )
            }
            Settings::KeyMissing { key, example } => {
                error("key-missing", format!("`{key}` must be set")).help(format!("for example: {example}"))
            }
            Settings::ValueUnreadable { key, found, wanted, nearest } => {
                error("value-unreadable", format!("`{key}` is {found}; it must be {wanted}"))
                    .nearest(nearest.as_ref(), "correct the value")
            }
            Settings::PeriodBackwards { from, to } => {
                error("period-backwards", format!("the period ends on {to}, before it begins on {from}"))
                    .help("swap the two dates")
            }
            Settings::NameTwice { what, name } => {
                error("name-twice", format!("two {what} are called `{name}`")).help("give each its own name")
            }
            Settings::TargetWithoutBound { id } => {
                error("target-without-bound", format!("target `{id}` needs one of at_least and at_most"))
                    .help("for example: at_least = 0.80")
            }
            Settings::TargetOnNothing { id, what, name, nearest } => error(
                "target-on-nothing",
                format!("target `{id}` names the {what} `{name}`, which is not there"),
            )
            .nearest(nearest.as_ref(), "name one that is there, or \"all\""),
            Settings::TargetLacks { id, measure, key } => {
                error("target-lacks", format!("target `{id}` on {measure} needs `{key}`"))
            }
            Settings::TargetKeyUnused { id, measure, key } => {
                error("target-key-unused", format!("target `{id}` on {measure} has no use for `{key}`"))
                    .help("take the key out, or choose the measure that it belongs to")
            }
            Settings::RateWithoutSource => {
                doubt("rate-without-source", "volunteer_rate is set without volunteer_rate_source".to_owned())
                    .help("say who set the rate and when: funders ask")
            }
        }
    }
}
