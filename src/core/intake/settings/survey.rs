//! `[survey]`: the scale behind cover that was read in classes.

use std::sync::Arc;

use crate::{
    intake::{nearest::same, settings::section::Section},
    problem::Settings,
    project::{CoverClass, SCALES},
};

/// What the project's own classes are called in a note.
const OWN: &str = "the project’s own scale";

/// The classes of the scale that `[survey]` names or gives; none where it does neither.
pub(crate) fn cover_scale(root: &mut Section) -> Vec<CoverClass> {
    let Some(mut section) = root.section("survey") else { return vec![] };
    let published: Vec<(&str, Vec<CoverClass>)> =
        SCALES.iter().map(|scale| (scale.name, scale.classes())).collect();
    let named = section.choice("cover_scale", &published);
    let scale: Arc<str> = OWN.into();
    let mut codes: Vec<String> = Vec::new();
    let own = section.each("cover_class", |class| {
        for (key, example) in
            [("code", "code = \"1\""), ("from_percent", "from_percent = 0"), ("to_percent", "to_percent = 5")]
        {
            if !class.has(key) {
                class.missing(key, example);
            }
        }
        let (code, percent) = (class.text("code"), "a percentage from 0 to 100");
        let (low, high) = (
            class.number("from_percent", 0.0, 100.0, percent),
            class.number("to_percent", 0.0, 100.0, percent),
        );
        if low.zip(high).is_some_and(|(low, high)| low > high) {
            class.wrong("to_percent", "no less than from_percent", None);
        }
        let code = code?;
        if codes.iter().any(|known| same(known, &code)) {
            class.say("code", Settings::NameTwice { what: "classes of cover", name: code.clone() });
        }
        codes.push(code.clone());
        Some(CoverClass { scale: scale.clone(), code: code.into(), low: low?, high: high? })
    });
    if named.is_some() && section.has("cover_class") {
        section.wrong(
            "cover_scale",
            "left out where classes of your own are given: one of the two decides",
            None,
        );
    }
    section.finish();
    if own.is_empty() { named.unwrap_or_default() } else { own }
}
